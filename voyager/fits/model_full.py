"""The full-size boat of one model's runs: resistance and power over speed, its cube, and how far the cube holds."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from voyager.boat.hull import CUBE_LAW_FROUDE
from voyager.errors import InputError
from voyager.fits.model_curve import Curve, Form, Linear, Number, prohaska, smooth
from voyager.fits.model_rows import Runs, label
from voyager.fits.model_scale import (
    Setting,
    air_n,
    full_friction,
    full_pressure_n,
    model_friction,
    per_coefficient,
)
from voyager.fits.result import Floats

CRUISE_SPEEDS = 3
CUBE_WITHIN = 0.10
GRID = 241


@dataclass(frozen=True)
class Cube:
    """Battery power c v^3 [W/(m/s)^3] in calm water without air; ``rms_w`` of the cruising runs about it.

    ``cruise``: which runs it is laid through (n,). ``from_mps``, ``to_mps``: full-size speeds between which the curve
    stays within a tenth of it; ``to_end``: to the fastest run; ``holds``: over the whole cruising range.
    """

    c: Number
    cruise: NDArray[np.bool_]
    rms_w: float
    from_mps: float
    to_mps: float
    to_end: bool
    holds: bool


@dataclass(frozen=True)
class FullSize:
    """One model at one loading, scaled up."""

    runs: Runs
    setting: Setting
    curve: Curve
    form: Form

    @property
    def waterline_m(self) -> float:
        return self.runs.model_length_m * self.runs.scale

    @property
    def span_mps(self) -> tuple[float, float]:
        """Full-size speeds of the slowest and the fastest run."""
        return float(self.runs.full_mps[0]), float(self.runs.full_mps[-1])

    def resistance(self, full_mps: Floats, *, air: bool) -> Linear:
        """Resistance [N] by the smooth curve at full-size speeds (m,) between the slowest and the fastest run."""
        slow = np.asarray(full_mps) / np.sqrt(self.runs.scale)
        return self._scaled(slow, self.curve.coefficient(slow), air=air)

    def points_n(self, *, air: bool) -> Linear:
        """Resistance [N] of each run scaled up by itself (n,)."""
        per = per_coefficient(self.runs, self.setting, self.runs.speed_mps)
        own = Linear(np.zeros(len(per)), np.diag(1 / per))
        return self._scaled(self.runs.speed_mps, own, air=air)

    def power(self, full_mps: Floats, resistance: Linear) -> Linear:
        """Power at the battery [W] of a resistance at full-size speeds."""
        return resistance.times(np.asarray(full_mps) / self.setting.propulsive_efficiency)

    def _scaled(self, model_mps: Floats, model_total: Linear, *, air: bool) -> Linear:
        less = model_friction(self.runs, self.setting, model_mps) - full_friction(self.runs, self.setting, model_mps)
        friction = Linear(
            -less * self.form.linear.constant + self.setting.correlation, -less[:, None] * self.form.linear.weights
        )
        full = model_total.plus(friction).times(full_pressure_n(self.runs, self.setting, model_mps))
        drag = air_n(model_mps * np.sqrt(self.runs.scale), self.setting.air_drag_area_m2 if air else 0.0)
        return Linear(np.asarray(full.constant + drag), full.weights)


def full_size(runs: Runs, setting: Setting) -> FullSize:
    """Curve, form factor, full size. Raises InputError where a powered model's efficiency is not known."""
    curve = smooth(runs, setting)
    return FullSize(runs, setting, curve, prohaska(curve))


def cube(full: FullSize, cruise_mps: tuple[float, float | None]) -> Cube:
    """The cube through the runs of the cruising range, by least squares of resistance over v^2; air apart.

    ``cruise_mps``: full-size speeds; upper None: all runs to Froude 0.35. Raises InputError with too few runs there.
    """
    runs = full.runs
    top = CUBE_LAW_FROUDE * float(runs.full_mps[0] / runs.froude[0])
    low, high = cruise_mps[0], top if cruise_mps[1] is None else cruise_mps[1]
    cruise = (runs.full_mps >= low - 1e-9) & (runs.full_mps <= high + 1e-9)
    if np.unique(runs.full_mps[cruise]).size < CRUISE_SPEEDS:
        raise InputError(_no_cruise(runs, low, high))
    speed = runs.full_mps[cruise]
    points = full.power(runs.full_mps, full.points_n(air=False))
    share = np.where(cruise, runs.full_mps, 0.0) / (speed**4).sum()
    linear = Linear(np.asarray(share @ points.constant), share @ points.weights)
    c = full.curve.number(linear)
    if c.value <= 0:
        raise InputError(
            f"{label(runs)}: friction alone is more than what was measured: check wetted_m2, the unit of the force, "
            "and that the flow was turbulent"
        )
    off = full.curve.values(points)[cruise] - c.value * speed**3
    start, end, to_end = _holds(full, c.value, (float(speed[0]), float(speed[-1])))
    holds = start <= speed[0] + 1e-9 and end >= speed[-1] - 1e-9
    return Cube(c, cruise, float(np.sqrt((off**2).mean())), start, end, to_end, bool(holds))


def _holds(full: FullSize, c: float, cruise_mps: tuple[float, float]) -> tuple[float, float, bool]:
    """The speeds about the cruising range's best fit between which the curve is within a tenth of the cube."""
    low, high = full.span_mps
    speed = np.linspace(low, high, GRID)
    power = full.curve.values(full.power(speed, full.resistance(speed, air=False)))
    off = np.abs(power / (c * speed**3) - 1)
    cruising = (speed >= cruise_mps[0] - 1e-9) & (speed <= cruise_mps[1] + 1e-9)
    middle = int(np.argmin(np.where(cruising, off, np.inf)))
    bad = np.flatnonzero(off > CUBE_WITHIN)
    before, after = bad[bad < middle], bad[bad > middle]
    start = speed[before[-1] + 1] if before.size else low
    end = speed[after[0] - 1] if after.size else high
    return float(start), float(end), not after.size


def _no_cruise(runs: Runs, low_mps: float, high_mps: float) -> str:
    factor = np.sqrt(runs.scale)
    there = f"{runs.full_mps[0] * 3.6:.1f} to {runs.full_mps[-1] * 3.6:.1f} km/h"
    low = max(low_mps, 0.3 * high_mps)
    wanted = f"{low_mps * 3.6:.1f} to {high_mps * 3.6:.1f} km/h"
    return (
        f"{label(runs)}: fewer than {CRUISE_SPEEDS} speeds stand for {wanted} of the full-size boat, "
        f"the runs stand for {there}: run the model between {low / factor:.2f} and {high_mps / factor:.2f} m/s"
    )
