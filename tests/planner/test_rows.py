"""The rows of the decision problem: the chains of the nodes in their columns, one sky alike alone and beside many."""

from dataclasses import fields, replace
from datetime import date
from functools import cache

import numpy as np
import pytest

from tests.planner.samples import LEGS, battery, vessel, voyage
from voyager.planner.actions import Built, build_problem, build_problems
from voyager.planner.bands import bands
from voyager.planner.effects import heating_reserve_kwh, lying, trip_chains
from voyager.planner.frame import Frame, build_frame
from voyager.planner.many import follow_many
from voyager.planner.outlook import look_many
from voyager.planner.problem import Evening, Morning, Refuge
from voyager.planner.rows import goings, taken, within
from voyager.planner.scope import many_skies_scope, one_sky_scope
from voyager.planner.skies import skies_of
from voyager.route.leg import Leg
from voyager.route.place import Place

COUNT, EDGE = 6, 0.93
SLOW = {"travel_min": (600, 780), "departs": date(2027, 2, 20)}
NIGHTS = (replace(LEGS[0], nights=1), LEGS[1])


@cache
def framed(many: bool = True) -> Frame:
    return build_frame(vessel(battery=battery(14.0)), voyage(legs=NIGHTS, **SLOW), COUNT, many=many)


@cache
def both() -> tuple[Built, Built]:
    """The problems of the one sky and of many, from the same walks."""
    one, many = build_problems(framed(), [one_sky_scope(framed()), many_skies_scope(framed())])
    return one, many


def same(a: object, b: object, name: str) -> None:
    """Every array of two tables to a rounding of the last place."""
    for f in fields(a):  # type: ignore[arg-type]
        left, right = getattr(a, f.name), getattr(b, f.name)
        parts = zip(left, right, strict=True) if isinstance(left, tuple) else ((left, right),)
        for x, y in parts:
            np.testing.assert_allclose(x, y, rtol=0, atol=1e-12, err_msg=f"{name}.{f.name}")


def test_one_sky_has_the_same_problem_alone_and_beside_many() -> None:
    """Frames without nodes and with them: mornings, evenings and refuges of every day."""
    alone, beside = build_problem(framed(many=False)).problem, both()[0].problem
    assert (alone.classes, alone.nodes) == (beside.classes, beside.nodes) == (1, 1)
    for day in range(COUNT):
        for name in ("mornings", "evenings", "refuges"):
            same(getattr(alone, name)[day], getattr(beside, name)[day], f"{name}[{day}]")


def test_shapes_by_class_and_node() -> None:
    many = both()[1].problem
    nodes, classes = framed().weather.poor - 1, 5
    assert (many.nodes, many.classes) == (nodes, classes)
    for acts in many.mornings:
        count = len(acts.start)
        assert acts.add.shape == acts.cap.shape == (nodes, count)
        assert acts.from_kwh.shape == acts.poor_low_add.shape == (classes, count)
    for refuge in many.refuges:
        assert refuge.add.shape == (nodes, many.stops)
        assert refuge.reach_kwh.shape == refuge.poor_go[0].shape == (classes, many.stops)


def test_going_does_at_every_node_what_its_own_chain_does() -> None:
    """The trip that the row names, its chain at that step, the columns of the nodes and of the classes' poor days."""
    frame, built = framed(), both()[1]
    scope = many_skies_scope(frame)
    seen = 0
    for day in range(COUNT):
        acts, trips = built.problem.mornings[day], built.journeys[day].trips
        for step in range(frame.wanted, len(frame.vessel.comfort)):
            rows = np.flatnonzero((acts.pace >= 0) & (acts.step == step))
            if not len(rows):
                continue
            one = taken(trips, acts.trip[rows])
            chain = trip_chains(frame, day, one, [step])[0]
            for name, values, kinds in (
                ("add", chain.add, scope.nodes), ("cap", chain.cap, scope.nodes),
                ("poor_add", chain.add, scope.poors), ("poor_cap", chain.cap, scope.poors),
                ("poor_low_add", chain.low_add, scope.poors), ("poor_low_cap", chain.low_cap, scope.poors),
            ):  # fmt: skip
                np.testing.assert_allclose(getattr(acts, name)[:, rows], values[:, kinds].T, atol=5.1e-5, err_msg=name)
            assert acts.pace[rows].tolist() == one.pace.tolist()
            assert built.stops.mooring[acts.start[rows]].tolist() == one.start.tolist()
            assert built.stops.mooring[acts.end[rows]].tolist() == one.end.tolist()
            seen += len(rows)
    assert seen > 30


def least(add: float, cap: float, low_add: float, low_cap: float, floor: float, need: float) -> float:
    """The charge that keeps the floor through the day and has the need in the evening, found by trying."""
    tried = np.arange(0.0, 30.0, 1e-3)
    good = (np.minimum(tried + low_add, low_cap) >= floor - 1e-9) & (np.minimum(tried + add, cap) >= need - 1e-9)
    return float(tried[good][0]) if good.any() else np.inf


def test_what_holds_is_the_least_charge_that_keeps_floor_and_reserve_on_a_poor_day_of_the_class() -> None:
    """Trips by trying charges one Wh apart; in the evening the floor alone where there is a plug."""
    frame, built = framed(), both()[1]
    for day in (1, 4):
        acts, reserve = built.problem.mornings[day], heating_reserve_kwh(frame, day)
        rows = np.flatnonzero(acts.pace >= 0)[::7]
        for a in rows:
            start, end = (int(built.stops.mooring[stop]) for stop in (acts.start[a], acts.end[a]))
            floor = max(frame.weather.floor_kwh[day, frame.mooring_station[m]] for m in (start, end))
            need = floor + (0.0 if frame.plugs_w[end] > 0 else reserve[end, acts.step[a]])
            for cls in range(5):
                four = (float(getattr(acts, f"poor_{n}")[cls, a]) for n in ("add", "cap", "low_add", "low_cap"))
                expected = least(*four, floor, need)
                got = float(acts.from_kwh[cls, a])
                assert got == pytest.approx(expected, abs=2e-3) or (got > 29.9 and np.isinf(expected))


def test_a_darker_morning_asks_for_no_less_charge() -> None:
    for acts in both()[1].problem.mornings:
        finite = np.where(np.isfinite(acts.from_kwh), acts.from_kwh, 1e9)
        assert (np.diff(finite, axis=0) <= 1e-4).all()


def test_steps_below_the_voyages_are_for_the_slowest_pace_alone() -> None:
    frame, built = framed(), both()[1]
    for day in range(COUNT):
        one, *lower = goings(frame, day, built.journeys[day].trips)
        assert one.step == frame.wanted
        assert [g.step for g in lower] == list(range(frame.wanted + 1, len(frame.vessel.comfort)))
        pairs = set(zip(one.trips.start.tolist(), one.trips.end.tolist(), strict=True))
        for going in lower:
            assert len(going.trips.start) == len(pairs)
            for start, end, pace in zip(going.trips.start, going.trips.end, going.trips.pace, strict=True):
                others = one.trips.pace[(one.trips.start == start) & (one.trips.end == end)]
                assert pace == others.min()
            whole = built.journeys[day].trips
            assert np.array_equal(whole.pace[going.trip], going.trips.pace)


def test_trips_beyond_a_place_with_nights_are_left_out() -> None:
    frame, built = framed(), both()[1]
    scope = many_skies_scope(frame)
    beck = next(n for n, m in enumerate(frame.route.moorings) if m.name == "Beck")
    free = replace(scope, stops=one_sky_scope(build_frame(vessel(), voyage(), 1)).stops)
    going = goings(frame, 1, built.journeys[1].trips)[0]
    kept = within(scope, going)
    assert not ((kept.trips.start < beck) & (kept.trips.end > beck)).any()
    assert within(free, going) is going


def test_stays_at_a_plug_need_the_floor_alone_below_0_93_of_the_ceiling() -> None:
    """Two rows a step: below 0.93 of the ceiling from the floor on, above it the evening's reserve too."""
    frame, built = framed(), both()[1]
    edge, day = EDGE * frame.ceiling_kwh, 2
    acts, reserve = built.problem.mornings[day], heating_reserve_kwh(frame, day)
    lain = lying(frame, day)
    scope = many_skies_scope(frame)
    stays = np.flatnonzero(acts.pace < 0)
    plugged = frame.plugs_w[built.stops.mooring[acts.start[stays]]] > 0
    low = stays[plugged & (acts.below_kwh[stays] == edge)]
    high = stays[plugged & np.isinf(acts.below_kwh[stays])]
    assert len(low) > 0
    for a in low:
        mooring = int(built.stops.mooring[acts.start[a]])
        floor = frame.weather.floor_kwh[day, frame.mooring_station[mooring]]
        for cls in range(5):
            four = (float(getattr(acts, f"poor_{n}")[cls, a]) for n in ("add", "cap", "low_add", "low_cap"))
            assert acts.from_kwh[cls, a] == pytest.approx(least(*four, floor, floor), abs=2e-3)
    assert (acts.from_kwh[:, high] >= edge).all()
    for a in stays[~plugged][::3]:
        mooring, step = int(built.stops.mooring[acts.start[a]]), int(acts.step[a])
        part = lain.at("stay", step)
        assert acts.add[:, a] == pytest.approx(part.add[mooring, scope.nodes], abs=5.1e-5)
        floor = frame.weather.floor_kwh[day, frame.mooring_station[mooring]]
        four = (float(getattr(acts, f"poor_{n}")[0, a]) for n in ("add", "cap", "low_add", "low_cap"))
        expected = least(*four, floor, floor + reserve[mooring, step])
        assert acts.from_kwh[0, a] == pytest.approx(expected, abs=2e-3) or np.isinf(expected)


def test_stays_are_never_kept_by_the_sea_and_trips_are() -> None:
    places = (Place("Cove", 53.0, -6.0), Place("Haven", 53.2, -6.0))
    legs = (Leg("Cove", "Haven", "coastal", distance_km=22.0, moor_anywhere=False, fit_to_go=0.35),)
    frame = build_frame(
        vessel(), voyage(places=places, legs=legs, departs=date(2027, 6, 7), comfort="off"), 4, many=True
    )
    one, many = build_problems(frame, [one_sky_scope(frame), many_skies_scope(frame)])
    for acts in many.problem.mornings:
        assert (acts.fit[acts.pace >= 0] == 0.35).all()
        assert (acts.fit[acts.pace < 0] == 1.0).all()
    assert all((acts.fit == 1.0).all() for acts in one.problem.mornings)


def test_actions_are_in_order_and_none_is_held_by_nothing() -> None:
    for built in both():
        for acts in built.problem.mornings:
            assert isinstance(acts, Morning)
            order = np.lexsort((acts.pace, acts.start))
            assert np.array_equal(order, np.arange(len(order)))
            assert np.isfinite(acts.from_kwh).any(axis=0).all()


def test_a_morning_on_which_nothing_holds_has_a_table_to_read_all_the_same() -> None:
    """Three cold nights ask for more than so small a battery holds, and no plug is used: the policy stays, not held."""
    poor = voyage(heating_reserve_nights=3, shore_power="never", comfort="ample", **SLOW)
    found = look_many(vessel(battery=battery(3.0)), poor).many
    problem = found.policy.problem
    assert all(len(acts.start) == 1 for acts in problem.mornings)
    assert all(np.isinf(acts.from_kwh).all() for acts in problem.mornings)
    skies = skies_of(found.frame, 3, 1, problem.days)
    followed = follow_many(found.frame, found.built, found.policy, skies)
    assert (followed.held_days, followed.voyages.not_held.tolist()) == (0, [True] * 3)
    for cls in range(problem.classes):
        (band,) = bands(found.policy, 0, 0, cls)
        assert (band.from_kwh, band.action, band.held) == (0.0, -1, False)


def test_evenings_and_refuges_hold_the_nights_of_every_node() -> None:
    """The night's chain at each step (those warmer than the voyage's repeat it), and plugged in, by node."""
    frame, built = framed(), both()[1]
    scope, at, day = many_skies_scope(frame), built.stops.mooring, 3
    lain, reserve = lying(frame, day), heating_reserve_kwh(frame, day)
    evening, refuge = built.problem.evenings[day], built.problem.refuges[day]
    assert isinstance(evening, Evening)
    assert isinstance(refuge, Refuge)
    for step in range(len(frame.vessel.comfort)):
        night = lain.at("night", max(step, frame.wanted))
        np.testing.assert_allclose(evening.add[:, :, step], night.add[at][:, scope.nodes].T, atol=5.1e-5)
        np.testing.assert_allclose(evening.cap[:, :, step], night.cap[at][:, scope.nodes].T, atol=5.1e-5)
    np.testing.assert_allclose(evening.plug_add, lain.plugged.add[at][:, scope.nodes].T, atol=5.1e-5)
    floor = frame.weather.floor_kwh[day, frame.mooring_station[at]]
    np.testing.assert_allclose(evening.hold_kwh, floor[:, None] + reserve[at], atol=5.1e-5)
    assert np.array_equal(evening.plug, frame.plugs_w[at] > 0)
    off = lain.at("stay", frame.off)
    np.testing.assert_allclose(refuge.stay_add, off.add[at][:, scope.nodes].T, atol=5.1e-5)
    np.testing.assert_allclose(refuge.poor_stay[0], off.add[at][:, scope.poors].T, atol=5.1e-5)
