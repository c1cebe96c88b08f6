"""Climate of the air: mean, spread and persistence by day, the course of a day, mean wind.

Spread, persistence, correlation and daily range are regressions on A, the warmest less the coldest monthly mean,
fitted to daily records in Europe and North America; south of the equator the seasons run half a year later.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from voyager.sky.extra import extraterrestrial_kwh_m2
from voyager.sky.grid import layers_at
from voyager.sky.season import YEAR_DAYS, month_position, seasonal

Floats = NDArray[np.float64]

LAPSE_K_PER_M = 0.0065
"""Fall of temperature with height, International Standard Atmosphere, ISO 2533:1975."""
SD_BASE_K = (0.49, 0.90, 1.94, 0.91)
SD_PER_K = (0.198, 0.143, 0.041, 0.113)
LAG1 = (0.80, 0.75, 0.71, 0.73)
CORRELATION = (-0.26, 0.16, 0.31, -0.07)
WIND_MPS = {"canal": (3.5, 3.0), "river": (3.5, 3.0), "lake": (4.0, 3.2), "coastal": (5.8, 4.5), "open": (6.5, 4.5)}
"""Mean wind of winter and summer by kind of water: common practice, no source."""
WATER_RANGE = 0.5
"""Daily range of temperature over open water over that on land: a judgement, not tested."""


@dataclass(frozen=True)
class AirClimate:
    """Daily mean air temperature: mean_c, sd_c, lag-1 correlation, correlation with the clearness score, range_year_k.

    ``range_year_k`` is A, the warmest less the coldest monthly mean, K. All arrays have the shape of place and day
    broadcast.
    """

    mean_c: Floats
    sd_c: Floats
    lag1: Floats
    correlation: Floats
    range_year_k: Floats


def air_climate(
    lat_deg: ArrayLike, lon_deg: ArrayLike, height_m: ArrayLike | None, day_of_year: ArrayLike
) -> AirClimate:
    """Climate of the air at places and days, broadcast.

    Monthly means of ITU-R P.1510-1, linear between mid-months, brought from the mean ground height around to
    ``height_m`` by the standard lapse rate. A height of None, NaN or 0 (what a voyage file says by leaving it out)
    counts as unknown: the grid's own height stands. Root mean square error against stations 1.7 K without heights,
    more than 3 K too cold in valleys between mountains, as much too warm on lone tops.
    """
    months, grid_height_m = layers_at(lat_deg, lon_deg)
    day, lat = np.asarray(day_of_year, dtype=float), np.asarray(lat_deg, dtype=float)
    shape = np.broadcast_shapes(grid_height_m.shape, day.shape, np.shape(0.0 if height_m is None else height_m))
    before, after, late = (np.broadcast_to(part, shape) for part in month_position(day))
    place = np.broadcast_to(np.arange(grid_height_m.size).reshape(grid_height_m.shape), shape)
    table = months.reshape(-1, 12)
    mean = table[place, before] * (1 - late) + table[place, after] * late
    year = np.broadcast_to(np.ptp(months, axis=-1), shape)
    return AirClimate(
        mean_c=mean + height_correction_k(height_m, grid_height_m),
        sd_c=seasonal(SD_BASE_K, day, lat) + seasonal(SD_PER_K, day, lat) * year,
        lag1=np.broadcast_to(seasonal(LAG1, day, lat), shape),
        correlation=np.broadcast_to(correlation(day, lat), shape),
        range_year_k=year,
    )


def height_correction_k(height_m: ArrayLike | None, grid_height_m: ArrayLike) -> Floats:
    """What to add to the grid's temperature [K] at a height [m], broadcast; 0 where the height is None, NaN or 0."""
    if height_m is None:
        return np.zeros_like(np.asarray(grid_height_m, dtype=float))
    height = np.asarray(height_m, dtype=float)
    gain = LAPSE_K_PER_M * (np.asarray(grid_height_m, dtype=float) - height)
    return np.where(np.isnan(height) | (height == 0), 0.0, gain)


def correlation(day_of_year: ArrayLike, lat_deg: ArrayLike = 45.0) -> Floats:
    """Correlation [-] of the temperature anomaly with the clearness score, broadcast: clear winter days are cold."""
    return seasonal(CORRELATION, day_of_year, lat_deg)


def diurnal_range_k(
    lat_deg: ArrayLike,
    day_of_year: ArrayLike,
    clearness: ArrayLike,
    range_year_k: ArrayLike,
    open_water: ArrayLike = False,
) -> Floats:
    """Highest less lowest air temperature of a day [K], all broadcast: 0.7 + (7.1 + 0.385·A)·K + 0.22·H0."""
    k, year = np.asarray(clearness, dtype=float), np.asarray(range_year_k, dtype=float)
    land = 0.7 + (7.1 + 0.385 * year) * k + 0.22 * extraterrestrial_kwh_m2(lat_deg, day_of_year)
    return np.asarray(land * np.where(np.asarray(open_water), WATER_RANGE, 1.0))


def hourly_c(mean_c: ArrayLike, range_k: ArrayLike, solar_hour: ArrayLike) -> Floats:
    """Air temperature [°C] at solar hours 0-24 of days of given mean and range, all broadcast; warmest near 15:00.

    Mean shape of Erbs, Klein & Beckman 1983, ASHRAE Journal 25(6):60, from memory; it averages to zero and spans
    0.98 of the range.
    """
    t = 2 * np.pi * (np.asarray(solar_hour, dtype=float) - 1) / 24
    wave = (
        0.4632 * np.cos(t - 3.805)
        + 0.0984 * np.cos(2 * t - 0.360)
        + 0.0168 * np.cos(3 * t - 0.822)
        + 0.0138 * np.cos(4 * t - 3.513)
    )
    return np.asarray(np.asarray(mean_c, dtype=float) + np.asarray(range_k, dtype=float) * wave)


def wind_mean_mps(water: str, lat_deg: ArrayLike, day_of_year: ArrayLike) -> Floats:
    """Mean wind [m/s] on a kind of water, latitude and day broadcast: a cosine from mid-January to mid-July."""
    winter, summer = WIND_MPS[water]
    later = np.where(np.asarray(lat_deg, dtype=float) < 0, YEAR_DAYS / 2, 0.0)
    swing = np.cos(2 * np.pi * (np.asarray(day_of_year, dtype=float) - 15 + later) / YEAR_DAYS)
    return np.asarray((winter + summer) / 2 + (winter - summer) / 2 * swing)
