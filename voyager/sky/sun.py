"""Where the sun stands, when it rises and sets, and what a clear sky would give; pvlib's SPA underneath."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

import numpy as np
from numpy.typing import ArrayLike, NDArray

from voyager.sky.extra import SOLAR_CONSTANT_W_M2, distance_factor

Floats = NDArray[np.float64]
Times = NDArray[np.datetime64]

DAY_S = 86400.0
RISE_ALTITUDE_DEG = -0.8333
"""Altitude of the sun's centre at sunrise: half its disc and mean refraction; US Naval Observatory's convention."""

SOLAR_DAY_S_PER_DEG = 240.0
ROUNDS = 3
"""Of the crossing's iteration; the declination moves by 0.4° a day at most."""


@dataclass(frozen=True)
class Ephemeris:
    """The sun at 0 h UTC of consecutive days (N,), read between them on a straight line.

    Both run so evenly that the straight line is within 0.001° of declination and 0.0005° of hour angle.
    """

    first_day: int
    declination_rad: Floats
    ahead_s: Floats

    def at(self, time_s: ArrayLike) -> tuple[Floats, Floats]:
        """Declination [rad] and equation of time [s] at Unix times [s], any shape."""
        day = np.asarray(time_s, dtype=float) / DAY_S - self.first_day
        whole = np.clip(day.astype(np.int64), 0, len(self.ahead_s) - 2)
        part = day - whole
        return _between(self.declination_rad, whole, part), _between(self.ahead_s, whole, part)


def _between(knots: Floats, whole: NDArray[np.int64], part: Floats) -> Floats:
    return np.asarray(knots[whole] + part * np.diff(knots)[whole])


def ephemeris(first_day: int, last_day: int) -> Ephemeris:
    """Ephemeris of the days ``first_day`` to ``last_day`` since 1970-01-01, a day to spare on both sides.

    The first days do not depend on how many follow.

    NREL's solar position algorithm, Reda & Andreas, NREL/TP-560-34302 (2008), as coded in pvlib.
    """
    from pvlib import spa

    days = np.arange(first_day - 1, last_day + 3)
    midnight_s = days * DAY_S
    delta_t = spa.calculate_deltat(*_year_month(midnight_s[:1]))
    sidereal, ascension, declination = spa.solar_position(midnight_s, 0, 0, 0, 0, 0, delta_t, 0, sst=True)
    ahead_deg = (sidereal - ascension + 360.0) % 360.0 - 180.0
    return Ephemeris(int(days[0]), np.radians(declination), ahead_deg * SOLAR_DAY_S_PER_DEG)


@dataclass(frozen=True)
class Crossings:
    """Unix times [s] of noon and of the sun crossing an altitude on (D, S); all day up: noon ∓ 12 h; down: noon."""

    rise_s: Floats
    noon_s: Floats
    set_s: Floats
    up_all_day: NDArray[np.bool_]
    down_all_day: NDArray[np.bool_]


def crossings(table: Ephemeris, near_noon_s: Floats, lat: Floats, lon: Floats, altitude_deg: float) -> Crossings:
    """When the sun crosses an altitude around the solar noon nearest to ``near_noon_s`` (D, S) at stations (S,).

    Duffie & Beckman equation 1.6.10 with the altitude of the horizon put in, iterated on the true declination.
    """
    noon = _noon(table, near_noon_s, lon)
    rise, rise_arc = _edge(table, noon, lat, lon, altitude_deg, -1)
    dusk, dusk_arc = _edge(table, noon, lat, lon, altitude_deg, +1)
    up, down = (rise_arc >= np.pi) & (dusk_arc >= np.pi), (rise_arc <= 0) & (dusk_arc <= 0)
    return Crossings(rise, noon, dusk, up, down)


def _noon(table: Ephemeris, near_noon_s: Floats, lon: Floats) -> Floats:
    _, ahead = table.at(near_noon_s)
    off = near_noon_s + SOLAR_DAY_S_PER_DEG * lon + ahead - DAY_S / 2
    noon = near_noon_s - (off + DAY_S / 2) % DAY_S + DAY_S / 2
    return noon - (table.at(noon)[1] - ahead)


def _edge(
    table: Ephemeris, noon_s: Floats, lat: Floats, lon: Floats, altitude_deg: float, side: int
) -> tuple[Floats, Floats]:
    time, arc = noon_s, noon_s
    for _ in range(ROUNDS):
        declination, ahead = table.at(time)
        arc = half_day_arc_rad(np.radians(lat), declination, altitude_deg)
        drift = ahead - table.at(noon_s)[1]
        time = noon_s + side * arc * DAY_S / (2 * np.pi) - drift
    return time, arc


def half_day_arc_rad(lat_rad: ArrayLike, declination_rad: ArrayLike, altitude_deg: float = 0.0) -> Floats:
    """Hour angle [rad] at which the sun stands at an altitude, 0 where it never rises, pi where it never sets."""
    phi, delta = np.asarray(lat_rad, dtype=float), np.asarray(declination_rad, dtype=float)
    level = np.maximum(np.cos(phi) * np.cos(delta), 1e-12)
    cosine = (np.sin(np.radians(altitude_deg)) - np.sin(phi) * np.sin(delta)) / level
    return np.asarray(np.arccos(np.clip(cosine, -1.0, 1.0)))


@dataclass(frozen=True)
class SunTimes:
    """Sunrise, solar noon and sunset (D, S) in UTC; rise and set are NaT where the sun does not cross the horizon."""

    rise_utc: Times
    noon_utc: Times
    set_utc: Times
    up_all_day: NDArray[np.bool_]
    down_all_day: NDArray[np.bool_]


def sun_times(lat: ArrayLike, lon: ArrayLike, dates: Sequence[date], *, midday_utc: Times | None = None) -> SunTimes:
    """Sun times of dates (D,) at stations (S,), within seconds of pvlib's SPA up to 60° and a minute beyond.

    A date means the solar noon nearest to ``midday_utc`` (D,), the civil noon of the date in the zone that is
    kept; left out, nearest to 12 h mean local time of the station. A sun that rises but no longer sets, the first
    evening of the midnight sun, "sets" at midnight.
    """
    latitude, longitude = np.atleast_1d(np.asarray(lat, float)), np.atleast_1d(np.asarray(lon, float))
    near = _midday_s(dates, longitude, midday_utc)
    table = ephemeris(int(near.min() // DAY_S) - 1, int(near.max() // DAY_S) + 1)
    found = crossings(table, near, latitude, longitude, RISE_ALTITUDE_DEG)
    none = found.up_all_day | found.down_all_day
    return SunTimes(
        np.where(none, np.datetime64("NaT"), to_utc(found.rise_s)),
        to_utc(found.noon_s),
        np.where(none, np.datetime64("NaT"), to_utc(found.set_s)),
        found.up_all_day,
        found.down_all_day,
    )


def _midday_s(dates: Sequence[date], lon: Floats, midday_utc: Times | None) -> Floats:
    if midday_utc is not None:
        return np.asarray(unix_s(midday_utc)[:, None] + np.zeros(len(lon)))
    days = np.array(dates, dtype="datetime64[D]").astype(np.int64)
    return np.asarray(days[:, None] * DAY_S + DAY_S / 2 - SOLAR_DAY_S_PER_DEG * lon)


def unix_s(times_utc: ArrayLike) -> Floats:
    """Unix times [s] of UTC instants, any shape."""
    return np.asarray(np.asarray(times_utc, dtype="datetime64[s]").astype(np.int64).astype(float))


def to_utc(time_s: ArrayLike) -> Times:
    """UTC instants, to the second, of Unix times [s], any shape."""
    return np.asarray(np.rint(np.asarray(time_s, dtype=float)).astype(np.int64).astype("datetime64[s]"))


@dataclass(frozen=True)
class Position:
    """True and apparent (refracted) zenith and azimuth clockwise from north [degrees]."""

    zenith_deg: Floats
    azimuth_deg: Floats
    apparent_zenith_deg: Floats


def position(
    times_utc: ArrayLike,
    lat: ArrayLike,
    lon: ArrayLike,
    *,
    height_m: float = 0.0,
    pressure_hpa: float = 1013.25,
    air_c: float = 12.0,
) -> Position:
    """Sun position by pvlib's SPA, Reda & Andreas 2008, error 0.0003°; times, latitude, longitude broadcast."""
    from pvlib import spa

    time, phi, lam = np.broadcast_arrays(unix_s(times_utc), np.asarray(lat, float), np.asarray(lon, float))
    delta_t = spa.calculate_deltat(*_year_month(time))
    apparent, true, _, _, azimuth, _ = spa.solar_position(
        time.ravel(), phi.ravel(), lam.ravel(), height_m, pressure_hpa, air_c, delta_t, 0.5667
    )
    return Position(true.reshape(time.shape), azimuth.reshape(time.shape), apparent.reshape(time.shape))


def _year_month(time_s: NDArray[np.floating]) -> tuple[int, int]:
    months = int(np.datetime64(int(np.median(time_s)), "s").astype("datetime64[M]").astype(np.int64))
    return 1970 + months // 12, months % 12 + 1


def clear_sky_w_m2(
    apparent_zenith_deg: ArrayLike, linke_turbidity: ArrayLike, height_m: float, extra_w_m2: ArrayLike
) -> tuple[Floats, Floats, Floats]:
    """Global, diffuse and direct normal irradiance [W/m²] of a cloudless sky; Ineichen & Perez 2002, pvlib's code."""
    from pvlib import atmosphere, clearsky

    zenith = np.asarray(apparent_zenith_deg, dtype=float)
    pressure = atmosphere.alt2pres(height_m)
    mass = atmosphere.get_absolute_airmass(atmosphere.get_relative_airmass(zenith), pressure)
    with np.errstate(divide="ignore", invalid="ignore"):
        sky = clearsky.ineichen(zenith, mass, np.asarray(linke_turbidity, float), height_m, extra_w_m2)
    return sky["ghi"], sky["dhi"], sky["dni"]


def linke_turbidity(times_utc: Times, lat: float, lon: float) -> Floats:
    """Linke turbidity [-] at UTC instants (m,): the monthly climatology of SoDa as packaged in pvlib, by the day."""
    import pandas as pd
    from pvlib import clearsky

    looked_up = clearsky.lookup_linke_turbidity(pd.DatetimeIndex(times_utc, tz="UTC"), lat, lon)
    return np.asarray(looked_up, dtype=float)


def clear_sky_kwh_m2(lat: float, lon: float, day: date, height_m: float = 0.0) -> float:
    """Irradiation [kWh/m²] on the horizontal of a cloudless day, in steps of five minutes.

    Ineichen & Perez 2002 with the monthly Linke turbidity of SoDa as packaged in pvlib; a pole-side night gives 0.
    """
    start = np.datetime64(day, "s") - np.timedelta64(round(SOLAR_DAY_S_PER_DEG * lon), "s")
    times = start + np.arange(150, 86400, 300).astype("timedelta64[s]")
    turbidity = linke_turbidity(times[144:145], lat, lon)
    extra = SOLAR_CONSTANT_W_M2 * float(distance_factor(day.timetuple().tm_yday))
    ghi, _, _ = clear_sky_w_m2(position(times, lat, lon).apparent_zenith_deg, float(turbidity[0]), height_m, extra)
    return float(np.sum(ghi)) / 12 / 1000
