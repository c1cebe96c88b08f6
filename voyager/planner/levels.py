"""Values on uniform charge levels, linear between them and held at the ends, read at charges that a day has shifted.

Where a day turns every charge s into min(s + add, cap) a shifted row is a window of the padded row, its share of the
step to the next one, and a constant from the cap on. No gather of single values, and nothing rounded to a level.
"""

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.lib.stride_tricks import sliding_window_view
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Rows = NDArray[np.floating[Any]]
EDGE = 1e-9


@dataclass(frozen=True)
class Table:
    """Rows of values (R,G) on levels ``step_kwh`` apart, with windows on the padded rows and on their steps."""

    values: Rows
    step_kwh: float
    padded: Rows
    rise: Rows

    @property
    def pitch(self) -> int:
        """Places from one padded row to the next."""
        return 3 * int(self.values.shape[1]) + 1


def table(values: Rows, step_kwh: float) -> Table:
    """Rows (R,G) made ready to be shifted by at most their own length."""
    count, levels = values.shape
    flat = np.empty(count * (3 * levels + 1) + levels, dtype=values.dtype)
    rows = flat[:-levels].reshape(count, 3 * levels + 1)
    rows[:, :levels], rows[:, levels : 2 * levels], rows[:, 2 * levels :] = values[:, :1], values, values[:, -1:]
    flat[-levels:] = 0.0
    rise = np.empty_like(flat)
    np.subtract(flat[1:], flat[:-1], out=rise[:-1])
    rise[-1] = 0.0
    return Table(values, step_kwh, sliding_window_view(flat, levels), sliding_window_view(rise, levels))


@dataclass(frozen=True)
class Shift:
    """Where windows begin (X,n), and in each: its ``share`` of the step, ``cap_value`` from level ``over`` on."""

    at: Ints
    share: Rows
    over: Ints
    cap_value: Rows

    def of(self, number: Ints) -> "Shift":
        """Those of columns ``number`` alone."""
        return Shift(self.at[:, number], self.share[:, number], self.over[:, number], self.cap_value[:, number])


def shift(rows: Table, row: Ints, add: Floats, cap: Floats) -> Shift:
    """How rows ``row`` (X,n) are read at min(level + add, cap)."""
    levels = rows.values.shape[1]
    place = np.clip(add / rows.step_kwh, -levels, levels)
    whole = np.floor(place + EDGE)
    share = np.clip(place - whole, 0.0, 1.0).astype(rows.values.dtype)
    over = np.clip(np.floor((cap - add) / rows.step_kwh) + 1, 0, levels).astype(np.int64)
    at = row * rows.pitch + levels + whole.astype(np.int64)
    return Shift(at, share, over, at_charge(rows.values, rows.step_kwh, row, cap).astype(rows.values.dtype))


def shifted(rows: Table, how: Shift, first: int = 0, last: int | None = None, out: Rows | None = None) -> Rows:
    """The rows of a shift at levels ``first`` to ``last``, (X,n,last - first)."""
    levels = rows.values.shape[1]
    width = (levels if last is None else last) - first
    at = how.at + first
    found = np.multiply(rows.rise[:, :width][at], how.share[..., None], out=out)
    found += rows.padded[:, :width][at]
    node = np.flatnonzero((how.over < first + width).any(axis=1))
    if len(node):
        begin, over = int(node[0]), how.over[node[0] :]
        low = max(int(over.min()), first)
        past = sliding_window_view(np.repeat([False, True], levels), levels)[:, : first + width - low]
        tail = found[begin:, :, low - first :]
        np.copyto(tail, how.cap_value[begin:, :, None], where=past[levels + low - np.maximum(over, low)])
    return found


def at_charge(values: Rows, step_kwh: float, row: Ints, charge_kwh: Floats) -> Floats:
    """``values[row]`` at one charge each, shapes broadcast."""
    levels = values.shape[1]
    place = np.clip(charge_kwh / step_kwh, 0.0, levels - 1)
    whole = np.minimum(np.floor(place + EDGE), levels - 2)
    share = np.clip(place - whole, 0.0, 1.0)
    at = row * levels + whole.astype(np.int64)
    flat = values.reshape(-1)
    low = flat[at]
    return np.asarray(low + share * (flat[at + 1] - low))


def first_level(charge_kwh: Floats, step_kwh: float, levels: int) -> Ints:
    """The first level at or above charges, ``levels`` where there is none."""
    return np.clip(np.ceil((charge_kwh - EDGE) / step_kwh), 0, levels).astype(np.int64)
