"""Passages against plain walks of one boat: minute by minute in a stream, lock by lock on a canal."""

from dataclasses import replace
from datetime import UTC, datetime
from math import cos, inf, pi

import numpy as np
import pytest

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
