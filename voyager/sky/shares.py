"""Shares of a day: of global and diffuse irradiation per hour, of diffuse in the whole."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]

SHORT_DAY_DEG = 81.4
"""Sunset hour angle below which the winter form of the daily Erbs relation holds."""
BREAKS = (0.715, 0.722)
"""Clearness at which the daily Erbs relation jumps, on short and on long days."""


def hour_share_global(hour_angle_rad: ArrayLike, sunset_angle_rad: ArrayLike) -> Floats:
    """Share of a day's global irradiation per hour, r_t; Collares-Pereira & Rabl 1979, D&B equation 2.13.2."""
    omega = np.asarray(hour_angle_rad, dtype=float)
    a, b = share_coefficients(sunset_angle_rad)
    return np.asarray((a + b * np.cos(omega)) * hour_share_diffuse(omega, sunset_angle_rad))


def hour_share_diffuse(hour_angle_rad: ArrayLike, sunset_angle_rad: ArrayLike) -> Floats:
    """Share of a day's diffuse irradiation per hour, r_d; Liu & Jordan 1960, D&B equation 2.13.4."""
    omega, dusk = np.asarray(hour_angle_rad, dtype=float), np.asarray(sunset_angle_rad, dtype=float)
    above = np.maximum(np.cos(omega) - np.cos(dusk), 0.0)
    return np.asarray(np.pi / 24 * above / (np.sin(dusk) - dusk * np.cos(dusk)))


def share_coefficients(sunset_angle_rad: ArrayLike) -> tuple[Floats, Floats]:
    """Collares-Pereira & Rabl's a and b of a sunset hour angle [rad], D&B equation 2.13.2."""
    swing = np.sin(np.asarray(sunset_angle_rad, dtype=float) - np.pi / 3)
    return np.asarray(0.409 + 0.5016 * swing), np.asarray(0.6609 - 0.4767 * swing)


def daily_diffuse_fraction(clearness: ArrayLike, short_day: ArrayLike) -> Floats:
    """Diffuse part of a day's irradiation [-]; Erbs, Klein & Duffie 1982, D&B equation 2.11.1, the *daily* relation.

    ``short_day`` is a sunset hour angle up to 81.4°. (pvlib's ``erbs`` is the hourly relation and not this one.)
    """
    k = np.asarray(clearness, dtype=float)
    winter = np.where(k < BREAKS[0], 1 + k * (-0.2727 + k * (2.4495 + k * (-11.9514 + k * 9.3879))), 0.143)
    summer = np.where(k < BREAKS[1], 1 + k * (0.2832 + k * (-2.5557 + k * 0.8448)), 0.175)
    return np.asarray(np.where(np.asarray(short_day), winter, np.minimum(summer, 1.0)))
