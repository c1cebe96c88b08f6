"""The projection of maps."""

import math

import numpy as np
import pytest

from voyager.route.mercator import latitude, northing


def test_the_projection_is_mercators():
    """J. P. Snyder, Map Projections: a Working Manual, USGS Professional Paper 1395 (1987), numerical examples,
    Mercator on the sphere: at 35° north y = 0.6528366 radii (from memory; ln tan 62.5° by hand is the same)."""
    assert math.radians(float(northing(np.array(35.0)))) == pytest.approx(0.6528366, abs=1e-7)
    assert latitude(float(northing(np.array(-61.3)))) == pytest.approx(-61.3)
