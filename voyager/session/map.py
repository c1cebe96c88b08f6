"""The map of a voyage as plain values: its line, its places, and the coast around, in Mercator degrees.

``x`` is the longitude [deg], going on beyond ±180 where the route does; ``y`` the northing of the Mercator projection
on the sphere, in the same unit, so that shapes are true and north is up. Illustrative, not for navigation.
"""

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

from voyager.route.coast import Box, coasts, rings
from voyager.route.geodesy import trace

Floats = NDArray[np.float64]
Json = dict[str, Any]
Point = tuple[float, float]

FARTHEST_DEG = 85.0
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
        "legs": [{**leg, "line": _thinned(leg["line"], asked["dot"] if asked else 0.0)} for leg in legs],
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


def northing(lat_deg: Floats) -> Floats:
    """Mercator degrees of latitudes [deg], held at ±85; Snyder, Map Projections, USGS PP 1395 (1987), (7-2)."""
    held = np.radians(np.clip(lat_deg, -FARTHEST_DEG, FARTHEST_DEG))
    return np.degrees(np.arcsinh(np.tan(held)))


def latitude(y: float) -> float:
    """The latitude [deg] at a northing."""
    return math.degrees(math.atan(math.sinh(math.radians(y))))


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


def around(window: Mapping[str, float] | None) -> tuple[list[list[Point]], list[list[Point]]]:
    """Coast lines and rings of land in a window of Mercator degrees, no finer than its dot; none without one."""
    if window is None:
        return [], []
    edge = (window["west"], window["south"], window["east"], window["north"])
    box = Box(edge[0], latitude(edge[1]), edge[2], latitude(edge[3]))
    coast: list[list[Point]] = []
    land: list[list[Point]] = []
    for ring in rings(box):
        corners = np.column_stack([ring.lon, northing(ring.lat)])
        low, high = corners.min(axis=0), corners.max(axis=0)
        if (low > edge[2:]).any() or (high < edge[:2]).any() or (high - low).max() < window["dot"]:
            continue
        inside = bool((low >= edge[:2]).all() and (high <= edge[2:]).all())
        filled = _thinned(corners if inside else _clipped(corners, edge), window["dot"])
        if len(filled) >= 3:
            land.append(filled)
        for lon, lat in coasts(ring):
            line = np.column_stack([lon, northing(lat)])
            coast += [_thinned(piece, window["dot"]) for piece in ([line] if inside else _within(line, edge))]
    return coast, land


def _thinned(points: Floats, dot: float) -> list[Point]:
    """A line with one point for each dot that it runs through, its last one kept."""
    if len(points) == 0:
        return []
    if dot > 0:
        at = np.round(points / dot)
        keep = np.concatenate([[True], (at[1:] != at[:-1]).any(axis=1)])
        keep[-1] = True
        points = points[keep]
    return [(round(x, 6), round(y, 6)) for x, y in points.tolist()]


def _clipped(points: Floats, edge: tuple[float, float, float, float]) -> Floats:
    """The part of a polygon within a window: one side after the other, Sutherland and Hodgman, CACM 17 (1974) 32-42."""
    for axis, limit, sign in ((0, edge[0], -1), (0, edge[2], 1), (1, edge[1], -1), (1, edge[3], 1)):
        if len(points) == 0:
            break
        beyond = sign * (points[:, axis] - limit)
        following = np.roll(beyond, -1)
        inside, cuts = beyond <= 0, (beyond <= 0) != (following <= 0)
        share = np.divide(beyond, beyond - following, out=np.zeros_like(beyond), where=cuts)
        met = points + share[:, None] * (np.roll(points, -1, axis=0) - points)
        points = np.stack([points, met], axis=1)[np.column_stack([inside, cuts])]
    return points


def _within(line: Floats, edge: tuple[float, float, float, float]) -> Iterator[Floats]:
    """The stretches of a line whose pieces may touch a window."""
    a, b = line[:-1], line[1:]
    low, high = np.minimum(a, b), np.maximum(a, b)
    touches = ((high >= edge[:2]) & (low <= edge[2:])).all(axis=1)
    marks = np.diff(np.concatenate([[False], touches, [False]]).astype(np.int8))
    for start, end in zip(np.flatnonzero(marks == 1), np.flatnonzero(marks == -1), strict=True):
        yield line[start : end + 1]
