"""Two legs made one."""

import re
from typing import Any

from voyager.session.sketch.measure import bends, line, place_named, position
from voyager.session.sketch.numbers import number, numbers, put_number
from voyager.session.sketch.places import place_uses
from voyager.session.sketch.split import AT_END, EVENTS, counted, length_km, spread_before, via_of
from voyager.session.sketch.state import Row, Sketch
from voyager.session.typed import tidy

OWN_NAME = re.compile(r"(.* )?km \d+(\.\d+)?( \(\d+\))?")
MEETING_KM = 0.01
ALIKE: dict[str, Any] = {
    "water": "canal", "moor_anywhere": None, "depth_m": None, "width_m": None, "current_kmh": 0.0, "tide": None,
    "shade_percent": 0.0, "limit_kmh": None, "wind_kmh": None, "wind_max_kmh": None, "fit_to_go": None,
    "overnight": False, "speed_kmh": None,
}  # fmt: skip
AT_EVENTS: dict[str, Any] = {"open_hours": None, "closed_days": [], "closed": []}
EACH: dict[str, dict[str, Any]] = {"locks": {"lock_min": 20.0, "lock_kwh": 0.1}, "bridges": {"bridge_min": 10.0}}


def join_legs(sketch: Sketch, index: int) -> Sketch:
    """With leg ``index`` and the one below it made one; refused with its reason where the two can't be one leg.

    The place between becomes a point of the line where it bends there. It stays a place, unless a split named it.
    """
    if not 0 <= index < len(sketch.legs) - 1:
        raise ValueError("there is no leg below to join to")
    first, second = sketch.legs[index], sketch.legs[index + 1]
    _same(first, second, index)
    lengths = [length_km(sketch, leg, index + n) for n, leg in enumerate((first, second))]
    row = first.put("to", second.get("to")).put("via", _joint_via(sketch, first, second))
    for key in AT_END:
        row = row.put(key, second.get(key))
    if any(number(leg, "distance_km") is not None for leg in (first, second)):
        row = put_number(row, "distance_km", tidy(sum(lengths)))
    row = _sizes(_events(row, (first, second), lengths), second)
    tunnels = [number(leg, "tunnel_km") for leg in (first, second)]
    if any(tunnels):
        row = put_number(row, "tunnel_km", tidy(sum(km or 0.0 for km in tunnels)))
    made = sketch.with_rows("legs", [*sketch.legs[:index], row, *sketch.legs[index + 2 :]])
    return _without_own(made, str(first.get("to")))


def _value(leg: Row, key: str, default: Any) -> Any:
    figure = number(leg, key)
    return figure if figure is not None else leg.get(key, default)


def _same(first: Row, second: Row, index: int) -> None:
    if not first.get("to") or first.get("to") != second.get("from"):
        raise ValueError(f"leg {index + 1} does not end where leg {index + 2} begins: mend the gap first")
    for key in AT_END:
        if first.get(key):
            raise ValueError(f"leg {index + 1} has {key} of its own at {first.get('to')}: take that away first")
    keys = dict(ALIKE)
    if _any(first) and _any(second):
        keys |= AT_EVENTS
    for events in EVENTS:
        keys |= EACH[events[0]] if _count(first, *events) and _count(second, *events) else {}
    for key, default in keys.items():
        ours, theirs = _value(first, key, default), _value(second, key, default)
        if ours != theirs:
            raise ValueError(f"their {key} differ ({_shown(ours)} and {_shown(theirs)}): make them alike first")


def _shown(value: Any) -> str:
    return "none" if value is None else f"{value:g}" if isinstance(value, float) else str(value)


def _count(leg: Row, count_key: str, at_key: str) -> int:
    placed = numbers(leg, at_key)
    return len(placed) if placed else int(counted(leg, count_key) or 0)


def _any(leg: Row) -> bool:
    return any(_count(leg, *events) for events in EVENTS)


def _joint_via(sketch: Sketch, first: Row, second: Row) -> list[Any] | None:
    before, after = via_of(first), via_of(second)
    place = place_named(sketch, first.get("to"))
    at = None if place is None else position(place.get("at"))
    if at is None:
        return [*before, *after] or None
    lines = line(sketch, first), line(sketch, second)
    bend = lines[0] is None or lines[1] is None or bends(lines[0][-2], at, lines[1][1])
    return [*before, *([list(at)] if bend else []), *after] or None


def _events(row: Row, legs: tuple[Row, Row], lengths: list[float]) -> Row:
    """Locks and bridges of both: spread evenly where that puts as many on each part, else at their kilometres."""
    for count_key, at_key in EVENTS:
        counts = [_count(leg, count_key, at_key) for leg in legs]
        placed = [numbers(leg, at_key) for leg in legs]
        even = _even(sum(counts), counts[0], lengths)
        if sum(counts) and (any(placed) or not even):
            at = [_at(*one) for one in zip(placed, counts, lengths, strict=True)]
            joint = [*at[0], *(tidy(km + lengths[0]) for km in at[1])]
            row = put_number(row, at_key, joint)
        if sum(counts) and any(leg.get(count_key) is not None for leg in legs):
            row = row.put(count_key, sum(counts))
        if counts[1] and not counts[0]:
            for key in EACH[count_key]:
                row = row.put(key, legs[1].get(key))
    if _any(legs[1]) and not _any(legs[0]):
        for key in AT_EVENTS:
            row = row.put(key, legs[1].get(key))
    return row


def _even(count: int, before: int, lengths: list[float]) -> bool:
    """Whether an even spread over both puts as many on the first, give or take one that lies at their meeting."""
    ends = [spread_before(count, lengths[0] + slack, sum(lengths)) for slack in (-MEETING_KM, MEETING_KM)]
    return bool(count) and ends[0] <= before <= ends[1]


def _at(placed: list[float] | None, count: int, length: float) -> list[float]:
    return placed or [tidy(length * (k + 0.5) / count) for k in range(count)]


def _sizes(row: Row, second: Row) -> Row:
    """The least of what the boat has to fit under and into."""
    for key in ("headroom_m", "lock_length_m", "lock_beam_m"):
        ours, theirs = number(row, key), number(second, key)
        if theirs is not None and (ours is None or theirs < ours):
            row = put_number(row, key, theirs)
    return row


def _without_own(sketch: Sketch, name: str) -> Sketch:
    """Without a place that a split had named, once no leg uses it."""
    place = place_named(sketch, name)
    if place is None or place_uses(sketch, name) or not OWN_NAME.fullmatch(name) or place.get("shore_kw"):
        return sketch
    return sketch.with_rows("places", [row for row in sketch.places if row is not place])
