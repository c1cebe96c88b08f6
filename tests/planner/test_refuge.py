"""Where nothing is held: to the nearest plug, ahead or back, or lying still; never away from a plug."""

from dataclasses import replace
from datetime import date
from itertools import pairwise

import numpy as np
import pytest

from tests.planner.samples import battery, vessel, voyage
from voyager.boat.arrays import PanelArray
from voyager.boat.cabin import Comfort
from voyager.planner.actions import Built, build_problem
from voyager.planner.frame import Frame, build_frame
from voyager.planner.marks import mark, why
from voyager.planner.outlook import plan_frame
from voyager.planner.policy import choose, solve
from voyager.planner.refuge import nearest_plugs
from voyager.planner.stops import build_stops
from voyager.route.leg import Leg
from voyager.route.place import Place
from voyager.route.voyage import Voyage

JUNE = {"departs": date(2027, 6, 7), "comfort": "off", "travel_min": (540, 1020)}
DARK = {"arrays": (PanelArray("none", 0.0),), "heaters": (), "comfort": (Comfort("off", (), 2.0),)}


def _canal(plugs_km: dict[str, float], km: float = 30.0, **keys: object) -> Voyage:
    """One canal of ``km`` with moorings 3 km apart and plugs at the places named, in order."""
    marks = {"Head": 0.0, **plugs_km, "Tail": km}
    places = tuple(
        Place(name, 53.0 + at / 111, -8.0, shore_w=3000.0 if name in plugs_km else 0.0) for name, at in marks.items()
    )
    kms = list(marks.values())
    legs = tuple(
        Leg(a.name, b.name, "canal", distance_km=kms[k + 1] - kms[k]) for k, (a, b) in enumerate(pairwise(places))
    )
    return voyage(**({"places": places, "legs": legs, "mooring_every_km": 3.0} | JUNE | keys))


def _built(here: Voyage, days: int = 2, **boat: object) -> tuple[Frame, Built]:
    frame = build_frame(vessel(**boat), here, days)
    return frame, build_problem(frame, build_stops(here, frame.route, here.sky))


def test_nearest_plugs_either_way() -> None:
    """Eleven moorings 3 km apart, plugs at kilometres 6 and 21."""
    frame = build_frame(vessel(), _canal({"One": 6.0, "Two": 21.0}), 1)
    plugs = nearest_plugs(frame)
    assert list(plugs.here.nonzero()[0]) == [2, 7]
    assert list(plugs.ahead) == [2, 2, 7, 7, 7, 7, 7, -1, -1, -1, -1]
    assert list(plugs.behind) == [-1, -1, -1, 2, 2, 2, 2, 2, 7, 7, 7]


def test_nearer_plug_is_the_one_fled_to() -> None:
    """From kilometres 9 and 12 back to 6, from 15 and 18 on to 21, from beyond it back."""
    _, built = _built(_canal({"One": 6.0, "Two": 21.0}), days=2)
    end = built.problem.refuges[1].end
    assert list(end[:2]) == [2, 2]
    assert list(end[3:7]) == [2, 2, 7, 7]
    assert list(end[8:10]) == [7, 7]


def test_nobody_flees_from_a_plug() -> None:
    _, built = _built(_canal({"One": 6.0, "Two": 21.0}))
    assert built.problem.refuges[1].end[2] == -1
    assert built.problem.refuges[1].end[7] == -1


def test_no_plug_in_a_days_reach_is_no_refuge() -> None:
    """Travel for half an hour gets nobody 12 km on."""
    _, built = _built(_canal({"One": 18.0}, travel_min=(540, 570)))
    assert built.problem.refuges[0].end[0] == -1


def test_never_takes_plugs_away() -> None:
    _, built = _built(_canal({"One": 6.0}, shore_power="never"))
    assert (built.problem.refuges[0].end == -1).all()
    assert built.back is None


def test_flight_takes_the_slowest_pace_and_its_own_energy() -> None:
    """Without sun: what the slowest pace needs over 6 km, 30 W under way, 50 W of hotel to the evening, over 0.98.

    It is reached from what it takes, held from the floor above that.
    """
    frame, built = _built(_canal({"One": 6.0}), **DARK)
    refuge, hull = built.problem.refuges[0], frame.vessel.hull
    pace_w = float(built.ahead.pace_w.min())
    speed = (pace_w / 95.0) ** (1 / 3)
    hours = 6.0 / (speed * 3.6)
    evening = int(frame.windows.evening[0, frame.mooring_station[2]])
    expected = -((pace_w + hull.underway_extra_w) * hours / 1e3 + 0.050 * evening) / 0.98
    assert refuge.add[0, 0] == pytest.approx(expected, abs=0.01)
    assert refuge.reach_kwh[0, 0] == pytest.approx(-expected, abs=0.01)
    floor = float(frame.weather.floor_kwh[0].max())
    assert refuge.held_kwh[0, 0] == pytest.approx(floor - expected, abs=0.01)


def _first_day(charge_percent: float, here: Voyage) -> tuple[object, str, str]:
    frame = build_frame(vessel(**DARK), replace(here, charge_at_start_percent=charge_percent), 4)
    found = plan_frame(frame)
    day = found.schedule.days[0]
    return day, mark(found.built, day), why(found.frame, found.built, day)


def test_low_boat_goes_to_the_plug_ahead_and_takes_it() -> None:
    """A floor of about 4 kWh in June's air, too little for the night's reserve where it lies."""
    here = _canal({"One": 6.0})
    boat = vessel(**DARK)
    frame = build_frame(boat, replace(here, charge_at_start_percent=19.0), 4)
    found = plan_frame(frame)
    day = found.schedule.days[0]
    assert (mark(found.built, day), why(found.frame, found.built, day)) == ("underway", "to-shore")
    assert day.choice.flee
    assert not day.choice.held
    assert day.poor_low_kwh < day.floor_kwh
    assert day.plugged
    assert found.frame.route.moorings[found.built.stops.mooring[day.end]].name == "One"
    assert found.schedule.days[1].choice.held


def test_flight_is_held_from_the_charge_that_stays_above_the_floor() -> None:
    """With ten nights' reserve no mooring holds; a flight does from its own threshold on, and not just below it."""
    _, built = _built(_canal({"One": 6.0}, heating_reserve_nights=30), days=3, **DARK)
    policy, refuge = solve(built.problem), built.problem.refuges[1]
    acts = built.problem.mornings[1]
    to_plug = acts.end == 2
    edge = float(refuge.held_kwh[0, 1])
    assert (acts.from_kwh[0, (acts.start == 1) & ~to_plug] > 1e6).all()
    assert float(acts.from_kwh[0, (acts.start == 1) & to_plug].min()) == pytest.approx(edge, abs=2e-4)
    below = choose(policy, 1, 1, edge - 1e-3)
    assert (below.flee, below.held, below.action) == (True, False, None)
    assert choose(policy, 1, 1, edge + 2e-3).held


def test_boat_too_low_to_reach_the_plug_lies_still_and_says_so() -> None:
    here = _canal({"One": 6.0})
    day, what, _ = _first_day(2.0, here)
    assert what in ("rest", "charge")
    assert not day.choice.held
    assert not day.choice.flee


def test_low_boat_at_a_plug_stays_there_and_takes_it() -> None:
    """Below the floor at a plug the nearest plug is this one."""
    here = _canal({"One": 12.0})
    here = replace(here, places=(replace(here.places[0], shore_w=3000.0), *here.places[1:]))
    day, what, reason = _first_day(12.0, here)
    assert (what, reason) == ("shore", "low")
    assert day.plugged
    assert day.ledger.charge_kwh[0, -1] > day.floor_kwh


def test_way_back_is_offered_on_the_second_morning_and_taken() -> None:
    """Two moorings past the plug with little charge: back it goes, from the first days of a voyage on."""
    _, built = _built(_canal({"One": 6.0}, km=60.0), days=3, **DARK)
    policy, refuge, stop = solve(built.problem), built.problem.refuges[1], 4
    assert refuge.end[stop] == 2
    choice = choose(policy, 1, stop, float(refuge.reach_kwh[0, stop]) + 0.1)
    assert (choice.flee, choice.action) == (True, None)
    assert not choose(policy, 1, stop, float(refuge.reach_kwh[0, stop]) - 0.01).flee


def test_reserve_beyond_the_battery_is_refuge_without_a_plug() -> None:
    """Ten cold nights of the hotel exceed a small battery: nothing is held anywhere, lying still is what is left."""
    here = _canal({}, heating_reserve_nights=10)
    frame = build_frame(vessel(battery=battery(8.0), **DARK), here, 3)
    found = plan_frame(frame)
    assert all(not day.choice.held for day in found.schedule.days)
    assert found.schedule.arrived is None
    assert np.isfinite([day.charge_start_kwh for day in found.schedule.days]).all()


def test_flight_back_is_sailed_and_told_as_it_went() -> None:
    """Six nights asked for at a berth without a plug eat the battery: back to the plug that it came from."""
    here = _canal({"One": 6.0}, km=40.0, shore_power="last", charge_at_start_percent=95.0)
    far = Place("Far", 53.2, -8.0)
    places = (here.places[0], here.places[1], far, here.places[2])
    legs = (
        here.legs[0],
        Leg("One", "Far", "canal", distance_km=9.0, nights=9),
        Leg("Far", "Tail", "canal", distance_km=25.0),
    )
    frame = build_frame(vessel(**(DARK | {"battery": battery(9.0)})), replace(here, places=places, legs=legs), 14)
    found = plan_frame(frame)
    back = next(day for day in found.schedule.days if day.choice.flee)
    before = found.schedule.days[back.day - 1]
    names = [frame.route.moorings[found.built.stops.mooring[stop]].name for stop in (back.start, back.end)]
    assert names == ["Far", "One"]
    assert why(frame, found.built, before) == "asked"
    assert back.sail is not None
    assert back.sail.back
    assert sum(part.km for part in back.sail.parts) == pytest.approx(9.0)
    assert back.plugged
    assert float(back.ledger.total("propulsion_kwh")[0]) == pytest.approx(
        float(back.sail.trips.kwh[0]) + 0.030 * float(back.sail.trips.arrive_h[0] - back.sail.trips.depart_h[0])
    )


def test_flight_takes_the_slowest_pace_that_gets_there_in_time() -> None:
    """Twelve kilometres in two hours and a half: the slowest paces do not reach the plug, a faster one does."""
    here = _canal({"One": 12.0}, travel_min=(600, 750), charge_at_start_percent=23.0)
    found = plan_frame(build_frame(vessel(**DARK), here, 3))
    day = found.schedule.days[0]
    assert day.choice.flee
    assert day.sail is not None
    assert int(day.sail.path.pace[0]) > 0
    assert 2.0 < float(day.sail.path.arrive_h[0]) <= 4.5 + 1e-6
    assert day.plugged


def test_a_day_that_is_not_held_counts_as_one_of_the_nights_asked_for() -> None:
    """Four nights at a berth without sun or plug, on a battery that holds the first of them: four days all the same."""
    places = (Place("Head", 53.0, -8.0), Place("Berth", 53.1, -8.0))
    legs = (Leg("Head", "Berth", "canal", distance_km=6.0, nights=4),)
    frame = build_frame(vessel(battery=battery(9.0), **DARK), voyage(places=places, legs=legs, **JUNE), 10)
    found = plan_frame(frame)
    lain = [day for day in found.schedule.days if day.sail is None]
    assert [why(frame, found.built, day) for day in lain] == ["arrived"] * 4
    assert lain[0].choice.held
    assert not lain[-1].choice.held
