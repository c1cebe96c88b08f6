"""Daily extraterrestrial irradiation, the yardstick of the daily clearness K = H/H0."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

SOLAR_CONSTANT_W_M2 = 1361.0
"""Total solar irradiance, Kopp & Lean 2011, doi:10.1029/2010GL045777."""
_NOON_OF_DAY_0 = -0.4
"""Noon of 0 January in days of the year 2000's count, the mean over a leap cycle of the 2020s and 2030s."""


def _anomaly_rad(day_of_year: ArrayLike) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Mean longitude and mean anomaly of the sun [rad] at noon of a day, any shape."""
    n = np.asarray(day_of_year, dtype=float) + _NOON_OF_DAY_0
    return np.asarray(np.radians(280.460 + 0.9856474 * n)), np.asarray(np.radians(357.528 + 0.9856003 * n))


def declination_rad(day_of_year: ArrayLike) -> NDArray[np.float64]:
    """Solar declination [rad] at noon, any shape; the leap cycle leaves up to 0.2° at the equinoxes.

    Low-precision formulas of the Astronomical Almanac as in Michalsky 1988, Solar Energy 40:227.
    """
    longitude, g = _anomaly_rad(day_of_year)
    ecliptic = longitude + np.radians(1.915 * np.sin(g) + 0.020 * np.sin(2 * g))
    return np.asarray(np.arcsin(np.sin(np.radians(23.439)) * np.sin(ecliptic)))


def distance_factor(day_of_year: ArrayLike) -> NDArray[np.float64]:
    """Squared ratio of mean to actual distance of the sun [-], any shape; Astronomical Almanac, error below 0.001."""
    _, g = _anomaly_rad(day_of_year)
    return np.asarray((1.00014 - 0.01671 * np.cos(g) - 0.00014 * np.cos(2 * g)) ** -2)


def daily_hours(lat_deg: ArrayLike, declination: ArrayLike) -> NDArray[np.float64]:
    """Integral over a day of the cosine of the zenith angle while the sun is up [h], broadcast; declination [rad].

    Duffie & Beckman, Solar Engineering of Thermal Processes, equation 1.10.3.
    """
    phi, delta = np.radians(np.asarray(lat_deg, dtype=float)), np.asarray(declination, dtype=float)
    vertical, level = np.sin(phi) * np.sin(delta), np.cos(phi) * np.cos(delta)
    sunset = np.arccos(np.clip(-vertical / np.maximum(level, 1e-12), -1.0, 1.0))
    return np.asarray(np.maximum(24 / np.pi * (level * np.sin(sunset) + sunset * vertical), 0.0))


def extraterrestrial_kwh_m2(
    lat_deg: ArrayLike, day_of_year: ArrayLike, solar_constant_w_m2: float = SOLAR_CONSTANT_W_M2
) -> NDArray[np.float64]:
    """Extraterrestrial irradiation of a day on the horizontal [kWh/m²], latitude and day broadcast; polar night 0."""
    hours = daily_hours(lat_deg, declination_rad(day_of_year))
    return np.asarray(solar_constant_w_m2 / 1000 * distance_factor(day_of_year) * hours)
