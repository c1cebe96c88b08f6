"""Coast and land of a window of Mercator degrees, as lines of points. Illustrative, not for navigation."""

from collections.abc import Mapping
from math import isfinite

import numpy as np

from voyager.route.clip import Edge, Point, clipped, thinned, within
from voyager.route.coast import Box, coasts, rings
from voyager.route.mercator import latitude, northing

WIDEST_DEG = 540.0
"""One turn and a half of the earth; of a wider window the middle is given."""
FARTHEST_Y = 180.0
MOST_DOTS = 2048
"""A window is given no finer than this many dots across."""


def around(window: Mapping[str, float] | None) -> tuple[list[list[Point]], list[list[Point]]]:
    """Coast lines and rings of land in a window, no finer than its dot; none without one.

    ``window``: ``west``, ``south``, ``east``, ``north`` and the size of a ``dot``, all in Mercator degrees.
    """
    held = None if window is None else _held(window)
    if held is None:
        return [], []
    edge, dot = held
    coast: list[list[Point]] = []
    land: list[list[Point]] = []
    for ring in rings(Box(edge[0], latitude(edge[1]), edge[2], latitude(edge[3]))):
        corners = np.column_stack([ring.lon, northing(ring.lat)])
        low, high = corners.min(axis=0), corners.max(axis=0)
        if (low > edge[2:]).any() or (high < edge[:2]).any() or (high - low).max() < dot:
            continue
        inside = bool((low >= edge[:2]).all() and (high <= edge[2:]).all())
        filled = thinned(corners if inside else clipped(corners, edge), dot)
        if len(filled) >= 3:
            land.append(filled)
        for lon, lat in coasts(ring):
            line = np.column_stack([lon, northing(lat)])
            coast += [thinned(piece, dot) for piece in ([line] if inside else within(line, edge))]
    return coast, land


def _held(window: Mapping[str, float]) -> tuple[Edge, float] | None:
    """The edges and dot of what can be given of a window in good time; None where it is no window."""
    west, south, east, north, dot = (float(window[key]) for key in ("west", "south", "east", "north", "dot"))
    if not all(map(isfinite, (west, south, east, north, dot))) or west > east or south > north:
        return None
    if east - west > WIDEST_DEG:
        middle = (west + east) / 2
        west, east = middle - WIDEST_DEG / 2, middle + WIDEST_DEG / 2
    south, north = (max(-FARTHEST_Y, min(FARTHEST_Y, y)) for y in (south, north))
    return (west, south, east, north), max(dot, (east - west) / MOST_DOTS)
