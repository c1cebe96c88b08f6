"""Trips of a day, against times and energies worked out by hand in still water."""

from dataclasses import replace
from datetime import date

import numpy as np
import pytest

from tests.planner.samples import LEGS, PLACES, vessel, voyage
from voyager.planner.frame import Frame, build_frame
from voyager.planner.rows import taken
from voyager.planner.sail import sail
from voyager.planner.walks import KEPT_PACES, Trips, Walker, alone, blocks, build_walker, day_trips, together
from voyager.route.leg import Leg
from voyager.route.place import Place

CLOCK = {"travel_min": (540, 1020), "departs": date(2027, 4, 5)}


def _trips(
    frame: Frame, day: int = 0, *, furthest: int | None = None, every_pace: bool = False
) -> tuple[Walker, Trips]:
    walker, starts = build_walker(frame), np.asarray([0])
    passages = walker.block(day, 1, starts)
    last = np.asarray([len(frame.route.moorings) - 1 if furthest is None else furthest])
    return walker, day_trips(walker, passages, 0, day, starts, last, every_pace=every_pace)


def _speed_kmh(frame: Frame, pace_w: float) -> float:
    """P = c v^3 in still deep water without wind: the pace is the power."""
    return float((pace_w / frame.vessel.hull.coefficient_w_per_mps3) ** (1 / 3) * 3.6)


def test_trip_in_still_water_takes_distance_over_speed_and_its_locks() -> None:
    """12 km at (pace/c)^(1/3) and two locks of 20 minutes and 0.1 kWh, from 09:00, an hour after the day starts."""
    frame = build_frame(vessel(), voyage(**CLOCK), 1)
    walker, trips = _trips(frame, every_pace=True)
    beck = next(n for n, m in enumerate(frame.route.moorings) if m.name == "Beck")
    rows = np.flatnonzero(trips.end == beck)
    assert len(rows) > 3
    for row in rows:
        pace_w = float(walker.pace_w[trips.pace[row]])
        hours = 12.0 / _speed_kmh(frame, pace_w)
        assert trips.depart_h[row] == pytest.approx(1.0)
        assert trips.arrive_h[row] == pytest.approx(1.0 + hours + 2 / 3, rel=2e-3)
        assert trips.move_h[row] == pytest.approx(hours, rel=2e-3)
        assert trips.kwh[row] == pytest.approx(pace_w * hours / 1e3 + 0.2, rel=5e-3)
        assert trips.wait_h[row] == 0.0


def test_hours_of_a_trip_add_up() -> None:
    _, trips = _trips(build_frame(vessel(), voyage(**CLOCK), 1))
    assert len(trips.start) > 10
    np.testing.assert_allclose(trips.kwh_by_hour.sum(axis=1), trips.kwh, atol=1e-9)
    np.testing.assert_allclose(trips.moving.sum(axis=1), trips.arrive_h - trips.depart_h, atol=1e-9)
    assert (trips.kwh_by_hour >= -1e-12).all()
    assert (trips.kwh_by_hour[trips.moving == 0] < 1e-12).all()
    assert (trips.poor_kwh_by_hour.sum(axis=1) >= trips.kwh - 1e-9).all()


def test_no_trip_ends_after_the_close_of_travel_or_the_evening() -> None:
    frame = build_frame(vessel(), voyage(**CLOCK), 1)
    _, trips = _trips(frame, every_pace=True)
    assert trips.arrive_h.max() <= 9.0 + 1e-6
    assert trips.arrive_h.max() > 8.0
    assert trips.arrive_h.max() <= frame.windows.evening[0].min()


def test_slowest_paces_are_kept_and_all_of_them_to_the_destination() -> None:
    frame = build_frame(vessel(), voyage(**CLOCK), 1)
    walker, all_trips = _trips(frame, every_pace=True)
    _, kept = _trips(frame)
    goal = len(frame.route.moorings) - 1
    for end in range(1, goal + 1):
        there, here = all_trips.pace[all_trips.end == end], kept.pace[kept.end == end]
        expected = there if end == goal else np.sort(there)[:KEPT_PACES]
        assert list(here) == list(np.sort(expected))
    assert (all_trips.pace[all_trips.end == goal] < len(walker.pace_w)).all()


def test_no_further_than_told() -> None:
    _, trips = _trips(build_frame(vessel(), voyage(**CLOCK), 1), furthest=3)
    assert set(trips.end.tolist()) == {1, 2, 3}


def test_faster_costs_more_and_arrives_earlier() -> None:
    _, trips = _trips(build_frame(vessel(), voyage(**CLOCK), 1), every_pace=True)
    for end in np.unique(trips.end):
        rows = trips.end == end
        assert (np.diff(trips.arrive_h[rows]) < 1e-9).all()
        assert (np.diff(trips.kwh[rows]) > -1e-9).all()


def test_lock_that_opens_late_is_waited_for() -> None:
    """Both locks work from 11:00, three hours after the day starts: nobody is through the first before 3 h 20 min."""
    legs = (replace(LEGS[0], open_min=(660, 900)), LEGS[1])
    frame = build_frame(vessel(), voyage(legs=legs, **CLOCK), 1)
    _, trips = _trips(frame)
    km = np.asarray([m.km for m in frame.route.moorings])
    beyond = km[trips.end] > 3.0
    first = trips.arrive_h[beyond]
    assert (first >= 3.0 + 1 / 3).all()
    spent = trips.arrive_h - trips.depart_h - trips.wait_h
    assert (trips.wait_h[beyond] > 0).any()
    locks = np.where(km[trips.end] > 9.0, 2, np.where(km[trips.end] > 3.0, 1, 0))
    np.testing.assert_allclose(spent, trips.move_h + locks / 3, atol=1e-9)


def test_locks_shut_all_day_are_not_passed() -> None:
    """5 April 2027 is a Monday."""
    legs = (replace(LEGS[0], closed_weekdays=(0,)), LEGS[1])
    frame = build_frame(vessel(), voyage(legs=legs, **CLOCK), 2)
    monday, tuesday = (_trips(frame, day)[1] for day in range(2))
    km = np.asarray([m.km for m in frame.route.moorings])
    assert km[monday.end].max() <= 3.0 + 1e-6
    assert km[tuesday.end].max() > 12.0


def test_current_carries_and_holds() -> None:
    """1 km/h along the leg: at the marginal rule's own speed over the ground, faster down than up by about 2 km/h."""
    legs = tuple(replace(leg, water="river", locks=0, current_mps=1 / 3.6) for leg in LEGS)
    frame = build_frame(vessel(), voyage(legs=legs, **CLOCK), 1)
    down = build_walker(frame)
    up = build_walker(frame, back=True)
    ground = [w.table.values[0, 0, 0, :, 0] for w in (down, up)]
    water = [w.table.values[0, 0, 0, :, 1] * 3.6 for w in (down, up)]
    np.testing.assert_allclose(ground[0], water[0] + 1.0, atol=1e-9)
    moving = ground[1] > 0
    np.testing.assert_allclose(ground[1][moving], water[1][moving] - 1.0, atol=1e-9)
    assert (water[1][moving] >= water[0][moving] - 1e-9).all()


def test_way_back_mirrors_the_way_ahead() -> None:
    frame = build_frame(vessel(), voyage(**CLOCK), 1)
    ahead, back = build_walker(frame), build_walker(frame, back=True)
    goal = len(frame.route.moorings) - 1
    there = sail(ahead, 0, 0, 4, 5)
    home = sail(back, 0, 4, 0, 5, back=True)
    assert (home.trips.start[0], home.trips.end[0]) == (4, 0)
    assert home.trips.kwh[0] == pytest.approx(there.trips.kwh[0], rel=1e-6)
    assert home.trips.move_h[0] == pytest.approx(there.trips.move_h[0], rel=1e-6)
    assert (home.locks, there.locks) == (2, 2)
    assert goal > 4


def test_told_leg_by_leg_a_trip_adds_up() -> None:
    frame = build_frame(vessel(), voyage(**CLOCK), 1)
    goal = len(frame.route.moorings) - 1
    trip = sail(build_walker(frame), 0, 0, goal, 9)
    assert [part.leg for part in trip.parts] == [0, 1]
    assert sum(p.km for p in trip.parts) == pytest.approx(30.0)
    assert sum(p.kwh for p in trip.parts) == pytest.approx(float(trip.trips.kwh[0]))
    hours = float(trip.trips.arrive_h[0] - trip.trips.depart_h[0] - trip.trips.wait_h[0])
    assert sum(p.hours for p in trip.parts) == pytest.approx(hours)
    assert [p.locks for p in trip.parts] == [2, 0]
    assert all(p.complete for p in trip.parts)
    assert trip.parts[0].hours - trip.parts[0].move_h == pytest.approx(2 / 3)
    assert trip.parts[0].kwh - trip.parts[0].motor_kwh == pytest.approx(0.2)
    assert trip.parts[1].finished_h == pytest.approx(float(trip.trips.arrive_h[0]))


def test_part_of_a_leg_is_not_complete() -> None:
    frame = build_frame(vessel(), voyage(**CLOCK), 1)
    part = sail(build_walker(frame), 0, 0, 2, 3).parts[-1]
    assert not part.complete
    assert part.km == pytest.approx(frame.route.moorings[2].km)


def test_coastal_leg_is_done_in_one_go_or_not_at_all() -> None:
    places = (Place("Cove", 53.0, -6.0), Place("Haven", 53.3, -6.0))
    near, far = (
        build_frame(
            vessel(),
            voyage(
                places=places,
                legs=(Leg("Cove", "Haven", "coastal", distance_km=km, moor_anywhere=False),),
                **CLOCK,
            ),
            1,
        )
        for km in (40.0, 150.0)
    )
    assert set(_trips(near)[1].end.tolist()) == {1}
    assert len(_trips(far)[1].end) == 0


def test_poor_wind_costs_more_on_exposed_water_only() -> None:
    boat = vessel(hull=replace(vessel().hull, air_drag_area_m2=4.0))
    places = (Place("Cove", 53.0, -6.0), Place("Haven", 53.3, -6.0))
    for water, more in (("coastal", True), ("lake", False)):
        legs = (Leg("Cove", "Haven", water, distance_km=40.0, moor_anywhere=False),)
        _, trips = _trips(build_frame(boat, voyage(places=places, legs=legs, **CLOCK), 1))
        poor = trips.poor_kwh_by_hour.sum(axis=1)
        assert (poor > trips.kwh * 1.01).all() if more else poor == pytest.approx(trips.kwh)


def test_blocks_cover_every_day_once() -> None:
    for count in (1, 5, 19, 20, 21, 40, 41):
        for moorings in (2, 78, 999, 1000):
            days = [d for first, n in blocks(count, moorings) for d in range(first, first + n)]
            assert days == list(range(count))


def test_places_sample_has_a_plug_between() -> None:
    assert [p.shore_w > 0 for p in PLACES] == [False, True, False]


def test_some_of_the_trips_keep_their_own_hours() -> None:
    """Picked, picked again, put together and alone: hours stay with their trip."""
    _, trips = _trips(build_frame(vessel(), voyage(**CLOCK), 1), every_pace=True)
    count = len(trips.start)
    first, again = np.arange(count)[::-2], np.asarray([3, 0, 3])
    some = taken(taken(trips, first), again)
    both = together([some, trips])
    for name in ("kwh_by_hour", "poor_kwh_by_hour", "moving", "mount", "station", "kwh"):
        want = getattr(trips, name)[first][again]
        for one in (some, alone(some), together([some])):
            np.testing.assert_array_equal(getattr(one, name), want)
        np.testing.assert_array_equal(getattr(both, name), np.concatenate([want, getattr(trips, name)]))
    assert len(alone(some).by_hour.kwh) == len(together([some]).by_hour.kwh) == 3
