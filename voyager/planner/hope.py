"""The fewest days that the rest of the way can take, whatever the energy: where no trip arrives in time none is walked.

An optimistic bound: every leg at its greatest speed through the longest of all travel days. A boat that cannot arrive
before the horizon any more has nothing to gain by going on.
"""

from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from voyager.boat.hull import Hull, top_speed_mps
from voyager.planner.windows import Windows
from voyager.route.leg import Leg
from voyager.route.line import Route

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
WHOLE_DAY_H = 24.0


def least_days(route: Route, hull: Hull, windows: Windows, km: Floats) -> Ints:
    """Fewest mornings (N,) needed from points of the route, nights asked for ahead with them; 0 at the end."""
    open_h = np.nan_to_num(windows.close_h - windows.open_h, nan=0.0)
    longest = max(float(open_h.max(initial=0.0)), 1e-3)
    days, nights = np.zeros(len(km)), np.zeros(len(km), dtype=np.int64)
    for number, leg in enumerate(route.legs):
        first, last = float(route.start_km[number]), float(route.start_km[number + 1])
        left = np.clip(last - np.maximum(km, first), 0.0, None)
        whole = km <= first + 1e-9
        hours = left / _fastest_kmh(leg, hull) + np.where(whole, _served_h(leg), 0.0)
        days += hours / (WHOLE_DAY_H if leg.overnight else longest)
        nights += np.where(km < last - 1e-6, leg.nights, 0)
    return np.ceil(days - 1e-6).astype(np.int64) + nights


def _fastest_kmh(leg: Leg, hull: Hull) -> float:
    """More than anyone makes good over the ground."""
    water = leg.speed_mps or _top_mps(hull, leg.depth_m, leg.width_m)
    ground = water + abs(leg.current_mps) + abs(leg.tide_flood_mps)
    return 3.6 * (ground if leg.limit_mps is None else min(ground, leg.limit_mps))


@lru_cache
def _top_mps(hull: Hull, depth_m: float | None, width_m: float | None) -> float:
    return float(top_speed_mps(hull, depth_m=depth_m, width_m=width_m))


def _served_h(leg: Leg) -> float:
    return (leg.locks * leg.lock_min + leg.bridges * leg.bridge_min) / 60
