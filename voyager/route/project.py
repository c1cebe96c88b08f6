"""Where positions lie along a route: the nearest kilometre, and how far off it."""

from collections.abc import Sequence
from math import hypot

import numpy as np

from voyager.route.geodesy import Floats, Trace, wrap_longitude_deg

M_PER_DEG = 111_195.0
"""A degree of latitude on a sphere of 6371 km."""
AS_NEAR_KM = 0.3
"""Stretches of the route no more than this much farther off than the nearest are taken to pass as near."""
APART_KM = 1.0
BACK_KM = 1.0
"""A position may lie this far behind the one before without the boat having turned."""


def along(line: Trace, lat: Sequence[float], lon: Sequence[float], from_km: float = 0.0) -> tuple[Floats, Floats]:
    """Kilometre of the line nearest to each position [deg] (n,), and the distance off it [km] (n,).

    Pieces of the line are straight in a plane that touches the earth, taken as a sphere, at the position: within 0.5 %
    to 30 km off. Where the line comes by more than once, there and back, the boat is taken to go on from where it was,
    at first from ``from_km``: the first passage not behind it, else the last one that is.
    """
    km, off = np.empty(len(lat)), np.empty(len(lat))
    before = from_km
    for number, (north, east) in enumerate(zip(lat, lon, strict=True)):
        before, off[number] = _nearest(line, north, east, before)
        km[number] = before
    return km, off


def _nearest(line: Trace, lat: float, lon: float, before_km: float) -> tuple[float, float]:
    scale = M_PER_DEG / 1000.0
    x = wrap_longitude_deg(line.lon - lon) * np.cos(np.radians(lat)) * scale
    y = (line.lat - lat) * scale
    if line.still:
        return float(line.km[0]), hypot(x[0], y[0])
    dx, dy = np.diff(x), np.diff(y)
    square = dx * dx + dy * dy
    share = np.clip(-(x[:-1] * dx + y[:-1] * dy) / np.where(square > 0, square, 1.0), 0.0, 1.0)
    off = np.hypot(x[:-1] + share * dx, y[:-1] + share * dy)
    km = line.km[:-1] + share * np.diff(line.km)
    chosen = _passage(km, off, share, before_km)
    return float(km[chosen]), float(off[chosen])


def _passage(km: Floats, off: Floats, share: Floats, before_km: float) -> int:
    """Number of the piece: the nearest of the passage that the boat is on. Pieces are of one passage where they follow
    each other and one of the two is nearest at the node between them."""
    near = np.flatnonzero(off <= off.min() + AS_NEAR_KM)
    joined = (np.diff(near) == 1) & ((share[near[:-1]] >= 1) | (share[near[1:]] <= 0))
    parts = np.split(near, np.flatnonzero((np.diff(km[near]) > APART_KM) & ~joined) + 1)
    best = [int(part[off[part].argmin()]) for part in parts]
    at: list[float] = km[best].tolist()
    return best[at.index(next_passage(at, before_km))]


def next_passage(km: Sequence[float], before_km: float) -> float:
    """Of the kilometres at which the route comes by, ascending, the first not behind the boat, else the last one."""
    return next((one for one in km if one >= before_km - BACK_KM), km[-1])
