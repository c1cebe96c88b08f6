"""Passages against plain walks of one boat: minute by minute in a stream, lock by lock on a canal."""

from dataclasses import replace
from datetime import UTC, datetime
from math import cos, inf, pi

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from tests.energy.boats import CUBE
from voyager.energy.passage import Clock, Passages, speed_table, walk
from voyager.energy.way import StationAt, build_way
from voyager.route.leg import Leg
from voyager.route.line import build_route
from voyager.route.place import Place
from voyager.route.voyage import Voyage

K = 80.0
HIGH_WATER = datetime(2027, 3, 1, 12, tzinfo=UTC)
PLACES = (Place("A", 52.0, 0.0), Place("B", 52.3, 0.0))
STILL = Leg("A", "B", "canal", distance_km=36.0, moor_anywhere=False)


def passages(leg: Leg, paces: list[float], *, opens=1.0, closes=11.0, locks=(-inf, inf), high_water=4.0) -> Passages:
    """One day, one start: the first place."""
    voyage = Voyage("one leg", datetime(2027, 3, 1).date(), "Europe/London", PLACES, (leg,))
    way = build_way(build_route(voyage), CUBE, StationAt())
    table = speed_table(CUBE, (leg,), np.asarray(paces), np.zeros((1, 1)), 1.6)
    one = np.ones((1, 1))
    clock = Clock(opens * one, closes * one, np.asarray([[locks]]), high_water * one, np.zeros(1, dtype=np.int64))
    return walk(way, (leg,), table, clock, np.asarray([0]))


def speed_mps(pace_w: float, stream: float) -> float:
    """Root of 2 K v^3 + 3 K u v^2 = 2 pace by bisection, not below what steers, not above the motor."""
    low, high = CUBE.steerable_min_mps, (CUBE.motor_max_w / K) ** (1 / 3)
    for _ in range(60):
        v = (low + high) / 2
        low, high = (v, high) if 2 * K * v**3 + 3 * K * stream * v**2 < 2 * pace_w else (low, v)
    return low


def minute_walk(pace_w: float, flood: float, start_h: float, km: float) -> tuple[float, float]:
    """Arrival [h] and energy [kWh] through the stream of every minute; high water 4 h after the day's start."""
    t, done, kwh = start_h, 0.0, 0.0
    while done < km:
        u = flood * cos(2 * pi * (t - 4.0 + 3.1) / 12.42)
        v = speed_mps(pace_w, u)
        done, kwh, t = done + (v + u) * 3.6 / 60, kwh + K * v**3 / 60e3, t + 1 / 60
    return t, kwh


@pytest.mark.parametrize("flood", [0.5, -0.5, 0.9])
@pytest.mark.parametrize("pace", [350.0, 900.0])
def test_a_tidal_leg_follows_the_stream(flood: float, pace: float) -> None:
    leg = replace(STILL, water="coastal", tide_high_water=HIGH_WATER, tide_flood_mps=flood)
    hull_free = passages(leg, [pace], closes=24.0)
    arrive, kwh = minute_walk(pace, flood, 1.0, 36.0)
    # sea margin 15 % on coastal water: the hull's K is that much larger there
    margin = minute_walk(pace / 1.15, flood, 1.0, 36.0)
    assert hull_free.arrive_h[-1, 0, 0, 0] == pytest.approx(margin[0], rel=0.02)
    assert hull_free.kwh[-1, 0, 0, 0] == pytest.approx(1.15 * margin[1], rel=0.04)
    assert margin[0] > arrive  # less speed for the same pace
    assert kwh > 0


def test_against_a_stream_too_strong_the_boat_waits_made_fast() -> None:
    """A flood of 3.8 m/s at 0.9 h against the motor's 3.68: 3.8 cos(17.4 deg) = 3.63 at 1.5 h, 3.23 at 2 h."""
    leg = replace(STILL, distance_km=6.0, water="coastal", tide_high_water=HIGH_WATER, tide_flood_mps=-3.8)
    done = passages(leg, [200.0], closes=24.0)
    assert done.wait_h[-1, 0, 0, 0] == pytest.approx(1.0)
    arrive = done.arrive_h[-1, 0, 0, 0]
    assert np.isfinite(arrive)
    assert done.move_h[-1, 0, 0, 0] == pytest.approx(arrive - 1.0 - done.wait_h[-1, 0, 0, 0])


def plain_canal(leg: Leg, v_kmh: float, opens: float, shuts: float, start: float) -> tuple[float, float, float]:
    """Arrival, waiting, energy past evenly spread locks, with their hours."""
    t, wait, kwh, at = start, 0.0, 0.0, 0.0
    for k in range(leg.locks):
        lock = leg.distance_km * (k + 0.5) / leg.locks
        t, at = t + (lock - at) / v_kmh, lock
        wait, t = wait + max(0.0, opens - t), max(t, opens)
        if t + leg.lock_min / 60 > shuts:
            return inf, wait, kwh
        t, kwh = t + leg.lock_min / 60, kwh + leg.lock_kwh
    return t + (leg.distance_km - at) / v_kmh, wait, kwh + K * (v_kmh / 3.6) ** 3 * leg.distance_km / v_kmh / 1e3


@pytest.mark.parametrize(("opens", "shuts"), [(-inf, inf), (2.5, 9.0), (1.0, 3.0)])
def test_a_canal_lock_by_lock(opens: float, shuts: float) -> None:
    leg = replace(STILL, distance_km=20.0, locks=4, lock_min=15.0, lock_kwh=0.2)
    pace = K * 1.5**3
    done = passages(leg, [pace], locks=(opens, shuts))
    arrive, wait, kwh = plain_canal(leg, 1.5 * 3.6, opens, shuts, 1.0)
    if arrive == inf:
        assert len(done.arrive_h) == 1 or not np.isfinite(done.arrive_h[-1]).any()
        return
    assert done.arrive_h[-1, 0, 0, 0] == pytest.approx(arrive, rel=2e-3)
    assert done.wait_h[-1, 0, 0, 0] == pytest.approx(wait, abs=5e-3)
    assert done.kwh[-1, 0, 0, 0] == pytest.approx(kwh, rel=2e-3)


def test_nobody_goes_on_past_the_close_of_travel() -> None:
    """36 km at 5.4 km/h take 6.7 h: from 1 h they end at 7.7 h, not before 7.6 h."""
    pace = [K * 1.5**3]
    assert np.isfinite(passages(STILL, pace, closes=7.75).arrive_h[-1]).all()
    assert not np.isfinite(passages(STILL, pace, closes=7.6).arrive_h[-1]).any()


def test_a_current_that_leaves_less_than_1_kmh_stops_the_leg() -> None:
    held = replace(STILL, current_mps=-3.5)
    assert not np.isfinite(passages(held, [K * 0.8**3], closes=200.0).arrive_h[-1]).any()


def test_no_daylight_no_passage() -> None:
    nobody = passages(STILL, [300.0], opens=np.nan, closes=np.nan)
    assert not np.isfinite(nobody.arrive_h).any()


CHAIN = (Place("A", 52.0, 0.0), Place("B", 52.1, 0.0), Place("C", 52.2, 0.0, moor=False), Place("D", 52.3, 0.0))


@st.composite
def canals(draw: st.DrawFn) -> tuple[Leg, ...]:
    """Three legs with locks and bridges anywhere, a current each; the middle one may allow no mooring."""
    legs = []
    for k in range(3):
        km = draw(st.floats(3.0, 18.0))
        at = st.lists(st.floats(0.05, 0.95), max_size=3).map(
            lambda shares, km=km: tuple(sorted(s * km for s in shares))
        )
        locks, bridges = draw(at), draw(at)
        legs.append(
            Leg(
                CHAIN[k].name, CHAIN[k + 1].name, "canal", distance_km=km, moor_anywhere=draw(st.booleans()),
                current_mps=draw(st.sampled_from([-0.3, 0.0, 0.4])), locks=len(locks), lock_at_km=locks,
                lock_min=draw(st.floats(5, 40)), lock_kwh=draw(st.floats(0, 0.4)), bridges=len(bridges),
                bridge_at_km=bridges, bridge_min=draw(st.floats(2, 20)), tunnel_km=draw(st.sampled_from([0.0, 1.0])),
            )
        )  # fmt: skip
    return tuple(legs)


def plain_walk(
    legs: tuple[Leg, ...], hours: list[tuple[float, float]], pace: float, start: float, stops: list[float], opens: float
) -> list[tuple[float, float, float, float]]:
    """Time, waiting, time moving and energy at each of ``stops`` [km] from km ``start``; inf past a shut lock."""
    t, wait, moving, kwh, at, base, out = opens, 0.0, 0.0, 0.0, start, 0.0, []
    for leg, (first, last) in zip(legs, hours, strict=True):
        v = speed_mps(pace, leg.current_mps)
        marks = [(base + km, leg.lock_min / 60, leg.lock_kwh) for km in leg.lock_at_km]
        marks += [(base + km, leg.bridge_min / 60, 0.5 * leg.bridge_min / 60) for km in leg.bridge_at_km]
        marks += [(km, None, 0.0) for km in stops if base < km <= base + leg.distance_km]
        for km, service, cost in sorted(
            (*marks, (base + leg.distance_km, 0.0, 0.0)), key=lambda m: (m[0], m[1] == 0.0)
        ):
            if km < start or (km == start and service is None):
                continue
            step = (km - at) / (v + leg.current_mps) / 3.6
            t, moving, kwh, at = t + step, moving + step, kwh + K * v**3 * step / 1e3, km
            if service is None:
                out.append((t, wait, moving, kwh))
            elif service > 0:
                wait, t = wait + max(0.0, first - t), max(t, first)
                t, kwh = (t + service if t + service <= last else inf), kwh + cost
        base += leg.distance_km
    return out


@settings(max_examples=60, deadline=None)
@given(
    canals(),
    st.lists(st.sampled_from([(-inf, inf), (2.0, 9.0), (3.5, 6.0), (np.nan, np.nan)]), min_size=3, max_size=3),
    st.sampled_from([120.0, 400.0, 1500.0]),
    st.floats(0.0, 3.0),
)
def test_any_canal_against_a_plain_walk(
    legs: tuple[Leg, ...], hours: list[tuple[float, float]], pace: float, opens: float
) -> None:
    """From every mooring to every later one: hours, waiting, moving, energy; closed at 12 h; a shut leg is nan."""
    voyage = Voyage("canals", datetime(2027, 3, 1).date(), "Europe/London", CHAIN, legs)
    route = build_route(voyage)
    way = build_way(route, CUBE, StationAt())
    count = len(route.moorings) - 1
    clock = Clock(
        np.full((1, count), opens), np.full((1, count), 12.0), np.asarray([hours]), np.zeros((1, 3)), np.asarray([0])
    )
    table = speed_table(CUBE, legs, np.asarray([pace]), np.zeros((1, 3)), 1.6)
    done = walk(way, legs, table, clock, np.arange(count))
    stops = [m.km for m in route.moorings]
    services = way.node_km[way.service_h > 0]
    assume(np.abs(services[:, None] - np.asarray(stops)).min(initial=1.0) > 1e-6)  # which is first is nobody's care
    open_h = [(inf, -inf) if np.isnan(first) else (first, last) for first, last in hours]
    for start in range(count):
        reached = plain_walk(legs, open_h, pace, stops[start], stops[start + 1 :], opens)
        assert len(reached) == count - start
        for end, (time, wait, moving, kwh) in enumerate(reached, start=start + 1):
            node = int(way.moorings_at[end] - way.moorings_at[start])
            found = done.arrive_h[node, 0, start, 0] if node < len(done.arrive_h) else inf
            if abs(time - 12.0) < 0.02 or any(abs(time - last) < 0.02 for _, last in open_h):
                return  # too near to a closing hour to compare speeds read from a table
            if time > 12.0:
                assert found == inf
                continue
            if found == inf:
                assert near_a_closing_hour(legs, open_h, pace, stops[start], stops[end], opens)
                continue
            assert found == pytest.approx(time, rel=2e-3)
            assert done.wait_h[node, 0, start, 0] == pytest.approx(wait, abs=2e-2)
            assert done.move_h[node, 0, start, 0] == pytest.approx(moving, rel=2e-3)
            assert done.kwh[node, 0, start, 0] == pytest.approx(kwh, rel=5e-3)
            assert done.poor_kwh[node, 0, start, 0] == pytest.approx(done.kwh[node, 0, start, 0])


def near_a_closing_hour(
    legs: tuple[Leg, ...], hours: list[tuple[float, float]], pace: float, start: float, stop: float, opens: float
) -> bool:
    """Whether a lock is passed so late that a minute more would have found it shut."""
    earlier = [(first, last - 0.02) for first, last in hours]
    return plain_walk(legs, earlier, pace, start, [stop], opens)[0][0] == inf


def test_a_lock_shut_all_day_lets_nobody_past_and_everybody_up_to_it() -> None:
    leg = replace(STILL, distance_km=20.0, moor_anywhere=True, locks=1, lock_at_km=(11.0,))
    done = passages(leg, [300.0], locks=(np.nan, np.nan))
    # moorings every 5 km: the one at 10 km is reached, that at 15 km is not
    assert np.isfinite(done.arrive_h[2, 0, 0, 0])
    assert not np.isfinite(done.arrive_h[4:, 0, 0, 0]).any()


def test_a_coastal_leg_is_done_in_one_go_or_not_begun() -> None:
    """36 km of coast take 8.3 h at 1.2 m/s and hold no mooring in between: in 8 h of light nothing is reached."""
    leg = replace(STILL, water="coastal")
    pace = K * 1.15 * 1.2**3
    short, enough = passages(leg, [pace], closes=9.0), passages(leg, [pace], closes=9.5)
    assert short.arrive_h.shape[0] == enough.arrive_h.shape[0] == 2
    assert short.arrive_h[1, 0, 0, 0] == inf
    assert enough.arrive_h[1, 0, 0, 0] == pytest.approx(1 + 36 / (1.2 * 3.6), rel=2e-3)


def test_days_and_starts_of_a_block_do_not_disturb_one_another() -> None:
    """Two days with other hours and streams at once are the same two one by one."""
    leg = replace(STILL, water="river", moor_anywhere=True, tide_high_water=HIGH_WATER, tide_flood_mps=0.6, locks=2)
    voyage = Voyage("one leg", datetime(2027, 3, 1).date(), "Europe/London", PLACES, (leg,))
    route = build_route(voyage)
    way = build_way(route, CUBE, StationAt())
    table = speed_table(CUBE, (leg,), np.asarray([200.0, 800.0]), np.zeros((1, 1)), 1.6)
    starts = np.arange(3)

    def clock(days: list[int], at: np.ndarray) -> Clock:
        opens, closes, water = np.asarray([1.0, 2.5]), np.asarray([10.0, 8.0]), np.asarray([4.0, 9.0])
        shape = (len(days), len(at))
        return Clock(
            np.broadcast_to(opens[days][:, None], shape), np.broadcast_to(closes[days][:, None], shape),
            np.asarray([[[2.0, 9.0]], [[-inf, inf]]])[days], water[days][:, None], np.zeros(len(days), dtype=np.int64),
        )  # fmt: skip

    both = walk(way, (leg,), table, clock([0, 1], starts), starts)
    for day in (0, 1):
        for start in starts:
            alone = walk(way, (leg,), table, clock([day], starts[:1]), starts[start : start + 1])
            for name in ("arrive_h", "wait_h", "move_h", "kwh", "poor_kwh", "water_km"):
                mine = getattr(both, name)[: len(alone.kwh), day, start]
                reached = np.isfinite(alone.arrive_h[:, 0, 0])
                assert mine[reached] == pytest.approx(getattr(alone, name)[:, 0, 0][reached], abs=1e-12), name
