"""What depth and width of the water do to speed: shallow and confined water."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

GRAVITY_MPS2 = 9.80665
SHALLOW_FROM = 0.05
"""Lackenby's midship term counts from this share of midship area over depth squared."""
LOSS_MAX = 0.9

Floats = NDArray[np.float64]


def critical_speed_mps(depth_m: ArrayLike) -> Floats:
    """Speed of a long wave in water of depth ``depth_m`` [m], sqrt(g h) [m/s] (Lamb, Hydrodynamics, art. 170)."""
    return np.asarray(np.sqrt(GRAVITY_MPS2 * np.maximum(depth_m, 0.0)))


def froude(speed_mps: ArrayLike, waterline_m: ArrayLike) -> Floats:
    """Froude's number v / sqrt(g L) [-] on the waterline length (W. Froude 1868)."""
    return np.asarray(speed_mps, dtype=float) / np.sqrt(GRAVITY_MPS2 * np.asarray(waterline_m, dtype=float))


def lackenby_delta(speed_mps: ArrayLike, depth_m: ArrayLike, midship_area_m2: ArrayLike | None) -> Floats:
    """Share of its deep-water speed that shallow water takes from a boat at equal power, 0 to 0.9 [-].

    delta = 0.1242 (A_m / h^2 - 0.05) + 1 - sqrt(tanh(g h / v^2)), the first part only for A_m / h^2 >= 0.05 and
    never without a midship area. Source: H. Lackenby, The effect of shallow water on ship speed, Shipbuilder and
    Marine Engine Builder 70, 1963 (from memory). Made for speeds below the critical one. All arguments broadcast.
    """
    speed = np.maximum(np.asarray(speed_mps, dtype=float), 1e-9)
    depth = np.maximum(np.asarray(depth_m, dtype=float), 1e-9)
    wave = 1 - np.sqrt(np.tanh(GRAVITY_MPS2 * depth / speed**2))
    return np.asarray(np.clip(wave + _midship_part(depth, midship_area_m2), 0.0, LOSS_MAX))


def _midship_part(depth_m: Floats, midship_area_m2: ArrayLike | None) -> Floats:
    if midship_area_m2 is None:
        return np.zeros_like(depth_m)
    share = np.asarray(midship_area_m2, dtype=float) / depth_m**2
    return np.asarray(0.1242 * np.maximum(share - SHALLOW_FROM, 0.0))


def schijf_limit_mps(depth_m: ArrayLike | None, width_m: ArrayLike | None, midship_area_m2: ArrayLike | None) -> Floats:
    """Greatest speed of a hull that pushes itself through a canal of rectangular section [m/s]; inf where not known.

    Solves 1 - m - 1.5 F^(2/3) + F^2 / 2 = 0 for F = v / sqrt(g h) between 0 and 1, with m = A_m / (b h) the share
    of the section that the hull fills. With x = F^(2/3) it is x^3 - 3 x + 2 (1 - m) = 0, so
    x = 2 sin(arcsin(1 - m) / 3). Source: J. B. Schijf, PIANC XVII Congress, Lisbon 1949 (from memory).
    """
    if depth_m is None or width_m is None or midship_area_m2 is None:
        return np.asarray(np.inf)
    depth, width = np.asarray(depth_m, dtype=float), np.asarray(width_m, dtype=float)
    filled = np.clip(np.asarray(midship_area_m2, dtype=float) / (depth * width), 0.0, 1.0)
    root = 2 * np.sin(np.arcsin(1 - filled) / 3)
    return np.asarray(root**1.5 * critical_speed_mps(depth))
