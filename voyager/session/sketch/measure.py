"""Lengths, courses and points of a leg's line, on the WGS84 ellipsoid. Light: nothing but geographiclib, when asked.

C. F. F. Karney, Algorithms for geodesics, J. Geodesy 87 (2013) 43-55.
"""

from collections.abc import Sequence
from itertools import pairwise
from typing import Any

from voyager.session.sketch.numbers import number, plain
from voyager.session.sketch.state import Row, Sketch

LatLon = tuple[float, float]
DECIMALS = 5
"""Of a new position in degrees: about a metre."""
ON_LINE_M = 3.0
"""A point this near to a straight piece adds no bend."""


def position(value: Any) -> LatLon | None:
    """``[lat, lon]`` as a pair of degrees, None where it is none."""
    if not isinstance(value, list | tuple) or len(value) != 2:
        return None
    lat, lon = plain(value[0]), plain(value[1])
    sound = lat is not None and lon is not None and abs(lat) <= 90 and abs(lon) <= 180
    return (lat, lon) if sound and lat is not None and lon is not None else None


def place_named(sketch: Sketch, name: Any) -> Row | None:
    """The first place of that name."""
    return next((row for row in sketch.places if row.get("name") == name), None) if name else None


def line(sketch: Sketch, leg: Row) -> list[LatLon] | None:
    """Start, via points and end of a leg; None where a position is missing or broken."""
    ends = [place_named(sketch, leg.get(key)) for key in ("from", "to")]
    given = [None if row is None else position(row.get("at")) for row in ends]
    via = leg.get("via") or []
    between = [position(point) for point in via] if isinstance(via, list | tuple) else [None]
    points = [given[0], *between, given[1]]
    return None if None in points else [point for point in points if point is not None]


def inverse(a: LatLon, b: LatLon) -> tuple[float, float]:
    """Kilometres from a to b, and the course there at a: degrees clockwise from north, 0 where they coincide."""
    from geographiclib.geodesic import Geodesic

    found = Geodesic.WGS84.Inverse(*a, *b)
    return found["s12"] / 1000.0, (found["azi1"] % 360.0 if found["s12"] > 1e-3 else 0.0)


def pieces_km(points: Sequence[LatLon]) -> list[float]:
    """Length of each piece of a line."""
    return [inverse(a, b)[0] for a, b in pairwise(points)]


def leg_km(sketch: Sketch, leg: Row) -> float | None:
    """Length of a leg: as given, else measured along its line; None where neither can be had."""
    given = number(leg, "distance_km")
    if given is not None:
        return given
    points = line(sketch, leg)
    return None if points is None else sum(pieces_km(points))


def cut(points: Sequence[LatLon], share: float) -> tuple[int, LatLon]:
    """The point at a share (0-1) of a line's length, and how many of the line's points lie before it."""
    from geographiclib.geodesic import Geodesic

    lengths = pieces_km(points)
    rest = share * sum(lengths)
    for count, (a, b, length) in enumerate(zip(points, points[1:], lengths, strict=False), start=1):
        if rest < length or count == len(lengths):
            found = Geodesic.WGS84.InverseLine(*a, *b).Position(1000.0 * min(rest, length))
            return count, (round(found["lat2"], DECIMALS), round(found["lon2"], DECIMALS))
        rest -= length
    raise ValueError("a line needs two points")


def bends(before: LatLon, point: LatLon, after: LatLon) -> bool:
    """Whether a point lies off the straight piece between its neighbours."""
    whole, there, on = inverse(before, after), inverse(before, point), inverse(point, after)
    from math import radians, sin

    aside_km = there[0] * abs(sin(radians(there[1] - whole[1])))
    longer_km = there[0] + on[0] - whole[0]
    return aside_km * 1000.0 > ON_LINE_M or longer_km * 1000.0 > ON_LINE_M
