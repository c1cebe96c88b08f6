"""Moist air: when does the cabin sweat."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]
ICE = (-5674.5359, 6.3925247, -0.009677843, 6.2215701e-7, 2.0747825e-9, -9.484024e-13, 4.1635019)
WATER = (-5800.2206, 1.3914993, -0.048640239, 4.1764768e-5, -1.4452093e-8, 0.0, 6.5459673)
"""Hyland and Wexler's coefficients: powers -1 to 4 of the temperature in kelvin, then its logarithm."""
MAGNUS = (17.625, 243.04)


def saturation_pressure_pa(air_c: ArrayLike) -> Floats:
    """Pressure of saturated vapour [Pa], over ice below 0 degC and over water above; -100 to 200 degC.

    Source: ASHRAE Fundamentals 2017, chapter 1, equations 5 and 6 (Hyland and Wexler 1983).
    """
    kelvin = np.asarray(air_c, dtype=float) + 273.15
    return np.asarray(np.exp(np.where(kelvin < 273.15, _log_pressure(kelvin, ICE), _log_pressure(kelvin, WATER))))


def _log_pressure(kelvin: Floats, terms: tuple[float, ...]) -> Floats:
    powers = sum(c * kelvin**n for n, c in enumerate(terms[:6], start=-1))
    return np.asarray(powers + terms[6] * np.log(kelvin))


def dew_point_c(air_c: ArrayLike, humidity_percent: ArrayLike) -> Floats:
    """Dew point [degC] of air at ``air_c`` [degC] and relative humidity [%]; -40 to 50 degC, within 0.1 K.

    Magnus' form with the coefficients of Alduchov and Eskridge, J. Appl. Meteorology 35, 1996.
    """
    a, b = MAGNUS
    air = np.asarray(air_c, dtype=float)
    wet = np.log(np.clip(humidity_percent, 0.1, 100.0) / 100) + a * air / (b + air)
    return np.asarray(b * wet / (a - wet))
