"""The weather that the boat meets: clearness, air, wind, cells, by day, station and kind of day.

A *kind* is one way the day may turn out: a sky (the chosen one, and the nodes that many skies are read between), a
poor day, and the cold night without sun that the heating reserve is made for.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from voyager.boat.battery import blocked, cell_step_c, floor_kwh
from voyager.boat.vessel import Vessel
from voyager.energy.climate import Climate, Stations, climate
from voyager.route.calendar import Days
from voyager.sky.air import diurnal_range_k, hourly_c
from voyager.sky.clearness import clearness
from voyager.sky.days import COLD_SD, poor_margin, poor_score

__all__ = ["HOURS", "Air", "Kinds", "Stations", "Weather", "one_sky_weather", "solar_hour", "weather_of"]

Floats = NDArray[np.float64]
HOURS = 25


@dataclass(frozen=True)
class Kinds:
    """The kinds of a voyage: normal scores (D,X) of the skies, their air (D,X) in standard deviations from its mean,
    normal scores (D,Y) of the poor days, the one of all classes first."""

    score: Floats
    air: Floats
    poor: Floats


@dataclass(frozen=True)
class Air:
    """Outside air of any day: mean_c + a·sd_c + (range_k + k·range_per_k)·wave for its score a and clearness k.

    All (D,S) but ``wave`` (D,S,H).
    """

    mean_c: Floats
    sd_c: Floats
    range_k: Floats
    range_per_k: Floats
    wave: Floats


@dataclass(frozen=True)
class Weather:
    """Kinds n: X skies, from ``poor`` on Y poor days, ``cold`` (the last) the cold night without sun.

    clearness (D,S,n) (0 for the cold kind), air_c (D,S,H,n), wind_mps (D,S,n), cell_c (D,S,H,n) lagged outside
    air, cold_cells (D,S,H,n) too cold to charge, blocked (D,S,H,n) the same where no heater warms them; floor_kwh (D,S)
    the highest of the day in its first sky and on its poor day.
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
    air: Air

    @property
    def poors(self) -> slice:
        """The poor days among the kinds."""
        return slice(self.poor, self.cold)


def solar_hour(days: Days, stations: Stations) -> Floats:
    """Mean solar time at the middle of every step, hours 0-24, (D,S,H)."""
    start = (days.starts_utc[:-1] - days.starts_utc[:-1].astype("datetime64[D]")) / np.timedelta64(3600, "s")
    hour = start[:, None, None] + np.arange(HOURS)[None, None, :] + 0.5 + stations.lon[None, :, None] / 15
    return np.asarray(hour % 24)


def one_sky_weather(
    vessel: Vessel, days: Days, stations: Stations, score: Floats, air_score: Floats
) -> Weather:
    """Weather of one sky, its poor day and its cold night. ``score``, ``air_score`` (D,) normal scores."""
    poor = np.broadcast_to(poor_score(1), (len(score), 1))
    kinds = Kinds(score[:, None], air_score[:, None], poor)
    return weather_of(vessel, days, stations, climate(days, stations), kinds)


def weather_of(vessel: Vessel, days: Days, stations: Stations, known: Climate, kinds: Kinds) -> Weather:
    """Weather of all kinds of day at all stations."""
    table, month = known.table[:, :, None, :], np.asarray(days.month)[:, None]
    skies, poors = kinds.score.shape[1], kinds.poor.shape[1]
    shape = (*known.mean_c.shape, skies)
    k_sky = clearness(np.broadcast_to(table, (*shape, table.shape[-1])), np.broadcast_to(kinds.score[:, None], shape))
    k_poor = clearness(
        np.broadcast_to(table, (*shape[:2], poors, table.shape[-1])),
        np.broadcast_to(kinds.poor[:, None], (*shape[:2], poors)),
    )
    k_poor = k_poor * poor_margin(stations.lat[None, :], month)[..., None]
    k = np.concatenate([k_sky, k_poor, np.zeros((*shape[:2], 1))], axis=-1)
    cold = np.full((len(month), poors + 1), -COLD_SD)
    shift = np.concatenate([kinds.air, cold], axis=1)[:, None] * known.sd_c[..., None]
    parts = _air(days, stations, known)
    air = hourly_air_c(parts, known.mean_c[..., None] + shift, k)
    wind = np.repeat(known.wind_mps[..., None], k.shape[-1], axis=-1)
    wind[..., skies : skies + poors] = known.poor_wind_mps[..., None]
    cell = _cells(days, air)
    cold_cells = np.asarray(blocked(vessel.battery, cell))
    return Weather(
        k,
        air,
        wind,
        cell,
        cold_cells,
        cold_cells & (vessel.battery.heater_w <= 0),
        np.asarray(floor_kwh(vessel.battery, cell[..., [0, skies]]).max(axis=(2, 3))),
        skies,
        skies + poors,
        parts,
    )


def _air(days: Days, stations: Stations, known: Climate) -> Air:
    doy, lat = np.asarray(days.day_of_year)[:, None], stations.lat[None, :]
    still, per_k = (
        diurnal_range_k(lat, doy, k, known.range_year_k, stations.exposed[None, :]) for k in (0.0, 1.0)
    )
    wave = hourly_c(0.0, 1.0, solar_hour(days, stations))
    return Air(known.mean_c, known.sd_c, still, per_k - still, wave)


def hourly_air_c(air: Air, mean_c: Floats, clearness_of: Floats) -> Floats:
    """Outside air (D,S,H,n) of kinds with a mean (D,S,n) and a clearness (D,S,n)."""
    swing = air.range_k[..., None] + air.range_per_k[..., None] * clearness_of
    return np.asarray(mean_c[:, :, None] + swing[:, :, None] * air.wave[..., None])


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
