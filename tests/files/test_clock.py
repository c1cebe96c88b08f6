"""Dates, clock times and windows of hours."""

from datetime import date, datetime, time

import pytest
from hypothesis import given
from hypothesis import strategies as st

from voyager.files.clock import DAY_MIN, civil_date, clock, clock_text, instant, time_of_day, window


@given(st.integers(0, DAY_MIN))
def test_clock_times_read_back(minutes: int) -> None:
    assert clock(clock_text(minutes)) == minutes


@given(st.dates(date(1950, 1, 1), date(2100, 12, 31)))
def test_dates_read_as_text_and_as_toml(day: date) -> None:
    assert civil_date(day.isoformat()) == civil_date(day) == day


@pytest.mark.parametrize("value", ["24:01", "8:30", "08.30", "0830", 830, None, "٠٨:٣٠", "08:30 ", "25:00", "23:60"])
def test_what_is_no_clock_time_is_refused(value: object) -> None:
    with pytest.raises(ValueError, match="HH:MM"):
        clock(value)


@pytest.mark.parametrize(
    "value", ["2027-02-30", "2027-2-3", "1.3.2027", 2027, "20270301", "1949-12-31", date(2101, 1, 1), True,
              datetime(2027, 3, 1), "2027-W09-1"]
)  # fmt: skip
def test_what_is_no_date_is_refused(value: object) -> None:
    with pytest.raises(ValueError, match=r"date|years"):
        civil_date(value)


def test_an_instant_needs_its_offset() -> None:
    assert instant("2027-03-01T05:40:00+01:00").isoformat() == "2027-03-01T05:40:00+01:00"
    with pytest.raises(ValueError, match="offset"):
        instant(datetime(2027, 3, 1, 5, 40))
    with pytest.raises(ValueError, match="date and time"):
        instant(date(2027, 3, 1))


def test_a_day_cannot_start_at_its_end() -> None:
    assert time_of_day(time(7, 30)) == 450
    with pytest.raises(ValueError, match="00:00"):
        time_of_day("24:00")


@given(st.integers(0, DAY_MIN - 1), st.integers(0, DAY_MIN))
def test_a_window_holds_every_minute_between_its_ends_once(opens: int, shuts: int) -> None:
    text = f"{clock_text(opens)}-{clock_text(shuts)}"
    if opens == shuts:
        with pytest.raises(ValueError, match="no time"):
            window(text)
        return
    minutes = [minute for first, last in window(text) for minute in range(first, last)]
    wanted = range(opens, shuts if shuts > opens else shuts + DAY_MIN)
    assert sorted(minutes) == sorted(minute % DAY_MIN for minute in wanted)


@pytest.mark.parametrize(
    "text", ["06:30", "06:30-", "06:30 to 08:30", "", "-", "24:00-06:00", "a-b", "06:30-08:30-09:00"]
)
def test_what_is_no_window_is_refused(text: str) -> None:
    with pytest.raises(ValueError, match=r"hours|HH:MM|no time"):
        window(text)
