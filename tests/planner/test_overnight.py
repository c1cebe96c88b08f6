"""Crossings through the night: dates at their end, hours, what they take."""

from dataclasses import replace
from datetime import date

import pytest

from tests.planner.samples import battery, vessel, voyage
from voyager.planner.aim import WEIGHTS
from voyager.planner.outlook import Outlook, look
from voyager.planner.overnight import crossing_cost, crossings, night_legs
from voyager.route.leg import Leg
from voyager.route.place import Place

SHORES = (Place("Quay", 52.0, -10.0), Place("Pier", 53.4, -10.5, shore_w=3000.0))
SEA = Leg("Quay", "Pier", "coastal", distance_km=110.0, moor_anywhere=False, overnight=True)


def _crossed(**keys: object) -> Outlook:
    """A crossing of 110 km in June with a battery that is large enough."""
    legs = (replace(SEA, **keys),)  # type: ignore[arg-type]
    week = {"departs": date(2027, 6, 1), "comfort": "off", "charge_at_start_percent": 100.0, "travel_min": (540, 960)}
    return look(vessel(battery=battery(60.0)), voyage(places=SHORES, legs=legs, **week))


def test_a_crossing_lands_within_three_days_each_held() -> None:
    found = _crossed()
    assert found.schedule.arrived is not None
    assert 1 <= found.schedule.arrived <= 2
    assert all(day.choice.held and day.sea for day in found.schedule.days)


def test_a_crossing_lands_no_sooner_than_the_earliest_date_at_its_end() -> None:
    found = _crossed(earliest=date(2027, 6, 9))
    assert found.schedule.arrived is not None
    assert found.frame.days.dates[found.schedule.arrived] >= date(2027, 6, 9)


def test_a_date_already_past_when_it_lands_changes_nothing() -> None:
    assert _crossed(earliest=date(2027, 6, 2)).schedule.arrived == _crossed().schedule.arrived


def test_a_crossings_days_join_up() -> None:
    """Kilometres, charge and propulsion run on from day to day to what the leg takes as a whole."""
    first, *others = _crossed().schedule.days
    assert first.sea is not None
    assert first.sea.start_km == 0.0
    km, charge = first.sea.end_km, float(first.ledger.charge_kwh[0, -1])
    for day in others:
        assert day.sea is not None
        assert day.sea.start_km == pytest.approx(km)
        assert day.charge_start_kwh == pytest.approx(charge)
        km, charge = day.sea.end_km, float(day.ledger.charge_kwh[0, -1])
    assert km == pytest.approx(110.0)
    landed = others[-1].sail
    assert landed is not None
    extra_kwh = 0.03 * sum(day.sea.hours for day in (first, *others) if day.sea)
    spent = sum(float(day.ledger.total("propulsion_kwh")[0]) for day in (first, *others))
    assert spent == pytest.approx(landed.parts[0].kwh + extra_kwh)


def test_the_load_under_way_is_priced_by_the_hour() -> None:
    """1e-4 of the soonest plan's unit a kWh: 500 W more aboard under way cost 0.5e-4 more each hour of a crossing."""
    frame, walker = _crossed().frame, _crossed().built.ahead
    crossing = crossings(walker, 0, *night_legs(frame)[0])[0]
    hull = replace(frame.vessel.hull, underway_extra_w=frame.vessel.hull.underway_extra_w + 500.0)
    more = replace(frame, vessel=replace(frame.vessel, hull=hull))
    plain, loaded = (crossing_cost(one, crossing, 0, WEIGHTS["soonest"]) for one in (frame, more))
    assert crossing.hours > 10
    assert loaded - plain == pytest.approx(0.5e-4 * crossing.hours)
