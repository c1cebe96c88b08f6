"""Lines and polygons cut to a window (west, south, east, north), thinned to what can be drawn; points are (P, 2)."""

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Edge = tuple[float, float, float, float]
Point = tuple[float, float]

PLACES = 6


def thinned(points: Floats, dot: float) -> list[Point]:
    """A line with one point for each dot that it runs through, its last one kept; all of them for a dot of 0."""
    if len(points) == 0:
        return []
    if dot > 0:
        at = np.round(points / dot)
        keep = np.concatenate([[True], (at[1:] != at[:-1]).any(axis=1)])
        keep[-1] = True
        points = points[keep]
    return [(round(x, PLACES), round(y, PLACES)) for x, y in points.tolist()]


def clipped(points: Floats, edge: Edge) -> Floats:
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


def within(line: Floats, edge: Edge) -> Iterator[Floats]:
    """The stretches of a line whose pieces may touch a window."""
    a, b = line[:-1], line[1:]
    low, high = np.minimum(a, b), np.maximum(a, b)
    touches = ((high >= edge[:2]) & (low <= edge[2:])).all(axis=1)
    marks = np.diff(np.concatenate([[False], touches, [False]]).astype(np.int8))
    for start, end in zip(np.flatnonzero(marks == 1), np.flatnonzero(marks == -1), strict=True):
        yield line[start : end + 1]
