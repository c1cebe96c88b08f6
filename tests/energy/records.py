"""A made-up year of weather by which everything is known beforehand."""

from functools import cache

import numpy as np

from voyager.sky.extra import extraterrestrial_kwh_m2
from voyager.sky.record import Record

CLEARNESS = (0.2, 0.5, 0.7, 0.35)
WINDS_MPS = (2, 9, 6, 3, 10, 7, 4, 11, 8, 5)


@cache
def measured(wind: bool = True) -> Record:
    """A year at 50 degrees north: clearness and wind by turns, air of 3 degC in January to 23 in July."""
    hour = np.arange(8760)
    day, clock = hour // 24, hour % 24
    shape = np.maximum(0.0, np.cos((np.arange(24) - 11.5) / 12 * np.pi))
    extra = extraterrestrial_kwh_m2(50.0, np.arange(1, 366))[day]
    ghi = extra * np.asarray(CLEARNESS)[day % 4] * 1000 * (shape / shape.sum())[clock]
    air = 13.0 - 10.0 * np.cos(2 * np.pi * (day - 15) / 365)
    blow = np.asarray(WINDS_MPS, dtype=float)[day % 10] if wind else None
    times = np.datetime64("2019-01-01T00:00:00", "s") + hour * np.timedelta64(3600, "s")
    return Record(50.0, 0.0, 0.0, "made.csv", "CSV", 1, times, ghi, None, None, air, blow)
