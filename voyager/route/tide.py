"""The stream of a tidal leg: one sine a tide."""

from datetime import UTC, datetime

import numpy as np
from numpy.typing import ArrayLike, NDArray

M2_PERIOD_H = 12.42
FLOOD_BEFORE_HIGH_WATER_H = 3.1


def stream_mps(hours_from_high_water: ArrayLike, flood_mps: ArrayLike) -> NDArray[np.float64]:
    """Stream along the leg [m/s], positive with it: flood cos(2 pi (t - t_HW + 3.1 h) / 12.42 h); broadcast.

    ``flood_mps`` is the strongest flood along the leg (negative: it runs against it), reached 3.1 h, a quarter
    tide, before high water. The period is that of M2, half a mean lunar day, 12.4206 h (A. T. Doodson, The
    harmonic development of the tide-generating potential, Proc. R. Soc. A 100, 1921; from memory). Springs and
    neaps, the daily inequality and slack not falling at high water are not in it.
    """
    phase = 2.0 * np.pi * (np.asarray(hours_from_high_water) + FLOOD_BEFORE_HIGH_WATER_H) / M2_PERIOD_H
    return np.asarray(np.asarray(flood_mps) * np.cos(phase), dtype=np.float64)


def hours_from_high_water(times_utc: NDArray[np.datetime64], high_water: datetime) -> NDArray[np.float64]:
    """Hours from the given high water (aware datetime) to instants in UTC, of their shape; negative before it."""
    moment = np.datetime64(high_water.astimezone(UTC).replace(tzinfo=None), "s")
    hours: NDArray[np.float64] = (times_utc.astype("datetime64[s]") - moment) / np.timedelta64(3600, "s")
    return hours
