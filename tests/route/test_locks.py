"""When locks and bridges work."""

from datetime import date
from typing import Any

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from voyager.route.calendar import days
from voyager.route.leg import Leg
from voyager.route.locks import Event, leg_events, open_hours

DUBLIN = "Europe/Dublin"
MONDAY = days(date(2027, 3, 1), 7, DUBLIN, 480)


def leg(**keys: Any) -> Leg:
    return Leg("a", "b", **keys)


def test_always_open() -> None:
    assert open_hours(leg(), MONDAY).tolist() == [[-np.inf, np.inf]] * 7
    assert open_hours(leg(open_min=(0, 1440)), MONDAY).tolist() == [[-np.inf, np.inf]] * 7


def test_window_is_counted_from_the_start_of_the_day() -> None:
    assert open_hours(leg(open_min=(540, 1020)), MONDAY).tolist() == [[1.0, 9.0]] * 7


def test_window_already_open_begins_at_the_start() -> None:
    assert open_hours(leg(open_min=(360, 1080)), MONDAY).tolist() == [[0.0, 10.0]] * 7


def test_window_that_shuts_as_the_day_starts_is_that_of_the_night() -> None:
    assert open_hours(leg(open_min=(0, 480)), MONDAY).tolist() == [[16.0, 24.0]] * 7


def test_window_over_midnight() -> None:
    assert open_hours(leg(open_min=(1200, 240)), MONDAY).tolist() == [[12.0, 20.0]] * 7


def test_closed_weekdays_go_by_the_civil_date_of_the_start() -> None:
    shut = np.isnan(open_hours(leg(open_min=(540, 1020), closed_weekdays=(0, 6)), MONDAY)[:, 0])
    assert shut.tolist() == [True, False, False, False, False, False, True]


def test_stoppage_counts_both_its_dates() -> None:
    closed = ((date(2027, 3, 3), date(2027, 3, 4)), (date(2027, 2, 1), date(2027, 3, 1)))
    hours = open_hours(leg(closed=closed), MONDAY)
    assert np.isnan(hours).all(axis=1).tolist() == [True, False, True, True, False, False, False]
    assert hours[1].tolist() == [-np.inf, np.inf]


def test_clock_change_moves_the_window_only_on_its_day() -> None:
    """From midnight: on 28 March 2027 clocks go from 01:00 to 02:00, so 09:00 comes 8 h after midnight."""
    spring = days(date(2027, 3, 27), 3, DUBLIN, 0)
    assert open_hours(leg(open_min=(540, 1020)), spring).tolist() == [[9.0, 17.0], [8.0, 16.0], [9.0, 17.0]]
    autumn = days(date(2027, 10, 30), 3, DUBLIN, 0)
    assert open_hours(leg(open_min=(540, 1020)), autumn).tolist() == [[9.0, 17.0], [10.0, 18.0], [9.0, 17.0]]


@settings(deadline=None)
@given(st.integers(0, 1439), st.integers(0, 1439), st.integers(0, 1439))
def test_window_lies_within_the_day(opens: int, shuts: int, starts: int) -> None:
    hours = open_hours(leg(open_min=(opens, shuts)), days(date(2027, 6, 1), 1, DUBLIN, starts))[0]
    assert hours[0] < hours[1]
    if opens != shuts:
        assert hours[0] >= 0.0
        assert hours[1] <= 24.0


def test_events_are_sorted_and_of_both_kinds() -> None:
    events = leg_events(leg(locks=1, bridges=2, bridge_at_km=(9.0, 1.0)), 10.0)
    assert events == (Event(1.0, "bridge"), Event(5.0, "lock"), Event(9.0, "bridge"))


def test_spread_events_halve_their_gap_at_the_ends_so_that_a_leg_may_be_cut() -> None:
    whole = [event.km for event in leg_events(leg(locks=4), 20.0)]
    halves = [event.km + start for start in (0.0, 10.0) for event in leg_events(leg(locks=2), 10.0)]
    assert whole == halves == [2.5, 7.5, 12.5, 17.5]
