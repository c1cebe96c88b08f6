"""The coast of the earth at 1:10,000,000: tiles of land, each unpacked when it is first asked for.

Natural Earth 4.1, public domain (data/SOURCES.md); good to about a kilometre; lakes and most rivers count as land. Not
for navigation.
"""

import zlib
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from itertools import pairwise
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]
Ints = NDArray[np.int64]

TILE_DEG = 4.0
ROWS, COLUMNS = 45, 90
UNITS = 8192
"""Steps of a tile's side in which its corners are kept: 54 m of latitude."""
SEA, LAND, MIXED = 0, 1, 2


@dataclass(frozen=True, eq=False)
class Ring:
    """The edge of a piece of land in a tile, land on its left: ``lon``, ``lat`` (P,) [deg], the first not repeated.

    ``coast`` (P,): whether the side from each point to the next is coast; the others follow the edge of the tile.
    """

    lon: Floats
    lat: Floats
    coast: Bools


@dataclass(frozen=True)
class Box:
    """``west`` <= ``east`` [deg], either may lie beyond ±180; ``south`` <= ``north``."""

    west: float
    south: float
    east: float
    north: float


@cache
def _index() -> tuple[NDArray[np.uint8], NDArray[np.uint32], bytes]:
    """Kind of each tile (4050,), where its bytes start (4051,), all bytes."""
    with np.load(Path(__file__).with_name("data") / "coast.npz") as packed:
        return packed["kinds"], packed["starts"], packed["body"].tobytes()


@cache
def tile(row: int, column: int) -> tuple[Ring, ...]:
    """The rings of a tile, counted from 90°S and 180°W; even-odd they are its land."""
    number = row * COLUMNS + column
    kinds, starts, body = _index()
    if kinds[number] == SEA:
        return ()
    west, south = column * TILE_DEG - 180.0, row * TILE_DEG - 90.0
    if kinds[number] == LAND:
        return (_ring(np.array([0, UNITS, UNITS, 0]), np.array([0, 0, UNITS, UNITS]), west, south),)
    raw = zlib.decompress(body[starts[number] : starts[number + 1]])
    count = int.from_bytes(raw[:2], "little")
    ends = np.cumsum(np.frombuffer(raw, dtype="<u2", count=count, offset=2).astype(np.int64))
    x, y = _corners(np.frombuffer(raw, dtype=np.uint8, offset=2 + 2 * count))
    cuts = [0, *ends.tolist()]
    return tuple(_ring(x[a:b], y[a:b], west, south) for a, b in pairwise(cuts))


def _corners(planes: NDArray[np.uint8]) -> Ints:
    """Units (2, P) east and north from zigzag differences, low bytes before high bytes."""
    low, high = planes.reshape(2, -1).astype(np.int64)
    zigzag = low | high << 8
    steps: Ints = (zigzag >> 1) ^ -(zigzag & 1)
    return np.cumsum(steps.reshape(2, -1), axis=1)


def _ring(x: Ints, y: Ints, west: float, south: float) -> Ring:
    on_edge = [(a == np.roll(a, -1)) & ((a == 0) | (a == UNITS)) for a in (x, y)]
    lon, lat = (np.asarray(low + a * (TILE_DEG / UNITS), dtype=np.float64) for low, a in ((west, x), (south, y)))
    return Ring(lon, lat, ~(on_edge[0] | on_edge[1]))


def rings(box: Box) -> Iterator[Ring]:
    """All rings of the tiles that a box touches, longitudes moved by whole turns to where the box is."""
    rows = range(max(0, int((box.south + 90) // TILE_DEG)), min(ROWS - 1, int((box.north + 90) // TILE_DEG)) + 1)
    columns = range(int((box.west + 180) // TILE_DEG), int((box.east + 180) // TILE_DEG) + 1)
    for row in rows:
        for column in columns:
            turns, own = divmod(column, COLUMNS)
            for ring in tile(row, own):
                yield ring if turns == 0 else Ring(ring.lon + 360.0 * turns, ring.lat, ring.coast)


def coasts(ring: Ring) -> Iterator[tuple[Floats, Floats]]:
    """The stretches of a ring that are coast, each (lon, lat) from end to end; an island comes back to its start."""
    if ring.coast.all():
        yield np.append(ring.lon, ring.lon[0]), np.append(ring.lat, ring.lat[0])
        return
    first = int(np.argmin(ring.coast)) + 1
    lon, lat, coast = np.roll(ring.lon, -first), np.roll(ring.lat, -first), np.roll(ring.coast, -first)
    marks = np.diff(np.concatenate([[False], coast, [False]]).astype(np.int8))
    for start, end in zip(np.flatnonzero(marks == 1), np.flatnonzero(marks == -1), strict=True):
        yield lon[start : end + 1], lat[start : end + 1]
