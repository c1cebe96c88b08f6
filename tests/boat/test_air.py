"""Moist air against published tables."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from voyager.boat.air import dew_point_c, saturation_pressure_pa


@pytest.mark.parametrize(("air_c", "pressure_pa"), [(-20, 103.24), (-5, 401.74), (5, 872.6), (25, 3169.7), (50, 12351)])
def test_saturation_pressure(air_c: float, pressure_pa: float) -> None:
    """ASHRAE Fundamentals 2017, chapter 1, within 0.5 %."""
    assert saturation_pressure_pa(air_c) == pytest.approx(pressure_pa, rel=0.005)


@pytest.mark.parametrize(("humidity", "dew_c"), [(50, 9.3), (80, 16.4)])
def test_dew_point(humidity: float, dew_c: float) -> None:
    """Alduchov and Eskridge 1996, at 20 degC."""
    assert dew_point_c(20.0, humidity) == pytest.approx(dew_c, abs=0.1)


@given(st.floats(1.0, 45.0), st.floats(20.0, 100.0))
def test_air_at_its_dew_point_is_saturated(air_c: float, humidity: float) -> None:
    """Two published formulas meet: ASHRAE's pressure at Magnus' dew point is the vapour's pressure, over water."""
    dew = dew_point_c(air_c, humidity)
    if dew > 0:
        vapour = saturation_pressure_pa(air_c) * humidity / 100
        assert saturation_pressure_pa(dew) == pytest.approx(vapour, rel=0.005)
    assert dew <= air_c + 1e-9


def test_moist_air_takes_arrays() -> None:
    assert saturation_pressure_pa(np.array([[-10.0, 0.0], [10.0, 20.0]])).shape == (2, 2)
    assert (np.diff(saturation_pressure_pa(np.linspace(-40, 60, 500))) > 0).all()
    assert dew_point_c(np.full((3, 1), 20.0), np.array([50.0, 80.0])).shape == (3, 2)
