"""The map of a voyage as plain values: its line, its places, and the coast around, in Mercator degrees.

``x`` is the longitude [deg], going on beyond ±180 where the route does; ``y`` the northing (``route.mercator``).
Illustrative, not for navigation.
"""

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

from voyager.route.around import around
from voyager.route.clip import Point, thinned
from voyager.route.geodesy import trace
from voyager.route.mercator import northing

Floats = NDArray[np.float64]
Json = dict[str, Any]

MARGIN = 0.12
LEAST_SPAN = 0.02
DOTS = 240
"""Dots across a window of which nothing is known but the route."""


def chart(path: str, documents: Mapping[str, Any] | None = None, window: Mapping[str, float] | None = None) -> Json:
    """What there is to draw of a voyage, sound or not: what has no position is left out.

    ``documents`` as a sketch gives them, None: as the files have them. ``window``: ``west``, ``south``, ``east``,
    ``north`` and the size of a ``dot``, all in Mercator degrees; None: the whole route. Keys: ``window`` so asked for;
    ``bounds`` [west, south, east, north] of the route or None; ``legs`` [{index, from, to, line}]; ``places`` [{name,
    x, y, shore, moor, leg}], ``leg`` the index of the first that touches it or None; ``start``, ``end`` names or None;
    ``coast`` and ``land`` lists of lines, each a list of (x, y), land as closed rings that fill even-odd.
    """
    voyage = documents["voyage"] if documents is not None else _from_files(path)
    positions = _positions(voyage)
    legs = _legs(voyage, positions)
    bounds = _bounds([*positions.values()], [point for leg in legs for point in leg["line"]])
    asked = dict(window) if window is not None else _whole(bounds)
    coast, land = around(asked)
    names = [str(leg.get(key)) for leg in _rows(voyage, "leg") for key in ("from", "to")]
    return {
        "window": asked,
        "bounds": None if bounds is None else list(bounds),
        "legs": [{**leg, "line": thinned(leg["line"], asked["dot"] if asked else 0.0)} for leg in legs],
        "places": _places(voyage, names, positions, legs),
        "start": names[0] if names else None,
        "end": names[-1] if names else None,
        "coast": coast,
        "land": land,
    }


def _from_files(path: str) -> Mapping[str, Any]:
    from voyager.session.sketch.opened import opened

    found: Mapping[str, Any] = opened(path)["documents"]["voyage"]
    return found


def _rows(voyage: Mapping[str, Any], key: str) -> list[Mapping[str, Any]]:
    rows = voyage.get(key)
    return [row for row in rows if isinstance(row, Mapping)] if isinstance(rows, list | tuple) else []


def position(value: object) -> Point | None:
    """(lat, lon) [deg] where that is what a value is."""
    if not isinstance(value, list | tuple) or len(value) != 2:
        return None
    if any(isinstance(part, bool) or not isinstance(part, int | float) for part in value):
        return None
    lat, lon = value
    return (float(lat), float(lon)) if abs(lat) <= 90 and abs(lon) <= 180 else None


def _positions(voyage: Mapping[str, Any]) -> dict[str, Point]:
    found = {str(row.get("name")): position(row.get("at")) for row in _rows(voyage, "place")}
    return {name: at for name, at in found.items() if at is not None}


def _legs(voyage: Mapping[str, Any], positions: Mapping[str, Point]) -> list[Json]:
    """Legs whose two ends are known; longitudes go on from leg to leg without a jump."""
    out: list[Json] = []
    last: float | None = None
    for index, row in enumerate(_rows(voyage, "leg")):
        start, end = (positions.get(str(row.get(key))) for key in ("from", "to"))
        if start is None or end is None:
            continue
        via = row.get("via")
        points = [at for at in map(position, via if isinstance(via, list | tuple) else ()) if at is not None]
        line = trace([start, *points, end])
        turn = 0.0 if last is None else 360.0 * round((last - line.lon[0]) / 360.0)
        x = line.lon + turn
        last = float(x[-1])
        pairs = np.column_stack([x, northing(line.lat)])
        out.append({"index": index, "from": str(row["from"]), "to": str(row["to"]), "line": pairs})
    return out


def _places(
    voyage: Mapping[str, Any], names: Sequence[str], positions: Mapping[str, Point], legs: Sequence[Json]
) -> list[Json]:
    """Places in the order of the file, each where the line of its leg has it."""
    ends: dict[str, tuple[int, Floats]] = {}
    for leg in legs:
        ends.setdefault(leg["from"], (leg["index"], leg["line"][0]))
        ends.setdefault(leg["to"], (leg["index"], leg["line"][-1]))
    out = []
    for row in _rows(voyage, "place"):
        name = str(row.get("name"))
        if name not in positions:
            continue
        lat, lon = positions[name]
        found = ends.get(name)
        index, (x, y) = found if found is not None else (None, (lon, northing(np.array(lat))))
        shore = row.get("shore_kw")
        plug = isinstance(shore, int | float) and shore > 0
        moor = bool(row.get("moor", True)) or name == (names[-1] if names else None)
        out.append({"name": name, "x": float(x), "y": float(y), "shore": plug, "moor": moor, "leg": index})
    return out


def _bounds(places: Iterable[Point], line: Sequence[Sequence[float]]) -> tuple[float, float, float, float] | None:
    points = [(float(x), float(y)) for x, y in line]
    points = points or [(lon, float(northing(np.array(lat)))) for lat, lon in places]
    if not points:
        return None
    xs, ys = zip(*points, strict=True)
    return min(xs), min(ys), max(xs), max(ys)


def _whole(bounds: tuple[float, float, float, float] | None) -> dict[str, float] | None:
    """The window that shows the whole route and some of what lies around it; a map is as wide as three routes."""
    if bounds is None:
        return None
    west, south, east, north = bounds
    span = max(east - west, north - south, LEAST_SPAN) * (1 + 2 * MARGIN)
    x, y = (west + east) / 2, (south + north) / 2
    edges = {"west": x - 1.5 * span, "east": x + 1.5 * span, "south": y - span, "north": y + span}
    return {**edges, "dot": span / (1 + 2 * MARGIN) / DOTS}
