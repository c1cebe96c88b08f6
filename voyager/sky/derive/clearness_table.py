"""Derive data/clearness.npz: 16 quantiles of daily clearness a month in 3° cells.

    pip install gsee-climate-data==1.0.0
    python -m voyager.sky.derive.clearness_table

The package holds kernel estimates of the distribution of daily mean irradiance [W/m²], 128 bins, MERRA-2 2011-2015.
1. The kernel's width comes off by shrinking about the mean: normal reference bandwidth 1.059·n^(-1/5)·A with
   n = 155 days and A = min(sd, IQR/1.349), itself widened by the kernel by 1.072.
2. The drift of H0 through the month comes off the same way: Var(K·H0) = Var(K)·E(H0²) + E(K)²·Var(H0).
3. The mean is that of the package, over H0 of the month averaged over the cell's latitudes.
4. Months with hardly any sun take the quantiles of their neighbours in time.
"""

from importlib import import_module
from pathlib import Path

import numpy as np
from numpy.typing import ArrayLike, NDArray

from voyager.sky.clearness import PROBABILITIES, STEP, mean_weights
from voyager.sky.extra import extraterrestrial_kwh_m2
from voyager.sky.season import MONTH_FIRST

Floats = NDArray[np.float64]

DAYS = 155
DARK_KWH_M2 = 0.15
FLOOR = 0.01


def sun_of_month(lat: float, month: int) -> tuple[float, float]:
    """Mean H0 [kWh/m²] of the cell and the relative variance of H0 over the days of the month."""
    day = np.arange(MONTH_FIRST[month], MONTH_FIRST[month + 1])
    table = extraterrestrial_kwh_m2(lat + np.array([-1.0, 0.0, 1.0])[:, None], day)
    mean = table.mean()
    return float(mean), float(table[1].var() / max(table[1].mean(), 1e-9) ** 2)


def raw_quantiles(values: Floats, chance: Floats, probabilities: ArrayLike) -> Floats:
    """Quantiles of a histogram given by its bins' middles and chances."""
    edges = np.concatenate([values, [2 * values[-1] - values[-2]]]) - (values[1] - values[0]) / 2
    return np.asarray(np.interp(np.asarray(probabilities), np.concatenate([[0.0], np.cumsum(chance)]), edges))


def cell_quantiles(watts: Floats, chance: Floats, mean_h0: float, drift: float) -> Floats:
    """Quantiles (16,) of K of one cell and month from bins [W/m²] and their chances."""
    chance = chance / chance.sum()
    k = watts * 0.024 / mean_h0
    mean = float(k @ chance)
    variance = ((k - mean) ** 2) @ chance
    low, high = raw_quantiles(k, chance, [0.25, 0.75])
    bandwidth = 1.059 * DAYS**-0.2 * min(np.sqrt(variance), (high - low) / 1.349) / 1.072
    own = (variance - bandwidth**2 - drift * mean**2) / (1 + drift)
    shrink = np.sqrt(np.clip(own / variance, 0.05, 1.0))
    table = mean + shrink * (raw_quantiles(k, chance, PROBABILITIES) - mean)
    return restored(table, mean)


def restored(table: Floats, mean: float) -> Floats:
    """The table above a small floor, its mean as it was."""
    for _ in range(50):
        table = np.maximum(table, FLOOR)
        table = np.maximum(table * mean / (table @ mean_weights()), FLOOR)
    return np.asarray(np.maximum.accumulate(table))


def filled(table: Floats, known: NDArray[np.bool_]) -> Floats:
    """Months (12, 16) without sun by linear interpolation round the year."""
    months = np.flatnonzero(known)
    around = np.concatenate([months - 12, months, months + 12])
    return np.column_stack([np.interp(np.arange(12), around, np.tile(column[months], 3)) for column in table.T])


def packed(table: Floats) -> NDArray[np.uint8]:
    """Steps (16, 12, N) uint8 whose running sum times STEP is the table (N, 12, 16), every step at least one."""
    codes = np.rint(table / STEP).astype(int)
    for i in range(1, codes.shape[-1]):
        codes[..., i] = np.maximum(codes[..., i], codes[..., i - 1] + 1)
    steps = np.diff(codes, axis=-1, prepend=0)
    if steps.min() < 0 or steps.max() > 255:
        raise SystemExit("a step does not fit into a byte")
    return np.ascontiguousarray(steps.transpose(2, 1, 0).astype(np.uint8))


def main() -> None:
    source = import_module("gsee_climate_data").load()
    watts, chance, lats = source["xk"], source["pk"], source["lat"]
    good = np.isfinite(watts).all(-1) & (np.nan_to_num(chance).sum(-1) > 0)
    valid = good.any(-1)
    cells = np.argwhere(valid)
    table = np.zeros((len(cells), 12, len(PROBABILITIES)))
    for n, (i, j) in enumerate(cells):
        known = np.zeros(12, dtype=bool)
        for month in range(12):
            mean_h0, drift = sun_of_month(lats[i], month)
            if not good[i, j, month] or mean_h0 < DARK_KWH_M2:
                continue
            known[month] = True
            table[n, month] = cell_quantiles(
                watts[i, j, month].astype(float), chance[i, j, month].astype(float), mean_h0, drift
            )
        table[n] = filled(table[n], known)
    target = Path(__file__).parents[1] / "data" / "clearness.npz"
    np.savez_compressed(target, valid=valid, steps=packed(table))
    print(len(cells), "cells,", target.stat().st_size, "bytes; K", table.min(), table.max())


if __name__ == "__main__":
    main()
