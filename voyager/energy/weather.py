"""The weather that the boat meets: climate, clearness, air, wind, cells, by day, station and kind of sky.

A *kind* is one way the day may turn out: the chosen sky (or a class's node), the poor day, and the cold night
without sun that the heating reserve is made for. Stations are degree squares that the route crosses.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from voyager.boat.battery import blocked, cell_step_c, floor_kwh
from voyager.boat.vessel import Vessel
from voyager.route.calendar import Days
from voyager.sky.air import AirClimate, air_climate, diurnal_range_k, hourly_c, wind_mean_mps
from voyager.sky.clearness import clearness, quantiles
from voyager.sky.days import COLD_SD, WIND_POOR, poor_margin, poor_score

Floats = NDArray[np.float64]
HOURS = 25
EXPOSED_WIND, INLAND_WIND = "coastal", "canal"


@dataclass(frozen=True)
class Stations:
    """Degree squares of the route: (S,) mean position, height m, and whether the sea's wind blows there."""

    lat: Floats
    lon: Floats
    height_m: Floats
    exposed: NDArray[np.bool_]


@dataclass(frozen=True)
class Weather:
    """Kinds n: 0..n-3 skies, n-2 the poor day, n-1 the cold night without sun.

    clearness (D,S,n) (0 for the cold kind), air_c (D,S,H,n), wind_mps (D,S,n), cell_c (D,S,H,n) lagged outside
    air, cold_cells (D,S,H,n) too cold to charge, blocked (D,S,H,n) the same where no heater warms them; floor_kwh (D,S)
    the highest of the day in its sky and on its poor day.
    """

    clearness: Floats
    air_c: Floats
    wind_mps: Floats
    cell_c: Floats
    cold_cells: NDArray[np.bool_]
    blocked: NDArray[np.bool_]
    floor_kwh: Floats
    poor: int
    cold: int


def solar_hour(days: Days, stations: Stations) -> Floats:
    """Mean solar time at the middle of every step, hours 0-24, (D,S,H)."""
    start = (days.starts_utc[:-1] - days.starts_utc[:-1].astype("datetime64[D]")) / np.timedelta64(3600, "s")
    hour = start[:, None, None] + np.arange(HOURS)[None, None, :] + 0.5 + stations.lon[None, :, None] / 15
    return np.asarray(hour % 24)


def one_sky_weather(
    vessel: Vessel, days: Days, stations: Stations, score: Floats, air_score: Floats
) -> Weather:
    """Weather of one sky, its poor day and its cold night. ``score``, ``air_score`` (D,) normal scores."""
    doy = np.asarray(days.day_of_year)[:, None]
    lat, lon = stations.lat[None, :], stations.lon[None, :]
    table = quantiles(lat, lon, doy)
    climate = air_climate(lat, lon, stations.height_m[None, :], doy)
    month = np.asarray(days.month)[:, None]
    k_sky = clearness(table, score[:, None])
    k_poor = clearness(table, np.full_like(k_sky, poor_score(1)[0])) * poor_margin(lat, month)
    k = np.stack([k_sky, k_poor, np.zeros_like(k_sky)], axis=-1)
    shift = np.stack(
        [air_score[:, None] * climate.sd_c, -COLD_SD * climate.sd_c, -COLD_SD * climate.sd_c], axis=-1
    )
    air = _hourly_air(days, stations, climate, climate.mean_c[..., None] + shift, k, doy)
    gusts = np.where(stations.exposed[None, :, None], [1.0, WIND_POOR, 1.0], 1.0)
    wind = _wind(stations, days)[..., None] * gusts
    cell = _cells(days, air)
    cold = np.asarray(blocked(vessel.battery, cell))
    return Weather(
        k,
        air,
        wind,
        cell,
        cold,
        cold & (vessel.battery.heater_w <= 0),
        np.asarray(floor_kwh(vessel.battery, cell[..., :2]).max(axis=(2, 3))),
        1,
        2,
    )


def _hourly_air(
    days: Days, stations: Stations, climate: AirClimate, mean_c: Floats, k: Floats, doy: NDArray[np.int64]
) -> Floats:
    year_k = np.broadcast_to(climate.range_year_k, mean_c.shape[:2])[..., None]
    range_k = diurnal_range_k(stations.lat[None, :, None], doy[..., None], k, year_k, stations.exposed[None, :, None])
    hour = solar_hour(days, stations)
    return np.asarray(hourly_c(mean_c[:, :, None, :], range_k[:, :, None, :], hour[..., None]))


def _wind(stations: Stations, days: Days) -> Floats:
    doy = np.asarray(days.day_of_year)[:, None]
    sea = wind_mean_mps(EXPOSED_WIND, stations.lat[None, :], doy)
    land = wind_mean_mps(INLAND_WIND, stations.lat[None, :], doy)
    return np.asarray(np.where(stations.exposed[None, :], sea, land))


def _cells(days: Days, air_c: Floats) -> Floats:
    """Lagged outside air at the start of each step (D,S,H,n): the sky's own through all days; every other kind leaves
    it at the start of its day."""
    cell = np.empty_like(air_c)
    sky = air_c[0, :, :, 0].mean(axis=1)
    for d, length in enumerate(days.length_h):
        now = np.repeat(sky[:, None], air_c.shape[-1], axis=1)
        for h in range(HOURS):
            cell[d, :, h] = now
            if h < length:
                now = cell_step_c(now, air_c[d, :, h], 1.0)
        sky = now[:, 0]
    return cell
