"""The user's own weather: hourly values of one or more years, and the local solar days that they make.

Days are local solar days, so that each holds one whole stretch of sunlight.
"""

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import ArrayLike, NDArray

from voyager.sky.clearness import HIGHEST, LOWEST
from voyager.sky.extra import extraterrestrial_kwh_m2
from voyager.sky.hours import day_shape
from voyager.sky.sun import SOLAR_DAY_S_PER_DEG, unix_s

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Times = NDArray[np.datetime64]
Dates = NDArray[np.datetime64]

HOUR_S, DAY_S = 3600, 86400
LEAP_YEAR = 366
EDGE_HOURS = 3
"""Hours at the ends of a file that may be missing from a solar day: they are taken as night."""
LEAST_WH_M2 = 2.0
"""Below this much sunlight per unit of clearness an hour has no shape of its own."""
MAX_HOUR = 20.0
DARK_KWH_M2 = 0.05


@dataclass(frozen=True, eq=False)
class Record:
    """Contiguous hours (N,) of a weather file, in UTC by their start, means over the hour. Every reading is its own.

    ``name`` of the file, ``kind`` "EPW", "TMY3" or "CSV"; ``years`` whole years in it, at least 1. A CSV tells no
    position: ``lat`` and ``lon`` are then the voyage's.
    """

    lat: float
    lon: float
    height_m: float | None
    name: str
    kind: str
    years: int
    times_utc: Times
    ghi_w_m2: Floats
    dhi_w_m2: Floats | None
    dni_w_m2: Floats | None
    air_c: Floats
    wind_mps: Floats | None

    @property
    def typical(self) -> bool:
        """Whether it is a year put together of months of several."""
        return self.kind in ("EPW", "TMY3")

    @cached_property
    def days(self) -> "DailyRecord":
        """``daily`` of it, computed once."""
        return daily(self)


@dataclass(frozen=True)
class DailyRecord:
    """Local solar days (N,): date, global irradiation, clearness, mean air and wind.

    ``hours`` (N, 24): measured global of each hour over that of the smooth day of the same clearness. The first hour
    starts ``offset_h`` (-0.5 to 0.5) after mean solar midnight.
    """

    dates: Dates
    ghi_kwh_m2: Floats
    clearness: Floats
    air_c: Floats
    wind_mps: Floats | None
    hours: Floats
    offset_h: float

    @property
    def day_of_year(self) -> Ints:
        """1 to 366 (N,)."""
        return day_of_year(self.dates)


def day_of_year(dates: ArrayLike) -> Ints:
    """Day of the year, 1 to 366, of dates of any shape."""
    day = np.asarray(dates, dtype="datetime64[D]")
    return np.asarray((day - day.astype("datetime64[Y]")).astype(np.int64) + 1)


def daily(record: Record) -> DailyRecord:
    """Local solar days of a record; a part of a day at its ends is left out, unless only night is missing."""
    middle = unix_s(record.times_utc) + HOUR_S / 2 + SOLAR_DAY_S_PER_DEG * record.lon
    first_hour = int(middle[0] % DAY_S // HOUR_S)
    front, back = _ends(first_hour, len(middle))
    dates = _dates(middle[0], first_hour, front, front + len(middle) + back)
    grid = [_whole(values, front, back, fill) for values, fill in _columns(record)]
    ghi, air, wind = grid[0], grid[1], grid[2] if len(grid) > 2 else None
    number = day_of_year(dates)
    irradiation = ghi.sum(axis=1) / 1000
    clearness = _clearness(irradiation, extraterrestrial_kwh_m2(record.lat, number))
    offset = float(middle[0] % HOUR_S) / HOUR_S - 0.5
    smooth = clearness[:, None] * _smooth_year(record, offset)[number - 1]
    hours = np.divide(ghi, smooth, out=np.ones_like(ghi), where=smooth > LEAST_WH_M2 * clearness[:, None])
    mean_wind = None if wind is None else wind.mean(axis=1)
    hours = np.clip(hours, 0, MAX_HOUR)
    return DailyRecord(dates, irradiation, clearness, air.mean(axis=1), mean_wind, hours, offset)


def _columns(record: Record) -> list[tuple[Floats, str]]:
    columns = [(record.ghi_w_m2, "constant"), (record.air_c, "edge")]
    return columns if record.wind_mps is None else [*columns, (record.wind_mps, "edge")]


def _ends(first_hour: int, count: int) -> tuple[int, int]:
    """Hours to add (or, negative, to drop) at both ends so that whole days remain."""
    front = first_hour if first_hour <= EDGE_HOURS else first_hour - 24
    rest = (count + front) % 24
    return front, 24 - rest if rest >= 24 - EDGE_HOURS else -rest


def _dates(middle_s: float, first_hour: int, front: int, count: int) -> Dates:
    first = int(middle_s // DAY_S) + (1 if front < 0 and first_hour else 0)
    return np.asarray((first + np.arange(count // 24)).astype("datetime64[D]"))


def _whole(values: Floats, front: int, back: int, fill: str) -> Floats:
    cut = values[max(-front, 0) : len(values) + min(back, 0)]
    pad = max(front, 0), max(back, 0)
    padded = np.pad(cut, pad, "edge") if fill == "edge" else np.pad(cut, pad)
    return padded.reshape(-1, 24)


def _clearness(irradiation: Floats, extra: Floats) -> Floats:
    """Clearness of days; in polar night, where it means nothing, that of the file's middle day."""
    lit = extra > DARK_KWH_M2
    k = np.divide(irradiation, extra, out=np.full_like(irradiation, np.nan), where=lit)
    return np.clip(np.where(lit, k, np.median(k[lit]) if lit.any() else 0.5), LOWEST, HIGHEST)


def _smooth_year(record: Record, offset_h: float) -> Floats:
    """Irradiation per unit of clearness [Wh/m²] by day of the year and hour (366, 24) on the record's own hours."""
    first = np.datetime64("2000-01-01", "s") + np.timedelta64(
        round(offset_h * HOUR_S - SOLAR_DAY_S_PER_DEG * record.lon), "s"
    )
    starts = first + np.arange(LEAP_YEAR + 1) * np.timedelta64(DAY_S, "s")
    shape = day_shape(starts, np.full(LEAP_YEAR, 24.0), [record.lat], [record.lon])
    return np.asarray(shape.extraterrestrial_wh_m2[:, 0, :24])
