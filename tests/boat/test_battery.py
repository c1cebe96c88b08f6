"""The battery: algebra at the terminals, cold, lag."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from voyager.boat.battery import (
    Battery,
    blocked,
    cell_step_c,
    cell_temperature_c,
    change_kwh,
    floor_kwh,
    usable_fraction,
)

PACK = Battery(28.0, charge_max_w=7000.0, discharge_max_w=9000.0)
BARE = Battery(28.0, charge_max_w=7000.0, discharge_max_w=9000.0, warmer_than_outside_k=0.0)


def test_capacity_left_in_the_cold() -> None:
    """Makers' data (weak): lithium iron phosphate has lost about 10 % at 0 degC and gives about 70 % at -18 degC."""
    assert usable_fraction(BARE, [0.0, 20.0]) == pytest.approx([0.90, 1.0])
    assert usable_fraction(BARE, -18.0) == pytest.approx(0.70, abs=0.03)


def test_charging_stops_at_freezing_discharging_does_not() -> None:
    """Battery University BU-410: lithium cells charge from 0 degC and discharge from -20 degC."""
    assert blocked(BARE, [-0.1, 0.0, 5.0]).tolist() == [True, False, False]
    assert change_kwh(BARE, [1000.0, -1000.0], 1.0, True) == pytest.approx([0.0, -1 / 0.98])


def test_cells_are_warmer_than_the_lagged_outside() -> None:
    assert cell_temperature_c(PACK, -2.0) == 1.0
    assert not blocked(PACK, -2.0)
    assert blocked(PACK, -3.1)
    assert usable_fraction(PACK, -3.0) == pytest.approx(0.90)


def test_cold_raises_the_floor_and_leaves_the_ceiling() -> None:
    assert floor_kwh(BARE, 20.0) == pytest.approx(0.15 * 28)
    assert floor_kwh(BARE, 0.0) == pytest.approx(0.15 * 28 + 0.10 * 28)
    assert BARE.ceiling_kwh == pytest.approx(0.95 * 28)


def test_table_is_level_beyond_its_ends_and_in_any_order() -> None:
    mixed = Battery(10.0, warmer_than_outside_k=0.0, capacity_by_c=((20.0, 1.0), (-20.0, 0.65), (0.0, 0.90)))
    assert usable_fraction(mixed, [-40.0, 10.0, 45.0]) == pytest.approx([0.65, 0.95, 1.0])


def test_lag_of_a_day() -> None:
    """First order: after one time constant 1 - 1/e of a step has come through, after two 1 - 1/e^2."""
    assert cell_step_c(10.0, 0.0, [24.0, 48.0]) == pytest.approx([10 * np.exp(-1), 10 * np.exp(-2)])
    assert cell_step_c([4.0, 8.0], 3.0, 0.0) == pytest.approx([4.0, 8.0])


@given(st.floats(-30, 30), st.floats(-30, 30), st.floats(0, 48))
def test_lag_in_two_halves_is_one_whole(lag: float, outside: float, hours: float) -> None:
    halves = cell_step_c(cell_step_c(lag, outside, hours / 2), outside, hours / 2)
    assert halves == pytest.approx(cell_step_c(lag, outside, hours))


def test_limits_hold_at_the_terminals() -> None:
    change = change_kwh(PACK, [9000.0, 500.0, -500.0, -12000.0], 0.5, False)
    assert change == pytest.approx([0.98 * 3.5, 0.98 * 0.25, -0.25 / 0.98, -4.5 / 0.98])


def test_sun_straight_to_a_load_pays_no_battery() -> None:
    """Net at the terminals first: 2 kW of sun on 2 kW of load changes nothing."""
    assert change_kwh(PACK, 2000.0 - 2000.0, 1.0, False) == 0


@given(st.floats(0, 20_000), st.floats(0.05, 3.0), st.floats(0.3, 1.0), st.floats(0.3, 1.0))
def test_no_round_trip_gains(power: float, hours: float, eta_in: float, eta_out: float) -> None:
    """What a charge stored, drawn again, gives no more at the terminals than went in."""
    pack = Battery(28.0, charge_efficiency=eta_in, discharge_efficiency=eta_out, charge_max_w=7e3, discharge_max_w=9e3)
    stored = float(change_kwh(pack, power, hours, False))
    drawn = float(change_kwh(pack, -power, hours, False))
    given_back = min(stored, -drawn) * eta_out
    assert given_back <= min(power, 7e3) * hours / 1e3 * eta_in * eta_out + 1e-12
    assert stored + drawn <= 1e-12


@given(st.lists(st.floats(-15_000, 15_000), min_size=2, max_size=2), st.booleans())
def test_more_net_never_means_less_charge(net: list[float], cold: bool) -> None:
    low, high = change_kwh(PACK, sorted(net), 1.0, cold)
    assert low <= high


def test_battery_broadcasts() -> None:
    assert change_kwh(PACK, np.zeros((5, 1)), 1.0, np.zeros(3, dtype=bool)).shape == (5, 3)
    assert floor_kwh(PACK, np.zeros((2, 3))).shape == (2, 3)
