"""Cell temperature and panel power against published figures."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from voyager.boat.arrays import PanelArray, cell_temperature_c, low_light_factor, panel_w, power_w


def test_cell_temperature_faiman() -> None:
    """Faiman 2008: U0 25, U1 6.84, 800 W/m², 20 °C, 1 m/s."""
    assert cell_temperature_c(800, 20, 1) == pytest.approx(45.1, abs=0.1)


def test_panel_power_pvwatts() -> None:
    """Dobos, NREL/TP-6A20-62641, 2014: 900 W/m², cell 30 °C, 100 W, -0.3 %/K."""
    assert panel_w(900, 30, 100, -0.3) == pytest.approx(88.65, abs=0.01)


def test_hot_panel_masters() -> None:
    """Masters, Renewable and Efficient Electric Power Systems (from memory): 150 W at -0.5 %/K, cell 64 °C: 121 W."""
    assert panel_w(1000, 64, 150, -0.5) == pytest.approx(121, abs=0.5)


def test_default_temperature_coefficient_is_that_of_recent_silicon() -> None:
    """Makers' data, common practice, no source: -0.27 to -0.35 %/K."""
    assert -0.35 <= PanelArray("any", 400).temperature_percent_per_k <= -0.27


def test_low_light_is_the_given_change_at_200_and_none_at_1000() -> None:
    factors = low_light_factor([200.0, 1000.0, np.sqrt(200.0 * 1000.0)], -4.0)
    np.testing.assert_allclose(factors, [0.96, 1.0, 0.98])
    assert low_light_factor(0.0, -4.0) >= 0


def test_power_is_the_product_of_its_parts() -> None:
    array = PanelArray("two", 400, 2, loss_percent=10, controller_efficiency=0.95)
    cell = float(cell_temperature_c(220, 10, 4))
    by_hand = 800 * 0.2 * (1 - 0.0035 * (cell - 25)) * 0.96 * 0.9 * 0.95
    assert power_w(array, 200, 220, 10, 4) == pytest.approx(by_hand)


def test_controller_limits_what_comes_out_of_it() -> None:
    array = PanelArray("big", 1000, controller_max_w=300)
    np.testing.assert_allclose(
        power_w(array, [100.0, 900.0], [100.0, 900.0], 5, 3), [power_w(array, 100, 100, 5, 3), 300]
    )


@given(
    light=st.floats(0, 1400),
    air=st.floats(-40, 50),
    wind=st.floats(0, 30),
    low=st.floats(-10, 0),
)
def test_power_is_never_negative_and_grows_with_light_and_cold(
    light: float, air: float, wind: float, low: float
) -> None:
    array = PanelArray("any", 400, low_light_percent=low)
    here = power_w(array, light, light, air, wind)
    assert here >= 0
    assert power_w(array, light, light, air - 5, wind) >= here
    assert power_w(array, light + 10, light + 10, air, wind) >= here


@given(air=st.floats(-20, 40), change=st.floats(-15, 15))
def test_power_is_straight_in_air_temperature(air: float, change: float) -> None:
    array = PanelArray("any", 400)
    low, middle, high = (float(power_w(array, 600, 650, air + d, 3)) for d in (-change, 0.0, change))
    assert (low + high) / 2 == pytest.approx(middle)


def test_raised_tells_whether_the_moored_mounting_differs() -> None:
    assert not PanelArray("flat", 400).raised
    assert PanelArray("up", 400, moored_tilt_deg=30).raised
    assert PanelArray("side", 400, tilt_deg=30, moored_tilt_deg=30, azimuth_deg=90, moored_azimuth_deg=-90).raised
