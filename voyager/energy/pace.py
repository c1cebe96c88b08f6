"""Speeds on a leg at a pace: the one number that sets all speeds of a day.

Least energy for a given time asks for one marginal cost on all legs, P'(v)(v + u) - P(v) = 2 pace (Lagrange
condition of sum P d/(v + u) under sum d/(v + u) = T; in still water and with a cube law it is P = pace).
"""

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from voyager.boat.hull import CONFINED_SHARE, Hull, midship_area, propulsion_w
from voyager.boat.water import schijf_limit_mps
from voyager.route.leg import BANKED, EXPOSED, Leg, Water

Floats = NDArray[np.float64]
GROUND_MIN_MPS = 1 / 3.6
SPEEDS = 120
SPEED_MAX_MPS = 12.0


@dataclass(frozen=True)
class LegSpeeds:
    """Speeds and powers on one leg by pace (P,): through water and over ground m/s, power W at the battery.

    ``poor_power_w`` is the power at the same speed in the poor day's wind. ``ground_mps`` is 0 where the leg
    can't be done: less than 1 km/h over the ground.
    """

    water_mps: Floats
    ground_mps: Floats
    power_w: Floats
    poor_power_w: Floats


@dataclass(frozen=True)
class PowerCurve:
    """Power through the water of one leg, on a grid of speeds it allows (V,)."""

    speed_mps: Floats
    power_w: Floats
    poor_power_w: Floats
    slope_w_per_mps: Floats
    fixed: bool


def power_curve(hull: Hull, leg: Leg, wind_mps: float, poor_wind_mps: float) -> PowerCurve:
    """Power over the speeds from the least that steers to what motor and confined water allow.

    A fixed speed is one alone, the motor's best where it asks for more.
    """
    return _curve(hull, leg.water, leg.depth_m, leg.width_m, leg.speed_mps, wind_mps, poor_wind_mps)


@lru_cache(maxsize=512)
def _curve(
    hull: Hull,
    water: Water,
    depth_m: float | None,
    width_m: float | None,
    fixed_mps: float | None,
    wind_mps: float,
    poor_wind_mps: float,
) -> PowerCurve:
    exposed = water in EXPOSED
    high = _confined_limit_mps(hull, water, depth_m, width_m)
    low = hull.steerable_min_mps if fixed_mps is None else fixed_mps

    def power(speed_mps: Floats, wind: float) -> Floats:
        asked = propulsion_w(hull, speed_mps, depth_m=depth_m, width_m=width_m, wind_mps=wind, exposed=exposed)
        return np.asarray(asked)

    grid = np.linspace(min(low, high, hull.steerable_min_mps), high, SPEEDS)
    grid = _within_motor(hull, grid, power(grid, wind_mps))
    if fixed_mps is not None and len(grid) > 1:
        grid = np.full(2, min(fixed_mps, grid[-1]))
    calm = power(grid, wind_mps)
    poor = calm if poor_wind_mps == wind_mps else power(grid, poor_wind_mps)
    slope = np.gradient(calm, grid) if len(grid) > 2 else np.zeros_like(grid)
    return PowerCurve(grid, calm, poor, slope, fixed_mps is not None)


def _confined_limit_mps(hull: Hull, water: Water, depth_m: float | None, width_m: float | None) -> float:
    area = midship_area(hull)
    if water not in BANKED or depth_m is None or width_m is None or area is None:
        return SPEED_MAX_MPS
    limit = float(schijf_limit_mps(depth_m, width_m, area))
    return min(SPEED_MAX_MPS, CONFINED_SHARE * limit)


def _within_motor(hull: Hull, grid: Floats, power: Floats) -> Floats:
    """The same number of speeds, up to the one that takes all of the motor; one alone where none is in reach."""
    power = np.maximum.accumulate(np.nan_to_num(power, nan=np.inf))
    if power[0] > hull.motor_max_w:
        return grid[:1]
    known = np.isfinite(power)
    return np.linspace(grid[0], float(np.interp(hull.motor_max_w, power[known], grid[known])), len(grid))


def speeds(curve: PowerCurve, pace_w: Floats, current_mps: float, limit_mps: float | None) -> LegSpeeds:
    """Speeds for every pace (P,) with a current along the leg; a limit holds over the ground."""
    speed = curve.speed_mps
    if len(speed) < 2:
        nothing = np.zeros(len(pace_w))
        return LegSpeeds(nothing, nothing, nothing, nothing)
    if curve.fixed:
        water = np.full(len(pace_w), speed[-1])
    else:
        marginal = curve.slope_w_per_mps * (speed + current_mps) - curve.power_w
        water = np.interp(2 * pace_w, np.maximum.accumulate(marginal), speed)
    if limit_mps is not None:
        water = np.clip(water, None, np.maximum(limit_mps - current_mps, speed[0]))
    ground = water + current_mps
    return LegSpeeds(
        water,
        np.where(ground >= GROUND_MIN_MPS, ground, 0.0),
        np.interp(water, speed, curve.power_w),
        np.interp(water, speed, curve.poor_power_w),
    )


def pace_grid_w(hull: Hull, count: int) -> Floats:
    """Paces from the slowest that steers to the motor's limit, geometric, watts rounded so that plans repeat."""
    slowest = float(propulsion_w(hull, np.asarray([hull.steerable_min_mps]))[0])
    slowest = min(max(slowest, 0.02 * hull.motor_max_w, 20.0), hull.motor_max_w / 2)
    return np.round(np.geomspace(slowest, hull.motor_max_w, count), 0)
