"""Tracks thinned: stops kept by both ends, hours between, nothing else."""

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from voyager.logbook.track import ENDS, GOES_ON, M_PER_DEG, STOP_M, STOPS, Fix, thinned

HOUR = 3600.0


def north(*pieces: tuple[float, float], every_s: float = 10.0, lon: float = 0.0) -> list[Fix]:
    """A track north from the equator: (hours, m/s) one after the other, from 08:30 on, positions 5 m to and fro."""
    rng = np.random.default_rng(1)
    speed = np.concatenate([np.full(round(hours * HOUR / every_s), mps) for hours, mps in pieces])
    time = 8.5 * HOUR + np.arange(speed.size + 1) * every_s
    metres = np.concatenate([[0.0], np.cumsum(speed * every_s)])
    wander = rng.uniform(-5, 5, (2, time.size)) / M_PER_DEG
    return thinned(time, metres / M_PER_DEG + wander[0], (lon + wander[1] + 180) % 360 - 180)


def hours(fixes: list[Fix]) -> list[tuple[float, str]]:
    """Times in hours to a minute and a half, and what."""
    return [(round(fix.time_s / HOUR * 40) / 40, fix.what) for fix in fixes]


def test_a_day_with_a_stop_by_hand() -> None:
    """08:30 to 10:30 under way, half an hour made fast, on to 11:30: the ends, each hour of the clock, the stop."""
    fixes = north((2, 1.5), (0.5, 0.0), (0.5, 1.5))
    assert hours(fixes) == [
        (8.5, "track begins"), (9.0, ""), (10.0, ""), (10.5, STOPS), (11.0, GOES_ON), (11.5, ENDS),
    ]  # fmt: skip
    stop = fixes[3]
    assert (stop.lat, stop.lon) == (fixes[4].lat, fixes[4].lon)
    assert abs(stop.lat * M_PER_DEG - 10_800) < 2 * STOP_M


def test_a_short_halt_is_no_stop_and_a_slow_boat_is_none() -> None:
    assert STOPS not in {fix.what for fix in north((1, 1.5), (0.1, 0.0), (1, 1.5))}
    assert STOPS not in {fix.what for fix in north((1, 0.2))}


def test_a_night_is_two_entries_and_the_date_line_is_no_journey() -> None:
    fixes = north((0.25, 1.5), (14, 0.0), (0.25, 1.5), lon=180.0)
    assert [what for _, what in hours(fixes)] == ["track begins", STOPS, GOES_ON, ENDS]
    assert all(abs(abs(fix.lon) - 180) < 1e-3 for fix in fixes)


def test_both_sides_of_a_gap_are_kept() -> None:
    time = np.array([0, 100, 200, 9000, 9100, 9200.0])
    fixes = thinned(time, np.arange(6) / 100, np.zeros(6))
    assert [fix.time_s for fix in fixes] == [0, 200, 9000, 9200]


def test_a_recorder_switched_off_for_the_night_leaves_a_stop() -> None:
    time = np.array([0, 100, 40_000, 40_100.0])
    fixes = thinned(time, np.array([0.0, 0.01, 0.01, 0.02]), np.zeros(4))
    assert [(fix.time_s, fix.what) for fix in fixes] == [
        (0, "track begins"), (100, STOPS), (40_000, GOES_ON), (40_100, ENDS),
    ]  # fmt: skip


def test_nothing_and_one_point() -> None:
    assert thinned(np.zeros(0), np.zeros(0), np.zeros(0)) == []
    assert thinned(np.array([5.0]), np.array([1.0]), np.array([2.0])) == [Fix(5.0, 1.0, 2.0, "track begins")]


def test_a_hundred_thousand_points_become_a_few_dozen() -> None:
    assert len(north((20, 1.5), (4, 0.0), (4, 1.5), every_s=1.0)) < 40


@settings(deadline=None, max_examples=60)
@given(st.lists(st.tuples(st.floats(0, 5000), st.floats(-1e-3, 1e-3), st.floats(-1e-3, 1e-3)), min_size=1, max_size=40))
def test_kept_positions_are_in_order_and_near_where_the_boat_was(steps: list[tuple[float, float, float]]) -> None:
    time, lat, lon = np.cumsum(np.array(steps).T, axis=1)
    fixes = thinned(time, lat, lon)
    assert [fix.time_s for fix in fixes] == sorted(fix.time_s for fix in fixes)
    assert {fix.time_s for fix in fixes} <= set(time.tolist())
    assert (fixes[0].time_s, fixes[-1].time_s) == (time[0], time[-1])
    for fix in fixes:
        metres = M_PER_DEG * np.hypot(lat - fix.lat, lon - fix.lon)[time == fix.time_s].min()
        assert metres <= (4 * STOP_M if fix.what in (STOPS, GOES_ON, ENDS) else 1e-6)
