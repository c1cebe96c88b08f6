"""Panel power of many members: tabulated once over clearness, then one look-up a member and day.

With one daily clearness K a day's power is a function of K alone, straight in the air temperature while no controller
limits. It is tabulated at the ends and in the middle of stretches of K and read on the parabola through the three:
straight lines between as many knots err by 5e-4 of a month, parabolas by 1e-5 (3e-4 where a controller limits on many
days, for the bend is sharp there). Tables are float32.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from voyager.boat.arrays import PanelArray
from voyager.energy.mount import Bools, Mount
from voyager.energy.tables import panel_table
from voyager.sky.hours import HOURS, DayShape
from voyager.sky.shares import BREAKS

Floats = NDArray[np.float64]
Singles = NDArray[np.float32]
Ints = NDArray[np.int64]

AIR_STEP_K = 4.0
_BEFORE = 1e-9
_BLOCK_ROWS = 512


def clearness_segments(below_the_break: int = 16, above_it: int = 3) -> Floats:
    """Ends (segments, 2) of stretches of clearness from 0 to 1, parted at both breaks of the daily diffuse relation."""
    first, second = BREAKS
    low, high = np.linspace(0.0, first, below_the_break + 1), np.linspace(second, 1.0, above_it + 1)
    ends = np.concatenate([low, [second], high[1:]])
    segments = np.stack([ends[:-1], ends[1:]], axis=1)
    segments[np.isin(segments[:, 1], BREAKS), 1] -= _BEFORE
    return segments


@dataclass(frozen=True)
class MemberTable:
    """Power of the pairs (day, mount) that are needed, ready for :func:`look_up`.

    ``segments`` (n, 2) of clearness; ``place`` (D, Q) a pair's number or -1; ``rows`` (pairs · n, 5, lit hours · A):
    power, its step over the segment and its bend, change per kelvin and its step; ``lit`` the hours that see the sun.
    """

    segments: Floats
    place: Ints
    rows: Singles
    lit: Ints
    arrays: int


def member_table(
    arrays: Sequence[PanelArray],
    shape: DayShape,
    *,
    air_c: ArrayLike,
    wind_mps: ArrayLike,
    mounts: Sequence[Mount],
    needed: ArrayLike | None = None,
    segments: ArrayLike | None = None,
    by_array: bool = True,
) -> MemberTable:
    """Tabulate power for reference air (D, S, H) or (D, S, H, n) and wind (D, S), mounts (Q,), days needed (D, Q).

    The change per kelvin is that between 4 K below and 4 K above the reference. ``by_array`` false adds the arrays up.
    """
    ends = clearness_segments() if segments is None else np.asarray(segments, dtype=float)
    at, where = np.unique(np.column_stack([ends[:, 0], ends.mean(axis=1), ends[:, 1]]), return_inverse=True)
    air, wind = _with_knots(air_c, 4, len(at)), _with_knots(wind_mps, 3, len(at))
    use = np.ones((shape.days, len(mounts)), bool) if needed is None else np.asarray(needed, bool)
    clearness = np.broadcast_to(at, (shape.days, shape.stations, len(at)))

    def tabulate(change_k: float) -> Floats:
        table = panel_table(
            arrays, shape, clearness=clearness, air_c=air + change_k, wind_mps=wind, mounts=mounts, needed=use
        )
        return np.asarray(table.array_watts[use] if by_array else table.watts[use][..., None])

    cold, warm = (np.moveaxis(tabulate(change), 2, 1)[:, where] for change in (-AIR_STEP_K, AIR_STEP_K))
    return _packed(ends, use, (cold + warm) / 2, (warm - cold) / (2 * AIR_STEP_K))


def _with_knots(values: ArrayLike, axes: int, knots: int) -> Floats:
    array = np.asarray(values, dtype=float)
    whole = array if array.ndim == axes else array[..., None]
    return np.broadcast_to(whole, (*whole.shape[:-1], knots))


def _packed(segments: Floats, use: Bools, watts: Floats, per_k: Floats) -> MemberTable:
    """Watts and their change per kelvin (pairs, segments, 3, H, A) at both ends and the middle of each segment."""
    lit = np.flatnonzero(np.any(watts > 0, axis=(0, 1, 2, 4)))
    (low, middle, high), (cool, _, warm) = (np.moveaxis(a[..., lit, :], 2, 0) for a in (watts, per_k))
    terms = np.stack([low, high - low, 4 * middle - 2 * (low + high), cool, warm - cool], axis=2)
    rows = terms.reshape(-1, terms.shape[2], len(lit) * watts.shape[-1])
    place = np.where(use, np.cumsum(use.ravel()).reshape(use.shape) - 1, -1)
    return MemberTable(segments, place, np.ascontiguousarray(rows, np.float32), lit, watts.shape[-1])


def look_up(
    table: MemberTable, day: ArrayLike, mount: ArrayLike, clearness: ArrayLike, air_change_k: ArrayLike = 0.0
) -> Singles:
    """Power of each hour step [W] (..., H, A) for days, mounts, clearness and air against the reference, broadcast.

    For members by days: ``look_up(table, np.arange(D), mount, clearness, change)`` with the last two (M, D).
    """
    days, mounts, k, change = np.broadcast_arrays(day, mount, clearness, air_change_k)
    segment, part = _segment(table.segments, k.ravel().astype(float))
    row = table.place[days.ravel(), mounts.ravel()] * len(table.segments) + segment
    if np.any(row < 0):
        raise ValueError("a day and mount were asked for that the table was not made for")
    weights = _weights(part, change.ravel().astype(np.float32))
    out = np.zeros((row.size, HOURS, table.arrays), np.float32)
    _read(table, row, weights, out)
    return out.reshape(*k.shape, HOURS, table.arrays)


def _segment(segments: Floats, clearness: Floats) -> tuple[Ints, Singles]:
    low, high = segments.T
    at = np.maximum(np.searchsorted(low, clearness, side="right") - 1, 0)
    part = (clearness - low[at]) * (1.0 / (high - low))[at]
    return at, np.clip(part, 0.0, 1.0).astype(np.float32)


def _weights(part: Singles, change_k: Singles) -> Singles:
    return np.stack([np.ones_like(part), part, part * (1 - part), change_k, part * change_k], axis=-1)


def _read(table: MemberTable, row: Ints, weights: Singles, out: Singles) -> None:
    """A block's rows stay in the processor's cache between being fetched and being weighted."""
    block = np.empty((_BLOCK_ROWS, *table.rows.shape[1:]), np.float32)
    runs = _runs(table.lit)
    for start in range(0, len(row), _BLOCK_ROWS):
        part = slice(start, start + _BLOCK_ROWS)
        fetched = np.take(table.rows, row[part], axis=0, out=block[: len(row[part])], mode="clip")
        weighted = np.matmul(weights[part, None], fetched).reshape(len(fetched), len(table.lit), table.arrays)
        for first, last, place in runs:
            out[part, first : last + 1] = weighted[:, place : place + last - first + 1]


def _runs(lit: Ints) -> list[tuple[int, int, int]]:
    """First and last hour of each unbroken run of lit hours, and where it stands among them."""
    starts = np.flatnonzero(np.diff(lit, prepend=-2) > 1)
    ends = np.append(starts[1:], len(lit)) - 1
    return [(int(lit[a]), int(lit[b]), int(a)) for a, b in zip(starts, ends, strict=True)] if len(lit) else []
