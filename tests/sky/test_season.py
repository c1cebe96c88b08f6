"""Places between mid-months and mid-seasons."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from voyager.sky.season import MID_MONTH, month_position, seasonal


def test_mid_months_stand_on_themselves():
    before, after, late = month_position(MID_MONTH)
    assert_allclose(np.where(late < 0.5, before, after), np.arange(12))
    assert_allclose(np.minimum(late, 1 - late), 0, atol=1e-12)


def test_new_year_lies_between_december_and_january():
    before, after, late = month_position([1, 366])
    assert (before == 11).all()
    assert (after == 0).all()
    assert_allclose(late, [16 / 31, 0.5], atol=0.05)


@pytest.mark.parametrize(("day", "value"), [(16, 1.0), (106, 2.0), (197, 3.0), (289, 4.0)])
def test_middles_of_the_seasons(day, value):
    """Mid-January, mid-April, mid-July and mid-October; half a year later in the south."""
    assert seasonal((1.0, 2.0, 3.0, 4.0), day) == pytest.approx(value, abs=0.03)
    south = {1.0: 3.0, 2.0: 4.0, 3.0: 1.0, 4.0: 2.0}[value]
    assert seasonal((1.0, 2.0, 3.0, 4.0), day, -30.0) == pytest.approx(south, abs=0.06)


@given(st.integers(1, 366), st.floats(-90, 90))
def test_between_the_least_and_the_most(day, lat):
    assert 1.0 <= seasonal((1.0, 4.0, 2.0, 3.0), day, lat) <= 4.0


def test_shapes_broadcast():
    assert seasonal((1.0, 2.0, 3.0, 4.0), np.arange(1, 6)[:, None], np.zeros(3)).shape == (5, 3)
    assert seasonal(np.ones((3, 4)), np.arange(1, 6)[:, None]).shape == (5, 3)
