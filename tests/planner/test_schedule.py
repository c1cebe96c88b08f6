"""Schedules of the demo voyages and of small ones: promises kept, energy added up, nights and sea days counted."""

from dataclasses import replace
from datetime import date
from functools import lru_cache
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest

from tests.planner.instances import evening_step
from tests.planner.samples import LEGS, PLACES, battery, vessel, voyage
from voyager.energy.ledger import balance_kwh
from voyager.files.voyage_file import load_voyage
from voyager.planner.marks import mark
from voyager.planner.outlook import Outlook, look
from voyager.planner.schedule import Day
from voyager.route.leg import Leg
from voyager.route.place import Place
from voyager.route.voyage import Voyage

ROUTES = Path(__file__).parents[2] / "routes"
DEMOS = ("spring", "autumn", "winter")
SLOW = {"travel_min": (600, 780), "departs": date(2027, 3, 1)}


@lru_cache
def demo(name: str) -> Outlook:
    """The plan of a demo voyage in its own sky."""
    loaded = load_voyage(str(ROUTES / f"{name}.toml"))
    return look(loaded.vessel, loaded.voyage)


def _small(here: Voyage, capacity_kwh: float = 20.0) -> Outlook:
    return look(vessel(battery=battery(capacity_kwh)), here)


@pytest.mark.parametrize("name", DEMOS)
def test_no_held_day_goes_below_its_floor_in_its_own_sky(name: str) -> None:
    days = demo(name).schedule.days
    held = [day for day in days if day.choice.held]
    assert len(held) > len(days) / 2
    for day in held:
        lowest = min(day.charge_start_kwh, float(day.ledger.charge_kwh.min()))
        assert lowest >= day.floor_kwh - 1e-9, day.day


@pytest.mark.parametrize("name", DEMOS)
def test_held_days_keep_the_promise_of_the_poor_day(name: str) -> None:
    for day in demo(name).schedule.days:
        if day.choice.held and not day.choice.flee:
            assert day.poor_low_kwh >= day.floor_kwh - 1e-6
            plug = demo(name).frame.plugs_w[demo(name).built.stops.mooring[day.end]] > 0
            assert plug or day.poor_evening_kwh >= day.floor_kwh + day.reserve_kwh - 1e-3


@pytest.mark.parametrize("name", DEMOS)
def test_every_hour_and_every_day_adds_up(name: str) -> None:
    days = demo(name).schedule.days
    for day in days:
        before = np.asarray([day.charge_start_kwh])
        assert np.abs(balance_kwh(before, day.ledger)).max() < 1e-9
    for before_day, after_day in pairwise(days):
        assert after_day.charge_start_kwh == pytest.approx(float(before_day.ledger.charge_kwh[0, -1]), abs=1e-12)
        assert after_day.start == before_day.end
        assert after_day.day == before_day.day + 1


@pytest.mark.parametrize("name", DEMOS)
def test_every_day_has_its_hours_and_charges_no_higher_than_the_ceiling(name: str) -> None:
    found = demo(name)
    top = max(found.frame.ceiling_kwh, found.schedule.days[0].charge_start_kwh)
    for day in found.schedule.days:
        assert day.ledger.charge_kwh.shape == (1, int(found.frame.days.length_h[day.day]))
        assert float(day.ledger.charge_kwh.max()) <= top + 1e-9
        assert float(day.ledger.total("unserved_kwh")[0]) == pytest.approx(0.0, abs=1e-9)


@pytest.mark.parametrize("name", DEMOS)
def test_evenings_follow_the_rule_on_the_charge_that_is_there(name: str) -> None:
    found = demo(name)
    for day in found.schedule.days:
        if day.sea is not None:
            continue
        charge = float(day.ledger.charge_kwh[0, day.evening - 1])
        step, plugged = evening_step(found.built.problem.evenings[day.day], day.end, charge, found.frame.wanted)
        assert (day.night_step, day.plugged) == (step, plugged)
        shore = float(day.ledger.total("shore_kwh")[0])
        assert shore > 0 if plugged else shore == 0


@pytest.mark.parametrize("name", DEMOS)
def test_legs_of_a_trip_take_its_hours_and_energy(name: str) -> None:
    sailed = [day for day in demo(name).schedule.days if day.sail is not None and day.sea is None]
    assert len(sailed) > 1
    for day in sailed:
        assert day.sail is not None
        trips, parts = day.sail.path, day.sail.parts
        hours = float(trips.arrive_h[0] - trips.depart_h[0] - trips.wait_h[0])
        assert sum(part.hours for part in parts) == pytest.approx(hours, abs=1e-9)
        extra = demo(name).frame.vessel.hull.underway_extra_w * hours / 1e3
        asked = sum(part.kwh for part in parts) + extra
        assert float(day.ledger.total("propulsion_kwh")[0]) == pytest.approx(asked, abs=1e-6)


@pytest.mark.parametrize("name", DEMOS)
def test_it_arrives_and_ends_there(name: str) -> None:
    found = demo(name)
    last = found.schedule.days[-1]
    assert found.schedule.arrived is not None
    assert last.end == found.built.problem.destination
    assert found.schedule.arrived <= last.day
    km = [found.frame.route.moorings[found.built.stops.mooring[day.end]].km for day in found.schedule.days]
    assert km[-1] == pytest.approx(float(found.frame.route.start_km[-1]))


def _lying(found: Outlook, name: str) -> list[Day]:
    moorings, at = found.frame.route.moorings, found.built.stops.mooring
    return [d for d in found.schedule.days if moorings[at[d.start]].name == moorings[at[d.end]].name == name]


@pytest.mark.parametrize("nights", [0, 1, 3])
def test_a_place_with_nights_is_lain_at_for_so_many_days(nights: int) -> None:
    legs = (replace(LEGS[0], nights=nights), LEGS[1])
    found = _small(voyage(legs=legs, **SLOW))
    days = _lying(found, "Beck")
    assert len(days) == nights
    stops_at = [found.frame.route.moorings[found.built.stops.mooring[d.end]].name for d in found.schedule.days]
    assert ("Beck" in stops_at) or nights == 0


def test_nights_at_the_end_come_after_the_arrival() -> None:
    legs = (LEGS[0], replace(LEGS[1], nights=2))
    found, plain = _small(voyage(legs=legs, **SLOW)), _small(voyage(**SLOW))
    assert found.schedule.arrived == plain.schedule.arrived
    assert len(found.schedule.days) == len(plain.schedule.days) + 2


def test_waiting_days_for_the_sea_go_by_the_sky() -> None:
    """Two coastal legs fit on half of the mornings owe two days when cautious, one when middling, none when good."""
    places = (Place("Cove", 53.0, -6.0), Place("Haven", 53.2, -6.0), Place("Ness", 53.4, -6.0))
    legs = tuple(
        Leg(a, b, "coastal", distance_km=22.0, moor_anywhere=False, fit_to_go=0.5)
        for a, b in (("Cove", "Haven"), ("Haven", "Ness"))
    )
    waits = {}
    for sky in ("cautious", "middling", "good"):
        here = voyage(places=places, legs=legs, sky=sky, departs=date(2027, 6, 7), comfort="off", shore_power="never")
        found = _small(here)
        waits[sky] = len([d for d in found.schedule.days if d.sail is None])
    assert waits == {"cautious": 2, "middling": 1, "good": 0}


def test_first_morning_has_the_charge_of_the_file() -> None:
    for percent in (40.0, 80.0, 100.0):
        first = _small(voyage(charge_at_start_percent=percent, **SLOW)).schedule.days[0]
        assert first.charge_start_kwh == pytest.approx(20.0 * percent / 100)


def test_charge_above_the_ceiling_is_kept_not_spilled() -> None:
    """Full at 20 kWh over a ceiling of 19: the first hours run it down, nothing of it is spilled."""
    legs = (replace(LEGS[0], earliest=date(2027, 3, 3)), LEGS[1])
    found = _small(voyage(charge_at_start_percent=100.0, legs=legs, **SLOW))
    ledger = found.schedule.days[0].ledger
    assert float(ledger.charge_kwh[0, 0]) > 19.0
    assert float(ledger.charge_kwh[0, 0]) <= 20.0
    assert float(ledger.spilled_kwh[0, 0]) <= float(ledger.solar_kwh[0, 0]) + 1e-12


@pytest.mark.parametrize(("capacity_kwh", "percent", "apart"), [(16.0, 95.0, True), (14.0, 80.0, False)])
def test_morning_and_evening_steps_heat_their_own_hours(capacity_kwh: float, percent: float, apart: bool) -> None:
    """A day begun at frost guard whose evening holds the voyage's step is cold by day and warm by night."""
    found = _small(voyage(shore_power="never", charge_at_start_percent=percent, **SLOW), capacity_kwh=capacity_kwh)
    days, off = found.schedule.days, found.frame.off
    assert any(day.morning_step != day.night_step for day in days) is apart
    assert {day.night_step for day in days} >= {found.frame.wanted}
    for day in days:
        evening_heat = float(day.ledger.heating_kwh[0, day.evening :].sum())
        assert (evening_heat < 0.5) if day.night_step == off else (evening_heat > 0.5)


def test_never_plugs_in_when_told_never_and_less_often_with_last_than_any() -> None:
    fewer = [
        sum(day.plugged for day in _small(voyage(shore_power=power, **SLOW)).schedule.days)
        for power in ("never", "last", "any")
    ]
    assert fewer[0] == 0
    assert fewer[0] <= fewer[1] <= fewer[2]


def test_marks_of_demo_days_are_what_they_did() -> None:
    found = demo("winter")
    for day in found.schedule.days:
        moored = found.built.stops.mooring[day.start] == found.built.stops.mooring[day.end]
        assert (mark(found.built, day) == "underway") is not moored or day.sea is not None
    assert PLACES[1].shore_w > 0
