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


@dataclass(frozen=True)
class Table:
    """Rows of values (R,G) on levels ``step_kwh`` apart, with windows on the padded rows and on their steps."""

    values: Floats
    step_kwh: float
    padded: Floats
    rise: Floats

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
    rise = np.zeros_like(flat)
    np.subtract(flat[1:], flat[:-1], out=rise[:-1])
    return Table(values, step_kwh, sliding_window_view(flat, levels), sliding_window_view(rise, levels))


def shifted(
    rows: Table, row: Ints, add: Floats, cap: Floats, *, skip: int = 0, out: Floats | None = None
) -> Floats:
    """Rows ``row`` (...) at min(level + add, cap), (..., G - skip): from level ``skip`` on."""
    levels = rows.values.shape[1]
    width = levels - skip
    place = np.clip(add / rows.step_kwh, -levels, levels)
    whole = np.floor(place + EDGE)
    share = np.clip(place - whole, 0.0, 1.0)
    at = row * rows.pitch + (levels + skip) + whole.astype(np.int64)
    found = np.multiply(rows.rise[:, :width][at], share[..., None], out=out)
    found += rows.padded[:, :width][at]
    _cap(found.reshape(-1, width), rows, row.ravel(), add.ravel(), cap.ravel(), skip)
    return np.asarray(found)


def _cap(found: Floats, rows: Table, row: Ints, add: Floats, cap: Floats, skip: int) -> None:
    """What a charge at its cap is worth, at all levels that reach it."""
    levels, width = rows.values.shape[1], found.shape[1]
    over = levels - np.clip(np.floor((cap - add) / rows.step_kwh) + 1, skip, levels).astype(np.int64)
    some = np.flatnonzero(over)
    if not len(some):
        return
    count = over[some]
    begin = (some + 1) * width - np.cumsum(count)
    found.reshape(-1)[np.repeat(begin, count) + np.arange(count.sum())] = np.repeat(
        at_charge(rows.values, rows.step_kwh, row[some], cap[some]), count
    )


def at_charge(values: Floats, step_kwh: float, row: Ints, charge_kwh: Floats) -> Floats:
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
