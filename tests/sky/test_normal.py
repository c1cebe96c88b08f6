"""The normal distribution against scipy's."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from voyager.sky.normal import normal_cdf, normal_quantile


def test_against_scipy():
    special = pytest.importorskip("scipy.special")
    z = np.linspace(-8, 8, 401).reshape(1, 401)
    p = np.linspace(1e-9, 1 - 1e-9, 501)
    assert_allclose(normal_cdf(z), special.ndtr(z), rtol=1e-12)
    assert_allclose(normal_quantile(p), special.ndtri(p), rtol=1e-9, atol=1e-12)


@given(st.floats(-5, 5))
def test_round_trip(z):
    assert normal_quantile(normal_cdf(z)) == pytest.approx(z, abs=1e-9)


def test_ends():
    assert_allclose(normal_cdf([-np.inf, 0.0, np.inf]), [0.0, 0.5, 1.0])
