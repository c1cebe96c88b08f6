"""Civil days in any zone, against the standard library's own clock."""

from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from voyager.errors import InputError
from voyager.route.calendar import Days, days

ZONES = ["Europe/Dublin", "America/New_York", "Australia/Sydney", "Pacific/Auckland", "Etc/GMT+9", "Asia/Kathmandu"]
WHOLE_HOUR = [*ZONES, "Africa/Casablanca", "Asia/Kolkata", "Pacific/Apia", "UTC"]
FIRST = st.dates(date(2024, 1, 1), date(2032, 1, 1))
MINUTE = st.integers(0, 1439)


def clock(moment: np.datetime64, hours: float, zone: str) -> datetime:
    start = moment.astype("datetime64[s]").item().replace(tzinfo=UTC)
    return (start + timedelta(hours=hours)).astimezone(ZoneInfo(zone))


def length(zone: str, day: date, starts: int = 480) -> int:
    return int(days(day, 1, zone, starts).length_h[0])


# Directive 2000/84/EC: last Sundays of March and October at 01:00 UTC; Energy Policy Act of 2005 (USA): second
# Sunday of March and first Sunday of November at 02:00 local. Days run from 08:00, so that of the Saturday changes.
@pytest.mark.parametrize(
    ("zone", "day", "hours"),
    [
        ("Europe/Dublin", date(2027, 3, 27), 23),
        ("Europe/Dublin", date(2027, 3, 28), 24),
        ("Europe/Dublin", date(2027, 10, 30), 25),
        ("America/New_York", date(2027, 3, 13), 23),
        ("America/New_York", date(2027, 11, 6), 25),
        ("America/New_York", date(2027, 11, 7), 24),
    ],
)
def test_days_of_clock_changes(zone: str, day: date, hours: int) -> None:
    assert length(zone, day) == hours


def test_year_has_one_short_and_one_long_day() -> None:
    for zone in ("Europe/Dublin", "America/New_York", "Australia/Sydney"):
        year = days(date(2027, 1, 1), 365, zone, 480)
        assert np.bincount(year.length_h, minlength=26)[23:].tolist() == [1, 363, 1]
        assert year.length_h.sum() == 365 * 24


def test_leap_day() -> None:
    leap = days(date(2028, 2, 28), 3, "Europe/Dublin", 480)
    assert leap.dates == (date(2028, 2, 28), date(2028, 2, 29), date(2028, 3, 1))
    assert leap.month.tolist() == [2, 2, 3]
    assert leap.day_of_year.tolist() == [59, 60, 61]


def test_zones_at_sea_count_west_as_plus() -> None:
    assert str(days(date(2027, 3, 1), 1, "Etc/GMT+9", 480).starts_utc[0]) == "2027-03-01T17:00:00"
    assert str(days(date(2027, 3, 1), 1, "Etc/GMT-12", 480).starts_utc[0]) == "2027-02-28T20:00:00"


@settings(deadline=None, max_examples=60)
@given(st.sampled_from(WHOLE_HOUR), FIRST, MINUTE)
def test_clock_of_every_step_is_the_standard_librarys(zone: str, first: date, starts: int) -> None:
    some = days(first, 40, zone, starts)
    for d in range(40):
        for h in (0, 1, 2, 3, 12, int(some.length_h[d]) - 1, 24):
            shown = clock(some.starts_utc[d], h, zone)
            assert some.local_min[d, h] == shown.hour * 60 + shown.minute
            assert some.local_hour[d, h] == shown.hour


@settings(deadline=None, max_examples=60)
@given(st.sampled_from(WHOLE_HOUR), FIRST, st.integers(180, 1439))
def test_days_start_by_the_clock(zone: str, first: date, starts: int) -> None:
    some = days(first, 40, zone, starts)
    for d, start in enumerate(some.starts_utc[:-1]):
        shown = clock(start, 0.0, zone)
        assert shown.date() == some.dates[d]
        assert shown.hour * 60 + shown.minute == starts


@settings(deadline=None, max_examples=60)
@given(
    st.sampled_from(WHOLE_HOUR),
    FIRST,
    st.integers(0, 1439),
    st.integers(0, 1439),
)
def test_hours_from_start_is_the_first_time_the_clock_shows_it(zone: str, first: date, starts: int, at: int) -> None:
    some = days(first, 30, zone, starts)
    hours = some.hours_from_start(np.arange(30), at)
    for d in range(30):
        shown = [clock(some.starts_utc[d], m / 60.0, zone) for m in range(1500)] if changes(some, d) else []
        minutes = [moment.hour * 60 + moment.minute for moment in shown]
        if at in minutes:
            assert hours[d] == pytest.approx(minutes.index(at) / 60.0)
        elif not shown:
            now = clock(some.starts_utc[d], float(hours[d]), zone)
            assert now.hour * 60 + now.minute == at
    assert np.all((hours >= 0.0) & (hours < 25.0))


def changes(some: Days, d: int) -> bool:
    return bool(np.isfinite(some.shift_at_min[d]))


def test_skipped_time_is_reached_as_if_clocks_had_stayed() -> None:
    """Dublin, 28 March 2027: 01:00 GMT becomes 02:00; 01:30 is met at 02:30 summer time, 17.5 h after 08:00."""
    dublin = days(date(2027, 3, 27), 1, "Europe/Dublin", 480)
    assert dublin.hours_from_start(0, 90) == 17.5
    assert clock(dublin.starts_utc[0], 17.5, "Europe/Dublin").strftime("%H:%M") == "02:30"
    assert dublin.hours_from_start(0, 180) == 18.0


def test_time_shown_twice_counts_the_first() -> None:
    """Dublin, 31 October 2027: 01:30 is shown at 00:30 and 01:30 UTC, 17.5 and 18.5 h after 08:00 summer time."""
    dublin = days(date(2027, 10, 30), 1, "Europe/Dublin", 480)
    assert dublin.hours_from_start([0, 0], [90, 180]).tolist() == [17.5, 20.0]


def test_start_that_the_clocks_skip() -> None:
    """Days from 01:30 in Dublin: that of 28 March starts at 02:30 summer time, as if clocks had stayed."""
    dublin = days(date(2027, 3, 27), 3, "Europe/Dublin", 90)
    assert dublin.length_h.tolist() == [24, 23, 24]
    assert dublin.local_min[:, 0].tolist() == [90, 150, 90]


def test_start_that_the_clocks_show_twice() -> None:
    dublin = days(date(2027, 10, 30), 3, "Europe/Dublin", 90)
    assert dublin.length_h.tolist() == [24, 25, 24]
    assert dublin.local_min[:, 0].tolist() == [90, 90, 90]
    assert dublin.local_min[1, :3].tolist() == [90, 90, 150]


@pytest.mark.parametrize(("zone", "late"), [("Australia/Lord_Howe", 30), ("Antarctica/Troll", 60)])
def test_odd_shifts_keep_whole_hours_near_the_asked_start(zone: str, late: int) -> None:
    year = days(date(2027, 1, 1), 365, zone, 480)
    assert set(year.length_h.tolist()) <= {23, 24, 25}
    assert np.max(np.abs(year.start_min - 480)) <= late


@settings(deadline=None, max_examples=30)
@given(st.sampled_from(WHOLE_HOUR), FIRST, MINUTE)
def test_days_follow_one_another_without_gap(zone: str, first: date, starts: int) -> None:
    some = days(first, 50, zone, starts)
    assert np.array_equal(np.diff(some.starts_utc) // np.timedelta64(3600, "s"), some.length_h)
    assert len(some.dates) == len(some.month) == 50


@pytest.mark.parametrize("zone", ["Europe/Dubln", "", "../etc/passwd", "Europe"])
def test_unknown_zone_is_one_sentence(zone: str) -> None:
    with pytest.raises(InputError, match=r"time zone \".*\" is not known; use a name"):
        days(date(2027, 3, 1), 1, zone, 480)
