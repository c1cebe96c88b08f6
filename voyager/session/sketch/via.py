"""Points between the ends of a leg, and a leg drawn from two typed positions."""

from voyager.session.sketch.measure import LatLon, cut, inverse, line
from voyager.session.sketch.places import add_place, set_place
from voyager.session.sketch.state import Row, Sketch


def _leg(sketch: Sketch, index: int) -> tuple[Row, list[list[float]]]:
    if not 0 <= index < len(sketch.legs):
        raise ValueError(f"there is no leg {index + 1}; the voyage has {len(sketch.legs)}")
    row = sketch.legs[index]
    via = row.get("via") or []
    return row, list(via) if isinstance(via, list | tuple) else []


def _with_via(sketch: Sketch, index: int, row: Row, via: list[list[float]]) -> Sketch:
    return sketch.with_rows("legs", [*sketch.legs[:index], row.put("via", via or None), *sketch.legs[index + 1 :]])


def add_via(sketch: Sketch, index: int, at: LatLon, number: int | None = None) -> Sketch:
    """With one more point of a leg, after point ``number`` (from 0; -1 before all, None after the last)."""
    row, via = _leg(sketch, index)
    after = len(via) if number is None else number + 1
    return _with_via(sketch, index, row, [*via[:after], list(at), *via[after:]])


def set_via(sketch: Sketch, index: int, number: int, at: LatLon) -> Sketch:
    """With a point of a leg elsewhere."""
    row, via = _leg(sketch, index)
    _known(via, number)
    return _with_via(sketch, index, row, [*via[:number], list(at), *via[number + 1 :]])


def remove_via(sketch: Sketch, index: int, number: int) -> Sketch:
    """Without a point of a leg."""
    row, via = _leg(sketch, index)
    _known(via, number)
    return _with_via(sketch, index, row, [*via[:number], *via[number + 1 :]])


def move_via(sketch: Sketch, index: int, number: int, by: int) -> Sketch:
    """With a point of a leg ``by`` places later in the order."""
    row, via = _leg(sketch, index)
    _known(via, number)
    if not 0 <= number + by < len(via):
        raise ValueError("the point is the first already" if by < 0 else "the point is the last already")
    point = via.pop(number)
    return _with_via(sketch, index, row, [*via[: number + by], point, *via[number + by :]])


def _known(via: list[list[float]], number: int) -> None:
    if not 0 <= number < len(via):
        raise ValueError("there is no such point on the leg")


def middle_via(sketch: Sketch, index: int) -> LatLon | None:
    """The middle of a leg's line: where a new point may begin; None where its positions are not known."""
    points = line(sketch, sketch.legs[index]) if 0 <= index < len(sketch.legs) else None
    return cut(points, 0.5)[1] if points else None


def leg_words(start: LatLon, end: LatLon) -> str:
    """``41.3 km, course 213°``: a leg from one position straight to another."""
    km, course = inverse(start, end)
    return f"{km:.2f} km, course {course:.0f}°" if km < 10 else f"{km:.1f} km, course {course:.0f}°"


def leg_from_positions(
    sketch: Sketch, index: int, start: LatLon, end: LatLon, names: tuple[str, str] = ("", "")
) -> Sketch:
    """With a leg below leg ``index`` between two positions, in degrees; its length is measured along its line.

    A position where a place lies is that place, a named place without a position is given it; else one is made there,
    named after its position if unnamed.
    """
    made, ends = sketch, []
    for at, name in zip((start, end), names, strict=True):
        name = name.strip() or next((str(row.get("name")) for row in made.places if row.get("at") == list(at)), "")
        name = name or f"{abs(at[0]):.4f}{'S' if at[0] < 0 else 'N'} {abs(at[1]):.4f}{'W' if at[1] < 0 else 'E'}"
        known = next((n for n, row in enumerate(made.places) if row.get("name") == name), None)
        if known is not None and made.places[known].get("at") is None:
            made = set_place(made, known, "at", list(at))
        elif known is None or made.places[known].get("at") != list(at):
            made = add_place(made, name, at)
        ends.append(name)
    if ends[0] == ends[1]:
        raise ValueError("the leg would end where it begins")
    above = made.legs[index].get("water") if 0 <= index < len(made.legs) else None
    made, row = made.fresh({"from": ends[0], "to": ends[1], **({"water": above} if above else {})})
    return made.with_rows("legs", [*made.legs[: index + 1], row, *made.legs[index + 1 :]])
