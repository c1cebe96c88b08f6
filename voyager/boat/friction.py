"""Friction of the water along a hull, and coefficients of resistance."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]


def reynolds(speed_mps: ArrayLike, length_m: ArrayLike, viscosity_m2_s: ArrayLike) -> Floats:
    """Reynolds' number v L / nu [-] on the waterline length; arguments broadcast."""
    speed, length = np.asarray(speed_mps, dtype=float), np.asarray(length_m, dtype=float)
    return np.asarray(speed * length / np.asarray(viscosity_m2_s, dtype=float))


def friction_coefficient(reynolds_number: ArrayLike) -> Floats:
    """Coefficient of friction 0.075 / (log10 Re - 2)^2 [-], any shape; turbulent flow, Re above about 1e5.

    The line of the International Towing Tank Conference, Madrid 1957; its table: Tupper, Introduction to Naval
    Architecture, Table 8.3.
    """
    return np.asarray(0.075 / (np.log10(np.asarray(reynolds_number, dtype=float)) - 2) ** 2)


def force_n(coefficient: ArrayLike, density_kg_m3: ArrayLike, wetted_m2: ArrayLike, speed_mps: ArrayLike) -> Floats:
    """Resistance [N] of a coefficient on the wetted surface: C rho S v^2 / 2; arguments broadcast."""
    return np.asarray(np.asarray(coefficient, dtype=float) * pressure_n(density_kg_m3, wetted_m2, speed_mps))


def pressure_n(density_kg_m3: ArrayLike, wetted_m2: ArrayLike, speed_mps: ArrayLike) -> Floats:
    """Dynamic pressure on the wetted surface [N], what coefficients are over: rho S v^2 / 2; arguments broadcast."""
    speed = np.asarray(speed_mps, dtype=float)
    return np.asarray(0.5 * np.asarray(density_kg_m3, dtype=float) * np.asarray(wetted_m2, dtype=float) * speed**2)
