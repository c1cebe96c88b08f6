"""Mercator degrees: ``x`` the longitude [deg], ``y`` the northing on the sphere in the same unit.

Shapes are true and north is up. J. P. Snyder, Map Projections, USGS Professional Paper 1395 (1987), (7-2) and (7-4).
"""

import math

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

FARTHEST_DEG = 85.0


def northing(lat_deg: Floats) -> Floats:
    """Mercator degrees of latitudes [deg] of any shape, held at ±85."""
    held = np.radians(np.clip(lat_deg, -FARTHEST_DEG, FARTHEST_DEG))
    return np.degrees(np.arcsinh(np.tan(held)))


def latitude(y: float) -> float:
    """The latitude [deg] at a northing."""
    return math.degrees(math.atan(math.sinh(math.radians(y))))
