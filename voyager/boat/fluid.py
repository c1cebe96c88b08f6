"""Fresh and sea water: density and viscosity by temperature."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]
SALINITY_G_KG = {"fresh": 0.0, "salt": 35.0}
LIMITS_C = (0.0, 40.0)

PURE = (999.842594, 6.793952e-2, -9.095290e-3, 1.001685e-4, -1.120083e-6, 6.536332e-9)
SALT = (8.24493e-1, -4.0899e-3, 7.6438e-5, -8.2467e-7, 5.3875e-9)
SALT_15 = (-5.72466e-3, 1.0227e-4, -1.6546e-6)
SALT_2 = 4.8314e-4
"""Density, kg/m3: powers of the temperature in degC, times 1, S, S^1.5 and S^2 of the salinity."""
VISCOSITY = ((280.68, -1.9), (511.45, -7.7), (61.131, -19.6), (0.45903, -40.0))
"""Viscosity of pure water, uPa s: factors and exponents of the temperature over 300 K."""
THICKER = (1.541, 1.998e-2, -9.52e-5)
THICKER_2 = (7.974, -7.561e-2, 4.724e-4)


@dataclass(frozen=True)
class Fluid:
    """Water a hull moves in: density [kg/m3] and kinematic viscosity [m2/s]."""

    density_kg_m3: float
    viscosity_m2_s: float


def fluid(kind: str, water_c: float) -> Fluid:
    """``"fresh"`` water, or ``"salt"``, sea water of 35 g of salt in a kilogram, at ``water_c`` [degC], 0 to 40."""
    salinity = SALINITY_G_KG[kind]
    return Fluid(float(density_kg_m3(water_c, salinity)), float(viscosity_m2_s(water_c, salinity)))


def density_kg_m3(water_c: ArrayLike, salinity_g_kg: ArrayLike) -> Floats:
    """Density at one atmosphere [kg/m3]; 0 to 40 degC, salinity 0 to 42 g/kg; arguments broadcast.

    Formula: Millero and Poisson, Deep-Sea Research 28A, 1981 (UNESCO Technical Papers in Marine Science 36), its
    coefficients from memory. Within 0.01 % of ITTC 7.5-02-01-03, whose table for 15 degC is in the tests.
    """
    t, s = np.asarray(water_c, dtype=float), np.asarray(salinity_g_kg, dtype=float)
    return np.asarray(_powers(PURE, t) + _powers(SALT, t) * s + _powers(SALT_15, t) * s**1.5 + SALT_2 * s**2)


def viscosity_m2_s(water_c: ArrayLike, salinity_g_kg: ArrayLike) -> Floats:
    """Kinematic viscosity at one atmosphere [m2/s]; 0 to 40 degC, salinity 0 to 42 g/kg; arguments broadcast.

    Pure water: IAPWS SR6-08 (2011), at 0.1 MPa. Salt thickens it by 1 + A S + B S^2, Sharqawy, Lienhard and Zubair,
    Desalination and Water Treatment 16, 2010. Coefficients from memory. Within 0.05 % of ITTC 7.5-02-01-03 at 15 degC.
    """
    t, s = np.asarray(water_c, dtype=float), np.asarray(salinity_g_kg, dtype=float)
    warm = (t + 273.15) / 300
    pure_pa_s = 1e-6 * sum(factor * warm**power for factor, power in VISCOSITY)
    salt = s / 1000
    thicker = 1 + _powers(THICKER, t) * salt + _powers(THICKER_2, t) * salt**2
    return np.asarray(pure_pa_s * thicker / density_kg_m3(t, s))


def _powers(coefficients: tuple[float, ...], t: Floats) -> Floats:
    return np.asarray(np.polynomial.polynomial.polyval(t, coefficients))
