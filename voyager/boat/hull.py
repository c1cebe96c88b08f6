"""Power through the water: the hull's own numbers."""

from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import ArrayLike, NDArray

from voyager.boat.water import GRAVITY_MPS2, lackenby_delta, schijf_limit_mps

Floats = NDArray[np.float64]
Curve = Callable[[Floats], Floats]


@dataclass(frozen=True)
class Hull:
    """Hull and motor. Either ``coefficient_w_per_mps3`` or ``trial`` ((speed_mps, power_w), ...) is set."""

    coefficient_w_per_mps3: float | None
    trial: tuple[tuple[float, float], ...] = ()
    waterline_m: float | None = None
    beam_m: float | None = None
    draught_m: float | None = None
    air_draught_m: float | None = None
    midship_area_m2: float | None = None
    motor_max_w: float = 4000.0
    steerable_min_mps: float = 2.5 / 3.6
    underway_extra_w: float = 0.0
    manoeuvre_w: float = 500.0
    air_drag_area_m2: float = 0.0
    propulsive_efficiency: float = 0.5
    sea_margin_percent: float = 15.0


CUBE_LAW_FROUDE = 0.35
CONFINED_SHARE = 0.9
"""In confined water never faster than this share of Schijf's limit."""
AIR_DENSITY_KG_M3 = 1.225
WIND_ANGLES = np.cos(np.pi * (np.arange(24) + 0.5) / 24)
HALVINGS = 48


def calm_power_w(hull: Hull, speed_mps: ArrayLike) -> Floats:
    """Power in calm deep water [W] at ``speed_mps`` [m/s], any shape: c v^3, or through the trial points.

    Trial points are joined from (0, 0) on by Fritsch and Carlson's monotone cubics (SIAM J. Numer. Anal. 17, 1980),
    drawn over v^3: a cube law comes back exactly, and slow speeds stay cheap. Beyond the last point a cube law runs
    on through it.
    """
    speed = np.asarray(speed_mps, dtype=float)
    if hull.coefficient_w_per_mps3 is not None:
        return np.asarray(hull.coefficient_w_per_mps3 * speed**3)
    curve, last_mps, last_w = _trial_curve(hull.trial)
    return np.asarray(
        np.where(speed > last_mps, last_w * (speed / last_mps) ** 3, curve(np.minimum(speed, last_mps) ** 3))
    )


@lru_cache(maxsize=64)
def _trial_curve(trial: tuple[tuple[float, float], ...]) -> tuple[Curve, float, float]:
    """Monotone curve of power over v^3 through a trial, its last speed and power; falling scatter is levelled."""
    from scipy.interpolate import PchipInterpolator

    speed, power = _levelled(trial)
    return PchipInterpolator(speed**3, power), float(speed[-1]), float(power[-1])


def _levelled(trial: tuple[tuple[float, float], ...]) -> tuple[Floats, Floats]:
    """Speeds ascending from 0, each once, with powers that never fall (least squares, isotonic)."""
    from scipy.optimize import isotonic_regression

    points = np.array([(v, p) for v, p in trial if v > 0])
    speed, place, runs = np.unique(points[:, 0], return_inverse=True, return_counts=True)
    mean = np.bincount(place, weights=points[:, 1]) / runs
    power = isotonic_regression(mean, weights=runs).x
    return np.append(0.0, speed), np.append(0.0, np.maximum(power, 0.0))


def propulsion_w(
    hull: Hull,
    speed_mps: ArrayLike,
    *,
    depth_m: ArrayLike | None = None,
    width_m: ArrayLike | None = None,
    wind_mps: ArrayLike = 0.0,
    exposed: bool | NDArray[np.bool_] = False,
) -> Floats:
    """The motor's power at the battery [W] at ``speed_mps`` [m/s] through water; all arguments broadcast.

    Shallow water (``depth_m``; None: deep) takes the power of the deep-water speed v / (1 - delta), delta Lackenby's.
    ``exposed`` water adds the sea margin to that, wind its mean drag. ``width_m`` bounds the speed (``top_speed_mps``)
    and not the power: it stands here so that the same water may be given to both.
    """
    speed = np.asarray(speed_mps, dtype=float)
    deep = speed if depth_m is None else speed / (1 - lackenby_delta(speed, depth_m, midship_area(hull)))
    margin = 1 + np.where(exposed, hull.sea_margin_percent / 100, 0.0)
    return np.asarray(calm_power_w(hull, deep) * margin + air_power_w(hull, speed, wind_mps))


def air_power_w(hull: Hull, speed_mps: ArrayLike, wind_mps: ArrayLike) -> Floats:
    """Power at the battery against the air [W]: rho A <|V| V_x> v / (2 eta), wind from any side alike."""
    if hull.air_drag_area_m2 == 0:
        return np.zeros(np.broadcast_shapes(np.shape(speed_mps), np.shape(wind_mps)))
    force_n = 0.5 * AIR_DENSITY_KG_M3 * hull.air_drag_area_m2 * mean_headwind_m2_s2(speed_mps, wind_mps)
    return np.asarray(force_n * np.asarray(speed_mps, dtype=float) / hull.propulsive_efficiency)


def mean_headwind_m2_s2(speed_mps: ArrayLike, wind_mps: ArrayLike) -> Floats:
    """Mean over all directions of the wind of |V| V_x [m2/s2], V the wind felt aboard, x along the boat.

    About 1.5 v w for w > 2 v; v^2 without wind. Midpoint rule over half a turn (the other half is its mirror).
    """
    v, w = np.broadcast_arrays(np.asarray(speed_mps, dtype=float), np.asarray(wind_mps, dtype=float))
    along = v[..., None] + w[..., None] * WIND_ANGLES
    across2 = w[..., None] ** 2 * (1 - WIND_ANGLES**2)
    return np.asarray((np.sqrt(along**2 + across2) * along).mean(axis=-1))


def midship_area(hull: Hull) -> float | None:
    """Area of the midship section under water [m2]: as given, else 0.75 beam x draught, else None."""
    if hull.midship_area_m2 is not None:
        return hull.midship_area_m2
    if hull.beam_m is None or hull.draught_m is None:
        return None
    return 0.75 * hull.beam_m * hull.draught_m


def cube_law_limit_mps(hull: Hull) -> float | None:
    """Speed up to which a cube law is to be trusted [m/s]: Froude 0.35; None without a waterline."""
    if hull.waterline_m is None:
        return None
    return CUBE_LAW_FROUDE * float(np.sqrt(GRAVITY_MPS2 * hull.waterline_m))


def top_speed_mps(
    hull: Hull,
    *,
    depth_m: ArrayLike | None = None,
    width_m: ArrayLike | None = None,
    wind_mps: ArrayLike = 0.0,
    exposed: bool | NDArray[np.bool_] = False,
) -> Floats:
    """Greatest speed through water [m/s]: all of ``motor_max_w``, and 0.9 of Schijf's limit where depth and width bind.

    Bisection on the power, which rises with speed; arguments as in ``propulsion_w``.
    """
    shape = np.broadcast_shapes(*(np.shape(a) for a in (depth_m, width_m, wind_mps, exposed) if a is not None))
    low, high = np.zeros(shape), np.full(shape, _deep_top_mps(hull))
    for _ in range(HALVINGS):
        middle = (low + high) / 2
        power = propulsion_w(hull, middle, depth_m=depth_m, wind_mps=wind_mps, exposed=exposed)
        low, high = np.where(power <= hull.motor_max_w, middle, low), np.where(power <= hull.motor_max_w, high, middle)
    return np.asarray(np.minimum(low, CONFINED_SHARE * schijf_limit_mps(depth_m, width_m, midship_area(hull))))


def _deep_top_mps(hull: Hull) -> float:
    """A speed that calm deep water does not allow to exceed at full power, m/s."""
    if hull.coefficient_w_per_mps3 is not None:
        return float(np.cbrt(hull.motor_max_w / hull.coefficient_w_per_mps3)) * (1 + 1e-9)
    _, last_mps, last_w = _trial_curve(hull.trial)
    return last_mps * float(np.cbrt(max(1.0, hull.motor_max_w / max(last_w, 1e-9)))) * (1 + 1e-9)
