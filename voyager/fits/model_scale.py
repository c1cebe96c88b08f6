"""From a model's resistance to the full-size boat's by Froude's method.

Wave and form resistance scale as the weights do at equal v / sqrt(g L); friction does not, and is taken from the line
of 1957 for either. W. Froude, Trans. Institution of Naval Architects 15, 1874; the form factor as in the 1978 method,
ITTC 7.5-02-03-01.4. Sea, wind, rudder and stern gear are not in it.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from voyager.boat.fluid import Fluid
from voyager.boat.friction import friction_coefficient, pressure_n, reynolds
from voyager.boat.hull import AIR_DENSITY_KG_M3
from voyager.fits.model_rows import Runs
from voyager.fits.result import Floats

CORRELATION = 0.0004
"""Added to the full-size coefficient for a hull less smooth than its model: the standard allowance of the American
Towing Tank Conference, 1947 (from memory); also that of Tupper's example. Common practice has 0 for a polished small
hull: that would be some percent less."""


@dataclass(frozen=True)
class Setting:
    """Waters, allowances and efficiencies of a towing test. Efficiencies: thrust power over battery power [share]."""

    water: Fluid
    full_water: Fluid
    propulsive_efficiency: float
    model_efficiency: float | None = None
    correlation: float = CORRELATION
    air_drag_area_m2: float = 0.0


def full_size_coefficient(
    model_total: ArrayLike,
    model_friction: ArrayLike,
    full_friction: ArrayLike,
    *,
    form: ArrayLike = 1.0,
    correlation: float = CORRELATION,
) -> Floats:
    """Full-size coefficient of resistance in calm water, without air [-]: C_T - (1 + k)(C_F - C_F full) + correlation.

    ``form`` is 1 + k; the model's coefficients are at equal Froude number; all broadcast.
    """
    less = np.asarray(form) * (np.asarray(model_friction, dtype=float) - np.asarray(full_friction, dtype=float))
    return np.asarray(np.asarray(model_total, dtype=float) - less + correlation)


def air_n(speed_mps: ArrayLike, air_drag_area_m2: float) -> Floats:
    """Drag of the still air [N]: rho C_D A v^2 / 2."""
    return np.asarray(0.5 * AIR_DENSITY_KG_M3 * air_drag_area_m2 * np.asarray(speed_mps, dtype=float) ** 2)


def model_friction(runs: Runs, setting: Setting, speed_mps: ArrayLike) -> Floats:
    """Coefficient of friction of the model at its own speeds."""
    return friction_coefficient(reynolds(speed_mps, runs.model_length_m, setting.water.viscosity_m2_s))


def full_friction(runs: Runs, setting: Setting, speed_mps: ArrayLike) -> Floats:
    """Coefficient of friction of the full-size boat at the model's speeds times the root of the scale."""
    full = np.asarray(speed_mps, dtype=float) * np.sqrt(runs.scale)
    return friction_coefficient(reynolds(full, runs.model_length_m * runs.scale, setting.full_water.viscosity_m2_s))


def per_coefficient(runs: Runs, setting: Setting, speed_mps: ArrayLike) -> Floats:
    """What the balance shows [N], or the model's battery gives [W], for a coefficient of 1, at the model's speeds."""
    force = pressure_n(setting.water.density_kg_m3, runs.wetted_m2, speed_mps)
    if not runs.powered or setting.model_efficiency is None:
        return force
    return np.asarray(force * np.asarray(speed_mps, dtype=float) / setting.model_efficiency)


def full_pressure_n(runs: Runs, setting: Setting, speed_mps: ArrayLike) -> Floats:
    """Dynamic pressure on the full-size wetted surface [N] at the model's speeds times the root of the scale."""
    full = np.asarray(speed_mps, dtype=float) * np.sqrt(runs.scale)
    return pressure_n(setting.full_water.density_kg_m3, runs.wetted_m2 * runs.scale**2, full)


def full_kg(runs: Runs, setting: Setting, mass_kg: float | None) -> float | None:
    """A mass of the model at full size [kg]: times the cube of the scale and the ratio of the waters."""
    if mass_kg is None:
        return None
    return mass_kg * runs.scale**3 * setting.full_water.density_kg_m3 / setting.water.density_kg_m3
