"""One hour of the battery: the balance closes, and each limit does what it says."""

from dataclasses import fields, replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.energy.boats import PACK, SOCKET, members
from voyager.boat.battery import Battery
from voyager.boat.inverter import ShoreCharger
from voyager.energy.step import ENERGIES, Flows, Hour, charges_before, hour, unclamped_kwh

NAMES = ("solar_w", "propulsion_w", "hotel_w", "heating_w", "inverter_loss_w", "charger_w")


def flows(blocked: bool = False, **watts: float) -> Flows:
    return Flows(**{name: members(watts.get(name, 0.0)) for name in NAMES}, blocked=np.asarray([blocked]))


def one(
    charge: float, battery: Battery = PACK, hours: float = 1.0, blocked: bool = False, **watts: float
) -> dict[str, float]:
    done = hour(battery, SOCKET, members(charge), flows(blocked, **watts), hours)
    return {name: float(getattr(done, name)[0]) for name in (*ENERGIES, "charge_kwh")}


def left_over(before: np.ndarray, done: Hour) -> np.ndarray:
    spent = done.propulsion_kwh + done.hotel_kwh + done.heating_kwh + done.loss_kwh + done.spilled_kwh
    return before + done.solar_kwh + done.shore_kwh - spent - done.charge_kwh


@st.composite
def packs(draw: st.DrawFn) -> Battery:
    capacity = draw(st.floats(1, 100))
    return Battery(
        capacity,
        ceiling_percent=draw(st.floats(60, 100)),
        charge_efficiency=draw(st.floats(0.8, 1)),
        discharge_efficiency=draw(st.floats(0.8, 1)),
        charge_max_w=draw(st.floats(0, 20_000)),
        discharge_max_w=draw(st.floats(0, 20_000)),
    )


@st.composite
def cases(draw: st.DrawFn) -> tuple[Battery, ShoreCharger, np.ndarray, Flows, float]:
    """A battery and three members: any sun, loads and plug, cells warm or cold, charge to beyond the ceiling."""
    pack = draw(packs())
    row = st.lists(st.one_of(st.just(0.0), st.floats(0, 12_000)), min_size=3, max_size=3).map(np.asarray)
    charge = np.asarray(draw(st.lists(st.floats(0, 1), min_size=3, max_size=3))) * pack.capacity_kwh
    cold = np.asarray(draw(st.lists(st.booleans(), min_size=3, max_size=3)))
    given_flows = Flows(**{name: draw(row) for name in NAMES}, blocked=cold)
    return pack, ShoreCharger(2000.0, draw(st.floats(0.5, 1))), charge, given_flows, draw(st.floats(0.05, 1))


@settings(max_examples=200, deadline=None)
@given(cases())
def test_every_hour_closes(case: tuple[Battery, ShoreCharger, np.ndarray, Flows, float]) -> None:
    pack, socket, charge, asked, hours = case
    done = hour(pack, socket, charge, asked, hours)
    assert np.abs(left_over(charge, done)).max() < 1e-9
    for name in ENERGIES:
        assert getattr(done, name).min() >= -1e-12, name


@settings(max_examples=200, deadline=None)
@given(cases())
def test_limits_hold_and_what_is_not_delivered_is_told(
    case: tuple[Battery, ShoreCharger, np.ndarray, Flows, float],
) -> None:
    pack, socket, charge, asked, hours = case
    done = hour(pack, socket, charge, asked, hours)
    change = done.charge_kwh - charge
    assert (done.charge_kwh >= -1e-12).all()
    assert (done.charge_kwh <= np.maximum(charge, pack.ceiling_kwh) + 1e-9).all()
    assert (change <= pack.charge_efficiency * pack.charge_max_w * hours / 1e3 + 1e-9).all()
    assert (-change <= pack.discharge_max_w / pack.discharge_efficiency * hours / 1e3 + 1e-9).all()
    assert (change[asked.blocked] <= 1e-12).all()
    assert (done.shore_kwh <= asked.charger_w / socket.efficiency * hours / 1e3 + 1e-9).all()
    wished = (asked.propulsion_w + asked.hotel_w + asked.heating_w) * hours / 1e3
    served = done.propulsion_kwh + done.hotel_kwh + done.heating_kwh
    lost = asked.inverter_loss_w * hours / 1e3
    assert (served <= wished + 1e-9).all()
    assert (wished - served <= done.unserved_kwh + 1e-9).all()
    assert (done.unserved_kwh <= wished - served + lost + 1e-9).all()


@settings(max_examples=150, deadline=None)
@given(packs(), st.floats(0.2, 0.5), st.floats(-1000, 1000), st.booleans())
def test_unclamped_is_the_hour_where_nothing_limits(pack: Battery, share: float, net: float, cold: bool) -> None:
    pack = replace(pack, capacity_kwh=10 + pack.capacity_kwh)
    charge = members(share * pack.capacity_kwh)
    asked = flows(cold, solar_w=max(net, 0.0), hotel_w=max(-net, 0.0))
    done = hour(pack, SOCKET, charge, asked)
    assert done.charge_kwh - charge == pytest.approx(unclamped_kwh(pack, members(net), np.asarray([cold])), abs=1e-12)


def test_sun_straight_to_the_load_by_hand() -> None:
    """1,200 W of sun, 700 W of load: 500 W go in, 0.475 kWh stay, 0.025 are lost."""
    done = one(10.0, solar_w=1200, hotel_w=500, propulsion_w=200)
    assert done["charge_kwh"] == pytest.approx(10.475, abs=1e-12)
    assert done["loss_kwh"] == pytest.approx(0.025, abs=1e-12)
    assert done["spilled_kwh"] == done["unserved_kwh"] == done["shore_kwh"] == 0


def test_drawing_by_hand() -> None:
    """1,000 W missing cost 1000 / 0.9 Wh of charge."""
    done = one(10.0, solar_w=200, hotel_w=300, propulsion_w=800, inverter_loss_w=100)
    assert done["charge_kwh"] == pytest.approx(10 - 1.0 / 0.9, abs=1e-12)
    assert done["loss_kwh"] == pytest.approx(0.1 + 1.0 / 0.9 - 1.0, abs=1e-12)
    assert (done["hotel_kwh"], done["propulsion_kwh"]) == (0.3, 0.8)


def test_cold_cells_store_nothing_and_sun_still_serves_loads() -> None:
    done = one(10.0, blocked=True, solar_w=1200, hotel_w=500)
    assert done["charge_kwh"] == 10.0
    assert done["spilled_kwh"] == pytest.approx(0.7, abs=1e-12)
    assert done["hotel_kwh"] == 0.5


def test_cold_cells_still_give() -> None:
    assert one(10.0, blocked=True, hotel_w=900)["charge_kwh"] == pytest.approx(9.0, abs=1e-12)


def test_charger_gives_what_loads_and_room_take() -> None:
    """1,800 W at the battery are 2,000 W at the socket; 300 W serve the load, 1,500 W go in."""
    done = one(10.0, charger_w=1800, hotel_w=300)
    assert done["shore_kwh"] == pytest.approx(2.0, abs=1e-12)
    assert done["charge_kwh"] == pytest.approx(10 + 1.5 * 0.95, abs=1e-12)
    assert done["loss_kwh"] == pytest.approx(0.2 + 1.5 * 0.05, abs=1e-12)


def test_charger_throttles_before_sun_is_spilt() -> None:
    """Room for 1,000 W (0.95 kWh under the ceiling of 19): 900 W of sun first, the plug gives the other 100 W."""
    done = one(18.05, charger_w=1800, solar_w=900)
    assert done["charge_kwh"] == pytest.approx(19.0, abs=1e-12)
    assert done["spilled_kwh"] == pytest.approx(0.0, abs=1e-12)
    assert done["shore_kwh"] == pytest.approx(0.1 / 0.9, abs=1e-12)


def test_charger_serves_loads_of_cold_or_full_batteries() -> None:
    for start, cold in ((19.0, False), (10.0, True)):
        done = one(start, blocked=cold, charger_w=1800, hotel_w=450)
        assert done["charge_kwh"] == pytest.approx(start, abs=1e-12)
        assert done["shore_kwh"] == pytest.approx(0.5, abs=1e-12)


def test_full_battery_spills_the_rest() -> None:
    done = one(18.62, solar_w=1000)
    assert done["charge_kwh"] == pytest.approx(19.0, abs=1e-12)
    assert done["spilled_kwh"] == pytest.approx(0.6, abs=1e-12)


def test_charge_above_the_ceiling_is_kept_not_spilled() -> None:
    done = one(19.8, solar_w=700, hotel_w=100)
    assert done["charge_kwh"] == 19.8
    assert done["spilled_kwh"] == pytest.approx(0.6, abs=1e-12)
    assert one(19.8, hotel_w=90)["charge_kwh"] == pytest.approx(19.7, abs=1e-12)


def test_charge_limit() -> None:
    done = one(5.0, solar_w=5000)
    assert done["charge_kwh"] == pytest.approx(5 + 4 * 0.95, abs=1e-12)
    assert done["spilled_kwh"] == pytest.approx(1.0, abs=1e-12)


def test_discharge_limit_leaves_the_heating_unserved_first() -> None:
    done = one(15.0, propulsion_w=4500, hotel_w=300, heating_w=900, solar_w=200)
    assert done["unserved_kwh"] == pytest.approx(0.5, abs=1e-12)
    assert done["heating_kwh"] == pytest.approx(0.4, abs=1e-12)
    assert (done["propulsion_kwh"], done["hotel_kwh"]) == (4.5, 0.3)
    assert done["charge_kwh"] == pytest.approx(15 - 5 / 0.9, abs=1e-12)


def test_an_empty_battery_serves_what_it_has() -> None:
    """0.45 kWh give 0.405 kWh at the terminals of the 0.7 asked: heating (0.2) goes first, then hotel."""
    done = one(0.45, hotel_w=500, heating_w=200)
    assert done["charge_kwh"] == pytest.approx(0.0, abs=1e-12)
    assert done["heating_kwh"] == pytest.approx(0.0, abs=1e-12)
    assert done["hotel_kwh"] == pytest.approx(0.405, abs=1e-12)
    assert done["unserved_kwh"] == pytest.approx(0.295, abs=1e-12)


def test_part_of_an_hour() -> None:
    done = one(10.0, hours=0.25, solar_w=1400, hotel_w=200)
    assert done["charge_kwh"] == pytest.approx(10 + 1.2 * 0.25 * 0.95, abs=1e-12)
    assert one(18.905, hours=0.25, solar_w=4000)["spilled_kwh"] == pytest.approx(0.9, abs=1e-12)


@st.composite
def blocks(draw: st.DrawFn) -> tuple[Battery, ShoreCharger, np.ndarray, Flows]:
    """Two members over five hours: any sun, loads, plug and cells, charge from empty to beyond the ceiling."""
    pack = draw(packs())
    watts = st.lists(st.one_of(st.just(0.0), st.floats(0, 12_000)), min_size=10, max_size=10)
    cold = np.asarray(draw(st.lists(st.booleans(), min_size=10, max_size=10))).reshape(2, 5)
    share = draw(
        st.lists(st.sampled_from([0.0, 0.02, 0.5, pack.ceiling_percent / 100, 0.99, 1.0]), min_size=2, max_size=2)
    )
    asked = Flows(**{name: np.asarray(draw(watts)).reshape(2, 5) for name in NAMES}, blocked=cold)
    return pack, ShoreCharger(2000.0, draw(st.floats(0.5, 1))), np.asarray(share) * pack.capacity_kwh, asked


@settings(max_examples=150, deadline=None)
@given(blocks())
def test_a_block_of_hours_is_the_hours_one_after_the_other(
    case: tuple[Battery, ShoreCharger, np.ndarray, Flows],
) -> None:
    """Charge before each hour found ahead, then all hours at once: what ``hour`` makes of them in turn."""
    pack, socket, charge, asked = case
    before = charges_before(pack, charge, asked)
    block = hour(pack, socket, before, asked)
    now = charge
    for h in range(5):
        assert before[:, h] == pytest.approx(now, abs=1e-9)
        one_hour = Flows(**{f.name: getattr(asked, f.name)[:, h] for f in fields(Flows)})
        done = hour(pack, socket, now, one_hour)
        for name in (*ENERGIES, "charge_kwh"):
            assert getattr(block, name)[:, h] == pytest.approx(getattr(done, name), abs=1e-9), name
        now = done.charge_kwh
    assert np.abs(left_over(before, block)).max() < 1e-9


def test_a_plug_in_a_block_stops_at_the_ceiling_and_an_empty_battery_at_nought() -> None:
    """1,800 W at the battery store 1.71 kWh an hour, then what room is left under 19; 450 W of load take 0.5 kWh."""
    row = np.ones((1, 4))
    none = 0 * row
    shore = Flows(none, none, none, none, none, 1800 * row, none > 0)
    assert charges_before(PACK, members(15.0), shore)[0] == pytest.approx([15.0, 16.71, 18.42, 19.0])
    load = Flows(none, none, 450 * row, none, none, none, none > 0)
    assert charges_before(PACK, members(0.75), load)[0] == pytest.approx([0.75, 0.25, 0.0, 0.0])
    sun = Flows(1000 * row, none, none, none, none, none, none > 0)
    assert charges_before(PACK, members(19.6), sun)[0] == pytest.approx([19.6] * 4)
