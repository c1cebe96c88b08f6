"""Plans that begin in the middle of a day: what is lived of it, from where, and what is behind."""

from dataclasses import replace
from datetime import date
from functools import lru_cache

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.planner.samples import LEGS, OFF, PLACES, battery, vessel, voyage
from voyager.boat.cabin import Piece
from voyager.energy.ledger import balance_kwh
from voyager.planner.dayrun import Day
from voyager.planner.frame import build_frame
from voyager.planner.many import follow_many
from voyager.planner.outlook import Outlook, look, look_many, plan_frame
from voyager.planner.skies import skies_of
from voyager.planner.start import Begin, Start, begin_at, lived_h, pieces_between
from voyager.planner.stops import build_stops
from voyager.route.leg import Leg
from voyager.route.line import build_route
from voyager.route.place import Place
from voyager.route.voyage import Voyage

HARBOURS = (Place("Quay", 52.0, -10.0, shore_w=3000.0), Place("Pier", 52.4, -10.1))
CROSSING = Leg("Quay", "Pier", "coastal", distance_km=40.0, moor_anywhere=False, fit_to_go=0.3)


def coast(**keys: object) -> Voyage:
    """A coastal leg of 40 km in June, done in one go."""
    leg = replace(CROSSING, **keys)  # type: ignore[arg-type]
    return voyage(
        places=HARBOURS, legs=(leg,), departs=date(2027, 6, 1), comfort="off", travel_min=(480, 1140), sky="middling"
    )


@lru_cache
def canal(start: Start | None) -> Outlook:
    """The sample voyage from somewhere in its first day."""
    return look(vessel(), voyage(travel_min=(600, 1020), charge_at_start_percent=90.0), start=start)


def first_day(found: Outlook) -> Day:
    return found.schedule.days[0]


@given(st.floats(0, 24))
def test_what_is_lived_and_what_is_over_make_a_day(hours: float) -> None:
    lived = lived_h(hours)
    assert (25.0 if lived is None else float(lived.sum())) == pytest.approx(25 - hours, abs=1e-8)


@given(st.floats(0, 24), st.floats(0, 24))
def test_pieces_between_two_times_last_as_long(one: float, other: float) -> None:
    first, last = sorted((one, other))
    day = [Piece(h, a, b, 5.0, False, False) for h in range(24) for a, b in ((0.0, 0.25), (0.25, 0.75))]
    kept = pieces_between(day, first, last)
    assert sum(p.hours for p in kept) == pytest.approx(last - first, abs=1e-6)
    assert all(first - 1e-9 <= p.hour + p.start_h and p.hour + p.start_h + p.hours <= last + 1e-9 for p in kept)


@pytest.mark.parametrize("many", [False, True])
def test_a_start_with_the_voyage_is_the_plain_plan(many: bool) -> None:
    here, there = (
        look_many(vessel(), voyage(), start=start).many if many else look(vessel(), voyage(), start=start)
        for start in (None, Start(0.0, 0.0, None))
    )
    assert np.array_equal(here.policy.morning, there.policy.morning)
    for a, b in zip(here.schedule.days, there.schedule.days, strict=True):
        assert np.array_equal(a.ledger.charge_kwh, b.ledger.charge_kwh)


@settings(max_examples=8, deadline=None)
@given(st.integers(0, 15 * 60), st.floats(0, 30), st.floats(3.2, 20))
def test_the_day_closes_from_any_moment_and_place(minutes: int, km: float, charge: float) -> None:
    found = look(vessel(), voyage(), start=Start(minutes / 60, km, charge))
    for day in found.schedule.days[:2]:
        assert balance_kwh(np.asarray([day.charge_start_kwh]), day.ledger) == pytest.approx(0.0, abs=1e-9)
    assert first_day(found).charge_start_kwh == charge


def test_hours_that_are_over_are_not_lived() -> None:
    day = first_day(canal(Start(5.4, 4.0, 15.0)))
    ledger = day.ledger
    over = slice(0, 5)
    for name in ("solar", "propulsion", "hotel", "heating", "loss", "spilled", "unserved"):
        assert not getattr(ledger, f"{name}_kwh")[0, over].any()
    assert (ledger.charge_kwh[0, over] == 15.0).all()
    assert not ledger.asked_h[0, over].any()
    assert day.sail is None or day.sail.path.depart_h[0] >= 5.4


def test_the_broken_hour_counts_by_its_share() -> None:
    """Sun and hotel of a boat that lies still, against the same hour of a day lived whole: watts by the hours left."""
    start = Start(2.25, 0.0, 12.0)
    still = voyage(comfort="off", travel_min=(1380, 1390))
    found, whole = (
        plan_frame(build_frame(vessel(comfort=(OFF,), heaters=()), still, 3, start=one)) for one in (start, None)
    )
    now, then = first_day(found).ledger, first_day(whole).ledger
    watts = found.frame.panels.watts[0, found.frame.mooring_mount[0], 2, 0]
    assert now.solar_kwh[0, 2] == pytest.approx(0.75 * watts / 1e3, rel=1e-9)
    assert now.hotel_kwh[0, 2] == pytest.approx(0.75 * then.hotel_kwh[0, 2], rel=1e-9)
    assert now.solar_kwh[0, 3:] == pytest.approx(then.solar_kwh[0, 3:])
    acts, day = found.policy.problem.mornings[0], first_day(found)
    assert day.choice.action is not None
    seen = min(12.0 + acts.add[0, day.choice.action], acts.cap[0, day.choice.action])
    assert float(now.charge_kwh[0, day.evening - 1]) == pytest.approx(seen, abs=1e-4)


def test_the_broken_hour_is_heated_for_its_share() -> None:
    """A cabin kept at 20 degC all day asks for as much in three quarters of an hour as in those of the whole one."""
    warm = voyage(comfort="ample", travel_min=(1380, 1390))
    boat = vessel(battery=battery(90.0))
    now, then = (
        first_day(plan_frame(build_frame(boat, warm, 3, start=one))).ledger for one in (Start(2.25, 0.0, 80.0), None)
    )
    assert then.heating_kwh[0, 2] > 0.1
    assert now.heating_kwh[0, 2] == pytest.approx(0.75 * then.heating_kwh[0, 2], rel=0.02)
    assert now.asked_h[0, 2] == pytest.approx(0.75)
    assert now.air_c[0, 2:12] == pytest.approx(then.air_c[0, 2:12], abs=0.05)


@pytest.mark.parametrize("start", [Start(3.0, 0.0, 16.0), Start(4.35, 8.0, 14.0), Start(2.6, 17.3, 11.0)])
def test_the_policy_sees_the_day_that_is_lived(start: Start) -> None:
    """The four numbers of what was chosen give the evening's charge of the simulator, to the table's rounding."""
    found = canal(start)
    day = first_day(found)
    assert day.choice.action is not None
    acts, a = found.policy.problem.mornings[0], day.choice.action
    evening = min(16.0 if start.charge_kwh is None else start.charge_kwh + acts.add[0, a], acts.cap[0, a])
    assert float(day.ledger.charge_kwh[0, day.evening - 1]) == pytest.approx(evening, abs=2e-3)


def test_the_motor_takes_what_the_passage_says() -> None:
    day = first_day(canal(Start(4.35, 8.0, 14.0)))
    assert day.sail is not None
    path = day.sail.path
    assert path.depart_h[0] == pytest.approx(4.35)
    spent = float(day.ledger.total("propulsion_kwh")[0])
    assert spent == pytest.approx(float(path.kwh[0]) + 0.03 * float(path.hours[0]), rel=1e-6)


def test_a_temporary_mooring_lies_where_the_boat_is() -> None:
    route = build_route(voyage(), 17.3)
    number = begin_at(Start(1.0, 17.3), np.asarray([m.km for m in route.moorings])).mooring
    assert route.moorings[number].name == "km 17.3"
    assert route.moorings[number].leg == 1
    assert len(route.moorings) == len(build_route(voyage()).moorings) + 1


def test_a_mooring_close_by_will_do() -> None:
    assert [m.km for m in build_route(voyage(), 12.08).moorings] == [m.km for m in build_route(voyage()).moorings]


@pytest.mark.parametrize(("hours", "nights"), [(0.0, 2), (3.0, 0)])
def test_nights_are_asked_of_who_wakes_there(hours: float, nights: int) -> None:
    asked = voyage(legs=(replace(LEGS[0], nights=2), LEGS[1]))
    route = build_route(asked)
    at = next(n for n, m in enumerate(route.moorings) if m.name == "Beck")
    begin = Begin(at, hours, None, lived_h(hours))
    stops = build_stops(asked, route, "middling", begin=begin)
    assert sum(why == "asked" for why in stops.forced) == nights


def test_nights_behind_are_over() -> None:
    asked = voyage(legs=(replace(LEGS[0], nights=2), LEGS[1]))
    route = build_route(asked, 20.0)
    begin = begin_at(Start(0.0, 20.0), np.asarray([m.km for m in route.moorings]))
    assert build_stops(asked, route, "middling", begin=begin).count == len(route.moorings)


def test_nobody_stays_in_the_middle_of_a_leg_done_in_one_go() -> None:
    found = look(vessel(), coast(), start=Start(3.0, 15.0, 18.0))
    begin, acts = found.frame.begin.mooring, found.policy.problem.mornings
    assert not found.frame.may_stay
    assert (acts[0].pace[acts[0].start == begin] >= 0).all()
    assert all((one.end != begin)[one.pace >= 0].all() for one in acts)
    assert found.schedule.arrived == 0


def test_the_sea_is_fit_for_the_leg_that_the_boat_is_on() -> None:
    under_way = look_many(vessel(), coast(), start=Start(3.0, 15.0, 18.0)).many
    assert under_way.built.sea.fit[0, 0] == 1.0
    assert (under_way.built.sea.fit[1:, 0] == 0.3).all()
    in_port = look_many(vessel(), coast(), start=Start(3.0, 0.0, 18.0)).many
    assert in_port.built.sea.fit[0, 0] == 0.3


def test_too_little_charge_at_sea_turns_back_to_the_plug() -> None:
    day = first_day(look(vessel(), coast(), start=Start(3.0, 6.0, 3.3)))
    assert day.choice.flee
    assert day.end == 0
    assert day.sail is not None
    assert day.sail.back


def test_a_crossing_goes_on_through_the_night() -> None:
    """From km 30 of 110 km at 21:00, long after travel has closed."""
    places = (Place("Quay", 52.0, -10.0), Place("Pier", 53.4, -10.5, shore_w=3000.0))
    leg = Leg("Quay", "Pier", "coastal", distance_km=110.0, moor_anywhere=False, overnight=True)
    night = voyage(places=places, legs=(leg,), departs=date(2027, 6, 1), comfort="off", travel_min=(540, 960))
    found = look(vessel(battery=battery(60.0)), night, start=Start(13.0, 30.0, 50.0))
    first, *others = found.schedule.days
    assert first.sea is not None
    assert first.sea.start_km == pytest.approx(30.0)
    assert first.sea.casts_off_h == 13.0
    landed = others[-1]
    assert landed.sea is not None
    assert landed.sea.end_km == pytest.approx(110.0)
    assert landed.sail is not None
    assert landed.sail.parts[0].km == pytest.approx(80.0)
    spent = sum(float(day.ledger.total("propulsion_kwh")[0]) for day in found.schedule.days)
    hours = sum(day.sea.hours for day in found.schedule.days if day.sea)
    assert spent == pytest.approx(landed.sail.parts[0].kwh + 0.03 * hours, rel=1e-6)


@pytest.mark.parametrize("start", [Start(4.35, 8.0, 14.0), Start(13.5, 20.0, 6.0)])
def test_many_skies_begin_there_too(start: Start) -> None:
    """All wake where the boat is; on held days next to nobody goes below the floor."""
    found = look_many(vessel(), voyage(), start=start).many
    days = found.policy.problem.days
    through = follow_many(found.frame, found.built, found.policy, skies_of(found.frame, 60, 1, days))
    assert through.held_below <= 0.02 * max(through.held_days, 1)
    assert through.wakes[0].sum() == through.wakes[0, found.built.stops.first[found.frame.begin.mooring]] == 60
    assert np.isfinite(through.voyages.charge_end_kwh[:, 0]).all()
    assert (through.voyages.km[:, 0] >= min(start.km, 8.0)).all()


def test_places_stay_known_behind() -> None:
    """Ashby and Beck are behind; Beck's plug can be fled to and its night is not asked again."""
    found = look(vessel(), voyage(), start=Start(2.0, 15.0, 3.4))
    assert [m.name for m in found.frame.route.moorings if m.place is not None] == [p.name for p in PLACES]
    day = first_day(found)
    assert found.frame.route.moorings[found.built.stops.mooring[day.end]].name == "Beck"
