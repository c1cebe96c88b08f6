"""Whether points are on land, and whether a line between given points runs across it, at 1:10,000,000."""

from collections.abc import Sequence
from functools import lru_cache
from itertools import pairwise

import numpy as np
from numpy.typing import ArrayLike, NDArray

from voyager.route.coast import COLUMNS, ROWS, TILE_DEG, Ring, tile
from voyager.route.geodesy import Floats, LatLon, trace

Bools = NDArray[np.bool_]

DEEP_KM = 4.0
"""How far from any coast a line must run before it is held to be a mistake of the line: the data err by a kilometre,
given points are often rounded to one, and canals cut capes of a few kilometres."""
SAMPLE_KM = 0.5
KM_PER_DEG = 111.195
"""On the mean sphere of 6371 km."""
_ROUND = np.radians(np.arange(0, 360, 30))


def on_land(lat_deg: ArrayLike, lon_deg: ArrayLike) -> Bools:
    """Whether points [deg], broadcast, are on land; lakes and most rivers are. By the crossings of a ray east."""
    lat, lon = np.broadcast_arrays(np.asarray(lat_deg, dtype=np.float64), np.asarray(lon_deg, dtype=np.float64))
    y, x = lat.ravel(), (lon.ravel() + 180.0) % 360.0 - 180.0
    row = np.clip((y + 90.0) // TILE_DEG, 0, ROWS - 1).astype(np.int64)
    column = np.minimum((x + 180.0) // TILE_DEG, COLUMNS - 1).astype(np.int64)
    result = np.zeros(y.shape, dtype=np.bool_)
    for number in np.unique(row * COLUMNS + column).tolist():
        here = row * COLUMNS + column == number
        for ring in tile(*divmod(number, COLUMNS)):
            result[here] ^= _odd(ring, y[here], x[here])
    return result.reshape(lat.shape)


def _odd(ring: Ring, lat: Floats, lon: Floats) -> Bools:
    """Whether a ray to the east from each point (P,) meets the ring an odd number of times."""
    lat_b, lon_b = np.roll(ring.lat, -1), np.roll(ring.lon, -1)
    near = (np.maximum(ring.lat, lat_b) >= lat.min()) & (np.minimum(ring.lat, lat_b) <= lat.max())
    a, b, c, d = ring.lat[near], lat_b[near], ring.lon[near], lon_b[near]
    spans = (a > lat[:, None]) != (b > lat[:, None])
    slope = (d - c) / np.where(a == b, 1.0, b - a)
    meets = spans & (c + (lat[:, None] - a) * slope > lon[:, None])
    return np.asarray(meets.sum(axis=1) % 2 == 1)


def deep_in_land(lat: Floats, lon: Floats) -> Bools:
    """Whether points (P,) [deg] are on land with land all round at ``DEEP_KM``."""
    result = on_land(lat, lon)
    where = np.flatnonzero(result)
    if where.size:
        north = DEEP_KM / KM_PER_DEG * np.cos(_ROUND)
        east = DEEP_KM / KM_PER_DEG * np.sin(_ROUND) / np.maximum(0.01, np.cos(np.radians(lat[where])))[:, None]
        result[where] = on_land(lat[where][:, None] + north, lon[where][:, None] + east).all(axis=1)
    return result


@lru_cache(maxsize=2048)
def crosses_land(points: tuple[LatLon, ...]) -> bool:
    """Whether the line from point to point, (lat, lon) [deg], crosses land more than ``DEEP_KM`` from any coast.

    A stretch that reaches a given point is not counted: the water there is too narrow for the data (a river, a lake).
    """
    return any(_crosses(a, b) for a, b in pairwise(points))


def _crosses(a: LatLon, b: LatLon) -> bool:
    line = trace((a, b))
    lat, lon = line.position(np.linspace(0.0, line.length_km, max(3, int(np.ceil(line.length_km / SAMPLE_KM)))))
    deep = deep_in_land(lat, lon).tolist()
    return _between(deep)


def _between(deep: Sequence[bool]) -> bool:
    """Whether a stretch of True has False on both sides."""
    if all(deep):
        return False
    return any(deep[deep.index(False) : len(deep) - deep[::-1].index(False)])
