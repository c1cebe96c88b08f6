"""Condensation on single glass, by hand."""

import numpy as np
import pytest

from voyager.planner.damp import condenses


@pytest.mark.parametrize(("outside", "wet"), [(9.9, False), (8.7, True), (-5.0, True)])
def test_glass_below_the_dew_point_is_wet(outside: float, wet: bool) -> None:
    """Air of 20 C at 60 % has its dew point at 12.0 C (ASHRAE psychrometric chart).

    The glass is 20 - 0.7475 (20 - out): 12.4 C at 9.9 C outside, 11.6 C at 8.7.
    """
    assert condenses(np.asarray([20.0]), np.asarray([outside])) is wet


def test_one_wet_hour_is_enough() -> None:
    assert condenses(np.asarray([20.0, 20.0]), np.asarray([15.0, 0.0]))


def test_a_cabin_as_cold_as_outside_stays_dry() -> None:
    assert not condenses(np.asarray([4.0]), np.asarray([4.0]))
