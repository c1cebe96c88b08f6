"""Marks and reasons of days that were made to be what they are."""

from dataclasses import replace
from datetime import date, timedelta

from tests.planner.samples import LEGS, PLACES, battery, vessel, voyage
from voyager.boat.arrays import PanelArray
from voyager.planner.frame import build_frame
from voyager.planner.marks import mark, why
from voyager.planner.outlook import Outlook, look, plan_frame
from voyager.route.leg import Leg
from voyager.route.place import Place

FIRST = date(2027, 3, 1)
SLOW = {"travel_min": (600, 780), "departs": FIRST}


def _told(found: Outlook) -> list[tuple[str, str]]:
    return [(mark(found.built, day), why(found.frame, found.built, day)) for day in found.schedule.days]


def test_going_is_underway() -> None:
    told = _told(look(vessel(), voyage(**SLOW)))
    assert told == [("underway", "going")] * len(told)


def test_nights_asked_for_are_asked() -> None:
    told = _told(look(vessel(), voyage(legs=(replace(LEGS[0], nights=1), LEGS[1]), shore_power="never", **SLOW)))
    assert [pair for pair in told if pair[0] != "underway"] == [("rest", "asked")]


def test_too_early_is_asked() -> None:
    legs = (replace(LEGS[0], earliest=FIRST + timedelta(days=4), moor_anywhere=False), LEGS[1])
    told = _told(look(vessel(), voyage(legs=legs, shore_power="never", **SLOW)))
    assert told[:4] == [("rest", "asked")] * 4
    assert told[4] == ("underway", "going")


def test_a_stoppage_is_closed() -> None:
    """Locks shut for three days at the first kilometre of a canal without a mooring before it."""
    stop = ((FIRST, FIRST + timedelta(days=2)),)
    legs = (replace(LEGS[0], lock_at_km=(0.0, 1.0), closed=stop), LEGS[1])
    told = _told(look(vessel(), voyage(legs=legs, shore_power="never", **SLOW)))
    assert told[:3] == [("rest", "closed")] * 3
    assert told[3][0] == "underway"


def test_waiting_for_the_sea_is_sea() -> None:
    places = (Place("Cove", 53.0, -6.0), Place("Haven", 53.2, -6.0))
    legs = (Leg("Cove", "Haven", "coastal", distance_km=22.0, moor_anywhere=False, fit_to_go=0.5),)
    told = _told(look(vessel(), voyage(places=places, legs=legs, departs=date(2027, 6, 7), comfort="off")))
    assert [reason for _, reason in told] == ["sea", "going"]


def test_polar_night_is_no_daylight() -> None:
    places = (Place("Inner", 70.0, 25.0), Place("Outer", 70.1, 25.0))
    legs = (Leg("Inner", "Outer", "lake", distance_km=12.0, moor_anywhere=False),)
    here = voyage(places=places, legs=legs, departs=date(2027, 12, 10), comfort="off", time_zone="Etc/UTC")
    found = plan_frame(build_frame(vessel(battery=battery(200.0)), here, 4))
    assert _told(found) == [("rest", "daylight")] * 4


def test_a_leg_too_long_for_the_day_is_daylight() -> None:
    legs = (Leg("Ashby", "Beck", "lake", distance_km=80.0, moor_anywhere=False),)
    here = voyage(places=PLACES[:2], legs=legs, comfort="off", departs=date(2027, 6, 7), travel_min=(600, 660))
    found = plan_frame(build_frame(vessel(), here, 3))
    assert _told(found) == [("rest", "daylight")] * 3


def _long_leg(percent: float) -> list[tuple[str, str]]:
    """Forty kilometres in six hours of a day in June, 400 Wp aboard: about 4 kWh to be there from the start."""
    legs = (Leg("Ashby", "Beck", "lake", distance_km=40.0, moor_anywhere=False),)
    here = voyage(places=PLACES[:2], legs=legs, comfort="off", departs=date(2027, 6, 7), shore_power="never")
    here = replace(here, charge_at_start_percent=percent, travel_min=(600, 960))
    return _told(look(vessel(arrays=(PanelArray("roof", 400.0, 1),)), here))


def test_sitting_to_charge_is_charge_and_recover() -> None:
    """It would go on from a full battery, and does once the sun has filled it far enough."""
    told = _long_leg(40.0)
    assert told[0] == ("charge", "recover")
    assert told[-1] == ("underway", "going")


def test_mark_follows_the_charge() -> None:
    assert _long_leg(95.0) == [("underway", "going")]


def test_lying_at_a_plug_for_need_is_shore_and_low() -> None:
    places = (replace(PLACES[0], shore_w=3000.0), *PLACES[1:])
    told = _told(look(vessel(), voyage(places=places, charge_at_start_percent=12.0, **SLOW)))
    assert told[0] == ("shore", "low")


def test_nights_at_the_end_are_arrived_or_asked() -> None:
    legs = (LEGS[0], replace(LEGS[1], nights=2))
    told = _told(look(vessel(), voyage(legs=legs, shore_power="never", **SLOW)))
    assert [what for what, _ in told[-2:]] == ["rest", "rest"]
    assert all(reason in ("arrived", "asked") for _, reason in told[-2:])
