"""From irradiance on a plane to power out of an array's controller."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]

RATED_W_M2 = 1000.0
RATED_CELL_C = 25.0
LOW_LIGHT_W_M2 = 200.0
"""Irradiance at which makers state the efficiency in low light, IEC 61215 and EN 50380."""


@dataclass(frozen=True)
class PanelArray:
    """A group of panels with one mounting; azimuths clockwise from the bow.

    ``moored_tilt_deg`` and ``moored_azimuth_deg`` equal the ones under way where the file gives none;
    ``sunward`` mirrors the moored mounting about the keel to the better side of the day.
    """

    name: str
    panel_wp: float
    panels: int = 1
    tilt_deg: float = 0.0
    azimuth_deg: float = 0.0
    moored_tilt_deg: float = 0.0
    moored_azimuth_deg: float = 0.0
    sunward: bool = False
    raise_wind_max_mps: float = 30 / 3.6
    loss_percent: float = 8.0
    temperature_percent_per_k: float = -0.35
    low_light_percent: float = -4.0
    controller_max_w: float | None = None
    controller_efficiency: float = 0.97
    shade_percent: float = 0.0
    rows_shade_percent: float = 0.0
    mass_kg: float | None = None
    price: float | None = None

    @property
    def rated_w(self) -> float:
        """Rated power of the whole array, Wp."""
        return self.panel_wp * self.panels

    @property
    def raised(self) -> bool:
        """Whether the moored mounting is another than the one under way."""
        here = (self.tilt_deg, self.azimuth_deg)
        return (self.moored_tilt_deg, self.moored_azimuth_deg) != here or self.sunward


def cell_temperature_c(poa_w_m2: ArrayLike, air_c: ArrayLike, wind_mps: ArrayLike) -> Floats:
    """Cell temperature [°C], arguments broadcast; Faiman 2008, U0 25 and U1 6.84, pvlib's ``temperature.faiman``."""
    from pvlib import temperature

    wind = np.asarray(wind_mps, dtype=float)
    return np.asarray(temperature.faiman(np.asarray(poa_w_m2, dtype=float), np.asarray(air_c, dtype=float), wind))


def low_light_factor(effective_w_m2: ArrayLike, low_light_percent: float) -> Floats:
    """Efficiency against that at 1000 W/m² [-]: the given change at 200 W/m², straight in ln(G), never below 0.

    The form of the leading term of Huld et al. 2011, Solar Energy Materials and Solar Cells 95, 3359.
    """
    per_log = low_light_percent / 100 / np.log(LOW_LIGHT_W_M2 / RATED_W_M2)
    factor = np.log(np.maximum(np.asarray(effective_w_m2, dtype=float), 1e-3))
    factor = factor * per_log + (1.0 - per_log * np.log(RATED_W_M2))
    return np.asarray(np.maximum(factor, 0.0))


def panel_w(effective_w_m2: ArrayLike, cell_c: ArrayLike, rated_w: float, temperature_percent_per_k: float) -> Floats:
    """Power of panels [W] before losses; Dobos 2014, PVWatts Version 5, NREL/TP-6A20-62641, equation 8."""
    per_k = rated_w / RATED_W_M2 * temperature_percent_per_k / 100
    warmth = np.asarray(cell_c, dtype=float) * per_k + (rated_w / RATED_W_M2 - per_k * RATED_CELL_C)
    return np.asarray(warmth * np.asarray(effective_w_m2, dtype=float))


def power_w(
    array: PanelArray, effective_w_m2: ArrayLike, poa_w_m2: ArrayLike, air_c: ArrayLike, wind_mps: ArrayLike
) -> Floats:
    """Power out of the array's controller [W], arguments broadcast, within 0 and the controller's limit.

    Rating, cell temperature, low light, the fixed loss, then the controller's efficiency and limit.
    """
    cell = cell_temperature_c(poa_w_m2, air_c, wind_mps)
    power = panel_w(effective_w_m2, cell, array.rated_w, array.temperature_percent_per_k)
    power *= (1.0 - array.loss_percent / 100) * array.controller_efficiency
    if array.low_light_percent:
        power *= low_light_factor(effective_w_m2, array.low_light_percent)
    limit = np.inf if array.controller_max_w is None else array.controller_max_w
    return np.asarray(np.clip(power, 0.0, limit))
