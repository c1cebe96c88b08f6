"""Points, lines and land of a chart on a grid of braille dots. Plain Python, no Textual: drawn within one repaint."""

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

Point = tuple[float, float]
Masks = list[bytearray]

BITS = ((0x01, 0x02, 0x04, 0x40), (0x08, 0x10, 0x20, 0x80))
"""The bit of a braille dot by its column and row within the cell (Unicode 15, block Braille Patterns)."""
FINE: tuple[Point, ...] = ((0.0, 0.0),)
BROAD: tuple[Point, ...] = ((-0.5, -0.5), (0.5, -0.5), (-0.5, 0.5), (0.5, 0.5))
"""Two dots wide in every direction: what is told apart from a fine line without colour."""
KM_PER_DEG = 111.195
"""On the mean sphere of 6371 km."""
HELD_DEG = 85.0


@dataclass(frozen=True)
class Frame:
    """A view on ``columns`` × ``rows`` cells: ``x``, ``y`` its middle, ``dot`` the size of a dot, Mercator degrees."""

    x: float
    y: float
    dot: float
    columns: int
    rows: int

    @property
    def west(self) -> float:
        """Its left edge."""
        return self.x - self.dot * self.columns

    @property
    def north(self) -> float:
        """Its upper edge."""
        return self.y + self.dot * 2 * self.rows

    def cell(self, point: Point) -> tuple[int, int] | None:
        """(column, row) of a point, None outside."""
        column = math.floor((point[0] - self.west) / self.dot / 2)
        row = math.floor((self.north - point[1]) / self.dot / 4)
        return (column, row) if 0 <= column < self.columns and 0 <= row < self.rows else None


@dataclass(frozen=True)
class Ground:
    """By row, a byte a cell: dots of the coast, and 1 where the middle is land. No land where no coast is in sight."""

    coast: Masks
    land: Masks

    @property
    def any_coast(self) -> bool:
        """Whether any coast is in sight."""
        return any(any(row) for row in self.coast)


def km_per_degree(y: float) -> float:
    """Kilometres of a Mercator degree at a northing."""
    return KM_PER_DEG / math.cosh(math.radians(y))


def degrees_of(at: Sequence[float], bounds: Sequence[float] | None) -> Point:
    """(lat, lon) as (x, y), the longitude moved by whole turns to be nearest to the middle of ``bounds``."""
    lat = max(-HELD_DEG, min(HELD_DEG, at[0]))
    middle = at[1] if bounds is None else (bounds[0] + bounds[2]) / 2
    return at[1] + 360.0 * round((middle - at[1]) / 360.0), math.degrees(math.asinh(math.tan(math.radians(lat))))


def ground(chart: Mapping[str, Any], frame: Frame) -> Ground:
    """Coast and land of a chart in a frame."""
    below = Ground(strokes(chart["coast"], frame), [bytearray(frame.columns) for _ in range(frame.rows)])
    if below.any_coast:
        _fill(below.land, chart["land"], frame)
    return below


def strokes(lines: Iterable[Sequence[Point]], frame: Frame, pen: Sequence[Point] = FINE) -> Masks:
    """The dots through which lines run, as a byte a cell; ``pen`` has the points drawn of each, in dots."""
    masks = [bytearray(frame.columns) for _ in range(frame.rows)]
    west, north, per = frame.west, frame.north, 1.0 / frame.dot
    wide, high = 2 * frame.columns, 4 * frame.rows
    for line in lines:
        for over, down in pen:
            before: Point | None = None
            for x, y in line:
                point = ((x - west) * per + over, (north - y) * per + down)
                _stroke(masks, before or point, point, wide, high)
                before = point
    return masks


def _stroke(masks: Masks, a: Point, b: Point, wide: int, high: int) -> None:
    """One straight piece in dots; what lies outside is left out before it is walked."""
    ax, ay, bx, by = *a, *b
    if (ax < 0 and bx < 0) or (ay < 0 and by < 0) or (ax >= wide and bx >= wide) or (ay >= high and by >= high):
        return
    steps = int(max(abs(bx - ax), abs(by - ay))) + 1
    first, last = 0, steps
    if steps > 4:
        first, last = _inside(ax, bx - ax, wide, steps, *_inside(ay, by - ay, high, steps, 0, steps))
    over_x, over_y = (bx - ax) / steps, (by - ay) / steps
    for step in range(first, last + 1):
        x, y = ax + over_x * step, ay + over_y * step
        if 0 <= x < wide and 0 <= y < high:
            column, row = int(x), int(y)
            masks[row >> 2][column >> 1] |= BITS[column & 1][row & 3]


def _inside(start: float, change: float, size: int, steps: int, first: int, last: int) -> tuple[int, int]:
    """The steps, of those from ``first`` to ``last``, that may be between 0 and ``size``."""
    if change == 0:
        return first, last
    low, high = sorted((-start / change * steps, (size - start) / change * steps))
    return max(first, math.floor(low)), min(last, math.ceil(high))


def _fill(land: Masks, polygons: Iterable[Sequence[Point]], frame: Frame) -> None:
    """1 where the middle of a cell is inside an odd number of rings."""
    meets: list[list[float]] = [[] for _ in range(frame.rows)]
    for polygon in polygons:
        _meet(meets, polygon, frame)
    for row, found in zip(land, meets, strict=True):
        ends = sorted(found)
        for start, end in zip(ends[::2], ends[1::2], strict=False):
            first, last = max(0, math.ceil(start - 0.5)), min(frame.columns, math.ceil(end - 0.5))
            if last > first:
                row[first:last] = b"\1" * (last - first)


def _meet(meets: list[list[float]], polygon: Sequence[Point], frame: Frame) -> None:
    """Where the sides of a ring meet the middle line of each row, in columns."""
    west, north, tall, wide = frame.west, frame.north, 4 * frame.dot, 2 * frame.dot
    ax, ay = polygon[-1]
    a = (north - ay) / tall - 0.5
    for x, y in polygon:
        b = (north - y) / tall - 0.5
        first, last = math.ceil(min(a, b)), math.ceil(max(a, b))
        if first != last:
            for row in range(max(0, first), min(frame.rows, last)):
                meets[row].append((ax + (row - a) / (b - a) * (x - ax) - west) / wide)
        ax, a = x, b
