"""One leg made two at a kilometre of it."""

from math import ceil
from typing import Any

from voyager.session.sketch.measure import LatLon, cut, leg_km, line, place_named
from voyager.session.sketch.numbers import number, numbers, plain, put_number
from voyager.session.sketch.state import Row, Sketch
from voyager.session.typed import tidy

CLEAR_OF_ENDS_KM = 0.5
LEAST_KM = 0.05
MOST = 2000
"""Locks, bridges or moorings on one leg; more is no sound file, and would take for ever."""
BANKED = ("canal", "river")
EVENTS = (("locks", "lock_at_km"), ("bridges", "bridge_at_km"))
AT_END = ("nights", "earliest", "latest")


def moor_anywhere(leg: Row) -> bool:
    """As given, else by the water."""
    given = leg.get("moor_anywhere")
    return given if isinstance(given, bool) else leg.get("water", "canal") in BANKED


def moorings(sketch: Sketch, index: int) -> list[tuple[float, str]]:
    """Kilometre on the leg and name of every mooring between its ends, as a plan will have them."""
    leg, start_km = sketch.legs[index], _start_km(sketch, index)
    length, every = leg_km(sketch, leg), plain(sketch.top.get("mooring_every_km", 5.0))
    if length is None or not every or every <= 0 or not moor_anywhere(leg):
        return []
    if length / every > MOST:
        return []
    parts = max(1, ceil(length / every - 1e-9))
    offsets = [length * k / parts for k in range(1, parts)]
    clear = [km for km in offsets if CLEAR_OF_ENDS_KM <= km <= length - CLEAR_OF_ENDS_KM]
    return [(km, _name(sketch.legs[index], start_km, km)) for km in clear]


def _start_km(sketch: Sketch, index: int) -> float | None:
    before = [leg_km(sketch, leg) for leg in sketch.legs[:index]]
    return None if None in before else sum(km for km in before if km is not None)


def _name(leg: Row, start_km: float | None, at_km: float) -> str:
    if start_km is None:
        return f"{leg.get('from')} km {round(at_km, 1):g}"
    return f"km {round(start_km + at_km, 1):g}"


def _free(sketch: Sketch, name: str) -> str:
    """The name, with a number behind it where a place has it already."""
    taken, tried = {str(row.get("name")) for row in sketch.places}, name
    number_behind = 2
    while tried in taken:
        tried, number_behind = f"{name} ({number_behind})", number_behind + 1
    return tried


def split_leg(sketch: Sketch, index: int, at_km: float, name: str | None = None) -> Sketch:
    """With leg ``index`` (from 0) made two at ``at_km`` from its start, at a new place on its line.

    Each part keeps speed, water and limits, and has its share of locks, bridges and tunnel; nights and dates stay
    at the end. The new place is one to moor at only where the leg lets her lie anywhere.
    """
    if not 0 <= index < len(sketch.legs):
        raise ValueError(f"there is no leg {index + 1}; the voyage has {len(sketch.legs)}")
    leg = sketch.legs[index]
    length = length_km(sketch, leg, index)
    if not LEAST_KM <= at_km <= length - LEAST_KM:
        raise ValueError(f"leg {index + 1} is {length:.6g} km long: split it at a km between 0 and that")
    name = (name or "").strip() or _free(sketch, _name(leg, _start_km(sketch, index), at_km))
    if place_named(sketch, name) is not None:
        raise ValueError(f'there is a place "{name}" already')
    at, vias = _point(sketch, leg, at_km / length)
    first, second = _parts(leg, at_km, length, vias, name)
    made, place = sketch.fresh(_place(sketch, leg, name, at, at_km / length))
    made, second = made.fresh(second.values)
    made = made.with_rows("legs", [*made.legs[:index], first, second, *made.legs[index + 1 :]])
    after = next((n for n, row in enumerate(made.places) if row.get("name") == leg.get("from")), len(made.places) - 1)
    return made.with_rows("places", [*made.places[: after + 1], place, *made.places[after + 1 :]])


def length_km(sketch: Sketch, leg: Row, index: int) -> float:
    """Length of a leg; ValueError where it is not known."""
    length = leg_km(sketch, leg)
    if length is None:
        raise ValueError(f"the length of leg {index + 1} is not known: give its km, or a position to both its places")
    return length


def via_of(leg: Row) -> list[Any]:
    """The points between as the file has them; ValueError where something else stands there."""
    via = leg.get("via") or []
    if not isinstance(via, list | tuple):
        raise ValueError(f"the points between (via) from {leg.get('from')} on are no list: mend them first")
    return list(via)


def counted(leg: Row, key: str) -> float | None:
    """How many locks or bridges a leg says; ValueError where so many can't be."""
    count = plain(leg.get(key))
    if count is not None and not 0 <= count <= MOST:
        raise ValueError(f"{key} from {leg.get('from')} on can't be {count:g}: mend that first")
    return count


def _point(sketch: Sketch, leg: Row, share: float) -> tuple[LatLon | None, tuple[list[Any], list[Any]]]:
    points, via = line(sketch, leg), via_of(leg)
    if points is None:
        if via:
            raise ValueError("the leg has points between but not both its ends have a position: give them first")
        return None, ([], [])
    before, at = cut(points, share)
    return at, (via[: before - 1], via[before - 1 :])


def _parts(leg: Row, at_km: float, length: float, vias: tuple[list[Any], list[Any]], name: str) -> tuple[Row, Row]:
    first, second = leg.put("to", name), leg.put("from", name)
    first, second = first.put("via", vias[0] or None), second.put("via", vias[1] or None)
    if number(leg, "distance_km") is not None:
        first = put_number(first, "distance_km", tidy(at_km))
        second = put_number(second, "distance_km", tidy(length - at_km))
    for count_key, at_key in EVENTS:
        first, second = _shared(first, second, (count_key, at_key), at_km, length)
    tunnel = number(leg, "tunnel_km")
    if tunnel:
        first = put_number(first, "tunnel_km", tidy(tunnel * at_km / length))
        second = put_number(second, "tunnel_km", tidy(tunnel - tunnel * at_km / length))
    for key in AT_END:
        first = first.put(key, None)
    return first, second


def _shared(first: Row, second: Row, keys: tuple[str, str], at_km: float, length: float) -> tuple[Row, Row]:
    """Locks or bridges shared out: by their kilometres, or as they are spread evenly."""
    count_key, at_key = keys
    placed, count = numbers(first, at_key), counted(first, count_key)
    if placed:
        parts = ([km for km in placed if km <= at_km], [tidy(km - at_km) for km in placed if km > at_km])
        counts = (len(parts[0]), len(parts[1]))
        first = put_number(first, at_key, parts[0] or None)
        second = put_number(second, at_key, parts[1] or None)
    elif count:
        before = spread_before(int(count), at_km, length)
        counts = (before, int(count) - before)
    else:
        return first, second
    if count is not None:
        first, second = first.put(count_key, counts[0] or None), second.put(count_key, counts[1] or None)
    return first, second


def spread_before(count: int, at_km: float, length: float) -> int:
    """How many of ``count`` locks spread evenly lie up to ``at_km``: each in the middle of equal parts."""
    return sum(length * (k + 0.5) / count <= at_km for k in range(count))


def _place(sketch: Sketch, leg: Row, name: str, at: LatLon | None, share: float) -> dict[str, Any]:
    values: dict[str, Any] = {"name": name}
    if at is not None:
        values["at"] = list(at)
    if not moor_anywhere(leg):
        values["moor"] = False
    ends = [place_named(sketch, leg.get(key)) for key in ("from", "to")]
    low, high = (0.0 if row is None else number(row, "height_m") or 0.0 for row in ends)
    if low or high:
        values["height_m"] = round(low + (high - low) * share, 1)
    if number(leg, "shade_percent"):
        values["shade_percent"] = leg.get("shade_percent")
    return values


def split_words(sketch: Sketch, index: int, at_km: float) -> str:
    """What a split of leg ``index`` at ``at_km`` does, in a few words for the list of changes."""
    leg = sketch.legs[index]
    length, said = leg_km(sketch, leg), []
    for count_key, at_key in EVENTS:
        count = plain(leg.get(count_key))
        if count and 0 < count <= MOST and length and not numbers(leg, at_key):
            before = spread_before(int(count), at_km, length)
            said.append(f"{count_key}, evenly spread: {before} before, {int(count) - before} after")
    if not moor_anywhere(leg):
        said.append("no mooring there until Places says so")
    return f"leg {index + 1} split at km {at_km:.4g}" + (f" ({'; '.join(said)})" if said else "")
