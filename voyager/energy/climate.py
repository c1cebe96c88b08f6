"""What is known of the weather before any day is drawn: clearness, air and wind by day and station.

The built-in climate, the user's own weather file in its place, and a hand forecast over its first days.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from voyager.route.calendar import Days
from voyager.sky.air import LAG1, air_climate, wind_mean_mps
from voyager.sky.clearness import PROBABILITIES, quantiles
from voyager.sky.days import WIND_POOR
from voyager.sky.extra import extraterrestrial_kwh_m2
from voyager.sky.season import seasonal

if TYPE_CHECKING:
    from voyager.route.voyage import Forecast
    from voyager.sky.record import Record

Floats = NDArray[np.float64]
EXPOSED_WIND, INLAND_WIND = "coastal", "canal"
LESS = 1e-9
"""What a day that is just calm enough is calmer by."""


@dataclass(frozen=True)
class Stations:
    """Degree squares of the route: (S,) mean position, height m, and whether the sea's wind blows there."""

    lat: Floats
    lon: Floats
    height_m: Floats
    exposed: NDArray[np.bool_]

    @property
    def mean_lat(self) -> float:
        """Latitude of the voyage as a whole, for what changes slowly with it."""
        return float(np.mean(self.lat))


@dataclass(frozen=True)
class Climate:
    """Distributions by day and station: clearness quantiles (D,S,16); air mean, sd, correlation with the score and
    yearly range (D,S); wind of a mean and of a poor day (D,S) m/s.

    ``mean``, ``spread`` (D,): the day's score is N(mean, spread²) by the forecast, nan without one. ``air_told`` (D,):
    how far ``mean_c`` is a forecast's own, 1 on its days, fading after. ``wind_known_mps`` (D,) where forecast, nan
    elsewhere. ``wind_table`` (D,16): quantiles of the weather file's wind, None without.
    """

    table: Floats
    mean_c: Floats
    sd_c: Floats
    correlation: Floats
    range_year_k: Floats
    wind_mps: Floats
    poor_wind_mps: Floats
    mean: Floats
    spread: Floats
    air_told: Floats
    wind_known_mps: Floats
    wind_table: Floats | None = None

    def calm(self, limit_mps: float) -> Floats:
        """Share of the weather file's days (D,) with a mean wind of at most ``limit_mps``; 1 where it has none."""
        if self.wind_table is None:
            return np.ones(len(self.mean))
        return np.asarray([np.interp(limit_mps, row, PROBABILITIES, left=0.0, right=1.0) for row in self.wind_table])

    def rank(self, wind_mps: Floats) -> Floats:
        """Share of the weather file's days with less wind than that of each member's day (M,D), below 1: its sea draw,
        which allows what asks for no calmer day."""
        table = np.zeros((len(self.mean), 1)) if self.wind_table is None else self.wind_table
        days = zip(wind_mps.T, table[: wind_mps.shape[1]], strict=True)
        share = np.asarray([np.interp(wind, row, PROBABILITIES, left=0.0, right=1.0) for wind, row in days]).T
        return np.maximum(share - LESS, 0.0)


def climate(
    days: Days,
    stations: Stations,
    *,
    record: "Record | None" = None,
    forecast: "Sequence[Forecast]" = (),
    skill: float = 0.8,
    here: int = 0,
) -> Climate:
    """The built-in climate, or the weather file's, with the forecast over it, made for station ``here``."""
    base = _built_in(days, stations)
    if record is not None:
        base = _of_record(base, record, days)
    return _forecast(base, days, stations, forecast, skill, here) if forecast else base


def _built_in(days: Days, stations: Stations) -> Climate:
    doy = np.asarray(days.day_of_year)[:, None]
    lat, lon = stations.lat[None, :], stations.lon[None, :]
    air = air_climate(lat, lon, stations.height_m[None, :], doy)
    shape = air.mean_c.shape
    wind, nothing = _wind(days, stations), np.full(len(doy), np.nan)
    gust = np.where(stations.exposed[None, :], WIND_POOR, 1.0)
    return Climate(
        quantiles(lat, lon, doy),
        air.mean_c,
        np.broadcast_to(air.sd_c, shape),
        np.broadcast_to(air.correlation, shape),
        np.broadcast_to(air.range_year_k, shape),
        wind,
        wind * gust,
        nothing,
        nothing,
        np.zeros(len(doy)),
        nothing,
    )


def _wind(days: Days, stations: Stations) -> Floats:
    doy = np.asarray(days.day_of_year)[:, None]
    sea = wind_mean_mps(EXPOSED_WIND, stations.lat[None, :], doy)
    land = wind_mean_mps(INLAND_WIND, stations.lat[None, :], doy)
    return np.asarray(np.where(stations.exposed[None, :], sea, land))


def _of_record(base: Climate, record: "Record", days: Days) -> Climate:
    """The weather file's own distributions at every station."""
    from voyager.sky.record import climate_of

    own = climate_of(record, np.asarray(days.day_of_year))
    shape = base.mean_c.shape

    def everywhere(values: Floats) -> Floats:
        return np.broadcast_to(values[:, None], shape)

    found = replace(
        base,
        table=np.broadcast_to(own.table[:, None, :], base.table.shape),
        mean_c=everywhere(own.mean_c),
        sd_c=everywhere(own.sd_c),
        correlation=everywhere(own.correlation),
    )
    if own.wind_mps is None:
        return found
    gust = base.poor_wind_mps / base.wind_mps
    wind = everywhere(own.wind_mps)
    table = None if own.wind_table is None else _by_month(own.wind_table, days)
    return replace(found, wind_mps=wind, poor_wind_mps=wind * gust, wind_table=table)


def _by_month(table: Floats, days: Days) -> Floats:
    """Rows (D,16) as the mean of their month: the sea then has few states, not one a day."""
    out = np.empty_like(table)
    for month in np.unique(days.month):
        here = days.month == month
        out[here] = table[here].mean(axis=0)
    return out


def _forecast(
    base: Climate, days: Days, stations: Stations, forecast: "Sequence[Forecast]", skill: float, here: int
) -> Climate:
    """Scores, air and wind of the forecast's days; what it leaves out stays the climate's."""
    from voyager.sky.forecast import known

    doy = np.asarray(days.day_of_year, dtype=float)
    lat, lon = float(stations.lat[here]), float(stations.lon[here])
    extra = extraterrestrial_kwh_m2(lat, doy)
    told = known(forecast, days.dates, base.table[:, here], extra, _clear_kwh_m2(forecast, days, lat, lon), skill)
    spread = np.where(np.isnan(told.spread), 1.0, told.spread)[:, None]
    share, gap_c, width = _air_told(told.air_c, spread, base, np.round(seasonal(LAG1, doy, stations.mean_lat), 4))
    wind = told.wind_mps[:, None]
    gust = 1 + (base.poor_wind_mps / base.wind_mps - 1) * spread
    return replace(
        base,
        mean_c=base.mean_c + gap_c,
        sd_c=base.sd_c * width,
        wind_mps=np.where(np.isnan(wind), base.wind_mps, wind),
        poor_wind_mps=np.where(np.isnan(wind), base.poor_wind_mps, wind * gust),
        mean=told.mean,
        spread=told.spread,
        air_told=share,
        wind_known_mps=told.wind_mps,
    )


def _air_told(air_c: Floats, spread: Floats, base: Climate, carry: Floats) -> tuple[Floats, Floats, Floats]:
    """How far the air of each day is the forecast's (D,), by how much its mean is off the climate's (D,S) and its
    spread over the climate's (D,1): told on the forecast's days, fading by the persistence ``carry`` (D,) after."""
    share, gap, width = np.zeros(len(air_c)), np.zeros(base.mean_c.shape), np.ones((len(air_c), 1))
    now, off, variance = 0.0, gap[0], np.ones(1)
    for d, air in enumerate(air_c):
        if np.isnan(air):
            now, off, variance = carry[d] * now, carry[d] * off, 1 + carry[d] ** 2 * (variance - 1)
        else:
            now, off, variance = 1.0, air - base.mean_c[d], spread[d] ** 2
        share[d], gap[d], width[d] = now, off, np.sqrt(variance)
    return share, gap, width


def _clear_kwh_m2(forecast: "Sequence[Forecast]", days: Days, lat: float, lon: float) -> Floats:
    """Clear-sky irradiation of the days that oktas are told for (D,), nan elsewhere."""
    from voyager.sky.sun import clear_sky_kwh_m2

    wanted = {row.date for row in forecast if row.oktas is not None}
    return np.asarray(
        [clear_sky_kwh_m2(lat, lon, day, 0.0) if day in wanted else np.nan for day in days.dates], dtype=float
    )
