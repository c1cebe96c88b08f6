"""A day's clearness spread over the day: quarter-hours from sunrise to sunset, finite at the horizon.

Global by the Collares-Pereira & Rabl share, diffuse by Liu & Jordan's share of the *daily* Erbs fraction. Both shares
are cos z times a smooth factor, so (G - D)/cos z is the difference of the factors and nothing is divided.
"""

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from voyager.sky.extra import SOLAR_CONSTANT_W_M2, distance_factor, extraterrestrial_kwh_m2
from voyager.sky.light import Irradiance, Light, Sun, irradiance_on
from voyager.sky.shares import SHORT_DAY_DEG, share_coefficients
from voyager.sky.sun import DAY_S, SOLAR_DAY_S_PER_DEG, Crossings, Ephemeris, crossings, ephemeris, unix_s

Floats = NDArray[np.float64]

HOURS = 25
PARTS = 4
STEP_S = 3600.0 / PARTS
PARALLAX_RAD = np.radians(8.794 / 3600)
"""Horizontal parallax of the sun: it lowers the sun by little, yet by half a percent of a polar noon."""
MAX_EXCESS = 1.1
"""The beam trusts a day's H0 up to this ratio to the sun's true path (it matters where the polar night ends)."""


@dataclass(frozen=True)
class DayShape:
    """Sub-steps of voyager days (D, S, H, 4), weight 0 where the sun is down or the day has no such hour."""

    light: Light

    @property
    def days(self) -> int:
        """Number of voyager days."""
        return int(self.light.sun.weight_h.shape[0])

    @property
    def stations(self) -> int:
        """Number of stations."""
        return int(self.light.sun.weight_h.shape[1])

    @property
    def azimuth_deg(self) -> Floats:
        """Azimuth of the sun clockwise from north, 0 to 360 [degrees] (D, S, H, 4)."""
        return np.asarray(np.degrees(np.arctan2(self.light.sun.east, self.light.sun.north)) % 360.0)

    @property
    def extraterrestrial_wh_m2(self) -> Floats:
        """Irradiation per unit of clearness in each hour step [Wh/m²] (D, S, H)."""
        return np.asarray(np.sum(self.light.sun.weight_h * self.light.global_w, axis=-1))


def irradiance(shape: DayShape, clearness: ArrayLike) -> Irradiance:
    """Irradiance (D, S, H, 4, n) of the sub-steps of days with daily clearness (D, S, n)."""
    k = np.asarray(clearness, dtype=float)[:, :, None, None, :]
    return irradiance_on(shape.light[..., None], k)


def day_shape(days_starts_utc: ArrayLike, length_h: ArrayLike, lat: ArrayLike, lon: ArrayLike) -> DayShape:
    """Sub-steps of voyager days between instants (D + 1,), of 23 to 25 hours (D,), at stations (S,) in degrees.

    Each sub-step is cut at sunrise and sunset (sun's centre on the true horizon) and stands for its mean. The
    shares are renormalised so that a *solar* day (the sun once around, about its noon at one station) sums to K·H0 of
    its date by local solar time, whichever voyager day its hours fall into. Any time zone, polar day and night.
    """
    grid = _Grid.over(unix_s(days_starts_utc), np.asarray(length_h, dtype=float), lat, lon)
    full = grid.light()
    return DayShape(full[1:-1])


@dataclass(frozen=True)
class _Grid:
    """Sunlit sub-steps of D + 2 windows: one more on both sides, so that every solar day is whole."""

    lat_rad: Floats
    lon: Floats
    table: Ephemeris
    first_date: int
    horizon: Crossings
    shape: tuple[int, ...]
    lit: tuple[NDArray[np.int64], ...]
    solar_day: NDArray[np.int64]
    middle_s: Floats
    weight_h: Floats

    @classmethod
    def over(cls, starts_s: Floats, length_h: Floats, lat: ArrayLike, lon: ArrayLike) -> "_Grid":
        latitude, longitude = np.atleast_1d(np.asarray(lat, float)), np.atleast_1d(np.asarray(lon, float))
        starts = np.concatenate(([starts_s[0] - DAY_S], starts_s))
        steps = (starts[:, None] + STEP_S * np.arange(HOURS * PARTS))[:, None, :]
        ends = np.minimum(steps + STEP_S, (starts + 3600 * np.r_[24, length_h, 24])[:, None, None])
        first, last = int(starts[0] // DAY_S) - 2, int(starts[-1] // DAY_S) + 3
        table = ephemeris(first, last)
        near = np.arange(first, last + 1)[:, None] * DAY_S + DAY_S / 2 - SOLAR_DAY_S_PER_DEG * longitude
        horizon = crossings(table, near, latitude, longitude, float(np.degrees(PARALLAX_RAD)))
        day = _solar_day(table, (steps + STEP_S / 2), longitude[:, None]) - first
        where = day, np.arange(len(latitude))[:, None]
        rise = np.where(horizon.up_all_day, -np.inf, horizon.rise_s)
        dusk = np.where(horizon.up_all_day, np.inf, horizon.set_s)
        start, end = np.maximum(steps, rise[where]), np.minimum(ends, dusk[where])
        lit = np.nonzero(end > start)
        middle, weight = (start[lit] + end[lit]) / 2, (end[lit] - start[lit]) / 3600
        return cls(np.radians(latitude), longitude, table, first, horizon, day.shape, lit, day[lit], middle, weight)

    def light(self) -> Light:
        """Fields on (D + 2, S, H, 4)."""
        station = self.lit[1]
        of_year = _day_of_year(self.first_date, self.horizon.noon_s.shape[0])
        dusk = ((self.horizon.set_s - self.horizon.rise_s) * np.pi / DAY_S)[self.solar_day, station]
        cosine, east, north, factor, product = self._means(station, *share_coefficients(dusk))
        total_wh = 1000 * extraterrestrial_kwh_m2(np.degrees(self.lat_rad), of_year[:, None])
        extra = (SOLAR_CONSTANT_W_M2 * distance_factor(of_year))[self.solar_day]
        whole, flat = self._scale(total_wh, product, station), self._scale(total_wh, cosine, station)
        calm = np.minimum(1.0, MAX_EXCESS * extra / np.maximum(flat, 1e-9))
        return Light(
            Sun(*map(self._spread, (self.weight_h, cosine, east, north))),
            global_w=self._spread(whole * product),
            beam_global_w=self._spread(calm * whole * factor),
            beam_diffuse_w=self._spread(calm * flat),
            extra_w=self._spread(extra, SOLAR_CONSTANT_W_M2),
            short_day=self._spread(np.degrees(dusk) <= SHORT_DAY_DEG),
        )

    def _means(self, station: NDArray[np.int64], a: Floats, b: Floats) -> tuple[Floats, ...]:
        """Means over each sub-step: cos z, the sun's direction east and north, a + b·cos ω, and that times cos z.

        Exact for the declination of the middle, so that sums over a day are integrals however short the day is. The
        last but one is weighted with cos z, which over a sunlit sub-step is never 0, and so within a + b·cos ω of it.
        """
        declination, ahead = self.table.at(self.middle_s)
        turn = (self.middle_s + ahead + SOLAR_DAY_S_PER_DEG * self.lon[station]) / DAY_S
        angle, width = 2 * np.pi * (turn % 1.0 - 0.5), self.weight_h / 24
        once, twice = np.cos(angle) * np.sinc(width), 0.5 + 0.5 * np.cos(2 * angle) * np.sinc(2 * width)
        phi, sin_d, cos_d = self.lat_rad[station], np.sin(declination), np.cos(declination)
        steady, swing = np.sin(phi) * sin_d - PARALLAX_RAD, np.cos(phi) * cos_d
        cosine = np.clip(steady + swing * once, 0.0, 1.0)
        product = np.maximum(a * cosine + b * (steady * once + swing * twice), 0.0)
        east, north = -cos_d * np.sin(angle), sin_d * np.cos(phi) - cos_d * np.sin(phi) * np.cos(angle)
        level = np.sqrt((1.0 - cosine**2) / np.maximum(east**2 + north**2, 1e-12))
        factor = np.clip(product / np.maximum(cosine, 1e-12), 0.0, a + b)
        return cosine, east * level, north * level, factor, factor * cosine

    def _scale(self, total_wh: Floats, share: Floats, station: NDArray[np.int64]) -> Floats:
        """What brings the sum of ``share`` over each solar day of a station to its irradiation [W/m²]."""
        key = self.solar_day * len(self.lon) + station
        sums = np.bincount(key, self.weight_h * share, total_wh.size)
        ratio = np.divide(total_wh.ravel(), sums, out=np.zeros(total_wh.size), where=sums > 0)
        return np.asarray(ratio[key])

    def _spread(self, values: NDArray[Any], fill: float = 0.0) -> NDArray[Any]:
        out = np.full(self.shape, fill, dtype=values.dtype)
        out[self.lit] = values
        return out.reshape(*self.shape[:2], HOURS, PARTS)


def _solar_day(table: Ephemeris, time_s: Floats, lon: Floats) -> NDArray[np.int64]:
    _, ahead = table.at(time_s)
    return np.floor((time_s + ahead + SOLAR_DAY_S_PER_DEG * lon) / DAY_S).astype(np.int64)


def _day_of_year(first: int, count: int) -> NDArray[np.int64]:
    days = np.arange(first, first + count).astype("datetime64[D]")
    return np.asarray((days - days.astype("datetime64[Y]").astype("datetime64[D]")).astype(np.int64) + 1)
