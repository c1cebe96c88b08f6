"""Values on uniform charge levels, linear between them and held at the ends, read at charges that a day has shifted.

Where a day turns every charge s into min(s + add, cap) a shifted row is a window of the padded row, its share of the
step to the next one, and a constant from the cap on. No gather of single values, and nothing rounded to a level.
"""

from dataclasses import dataclass

import numpy as np
from numpy.lib.stride_tricks import sliding_window_view
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
EDGE = 1e-9
FEW_ROWS = 200


@dataclass(frozen=True)
class Table:
    """Rows of values (R,G) on levels ``step_kwh`` apart, with windows on the padded rows and on their steps.

    ``least`` (G,R) of all levels up to each, ``most`` (G,R) of all from each on.
    """

    values: Floats
    step_kwh: float
    padded: Floats
    rise: Floats
    least: Floats
    most: Floats

    @property
    def pitch(self) -> int:
        """Places from one padded row to the next."""
        return 3 * int(self.values.shape[1]) + 1


def table(values: Floats, step_kwh: float) -> Table:
    """Rows (R,G) made ready to be shifted by at most their own length."""
    count, levels = values.shape
    flat = np.empty(count * (3 * levels + 1) + levels)
    rows = flat[:-levels].reshape(count, 3 * levels + 1)
    rows[:, :levels], rows[:, levels : 2 * levels], rows[:, 2 * levels :] = values[:, :1], values, values[:, -1:]
    flat[-levels:] = 0.0
    rise = np.empty_like(flat)
    np.subtract(flat[1:], flat[:-1], out=rise[:-1])
    rise[-1] = 0.0
    padded, rising = (sliding_window_view(one, levels) for one in (flat, rise))
    return Table(values, step_kwh, padded, rising, *_bounds(values))


def _bounds(values: Floats) -> tuple[Floats, Floats]:
    """Least (G,R) of rows up to each level, most from each level on; level by level where rows are long."""
    least = np.ascontiguousarray(values.T)
    if least.shape[1] < FEW_ROWS:
        return np.minimum.accumulate(least, axis=0), np.maximum.accumulate(least[::-1], axis=0)[::-1]
    most = least.copy()
    for level in range(1, len(least)):
        np.minimum(least[level], least[level - 1], out=least[level])
        np.maximum(most[-level - 1], most[-level], out=most[-level - 1])
    return least, most


@dataclass(frozen=True)
class Shift:
    """Where windows begin (X,n), and in each: its ``share`` of the step, and what it is worth at its cap.

    Where all that is below the cap is worth ``at_least`` as much and all above it no more, the larger of both is the
    value short of the cap and at it. The ``odd`` ones (K,), in order of columns, have ``at_cap`` from level ``over``
    on instead.
    """

    at: Ints
    share: Floats
    at_least: Floats
    odd: tuple[Ints, Ints]
    over: Ints
    at_cap: Floats

    def part(self, first: int, last: int) -> "Shift":
        """Columns ``first`` to ``last`` alone."""
        a, b = np.searchsorted(self.odd[1], [first, last]).tolist()
        odd = self.odd[0][a:b], self.odd[1][a:b] - first
        columns = slice(first, last)
        return Shift(
            self.at[:, columns], self.share[:, columns], self.at_least[:, columns], odd, self.over[a:b],
            self.at_cap[a:b],
        )  # fmt: skip


def shift(rows: Table, row: Ints, add: Floats, cap: Floats) -> Shift:
    """How rows ``row`` (X,n) are read at min(level + add, cap)."""
    levels = rows.values.shape[1]
    place = np.minimum(np.maximum(add / rows.step_kwh, -levels), levels)
    whole = np.floor(place + EDGE)
    share = np.maximum(place - whole, 0.0)
    at = row * rows.pitch + levels + whole.astype(np.int64)
    found, below = _at_cap(rows, row, cap)
    plain = (rows.least[below, row] >= found) & (rows.most[below + 1, row] <= found)
    column, node = np.nonzero(~plain.T)
    odd = node, column
    over = np.floor((cap[odd] - add[odd]) / rows.step_kwh) + 1
    over = np.minimum(np.maximum(over, 0), levels).astype(np.int64)
    return Shift(at, share, np.where(plain, found, -np.inf), odd, over, found[odd])


def _at_cap(rows: Table, row: Ints, cap: Floats) -> tuple[Floats, Ints]:
    """Values at caps, and the levels below them."""
    values, levels = rows.values.reshape(-1), rows.values.shape[1]
    place = np.minimum(np.maximum(cap / rows.step_kwh, 0.0), levels - 1)
    whole = np.minimum(np.floor(place + EDGE), levels - 2)
    share = np.maximum(place - whole, 0.0)
    below = whole.astype(np.int64)
    cell = row * levels + below
    low = values[cell]
    return low + share * (values[cell + 1] - low), below


def shifted(rows: Table, how: Shift, first: int = 0, last: int | None = None, out: Floats | None = None) -> Floats:
    """The rows of a shift at levels ``first`` to ``last``, (X,n,last - first)."""
    levels = rows.values.shape[1]
    width = (levels if last is None else last) - first
    at = how.at + first
    found = np.multiply(rows.rise[:, :width][at], how.share[..., None], out=out)
    found += rows.padded[:, :width][at]
    np.maximum(found, how.at_least[..., None], out=found)
    if len(how.over):
        past = np.arange(first, first + width) >= how.over[:, None]
        found[how.odd] = np.where(past, how.at_cap[:, None], found[how.odd])
    return found


def at_charge(values: Floats, step_kwh: float, row: Ints, charge_kwh: Floats) -> Floats:
    """``values[row]`` at one charge each, shapes broadcast."""
    levels = values.shape[1]
    place = np.minimum(np.maximum(charge_kwh / step_kwh, 0.0), levels - 1)
    whole = np.minimum(np.floor(place + EDGE), levels - 2)
    share = np.maximum(place - whole, 0.0)
    at = row * levels + whole.astype(np.int64)
    flat = values.reshape(-1)
    low = flat[at]
    return np.asarray(low + share * (flat[at + 1] - low))


def first_level(charge_kwh: Floats, step_kwh: float, levels: int) -> Ints:
    """The first level at or above charges, ``levels`` where there is none."""
    return np.clip(np.ceil((charge_kwh - EDGE) / step_kwh), 0, levels).astype(np.int64)
