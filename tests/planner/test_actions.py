"""From trips to decisions: dates, least charges on the poor day, the band at a plug, prices of the three aims."""

from dataclasses import replace
from datetime import date, timedelta

import numpy as np
import pytest

from tests.planner.samples import LEGS, PLACES, battery, vessel, voyage
from voyager.planner.actions import Built, build_problem
from voyager.planner.aim import WEIGHTS, never_price, price
from voyager.planner.effects import heating_reserve_kwh
from voyager.planner.frame import Frame, build_frame
from voyager.planner.outlook import look
from voyager.planner.problem import Morning
from voyager.planner.stops import build_stops
from voyager.route.voyage import Voyage

CLOCK = {"travel_min": (540, 840)}
FIRST = date(2027, 3, 1)


def _built(here: Voyage, days: int = 5, capacity_kwh: float = 20.0) -> tuple[Frame, Built]:
    frame = build_frame(vessel(battery=battery(capacity_kwh)), here, days)
    return frame, build_problem(frame, build_stops(here, frame.route, here.sky))


def _mooring(frame: Frame, name: str) -> int:
    return next(n for n, m in enumerate(frame.route.moorings) if m.name == name)


def _reaching(frame: Frame, built: Built, acts: Morning, name: str) -> np.ndarray:
    """Actions that end at or beyond a place and start before it."""
    at = built.stops.mooring
    return np.asarray((at[acts.start] < _mooring(frame, name)) & (at[acts.end] >= _mooring(frame, name)))


def test_nobody_reaches_a_leg_end_before_its_earliest_date() -> None:
    legs = (replace(LEGS[0], earliest=FIRST + timedelta(days=3)), LEGS[1])
    frame, built = _built(voyage(legs=legs, **CLOCK))
    counts = [int(_reaching(frame, built, acts, "Beck").sum()) for acts in built.problem.mornings]
    assert counts[:3] == [0, 0, 0]
    assert counts[3] > 0
    free = _built(voyage(**CLOCK))
    assert _reaching(*free, free[1].problem.mornings[0], "Beck").any()


def test_reaching_a_leg_end_after_its_latest_date_costs_twenty() -> None:
    legs = (replace(LEGS[0], latest=FIRST + timedelta(days=2)), LEGS[1])
    (frame, late), (_, free) = (_built(voyage(legs=legs_, **CLOCK)) for legs_ in (legs, LEGS))
    for day in range(5):
        acts, plain = late.problem.mornings[day], free.problem.mornings[day]
        more = acts.cost - plain.cost
        reaches = _reaching(frame, late, acts, "Beck")
        assert more[reaches] == pytest.approx(20.0 if day > 2 else 0.0)
        assert more[~reaches] == pytest.approx(0.0)


def test_arriving_after_the_date_asked_for_costs_twenty_and_so_does_never() -> None:
    (_, late), (_, free) = (_built(voyage(by=by, **CLOCK)) for by in (FIRST + timedelta(days=1), None))
    for day in range(5):
        acts, plain = late.problem.mornings[day], free.problem.mornings[day]
        more = acts.cost - plain.cost
        assert more[acts.arrives] == pytest.approx(20.0 if day > 1 else 0.0)
        assert more[~acts.arrives] == pytest.approx(0.0)
    assert late.problem.never_cost - free.problem.never_cost == pytest.approx(20.0)
    assert free.problem.never_cost == pytest.approx(20.0)


def _promise_kept(frame: Frame, built: Built, day: int, a: int, charge: float, *, plug_is_enough: bool) -> bool:
    """The guarantee written out: never below the floor on a poor day, in the evening the reserve above it."""
    acts, at = built.problem.mornings[day], built.stops.mooring
    start, end = int(at[acts.start[a]]), int(at[acts.end[a]])
    floor = max(float(frame.weather.floor_kwh[day, frame.mooring_station[m]]) for m in (start, end))
    low = min(charge + acts.poor_low_add[0, a], acts.poor_low_cap[0, a])
    evening = min(charge + acts.poor_add[0, a], acts.poor_cap[0, a])
    need = floor if plug_is_enough else floor + float(heating_reserve_kwh(frame, day)[end, acts.step[a]])
    return bool(low >= floor - 1e-6 and evening >= need - 1e-6)


def test_actions_are_held_from_exactly_the_charge_that_keeps_the_promise() -> None:
    frame, built = _built(voyage(**CLOCK))
    plugs, at = frame.plugs_w > 0, built.stops.mooring
    seen = {True: 0, False: 0}
    for day in (1, 3):
        acts = built.problem.mornings[day]
        for a in np.flatnonzero(acts.pace >= 0):
            enough = bool(plugs[at[acts.end[a]]])
            least = float(acts.from_kwh[0, a])
            assert _promise_kept(frame, built, day, a, least + 1e-4, plug_is_enough=enough)
            assert not _promise_kept(frame, built, day, a, least - 2e-4, plug_is_enough=enough)
            assert acts.below_kwh[a] == np.inf
            seen[enough] += 1
    assert min(seen.values()) > 10


def test_what_the_promise_never_allows_is_not_offered() -> None:
    """A battery that cannot hold the reserve of the warm step: only the plug's own mooring is gone to at it."""
    frame, built = _built(voyage(comfort="ample", departs=date(2027, 1, 10), **CLOCK), days=3, capacity_kwh=10.0)
    acts, at = built.problem.mornings[1], built.stops.mooring
    warm = (acts.step == 0) & (acts.pace >= 0)
    assert set(at[acts.end[warm]].tolist()) <= {_mooring(frame, "Beck")}


def test_staying_at_a_plug_takes_the_floor_alone_below_0_93_of_the_ceiling() -> None:
    frame, built = _built(voyage(**CLOCK))
    beck = _mooring(frame, "Beck")
    stop = int(built.stops.first[beck])
    acts = built.problem.mornings[3]
    edge = 0.93 * frame.ceiling_kwh
    rows = np.flatnonzero((acts.start == stop) & (acts.pace < 0) & (acts.step == frame.wanted))
    low = next(a for a in rows if acts.below_kwh[a] < np.inf)
    high = next(a for a in rows if acts.below_kwh[a] == np.inf)
    assert acts.below_kwh[low] == pytest.approx(edge)
    assert acts.from_kwh[0, high] >= edge - 1e-9
    least = float(acts.from_kwh[0, low])
    assert _promise_kept(frame, built, 3, low, least + 1e-4, plug_is_enough=True)
    assert not _promise_kept(frame, built, 3, low, least - 2e-4, plug_is_enough=True)
    assert not _promise_kept(frame, built, 3, low, least + 0.1, plug_is_enough=False)


def test_staying_without_a_plug_has_one_band_and_the_whole_promise() -> None:
    frame, built = _built(voyage(shore_power="never", **CLOCK))
    acts = built.problem.mornings[1]
    stays = np.flatnonzero(acts.pace < 0)
    assert len(stays) > 5
    for a in stays:
        assert acts.below_kwh[a] == np.inf
        assert _promise_kept(frame, built, 1, a, float(acts.from_kwh[0, a]) + 1e-4, plug_is_enough=False)
        assert not _promise_kept(frame, built, 1, a, float(acts.from_kwh[0, a]) - 2e-4, plug_is_enough=False)


def test_a_forced_night_is_left_only_by_staying() -> None:
    legs = (replace(LEGS[0], nights=2), LEGS[1])
    frame, built = _built(voyage(legs=legs, **CLOCK))
    first, last = (int(s[_mooring(frame, "Beck")]) for s in (built.stops.first, built.stops.last))
    for acts in built.problem.mornings:
        for stop in range(first, last):
            mine = acts.start == stop
            assert set(acts.end[mine].tolist()) <= {stop + 1}
            assert (acts.pace[mine] < 0).all()
        arriving = (acts.start < first) & (acts.end > first)
        assert not arriving.any()


def test_prices_of_the_three_aims_by_hand() -> None:
    """One day, five hours under way, two kilowatt-hours, one step of comfort given up."""
    day, hours, kwh, down = (np.asarray([x]) for x in (1.0, 5.0, 2.0, 1.0))
    hand = {
        "soonest": 1.0 + 0.003 * 5 + 1e-4 * 2 + 0.5,
        "fewest-shore": 1e-3 + 1e-4 * 2 + 0.5,
        "calmest": 2 / 100 + 0.5,
    }
    for aim, expected in hand.items():
        assert float(price(WEIGHTS[aim], day, hours, kwh, down)[0]) == pytest.approx(expected)


@pytest.mark.parametrize(("aim", "plug"), [("soonest", 0.01), ("fewest-shore", 1.0), ("calmest", 0.01)])
def test_price_of_an_evening_plugged_in(aim: str, plug: float) -> None:
    _, built = _built(voyage(aim=aim, by=FIRST + timedelta(days=4), **CLOCK), days=2)
    assert built.problem.evenings[0].plug_cost == plug


@pytest.mark.parametrize("aim", ["soonest", "fewest-shore", "calmest"])
def test_never_costs_the_horizon_and_twenty_days(aim: str) -> None:
    """With the price of the days lived; and being late where a date was set."""
    weights, days = WEIGHTS[aim], 40
    assert never_price(weights, days, late=False) + days * weights.day == pytest.approx(60.0)
    assert never_price(weights, days, late=True) - never_price(weights, days, late=False) == pytest.approx(20.0)


@pytest.mark.parametrize("aim", ["fewest-shore", "calmest"])
def test_a_date_that_cannot_be_met_is_better_missed_than_the_voyage(aim: str) -> None:
    """Late costs the same whether it goes or not; never costs more than late."""
    found = look(vessel(), voyage(aim=aim, by=FIRST, **CLOCK))
    assert found.schedule.arrived is not None


def test_actions_carry_their_prices() -> None:
    """A day's trip costs a day, its hours without waiting and its energy; the day of arrival up to making fast."""
    _, built = _built(voyage(**CLOCK))
    acts = built.problem.mornings[1]
    days = np.where(acts.arrives, acts.arrive_h / 24, 1.0)
    goal = built.problem.destination
    moving = acts.pace >= 0
    down = (acts.step - 1) * 0.5
    expected = days + 0.003 * acts.hours + 1e-4 * acts.kwh + down
    np.testing.assert_allclose(acts.cost[moving], expected[moving], atol=1e-12)
    staying = ~moving & (acts.start != goal)
    np.testing.assert_allclose(acts.cost[staying], 1.0 + down[staying])
    assert acts.arrives[moving].any()


def test_only_steps_from_the_voyages_down_are_offered() -> None:
    _, built = _built(voyage(comfort="plain", **CLOCK), days=2)
    steps = set(built.problem.mornings[1].step.tolist())
    assert steps <= {1, 2}
    assert 1 in steps


def test_evening_asks_for_floor_and_reserve_and_knows_the_plug() -> None:
    frame, built = _built(voyage(**CLOCK), days=2)
    evening, reserve = built.problem.evenings[1], heating_reserve_kwh(frame, 1)
    floor = frame.weather.floor_kwh[1, frame.mooring_station]
    np.testing.assert_allclose(evening.hold_kwh, floor[:, None] + reserve, atol=1e-4)
    assert list(evening.plug) == [m.name == "Beck" for m in frame.route.moorings]
    assert (evening.hold_kwh[:, 0] > evening.hold_kwh[:, 2]).all()


def test_more_reserve_nights_hold_less() -> None:
    """Every night more moves every threshold of the unplugged moorings up, never down."""
    (_, one), (_, three) = (_built(voyage(heating_reserve_nights=n, comfort="off", **CLOCK), days=2) for n in (1, 3))

    def least(built: Built) -> dict[tuple[int, ...], float]:
        acts = built.problem.mornings[1]
        keys = zip(acts.start.tolist(), acts.end.tolist(), acts.pace.tolist(), acts.below_kwh.tolist(), strict=True)
        return dict(zip(keys, acts.from_kwh[0].tolist(), strict=True))

    low, high = least(one), least(three)
    assert set(high) <= set(low)
    assert all(high[key] >= low[key] for key in high)
    assert sum(high[key] > low[key] + 0.5 for key in high) > 5


def test_tables_are_rounded_to_a_ten_thousandth() -> None:
    _, built = _built(voyage(**CLOCK), days=2)
    acts = built.problem.mornings[1]
    for name in ("add", "cap", "poor_add", "poor_low_add", "poor_cap", "poor_low_cap"):
        values = np.asarray(getattr(acts, name))
        np.testing.assert_allclose(values, np.round(values, 4), atol=1e-12)


def test_charge_above_the_ceiling_at_the_start_has_its_own_level() -> None:
    _, built = _built(voyage(charge_at_start_percent=100.0, **CLOCK), days=2)
    assert built.problem.top_kwh == 20.0
    assert PLACES[0].shore_w == 0.0
