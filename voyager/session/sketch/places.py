"""Edits of the places; legs name them."""

from typing import Any

from voyager.session.sketch.numbers import put_typed
from voyager.session.sketch.state import Row, Sketch


def place_at(sketch: Sketch, index: int) -> Row:
    """The place of that number, counted from 0."""
    if not 0 <= index < len(sketch.places):
        raise ValueError(f"there is no place {index + 1}; the voyage has {len(sketch.places)}")
    return sketch.places[index]


def place_uses(sketch: Sketch, name: str) -> list[int]:
    """Numbers from 1 of the legs that begin or end at a place."""
    return [n for n, leg in enumerate(sketch.legs, start=1) if name in (leg.get("from"), leg.get("to"))]


def set_place(sketch: Sketch, index: int, key: str, value: Any) -> Sketch:
    """With one value of a place as typed; None takes it away. A new ``name`` goes into the legs too."""
    if key == "name":
        return rename_place(sketch, index, str(value or ""))
    return _placed(sketch, index, put_typed(place_at(sketch, index), key, value))


def _placed(sketch: Sketch, index: int, row: Row) -> Sketch:
    return sketch.with_rows("places", [*sketch.places[:index], row, *sketch.places[index + 1 :]])


def rename_place(sketch: Sketch, index: int, name: str) -> Sketch:
    """With another name of a place, here and in every leg; no two places share one."""
    row, name = place_at(sketch, index), name.strip()
    if not name:
        raise ValueError("a place needs a name")
    if any(other.get("name") == name for n, other in enumerate(sketch.places) if n != index):
        raise ValueError(f'there is a place "{name}" already')
    former = row.get("name")
    legs = [_renamed(leg, former, name) for leg in sketch.legs] if former else sketch.legs
    return _placed(sketch, index, row.put("name", name)).with_rows("legs", legs)


def _renamed(leg: Row, former: Any, name: str) -> Row:
    for key in ("from", "to"):
        leg = leg.put(key, name) if leg.get(key) == former else leg
    return leg


def add_place(sketch: Sketch, name: str, at: tuple[float, float] | None = None, index: int | None = None) -> Sketch:
    """With a new place after place ``index`` (None: after the last), with or still without its position."""
    name = name.strip()
    if not name:
        raise ValueError("a place needs a name")
    if any(row.get("name") == name for row in sketch.places):
        raise ValueError(f'there is a place "{name}" already')
    made, row = sketch.fresh({"name": name} if at is None else {"name": name, "at": list(at)})
    after = len(made.places) if index is None else index + 1
    return made.with_rows("places", [*made.places[:after], row, *made.places[after:]])


def remove_place(sketch: Sketch, index: int) -> Sketch:
    """Without a place; refused while legs use it."""
    name = place_at(sketch, index).get("name")
    twins = sum(row.get("name") == name for row in sketch.places)
    uses = place_uses(sketch, name) if name and twins == 1 else []
    if uses:
        legs = f"leg {uses[0]} uses" if len(uses) == 1 else f"legs {_listed(uses)} use"
        raise ValueError(f"{legs} {name}: change or remove {'it' if len(uses) == 1 else 'them'} first")
    return sketch.with_rows("places", [row for n, row in enumerate(sketch.places) if n != index])


def _listed(numbers: list[int]) -> str:
    shown = [str(n) for n in numbers[:4]]
    return ", ".join(shown) + " and more" if len(numbers) > 4 else " and ".join([", ".join(shown[:-1]), shown[-1]])


def move_place(sketch: Sketch, index: int, by: int) -> Sketch:
    """With a place ``by`` rows farther down the list (negative: up)."""
    row = place_at(sketch, index)
    if not 0 <= index + by < len(sketch.places):
        raise ValueError("the place is the first already" if by < 0 else "the place is the last already")
    others = [*sketch.places[:index], *sketch.places[index + 1 :]]
    return sketch.with_rows("places", [*others[: index + by], row, *others[index + by :]])
