"""Daily extraterrestrial irradiation, the yardstick of the daily clearness K = H/H0."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

SOLAR_CONSTANT_W_M2 = 1361.0
"""Total solar irradiance, Kopp & Lean 2011, doi:10.1029/2010GL045777."""


def day_angle(day_of_year: ArrayLike) -> NDArray[np.float64]:
    """Day angle [rad] of Spencer's series, any shape; 1 January is day 1 and angle 0."""
    return np.asarray(2 * np.pi * (np.asarray(day_of_year, dtype=float) - 1) / 365.0)


def declination_rad(day_of_year: ArrayLike) -> NDArray[np.float64]:
    """Solar declination [rad] at mid-day, any shape; Spencer 1971, Search 2(5):172, error below 0.0006 rad."""
    g = day_angle(day_of_year)
    return np.asarray(
        0.006918
        - 0.399912 * np.cos(g)
        + 0.070257 * np.sin(g)
        - 0.006758 * np.cos(2 * g)
        + 0.000907 * np.sin(2 * g)
        - 0.002697 * np.cos(3 * g)
        + 0.00148 * np.sin(3 * g)
    )


def distance_factor(day_of_year: ArrayLike) -> NDArray[np.float64]:
    """Squared ratio of mean to actual distance of the sun [-], any shape; Spencer 1971, error below 0.0001."""
    g = day_angle(day_of_year)
    return np.asarray(
        1.00011 + 0.034221 * np.cos(g) + 0.00128 * np.sin(g) + 0.000719 * np.cos(2 * g) + 0.000077 * np.sin(2 * g)
    )


def extraterrestrial_kwh_m2(
    lat_deg: ArrayLike, day_of_year: ArrayLike, solar_constant_w_m2: float = SOLAR_CONSTANT_W_M2
) -> NDArray[np.float64]:
    """Extraterrestrial irradiation of a day on the horizontal [kWh/m²], latitude and day broadcast; polar night 0.

    Duffie & Beckman, Solar Engineering of Thermal Processes, equation 1.10.3 with Spencer's declination.
    """
    phi = np.radians(np.asarray(lat_deg, dtype=float))
    delta = declination_rad(day_of_year)
    vertical, level = np.sin(phi) * np.sin(delta), np.cos(phi) * np.cos(delta)
    sunset = np.arccos(np.clip(-vertical / np.maximum(level, 1e-12), -1.0, 1.0))
    hours = 24 / np.pi * (level * np.sin(sunset) + sunset * vertical)
    return np.asarray(solar_constant_w_m2 / 1000 * distance_factor(day_of_year) * np.maximum(hours, 0.0))
