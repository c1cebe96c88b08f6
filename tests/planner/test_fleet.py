"""One morning of many members: what one would choose alone, and each with its own doing."""

from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from tests.planner.samples import LEGS, OFF, battery, vessel, voyage
from tests.planner.test_overnight import SEA, SHORES
from voyager.boat.arrays import PanelArray
from voyager.planner.doings import crossing_doing, lying_doings, trip_doings
from voyager.planner.fleet import Afloat, Plans, decided, doings_of
from voyager.planner.outlook import Outlook, look_many
from voyager.planner.policy import choose
from voyager.planner.rows import taken
from voyager.route.leg import Leg
from voyager.route.place import Place

DARK = vessel(arrays=(PanelArray("none", 0.0),), heaters=(), comfort=(OFF,), battery=battery(16.0))
SLOW = {"travel_min": (600, 720), "comfort": "off", "charge_at_start_percent": 40.0}
CASES = {
    "without sun": (DARK, voyage(**SLOW)),
    "sunny": (vessel(), voyage(travel_min=(600, 720))),
    "no plug": (DARK, voyage(shore_power="never", **SLOW)),
    "coast": (
        DARK,
        voyage(
            places=(Place("Cove", 53.0, -6.0), Place("Haven", 53.2, -6.0, shore_w=3000.0), Place("Ness", 53.3, -6.0)),
            legs=(
                Leg("Cove", "Haven", "coastal", distance_km=10.0, moor_anywhere=False, fit_to_go=0.5),
                replace(LEGS[1], start="Haven", end="Ness"),
            ),
            **SLOW,
        ),
    ),
}


@cache
def planned(case: str) -> Outlook:
    boat, here = CASES[case]
    return look_many(boat, here).many


def asked(found: Outlook, seed: int, count: int = 150) -> tuple[np.ndarray, ...]:
    """Seas, classes, stops and charges of members, from empty to full."""
    rng, problem = np.random.default_rng(seed), found.policy.problem
    charge = rng.choice([0.0, 1.0], count, p=[0.05, 0.95]) * rng.random(count) * problem.top_kwh
    return rng.random(count), rng.integers(0, 5, count), rng.integers(0, problem.stops - 1, count), charge


def taken_by(found: Outlook, plans: Plans, day: int, m: int, stop: np.ndarray) -> tuple[int, int]:
    """Mooring from and to by the trip or flight that a member is told to take, or where it lies."""
    built = found.built
    for rows, trips in ((plans.trip, built.journeys[day].trips), (plans.flight, built.journeys[day].flights)):
        if rows[m] >= 0:
            return int(trips.start[rows[m]]), int(trips.end[rows[m]])
    at = int(built.stops.mooring[stop[m]])
    return at, at


@pytest.mark.parametrize("case", CASES)
def test_every_member_does_what_it_would_choose_alone(case: str) -> None:
    """Held or not, going or staying, fleeing where nothing is held; a flight only when the sea is fit."""
    found = planned(case)
    acts_of, refuges, stops = found.policy.problem.mornings, found.policy.problem.refuges, found.built.stops
    fled = stayed = went = 0
    for day in (0, 2):
        sea, cls, stop, charge = asked(found, day)
        plans = decided(found.frame, found.built, found.policy, day, sea, cls, stop, charge)
        for m in range(len(stop)):
            choice = choose(found.policy, day, int(stop[m]), float(charge[m]), int(cls[m]), float(sea[m]))
            assert plans.held[m] == choice.held
            start, end = taken_by(found, plans, day, m, stop)
            assert start == stops.mooring[stop[m]]
            assert end == stops.mooring[plans.end[m]]
            assert plans.crossing[m] == -1
            if choice.action is not None:
                goes = bool(acts_of[day].pace[choice.action] >= 0)
                assert (plans.trip[m] >= 0) == goes or plans.end[m] != acts_of[day].end[choice.action]
                assert plans.flight[m] == -1
                assert np.isfinite(plans.arrive_h[m]) == (plans.trip[m] >= 0)
                went += goes
            elif choice.flee:
                assert plans.end[m] == refuges[day].end[stop[m]]
                assert sea[m] < refuges[day].fit[stop[m]]
                arrive = found.built.journeys[day].flights.arrive_h[plans.flight[m]]
                assert plans.arrive_h[m] == arrive
                fled += 1
            else:
                assert plans.end[m] == refuges[day].stay_end[stop[m]]
                assert (plans.trip[m], plans.flight[m], plans.step[m]) == (-1, -1, found.frame.off)
                stayed += 1
    assert went > 10
    assert stayed > 0
    assert (fled > 0) == (case != "no plug")


def test_trip_and_act_are_the_same_journey() -> None:
    """The trip's own hour of making fast is the row's."""
    found = planned("sunny")
    sea, cls, stop, charge = asked(found, 3)
    plans = decided(found.frame, found.built, found.policy, 1, sea, cls, stop, np.maximum(charge, 12.0))
    trips = found.built.journeys[1].trips
    goes = plans.trip >= 0
    assert goes.any()
    assert np.array_equal(plans.arrive_h[goes], trips.arrive_h[plans.trip[goes]])


def test_each_member_has_its_own_doing() -> None:
    """Trips, flights and berths of one morning, each once however many take it."""
    found, day = planned("without sun"), 1
    sea, cls, stop, charge = asked(found, 8)
    plans = decided(found.frame, found.built, found.policy, day, sea, cls, stop, charge)
    doings, of = doings_of(found.frame, found.built, day, plans, stop, [], [np.arange(len(stop))])
    journeys = found.built.journeys[day]
    kinds = set()
    for m in range(len(stop)):
        if plans.trip[m] >= 0:
            own = trip_doings(found.frame, day, taken(journeys.trips, plans.trip[[m]]))
        elif plans.flight[m] >= 0:
            own = trip_doings(found.frame, day, taken(journeys.flights, plans.flight[[m]]))
        else:
            own = lying_doings(found.frame, day, found.built.stops.mooring[stop[[m]]])
        for name in ("solar_w", "propulsion_w", "station"):
            assert np.array_equal(getattr(doings, name)[of[m]], getattr(own, name)[0]), name
        kinds.add((plans.trip[m] >= 0, plans.flight[m] >= 0))
    assert len(kinds) == 3
    assert len(doings.place) == len(np.unique(of)) < len(stop)


def test_members_afloat_come_after_those_that_woke() -> None:
    """Two on a crossing that began the day before, one that lies: the crossing's second day for the two."""
    week = {"comfort": "off", "charge_at_start_percent": 100.0, "travel_min": (540, 960)}
    found = look_many(vessel(battery=battery(60.0)), voyage(places=SHORES, legs=(SEA,), **week)).many
    crossing = found.built.journeys[0].crossings[0]
    one = np.zeros(1, dtype=np.int64)
    none = one - 1
    plans = Plans(one, one, np.ones(1, dtype=bool), none, none, none, np.full(1, np.nan))
    group = Afloat(crossing, 24, np.asarray([4, 7]), np.zeros(2, dtype=np.int64))
    doings, of = doings_of(found.frame, found.built, 1, plans, one, [group], [np.asarray([0]), np.asarray([1, 2])])
    own = crossing_doing(found.frame, crossing, 24, 1)
    assert of[1] == of[2] != of[0]
    assert np.array_equal(doings.propulsion_w[of[1]], own.propulsion_w[0])
    assert not doings.propulsion_w[of[0]].any()
    both = own.propulsion_w.sum() + crossing_doing(found.frame, crossing, 0, 0).propulsion_w[:, :24].sum()
    extra = found.frame.vessel.hull.underway_extra_w * crossing.moving.sum()
    assert both == pytest.approx(crossing.total_kwh * 1e3 + extra)


def test_a_morning_that_begins_a_crossing_names_it() -> None:
    """A fit sea and a full battery: all begin one of the morning's crossings; a rough sea keeps them."""
    leg = replace(SEA, fit_to_go=0.5)
    week = {"comfort": "off", "charge_at_start_percent": 100.0, "travel_min": (540, 960)}
    found = look_many(vessel(battery=battery(60.0)), voyage(places=SHORES, legs=(leg,), **week)).many
    sea, zero = np.asarray([0.1, 0.49, 0.5, 0.9]), np.zeros(4, dtype=np.int64)
    plans = decided(found.frame, found.built, found.policy, 0, sea, zero, zero, np.full(4, 60.0))
    assert (plans.crossing[:2] >= 0).all()
    assert plans.crossing[2:].tolist() == [-1, -1]
    assert (plans.trip == -1).all()
    hours = [found.built.journeys[0].crossings[c].arrive_h for c in plans.crossing[:2]]
    assert plans.arrive_h[:2] == pytest.approx(hours)
