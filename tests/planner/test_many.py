"""Members followed through many skies: against the schedule, each alone, and by what sea and plugs must do to them."""

from dataclasses import fields, replace
from datetime import date
from functools import cache
from typing import Any

import numpy as np
import pytest

from tests.planner.samples import AMPLE, LEGS, OFF, PLACES, battery, vessel, voyage
from voyager.boat.arrays import PanelArray
from voyager.boat.cabin import Heater
from voyager.boat.vessel import Vessel
from voyager.energy.ledger import Ledger, balance_kwh
from voyager.energy.run import State
from voyager.planner import many
from voyager.planner.decide import evening_decide
from voyager.planner.estimates import wilson
from voyager.planner.fleet import decided
from voyager.planner.kept import Kept
from voyager.planner.many import Followed, follow_many
from voyager.planner.outlook import Outlook, look_many
from voyager.planner.skies import skies_of, some
from voyager.planner.tally import Voyages, tally
from voyager.route.leg import Leg
from voyager.route.place import Place
from voyager.route.voyage import Voyage
from voyager.sky.chances import NODES
from voyager.sky.draws import Skies

SLOW = {"travel_min": (600, 720)}
WALLS = replace(vessel().cabin, structure_capacity_wh_per_k=600.0, structure_w_per_k=150.0)
SHORES = (Place("Quay", 52.0, -10.0), Place("Pier", 53.4, -10.5, shore_w=3000.0))
COVES = (Place("Cove", 53.0, -6.0), Place("Haven", 53.2, -6.0))
FIT = 0.6
JUNE = {"departs": date(2027, 6, 1), "comfort": "off", "shore_power": "never"}
DARK = vessel(arrays=(PanelArray("none", 0.0),), heaters=(), comfort=(OFF,))
BERTHS = (
    Place("Head", 53.0, -8.0), Place("One", 53.06, -8.0, shore_w=3000.0), Place("Far", 53.2, -8.0),
    Place("Tail", 53.4, -8.0),
)  # fmt: skip
REACHES = (
    Leg("Head", "One", "canal", distance_km=6.0), Leg("One", "Far", "canal", distance_km=9.0, nights=9),
    Leg("Far", "Tail", "canal", distance_km=25.0),
)  # fmt: skip
BACK = {"places": BERTHS, "legs": REACHES, "departs": date(2027, 6, 7), "comfort": "off", "travel_min": (540, 1020)}
CASES: dict[str, tuple[Vessel, Voyage]] = {
    "spring": (vessel(), voyage(**SLOW)),
    "winter, plugs": (vessel(), voyage(departs=date(2027, 1, 5), **SLOW)),
    "summer, small battery": (vessel(battery=battery(8.0)), voyage(departs=date(2027, 6, 5), **SLOW)),
    "summer, little charge": (
        vessel(battery=battery(8.0)),
        voyage(charge_at_start_percent=33.0, **(JUNE | SLOW)),
    ),
    "nights asked for": (vessel(), voyage(legs=(replace(LEGS[0], nights=2), LEGS[1]), **SLOW)),
    "warm, little battery": (
        vessel(battery=battery(12.0)),
        voyage(comfort="ample", charge_at_start_percent=50.0, **SLOW),
    ),
    "slow walls": (vessel(cabin=WALLS), voyage(comfort="ample", charge_at_start_percent=60.0, **SLOW)),
    "slow walls, cold": (
        vessel(cabin=WALLS, battery=battery(9.0)),
        voyage(comfort="ample", charge_at_start_percent=60.0, shore_power="never", **SLOW),
    ),
    "without sun": (DARK, voyage(departs=date(2027, 6, 7), comfort="off", charge_at_start_percent=31.0, **SLOW)),
    "stranded": (DARK, voyage(charge_at_start_percent=18.0, **JUNE, **SLOW)),
    "back to a plug": (replace(DARK, battery=battery(9.0)), voyage(charge_at_start_percent=95.0, **BACK)),
    "one leg": (vessel(), voyage(places=PLACES[:2], legs=(replace(LEGS[0], distance_km=2.0, locks=0),))),
}


@cache
def planned(case: str) -> Outlook:
    return look_many(*CASES[case]).many


def chosen(found: Outlook, members: int = 2) -> Skies:
    """Members that live the one sky of the plan, told just what comes, with a sea that is always fit."""
    days = found.policy.problem.days
    score, air = (
        np.repeat(part[None, :days, 0], members, axis=0) for part in (found.frame.kinds.score, found.frame.kinds.air)
    )
    return Skies(score, air, score, np.zeros((members, days)), np.ones(members))


def through(found: Outlook, skies: Skies) -> Followed:
    return follow_many(found.frame, found.built, found.policy, skies)


def drawn(found: Outlook, members: int, seed: int = 1) -> Skies:
    return skies_of(found.frame, members, seed, found.policy.problem.days)


def alike(one: Voyages, other: Voyages) -> None:
    for f in fields(Voyages):
        a, b = getattr(one, f.name), getattr(other, f.name)
        if isinstance(a, np.ndarray):
            np.testing.assert_allclose(a.astype(float), b.astype(float), rtol=0, atol=1e-9, err_msg=f.name)


@pytest.mark.parametrize("case", CASES)
def test_the_chosen_sky_goes_as_the_schedule_says(case: str) -> None:
    """Arrival, plugs, km, hours kept, heat; charge to 0.05 kWh, for its days lie between the nodes of the table."""
    found = planned(case)
    got, days = through(found, chosen(found)).voyages, found.schedule.days
    count = len(days)
    assert (got.arrive_day == (-1 if found.schedule.arrived is None else found.schedule.arrived)).all()
    ends = [float(day.ledger.charge_kwh[0, -1]) for day in days]
    np.testing.assert_allclose(got.charge_end_kwh[:, :count], [ends, ends], atol=0.05)
    assert np.isnan(got.charge_end_kwh[:, count:]).all()
    assert got.plugged[0, :count].tolist() == [day.plugged for day in days]
    assert not got.plugged[:, count:].any()
    moorings = found.frame.route.moorings
    assert got.km[0, :count] == pytest.approx([moorings[found.built.stops.mooring[day.end]].km for day in days])
    assert got.not_held.all() == any(not day.choice.held for day in days)
    for name in ("heating_kwh", "propulsion_kwh", "warm_h"):
        total = sum(float(day.ledger.total(name)[0]) for day in days)
        assert getattr(got, name) == pytest.approx([total, total], abs=0.05), name
    solar = sum(float(day.ledger.total("solar_kwh")[0]) for day in days)
    assert got.solar_kwh == pytest.approx([solar, solar], rel=0.01)


def test_the_cases_are_not_all_alike() -> None:
    """Plugs, nights at another step, days of lying still: each is among the schedules that members must follow."""
    days = [day for case in CASES for day in planned(case).schedule.days]
    assert any(day.plugged for day in days)
    assert any(day.morning_step != day.night_step for day in days)
    assert any(day.sail is None for day in days)
    assert any(not day.choice.held for day in days)
    assert {day.sail.back for day in days if day.choice.flee and day.sail} == {False, True}


class Recorder:
    """The simulator as members run it, with what went in and what came out."""

    def __init__(self) -> None:
        self.parts: list[tuple[State, Ledger, State]] = []

    def run(self, *given: Any) -> tuple[Ledger, State]:
        """State is the sixth of what is given."""
        before = replace(given[5], charge_kwh=given[5].charge_kwh.copy())
        done = self.real(*given)
        self.parts.append((before, *done))
        return done

    real = staticmethod(many.run)


@pytest.mark.parametrize("case", ["winter, plugs", "slow walls"])
def test_every_part_of_every_day_closes_and_goes_on_from_the_last(case: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """The balance over the voyage: what came in less what went out is the change of the charge, in all members' sum."""
    found, recorder = planned(case), Recorder()
    monkeypatch.setattr(many, "run", recorder.run)
    members = 20
    got = through(found, drawn(found, members)).voyages
    for before, ledger, after in recorder.parts:
        assert np.abs(balance_kwh(before.charge_kwh, ledger)).max() < 1e-9
        assert np.array_equal(after.charge_kwh, ledger.charge_kwh[:, -1])
    total = {f.name: sum(float(part.total(f.name).sum()) for _, part, _ in recorder.parts) for f in fields(Ledger)}
    for name in ("solar_kwh", "spilled_kwh", "heating_kwh", "propulsion_kwh", "warm_h"):
        assert float(getattr(got, name).sum()) == pytest.approx(total[name], abs=1e-9), name
    assert float(got.shore_kwh.sum()) == pytest.approx(total["shore_kwh"], abs=1e-9)
    spent = sum(total[f"{name}_kwh"] for name in ("propulsion", "hotel", "heating", "loss", "spilled"))
    start = members * found.frame.vessel.battery.capacity_kwh * found.frame.voyage.charge_at_start_percent / 100
    last = [row[np.isfinite(row)][-1] for row in got.charge_end_kwh]
    assert start + total["solar_kwh"] + total["shore_kwh"] - spent == pytest.approx(sum(last), abs=1e-7)


@pytest.mark.parametrize("case", CASES)
def test_a_member_does_not_know_of_the_others(case: str) -> None:
    """The first five of fifty and five from the middle, each as they fare alone."""
    found = planned(case)
    skies = drawn(found, 50)
    whole = through(found, skies)
    for first in (0, 20):
        part = through(found, some(skies, first, first + 5)).voyages
        rows = slice(first, first + 5)
        cut = {f.name: getattr(whole.voyages, f.name) for f in fields(Voyages)}
        alike(Voyages(**{n: v[rows] if isinstance(v, np.ndarray) else v for n, v in cut.items()}), part)


def test_slow_walls_do_not_tell_members_of_one_another() -> None:
    """Cabins whose sub-steps follow the pieces of the hours: alone all ask for the same, among forty they do not."""
    found = planned("slow walls, cold")
    skies = drawn(found, 40)
    whole = through(found, skies).voyages
    for member in range(0, 40, 5):
        alone = through(found, some(skies, member, member + 1)).voyages
        for name in ("charge_end_kwh", "heating_kwh", "warm_h", "spilled_kwh"):
            assert np.array_equal(getattr(whole, name)[[member]], getattr(alone, name), equal_nan=True), name


def test_the_evening_knows_the_node_nearest_to_the_day(monkeypatch: pytest.MonkeyPatch) -> None:
    """What it weighs a free plug by; the members of this day only, in their order."""
    found, seen = planned("spring"), []

    def spied(policy: Any, day: int, end: Any, charge: Any, node: Any) -> Any:
        seen.append((day, np.asarray(node)))
        return evening_decide(policy, day, end, charge, node)

    monkeypatch.setattr(many, "evening_decide", spied)
    skies = drawn(found, 30)
    through(found, skies)
    day, node = seen[0]
    assert day == 0
    assert len(node) == 30
    assert (np.abs(NODES[node] - skies.score[:, 0]) == np.abs(NODES[:, None] - skies.score[:, 0]).min(axis=0)).all()


def test_the_same_seed_is_the_same_voyage_and_another_is_not() -> None:
    found = planned("winter, plugs")
    told = [tally(through(found, drawn(found, 60, seed)).voyages, 1) for seed in (1, 1, 2)]
    assert told[0] == told[1]
    assert told[0] != told[2]


@pytest.mark.parametrize("case", CASES)
def test_what_is_counted_hangs_together(case: str) -> None:
    """Every member wakes each day until it is there; charge within the battery; plugs only where there are some."""
    found, members = planned(case), 40
    done = through(found, drawn(found, members))
    got, frame = done.voyages, found.frame
    lived = np.isfinite(got.charge_end_kwh)
    assert np.array_equal(lived, np.isfinite(got.km))
    assert np.array_equal(done.wakes.sum(axis=1), lived.sum(axis=0))
    assert done.held_days <= lived.sum()
    assert (done.held_days == lived.sum()) == (not got.not_held.any())
    assert done.held_below <= done.held_days
    start = frame.vessel.battery.capacity_kwh * frame.voyage.charge_at_start_percent / 100
    assert np.nanmin(got.charge_end_kwh) >= 0
    assert np.nanmax(got.charge_end_kwh) <= max(frame.ceiling_kwh, start) + 1e-9
    there = got.arrive_day >= 0
    assert (np.floor(got.arrive_days[there]) == got.arrive_day[there]).all()
    assert np.array_equal(got.plug_place >= 0, got.plugged)
    assert (frame.plugs_w[got.plug_place[got.plugged]] > 0).all()
    assert not got.shore_kwh[~got.plugged].any()
    assert (got.warm_h <= got.asked_h + 1e-9).all()
    backwards = (np.diff(got.km, axis=1)[lived[:, 1:]] < -1e-9).any()
    assert backwards == (case == "back to a plug")


@cache
def coastal(**keys: object) -> Outlook:
    """22 km of coast in June, fit on six mornings of ten, for a boat that can always go."""
    leg = Leg("Cove", "Haven", "coastal", distance_km=22.0, moor_anywhere=False, fit_to_go=FIT)
    here = voyage(places=COVES, legs=(leg,), charge_at_start_percent=95.0, **JUNE, **keys)
    return look_many(vessel(battery=battery(40.0)), here).many


def test_a_member_waits_just_when_the_sea_is_not_fit() -> None:
    """It goes on its first fit morning; over all mornings that it wakes there, six of ten are fit."""
    found, members = coastal(), 400
    skies = drawn(found, members)
    done = through(found, skies)
    first = (skies.sea < FIT).argmax(axis=1)
    assert np.array_equal(done.voyages.arrive_day, first)
    for member in range(members):
        assert (done.voyages.km[member, : first[member]] == 0).all()
    assert first.max() > 3
    low, high = wilson(members, int(done.wakes.sum()))
    assert low < FIT < high
    assert np.array_equal(done.wakes[:, 0], [(first >= day).sum() for day in range(len(done.wakes))])


def test_arrival_at_a_fit_sea_is_geometric() -> None:
    """Chance 0.6, 0.24, 0.096 of arriving on the first, second and third day, to 3.3 standard errors."""
    got = through(coastal(), drawn(coastal(), 1000, seed=5)).voyages
    for day, chance in enumerate((0.6, 0.24, 0.096)):
        low, high = wilson(int((got.arrive_day == day).sum()), 1000, 3.3)
        assert low < chance < high


def crossing(members: int, fit: float = 1.0, km: float = 110.0, **keys: object) -> tuple[Outlook, Skies]:
    """A stretch of sea by day and night."""
    leg = Leg("Quay", "Pier", "coastal", distance_km=km, moor_anywhere=False, overnight=True, fit_to_go=fit)
    week = {"departs": date(2027, 6, 1), "comfort": "off", "charge_at_start_percent": 100.0, "travel_min": (540, 960)}
    found = look_many(vessel(battery=battery(150.0)), voyage(places=SHORES, legs=(leg,), **(week | keys))).many
    return found, drawn(found, members)


@pytest.mark.parametrize(("travel", "km", "late"), [((540, 960), 110.0, False), ((1080, 1260), 120.0, True)])
def test_the_chosen_sky_crosses_the_night_as_the_schedule_does(travel: tuple[int, int], km: float, late: bool) -> None:
    """Landing before an evening, and after one; kilometres and charge as each day ends."""
    found, _ = crossing(1, km=km, travel_min=travel)
    days = found.schedule.days
    got = through(found, chosen(found)).voyages
    assert {c.lands_late for c in found.built.journeys[0].crossings} == {late}
    assert all(day.sea is not None for day in days)
    assert (got.arrive_day == found.schedule.arrived).all()
    ends = [float(day.ledger.charge_kwh[0, -1]) for day in days]
    np.testing.assert_allclose(got.charge_end_kwh[0, : len(days)], ends, atol=0.05)
    assert got.km[0, : len(days)] == pytest.approx([day.sea.end_km if day.sea else np.nan for day in days])
    spent = sum(float(day.ledger.total("propulsion_kwh")[0]) for day in days)
    assert got.propulsion_kwh == pytest.approx([spent, spent])
    landed = days[-1].sea.made_fast_h if days[-1].sea else None
    assert got.arrive_days == pytest.approx(np.full(2, days[-1].day + (landed or 0.0) / 24))


@pytest.mark.parametrize(("km", "nights"), [(110.0, 1), (230.0, 2)])
def test_a_crossing_begins_on_a_fit_morning_and_nobody_turns_back(km: float, nights: int) -> None:
    """The sea is asked once; members afloat do not wake, several crossings at a time, and land after their nights."""
    found, skies = crossing(60, fit=0.5, km=km)
    done = through(found, skies)
    first = (skies.sea < 0.5).argmax(axis=1)
    assert np.array_equal(done.voyages.arrive_day, first + nights)
    assert np.array_equal(done.wakes[:, 0], [(first >= day).sum() for day in range(len(done.wakes))])
    assert not done.wakes[:, 1:].any()
    for member in range(60):
        way = done.voyages.km[member, first[member] : first[member] + nights + 1]
        assert (np.diff(way) > 0).all()
        assert way[0] > 0
        assert way[-1] == pytest.approx(km)
        assert (done.voyages.km[member, : first[member]] == 0).all()
    assert np.isfinite(done.voyages.charge_end_kwh).sum() == (done.voyages.arrive_day + 1).sum()
    cut = through(found, some(skies, 7, 9)).voyages
    assert np.array_equal(cut.charge_end_kwh, done.voyages.charge_end_kwh[7:9], equal_nan=True)


def test_an_evening_below_what_its_night_needs_is_not_held(monkeypatch: pytest.MonkeyPatch) -> None:
    """Bright mornings that turn out dark: held when they began, charge too low in the evening even for ``off``."""
    found, mornings = planned("summer, little charge"), []

    def spied(*given: Any) -> Any:
        plans = decided(*given)
        mornings.append(plans.held.all())
        return plans

    monkeypatch.setattr(many, "decided", spied)
    told = replace(chosen(found, 3), known=np.full((3, found.policy.problem.days), 1.5))
    dark, bright = (through(found, replace(told, score=0 * told.score + z)) for z in (-2.4, 1.5))
    assert mornings[0]
    assert dark.voyages.not_held.all()
    assert dark.held_days == 0
    assert not bright.voyages.not_held.any()
    assert bright.held_below == 0


def test_a_boat_without_sun_flees_to_a_plug_and_goes_on_from_it() -> None:
    """31 % at the start: every member plugs in at the one plug, and arrives by what it gave."""
    found = planned("without sun")
    got = through(found, drawn(found, 30)).voyages
    beck = next(n for n, m in enumerate(found.frame.route.moorings) if m.name == "Beck")
    assert got.plugged.any(axis=1).all()
    assert set(got.plug_place[got.plugged].tolist()) == {beck}
    assert (got.arrive_day > 0).all()
    assert (got.shore_kwh.sum(axis=1) > 5).all()
    assert not got.solar_kwh.any()


def test_a_boat_that_reaches_no_plug_stays_and_says_so() -> None:
    """Without a plug it lies at ``off`` until it is empty: never there, not held, below the floor."""
    found = planned("stranded")
    got = through(found, drawn(found, 4)).voyages
    assert (got.arrive_day == -1).all()
    assert got.not_held.all()
    assert got.below.all()
    assert got.charge_end_kwh[:, -1] == pytest.approx(np.zeros(4), abs=1e-9)
    assert not got.propulsion_kwh.any()


def test_polar_night_gives_no_sun_and_ends_all_the_same() -> None:
    """70 degrees north in December: no light, an evening all the same; on the battery alone every member gets there."""
    north = tuple(replace(place, lat=place.lat + 17.0, lon=20.0) for place in PLACES)
    stove = (Heater("stove", 1500.0, alternating=False),)
    boat = vessel(heaters=stove, comfort=(AMPLE, OFF), battery=battery(120.0))
    dates = {"departs": date(2027, 12, 10), "travel_min": (540, 900), "comfort": "off"}
    here = voyage(places=north, charge_at_start_percent=100.0, **dates)
    found = look_many(boat, here).many
    got = through(found, drawn(found, 10)).voyages
    assert (got.arrive_day >= 0).all()
    assert got.solar_kwh.max() < 0.05
    assert got.heating_kwh.mean() > 1.0


def test_who_never_arrives_is_told_up_to_the_horizon_where_more_days_were_looked_at() -> None:
    """A first guess of days may be longer than the horizon; one member of twenty is made to stay away."""
    found = planned("one leg")
    horizon = found.policy.problem.days
    assert len(found.frame.days.dates) > horizon
    voyages = follow_many(found.frame, found.built, found.policy, skies_of(found.frame, 20, 1, horizon)).voyages
    away = np.where(np.arange(20) == 0, -1, voyages.arrive_day)
    odds: Any = tally(replace(voyages, arrive_day=away), 1)
    assert (len(odds["days"]), odds["arrival"]["never"]) == (horizon, 0.05)


def test_members_hear_how_far_it_is() -> None:
    heard: list[float] = []
    found = planned("spring")
    follow_many(found.frame, found.built, found.policy, chosen(found), heard.append)
    assert heard[0] == 0.0
    assert heard == sorted(heard)


@pytest.mark.parametrize("case", ["winter, plugs", "slow walls"])
def test_days_lived_before_are_the_days_lived_now(case: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """Followed again nobody is run; after other skies or another leg all is as it is without what was kept."""
    kept, (ship, asked) = Kept(), CASES[case]
    other = replace(asked, legs=(*asked.legs[:-1], replace(asked.legs[-1], speed_mps=1.3)))
    ran: list[int] = []

    def heard(*given: Any) -> tuple[Ledger, State]:
        ran.append(1)
        return Recorder.real(*given)

    monkeypatch.setattr(many, "run", heard)
    for one, seed in ((asked, 1), (other, 2), (asked, 2)):
        found = look_many(ship, one, kept=kept).many
        got = through(found, drawn(found, 12, seed))
        alone = look_many(ship, one).many
        want = through(alone, drawn(alone, 12, seed))
        for f in fields(Voyages):
            np.testing.assert_array_equal(getattr(got.voyages, f.name), getattr(want.voyages, f.name))
        assert (got.held_days, got.held_below) == (want.held_days, want.held_below)
        assert np.array_equal(got.wakes, want.wakes)
        ran.clear()
        again = through(found, drawn(found, 12, seed))
        assert not ran
        np.testing.assert_array_equal(again.voyages.charge_end_kwh, want.voyages.charge_end_kwh)
