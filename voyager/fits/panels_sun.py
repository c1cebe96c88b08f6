"""What arrays would give over spans of time without loss: under a clear sky, the measured sun, or a day's clearness."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from voyager.boat.arrays import PanelArray, power_w
from voyager.energy.mount import NEIGHBOUR_SHADES_BELOW
from voyager.errors import InputError
from voyager.fits.panels_rows import Ints, Spans
from voyager.fits.result import Floats
from voyager.sky.air import air_climate, diurnal_range_k, hourly_c, wind_mean_mps
from voyager.sky.extra import extraterrestrial_kwh_m2
from voyager.sky.hours import day_shape
from voyager.sky.instants import clear_at, extra_w_m2, split_at, sun_at
from voyager.sky.light import Irradiance, Sun, irradiance_on
from voyager.sky.measured import day_of_year
from voyager.sky.plane import kinds_on_plane
from voyager.sky.sun import DAY_S, SOLAR_DAY_S_PER_DEG, ephemeris, half_day_arc_rad, to_utc

PARTS = ("morning", "midday", "afternoon")
"""Thirds of the time from sunrise to sunset, by the sun's own clock."""
STEP_S = 600.0
USUAL_CLEARNESS = 0.5
"""For the daily range of the air only."""


@dataclass(frozen=True)
class Where:
    """Position [degrees] and height [m] of the log."""

    lat: float
    lon: float
    height_m: float = 0.0


@dataclass(frozen=True)
class Steps:
    """Sunlit sub-steps of rows (m,), one array each: row, part of the day 0-2, energy without loss [kWh] of each kind
    of sky (k, m), the most that the controller lets through [kWh]."""

    row: Ints
    part: Ints
    energy_kwh: Floats
    most_kwh: Floats

    def by_row(self, rows: int) -> Floats:
        """Energy without loss and limit [kWh] (k, rows)."""
        return np.stack([np.bincount(self.row, kind, rows) for kind in self.energy_kwh])


@dataclass(frozen=True)
class Sky:
    """Sub-steps (m,) with their sun and sky (k, m): row they belong to and middle [s]."""

    row: Ints
    middle_s: Floats
    sun: Sun
    sky: Irradiance


def clear_sky(spans: Spans, where: Where) -> Sky:
    """A cloudless sky over the rows in steps of ten minutes at most; InputError where the sun is up in none."""
    row, middle, sun = _suns(spans, where)
    if not len(row):
        raise InputError("the sun is down in every row: log by day, and look at the place and the times")
    return Sky(row, middle, sun, clear_at(middle, where.lat, where.lon, where.height_m)[None])


def measured_sky(spans: Spans, where: Where) -> Sky:
    """The sky that gives each row its measured irradiation.

    Rows shorter than a day have one clearness throughout and the hourly relation for diffuse; whole days are spread as
    the planner spreads a day of the same clearness, with the daily relation.
    """
    if np.any(spans.whole_day):
        return _day_sky(spans, where, _daily_clearness(spans, where)[None])
    row, middle, sun = _suns(spans, where)
    outside = sun.weight_h * extra_w_m2(middle) * sun.cos_zenith / 1000
    total = np.bincount(row, outside, len(spans))
    clearness = np.divide(spans.ghi_kwh_m2, total, out=np.zeros(len(spans)), where=total > 0)
    return Sky(row, middle, sun, split_at(middle, clearness[row], sun.cos_zenith)[None])


def days_sky(spans: Spans, where: Where, clearness: Floats) -> Sky:
    """Whole solar days, one a row, at each clearness (k,)."""
    return _day_sky(spans, where, np.broadcast_to(clearness[:, None], (len(clearness), len(spans))))


def irradiation_kwh_m2(sky: Sky, rows: int) -> Floats:
    """On the horizontal, by row, of the first kind of sky [kWh/m²]."""
    return np.bincount(sky.row, sky.sun.weight_h * sky.sky.ghi_w_m2[0], rows) / 1000


def highest_sine(sky: Sky, rows: int) -> Floats:
    """Sine of the sun's greatest altitude in each row; 0 where it is down."""
    out = np.zeros(rows)
    np.maximum.at(out, sky.row, np.where(sky.sun.weight_h > 0, sky.sun.cos_zenith, 0.0))
    return out


def steps_of(sky: Sky, spans: Spans, arrays: Sequence[PanelArray], where: Where) -> Steps:
    """What the arrays, mounted as each row says, give under a sky, without loss_percent."""
    lit = np.flatnonzero(sky.sun.weight_h > 0)
    sky = Sky(sky.row[lit], sky.middle_s[lit], sky.sun[lit], sky.sky[:, lit])
    part, air, wind = _part(sky.middle_s, where), _air_c(sky, spans, where), _wind_mps(sky.middle_s, where)
    energies, limits = [], []
    for array in arrays:
        watts = _watts(array, sky, spans, air, wind)
        energies.append(watts * sky.sun.weight_h / 1000)
        limit = np.inf if array.controller_max_w is None else array.controller_max_w
        limits.append(limit * sky.sun.weight_h / 1000)
    many = len(arrays)
    return Steps(np.tile(sky.row, many), np.tile(part, many), np.concatenate(energies, axis=1), np.concatenate(limits))


def tilt_sine(spans: Spans, arrays: Sequence[PanelArray]) -> float:
    """Mean sine of the tilt, by rated power and row."""
    moored = float(np.mean(spans.moored))
    sines = [np.sin(np.radians((a.tilt_deg, a.moored_tilt_deg))) @ (1 - moored, moored) for a in arrays]
    return float(np.average(sines, weights=[a.rated_w for a in arrays]))


def _suns(spans: Spans, where: Where) -> tuple[Ints, Floats, Sun]:
    seconds = spans.end_s - spans.start_s
    count = np.maximum(np.ceil(seconds / STEP_S).astype(np.int64), 1)
    row = np.repeat(np.arange(len(spans)), count)
    number = np.arange(len(row)) - np.repeat(np.cumsum(count) - count, count)
    width = (seconds / count)[row]
    middle = spans.start_s[row] + (number + 0.5) * width
    sun = sun_at(middle, width / 3600, where.lat, where.lon)
    lit = np.flatnonzero(sun.weight_h > 0)
    return row[lit], middle[lit], sun[lit]


def _daily_clearness(spans: Spans, where: Where) -> Floats:
    extra = extraterrestrial_kwh_m2(where.lat, day_of_year(spans.day.astype("datetime64[D]")))
    return np.divide(spans.ghi_kwh_m2, extra, out=np.zeros(len(spans)), where=extra > 0)


def _day_sky(spans: Spans, where: Where, clearness: Floats) -> Sky:
    """Solar days of rows (n,) at clearness (k, n)."""
    first, last = int(spans.day.min()), int(spans.day.max())
    starts = np.arange(first, last + 2) * DAY_S - SOLAR_DAY_S_PER_DEG * where.lon
    shape = day_shape(to_utc(starts), np.full(last + 1 - first, 24.0), where.lat, where.lon)
    light = shape.light[spans.day - first, 0]
    row, hour, part = np.nonzero(light.sun.weight_h > 0)
    light = light[row, hour, part]
    middle = starts[spans.day[row] - first] + 3600.0 * hour + 900.0 * (part + 0.5)
    return Sky(row, middle, light.sun, irradiance_on(light[None], clearness[:, row]))


def _part(middle_s: Floats, where: Where) -> Ints:
    """Part of the day 0-2 by the hour angle against that of sunset."""
    if not len(middle_s):
        return np.zeros(0, dtype=np.int64)
    table = ephemeris(int(middle_s.min() // DAY_S), int(middle_s.max() // DAY_S))
    declination, ahead = table.at(middle_s)
    angle = 2 * np.pi * ((middle_s + ahead + SOLAR_DAY_S_PER_DEG * where.lon) / DAY_S % 1.0 - 0.5)
    arc = np.maximum(half_day_arc_rad(np.radians(where.lat), declination), 1e-6)
    return np.asarray(np.digitize(angle / arc, (-1 / 3, 1 / 3)), dtype=np.int64)


def _air_c(sky: Sky, spans: Spans, where: Where) -> Floats:
    """Air of each sub-step: as logged, else the climate's."""
    day = day_of_year(to_utc(sky.middle_s).astype("datetime64[D]"))
    climate = air_climate(where.lat, where.lon, where.height_m, day)
    swing = diurnal_range_k(where.lat, day, USUAL_CLEARNESS, climate.range_year_k)
    hour = (sky.middle_s + SOLAR_DAY_S_PER_DEG * where.lon) % DAY_S / 3600
    usual = hourly_c(climate.mean_c, swing, hour)
    return np.where(np.isnan(spans.air_c[sky.row]), usual, spans.air_c[sky.row])


def _wind_mps(middle_s: Floats, where: Where) -> Floats:
    return wind_mean_mps("river", where.lat, day_of_year(to_utc(middle_s).astype("datetime64[D]")))


def _watts(array: PanelArray, sky: Sky, spans: Spans, air: Floats, wind: Floats) -> Floats:
    """Power (k, m) without loss and limit; what the file says of shade stays in it."""
    bare = replace(array, loss_percent=0.0, controller_max_w=None)
    moored = spans.moored[sky.row]
    heading = np.nan_to_num(spans.heading_deg[sky.row])
    raised = moored & (array.raised and array.moored_tilt_deg > 0)
    tilt = np.where(moored, array.moored_tilt_deg, array.tilt_deg)
    low = (sky.sun.cos_zenith < NEIGHBOUR_SHADES_BELOW) & raised
    through = (1 - array.shade_percent / 100) * np.where(low, 1 - array.rows_shade_percent / 100, 1.0)

    def on(azimuth: Floats) -> Floats:
        plane = kinds_on_plane(sky.sun, sky.sky, tilt, azimuth + heading)
        return power_w(bare, plane.effective_w_m2 * through, plane.poa_w_m2 * through, air, wind)

    power = on(np.where(moored, array.moored_azimuth_deg, array.azimuth_deg))
    if not (array.sunward and np.any(moored)):
        return power
    other = on(np.where(moored, -array.moored_azimuth_deg, array.azimuth_deg))
    return _better(power, other, spans.day[sky.row], sky.sun.weight_h)


def _better(power: Floats, other: Floats, day: Ints, weight_h: Floats) -> Floats:
    """The side (k, m) that gives more over each day."""
    index = np.unique(day, return_inverse=True)[1]
    gain = np.stack([np.bincount(index, kind * weight_h) for kind in other - power])
    return np.where(gain[:, index] > 0, other, power)
