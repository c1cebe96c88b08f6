"""Tables of panel power over days, mounts, hours and kinds of sky."""

from collections.abc import Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from voyager.boat.arrays import PanelArray
from voyager.energy.mount import Bools, Mount, Rows, array_watts, fill, over_headings, station_rows
from voyager.sky.hours import HOURS, DayShape, irradiance
from voyager.sky.plane import on_pane

Floats = NDArray[np.float64]
ARRAY_AXES = 5
MANY_KINDS, THREADS = 8, 2
"""From so many kinds on arrays are large enough for numpy to work on two stations at once."""


@dataclass(frozen=True)
class PanelTable:
    """Mean power of each hour step at the controllers' outlet [W]: all arrays (D, Q, H, n), each (D, Q, H, n, A), of no
    arrays where it was not asked for."""

    watts: Floats
    array_watts: Floats


def panel_table(
    arrays: Sequence[PanelArray],
    shape: DayShape,
    *,
    clearness: ArrayLike,
    air_c: ArrayLike,
    wind_mps: ArrayLike,
    mounts: Sequence[Mount],
    worst: ArrayLike | None = None,
    needed: ArrayLike | None = None,
    by_array: bool = True,
) -> PanelTable:
    """Panel power for clearness and wind (D, S, n), air (D, S, H, n), mounts (Q,); ``needed`` (D, Q) leaves out days.

    The mean over a mount's headings of the power after clipping; where ``worst`` (n,) is set, the heading with the
    least energy of the day. Moored arrays take their moored mounting up to its wind limit, on the day's sunnier side
    where they may be turned over. Shade takes beam and diffuse alike.
    """
    k, air, wind = (np.asarray(a, dtype=float) for a in (clearness, air_c, wind_mps))
    count, kinds = shape.days, k.shape[-1]
    use = np.ones((count, len(mounts)), bool) if needed is None else np.asarray(needed, bool)
    poor = np.zeros(kinds, bool) if worst is None else np.asarray(worst, bool)
    out = np.zeros((count, len(mounts), HOURS, kinds, *([len(arrays)] if by_array else [])))

    def fill_in(station: int) -> None:
        here = [q for q, m in enumerate(mounts) if m.station == station and np.any(use[:, q])]
        if here:
            days = np.any(use[:, here], axis=1)
            rows = station_rows(shape, station, days, k[:, station], air[:, station], wind[:, station])
            _fill_station(out, arrays, rows, {q: mounts[q] for q in here}, use, poor)

    stations = sorted({m.station for m in mounts})
    if kinds < MANY_KINDS:
        for station in stations:
            fill_in(station)
    else:
        with ThreadPoolExecutor(THREADS) as pool:
            list(pool.map(fill_in, stations))
    return PanelTable(np.sum(out, axis=-1), out) if by_array else PanelTable(out, np.zeros((*out.shape, 0)))


def _fill_station(
    out: Floats, arrays: Sequence[PanelArray], rows: Rows, here: dict[int, Mount], use: Bools, worst: Bools
) -> None:
    if not len(rows.day):
        return
    order = list(here)
    by_array = [array_watts(a, rows, list(here.values()), use[:, order].T, len(use)) for a in arrays]
    for place, mount in enumerate(order):
        watts = over_headings([power[place] for power in by_array], rows, worst)
        watts = watts if out.ndim == ARRAY_AXES else np.sum(watts, axis=-1)
        fill(out, rows, mount, watts, use[:, mount])


def glass_w_m2(shape: DayShape, clearness: ArrayLike) -> Floats:
    """Mean irradiance of each hour step on a vertical pane, mean over headings [W/m²] (D, S, H, n)."""
    pane = on_pane(shape.light.sun, irradiance(shape, clearness))
    return np.asarray(np.einsum("dshk,dshkn->dshn", shape.light.sun.weight_h, pane))
