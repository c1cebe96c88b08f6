"""The pure edits: each makes another sketch, or raises ValueError with one plain sentence. Rows count from 0.

Those that have a module of their own are imported when first asked for: the first paint needs none of them.
"""

from collections.abc import Iterable
from datetime import date
from importlib import import_module
from typing import TYPE_CHECKING, Any

from voyager.session.sketch.numbers import put_typed
from voyager.session.sketch.state import Row, Sketch

if TYPE_CHECKING:
    from voyager.session.sketch.gaps import gaps
    from voyager.session.sketch.join import join_legs
    from voyager.session.sketch.paste import copy_rows, paste_rows
    from voyager.session.sketch.places import (
        add_place,
        move_place,
        place_uses,
        remove_place,
        rename_place,
        set_place,
    )
    from voyager.session.sketch.split import moorings, split_leg, split_words
    from voyager.session.sketch.turn import reverse, reverse_words, there_and_back
    from voyager.session.sketch.via import add_via, leg_from_positions, move_via, remove_via

__all__ = [
    "add_leg", "add_place", "add_via", "copy_rows", "duplicate_leg", "gaps", "join_legs", "leg_from_positions",
    "moorings", "move_leg", "move_place", "move_via", "paste_rows", "place_uses", "put_forecast",
    "remove_legs", "remove_place", "remove_via", "rename_place", "reverse", "reverse_words", "set_leg", "set_place",
    "split_leg", "split_words", "there_and_back",
]  # fmt: skip
HOMES = {
    "gaps": ("gaps",),
    "join": ("join_legs",),
    "paste": ("copy_rows", "paste_rows"),
    "places": ("add_place", "move_place", "place_uses", "remove_place", "rename_place", "set_place"),
    "split": ("moorings", "split_leg", "split_words"),
    "turn": ("reverse", "reverse_words", "there_and_back"),
    "via": ("add_via", "leg_from_positions", "move_via", "remove_via"),
}


def __getattr__(name: str) -> Any:
    home = next((home for home, names in HOMES.items() if name in names), None)
    if home is None:
        raise AttributeError(f"there is no edit {name}")
    return getattr(import_module(f"voyager.session.sketch.{home}"), name)


def leg_at(sketch: Sketch, index: int) -> Row:
    """The leg of that number, counted from 0."""
    if not 0 <= index < len(sketch.legs):
        raise ValueError(f"there is no leg {index + 1}; the voyage has {len(sketch.legs)}")
    return sketch.legs[index]


def set_leg(sketch: Sketch, index: int, key: str, value: Any) -> Sketch:
    """With one value of a leg as typed, None takes it away. ``tide.high_water`` and ``tide.flood_kmh`` are keys too."""
    row = leg_at(sketch, index)
    if key.startswith("tide."):
        tide = row.get("tide")
        inner = put_typed(Row(0, tide if isinstance(tide, dict) else {}), key.removeprefix("tide."), value)
        changed = row.put("tide", dict(inner.values) or None)
    else:
        changed = put_typed(row, key, value)
    return sketch.with_rows("legs", [*sketch.legs[:index], changed, *sketch.legs[index + 1 :]])


def add_leg(sketch: Sketch, index: int) -> Sketch:
    """With a new leg below leg ``index`` (-1: before all), from where that one ends; its end is still to be named."""
    above = sketch.legs[index] if 0 <= index < len(sketch.legs) else None
    names = [row.get("name") for row in sketch.places]
    start = above.get("to") if above else (sketch.legs[0].get("from") if sketch.legs else (names or [None])[0])
    values: dict[str, Any] = {"from": start or ""}
    if above is not None and above.get("water") is not None:
        values["water"] = above.get("water")
    return _insert(sketch, index + 1, [values])


def duplicate_leg(sketch: Sketch, index: int) -> Sketch:
    """With a copy of a leg below it."""
    return _insert(sketch, index + 1, [dict(leg_at(sketch, index).values)])


def _insert(sketch: Sketch, at: int, rows: Iterable[dict[str, Any]]) -> Sketch:
    made, new = sketch, []
    for values in rows:
        made, row = made.fresh(values)
        new.append(row)
    return made.with_rows("legs", [*made.legs[:at], *new, *made.legs[at:]])


def remove_legs(sketch: Sketch, indexes: Iterable[int]) -> Sketch:
    """Without these legs; places stay."""
    gone = set(indexes)
    for index in gone:
        leg_at(sketch, index)
    return sketch.with_rows("legs", [row for index, row in enumerate(sketch.legs) if index not in gone])


def move_leg(sketch: Sketch, index: int, by: int) -> Sketch:
    """With a leg ``by`` rows farther down (negative: up)."""
    row = leg_at(sketch, index)
    if not 0 <= index + by < len(sketch.legs):
        raise ValueError("the leg is the first already" if by < 0 else "the leg is the last already")
    others = [*sketch.legs[:index], *sketch.legs[index + 1 :]]
    return sketch.with_rows("legs", [*others[: index + by], row, *others[index + by :]])


def put_forecast(sketch: Sketch, date_iso: str, key: str, value: Any) -> Sketch:
    """With one value of a day's forecast, None takes it away; ``oktas`` and ``ghi_kwh_m2`` exclude each other.

    The row is made where there is none, in the order of dates, and goes when neither of the two is left.
    """
    day = date.fromisoformat(date_iso)
    index = next((n for n, row in enumerate(sketch.forecast) if _day(row) == day), None)
    made, row = sketch.fresh({"date": day}) if index is None else (sketch, sketch.forecast[index])
    for other in {"oktas", "ghi_kwh_m2"} - {key} if key in {"oktas", "ghi_kwh_m2"} and value is not None else ():
        row = row.put(other, None)
    row = row.put(key, value)
    others = [kept for n, kept in enumerate(made.forecast) if n != index]
    if row.get("oktas") is None and row.get("ghi_kwh_m2") is None:
        return sketch if index is None else made.with_rows("forecast", others)
    before = [n for n, kept in enumerate(others) if (other_day := _day(kept)) is not None and other_day > day]
    at = index if index is not None else before[0] if before else len(others)
    return made.with_rows("forecast", [*others[:at], row, *others[at:]])


def _day(row: Row) -> date | None:
    value = row.get("date")
    if isinstance(value, date):
        return date(value.year, value.month, value.day)
    try:
        return date.fromisoformat(str(value))
    except ValueError:
        return None
