"""The inverter and the shore charger."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from voyager.boat.cabin import Cabin, step
from voyager.boat.inverter import (
    Inverter,
    ShoreCharger,
    charger_output_w,
    dc_w,
    efficiency,
    european_efficiency,
    is_on,
    socket_w,
    unserved_w,
)

MEASURED = Inverter(
    max_w=3000.0,
    efficiency_by_load=((0.05, 0.90), (0.10, 0.94), (0.20, 0.96), (0.30, 0.965), (0.50, 0.97), (1.00, 0.96)),
    standby_w=18.0,
)
PLAIN = Inverter(max_w=2000.0)
NONE = Inverter()


def test_european_efficiency() -> None:
    """Joint Research Centre, Ispra: this curve weighs to 0.9623."""
    assert european_efficiency(MEASURED) == pytest.approx(0.9623, abs=5e-5)
    assert european_efficiency(PLAIN) == pytest.approx(0.92)


def test_efficiency_by_load_runs_by_line_and_is_level_beyond() -> None:
    assert efficiency(MEASURED, [30.0, 150.0, 225.0, 3000.0, 4000.0]) == pytest.approx([0.90, 0.90, 0.92, 0.96, 0.96])


def test_battery_side() -> None:
    assert dc_w(PLAIN, [0.0, 920.0], [False, True]) == pytest.approx([0.0, 1020.0])
    assert dc_w(PLAIN, 0.0, True) == pytest.approx(20.0)
    assert dc_w(MEASURED, 300.0, True) == pytest.approx(300 / 0.94 + 18)


def test_on_with_a_load_or_left_on() -> None:
    assert is_on(PLAIN, [0.0, 1.0]).tolist() == [False, True]
    assert is_on(Inverter(max_w=1.0, always_on=True), 0.0)
    assert not is_on(Inverter(always_on=True), 500.0)


def test_none_aboard_serves_and_loses_nothing() -> None:
    assert unserved_w(NONE, [0.0, 400.0]) == pytest.approx([0, 400])
    assert dc_w(NONE, [0.0, 400.0], True) == pytest.approx([0, 0])


def test_overload_is_unserved() -> None:
    assert unserved_w(PLAIN, [1500.0, 2000.0, 2600.0]) == pytest.approx([0, 0, 600])


@given(st.floats(0, 3000), st.booleans())
def test_inverter_never_makes_energy(load: float, always: bool) -> None:
    inverter = Inverter(max_w=3000.0, efficiency_by_load=MEASURED.efficiency_by_load, always_on=always)
    assert dc_w(inverter, load, is_on(inverter, load)) >= load


def test_losses_inside_the_cabin_are_heat() -> None:
    """Common practice, no source: what a 48 V to 230 V inverter loses inside the cabin warms it."""
    lost = float(dc_w(PLAIN, 800.0, True)) - 800.0
    cold, warm = (float(step(Cabin(), 10.0, None, 5.0, gain, -np.inf, 0.0, 24.0).air_c) for gain in (0.0, lost))
    assert lost == pytest.approx(800 / 0.92 - 800 + 20)
    assert warm - cold == pytest.approx(lost / 70)


def test_charger() -> None:
    """A 230 V socket of 16 A gives 3.68 kW (P = U I)."""
    charger = ShoreCharger(max_w=2400.0, efficiency=0.9)
    assert charger_output_w(charger, [1000.0, 230 * 16]) == pytest.approx([900, 2400])
    assert charger_output_w(ShoreCharger(max_w=9000.0, efficiency=0.9), 230 * 16) == pytest.approx(3312)
    assert socket_w(charger, 2400.0) == pytest.approx(2400 / 0.9)


@pytest.mark.parametrize(
    ("volts", "amperes", "phases", "kw"), [(230, 16, 1, 3.68), (230, 32, 1, 7.36), (400, 32, 3, 22.2)]
)
def test_a_charger_of_any_size_takes_the_whole_shore_connection(
    volts: int, amperes: int, phases: int, kw: float
) -> None:
    """P = U I, three phases P = sqrt(3) U I: 16 A and 32 A at 230 V, 3 x 32 A at 400 V, to the places printed."""
    socket = volts * amperes * np.sqrt(phases)
    whole = ShoreCharger(max_w=30_000.0, efficiency=1.0)
    assert charger_output_w(whole, socket) / 1e3 == pytest.approx(kw, abs=0.05)
    assert socket_w(whole, charger_output_w(whole, socket)) == pytest.approx(socket)


@given(st.floats(0, 22_200))
def test_socket_is_never_overdrawn(socket: float) -> None:
    charger = ShoreCharger(max_w=6000.0)
    assert socket_w(charger, charger_output_w(charger, socket)) <= socket + 1e-6
