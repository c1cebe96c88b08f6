"""Travel and evening by the sun and by the clock, against hours counted by hand."""

from datetime import date, timedelta

import numpy as np
import pytest

from tests.planner.samples import voyage
from voyager.planner.windows import Windows, windows
from voyager.route.calendar import days
from voyager.sky.sun import SunTimes

NAT = np.datetime64("NaT", "s")


def _sun(rise: str | None, dusk: str | None, *, up: bool = False, down: bool = False) -> SunTimes:
    rises, sets = (np.asarray([[np.datetime64(t, "s") if t else NAT]]) for t in (rise, dusk))
    return SunTimes(rises, rises, sets, np.asarray([[up]]), np.asarray([[down]]))


def _day(
    sun: SunTimes,
    first: date = date(2027, 3, 1),
    zone: str = "Etc/UTC",
    day_starts_min: int = 480,
    travel_min: tuple[int, int] | None = None,
) -> tuple[float, float, int]:
    here = voyage(travel_min=travel_min, day_starts_min=day_starts_min, departs=first, time_zone=zone)
    found: Windows = windows(here, days(first, 1, zone, day_starts_min), sun)
    return float(found.open_h[0, 0]), float(found.close_h[0, 0]), int(found.evening[0, 0])


def test_daylight_is_sunrise_to_half_an_hour_before_sunset() -> None:
    """Sunrise 08:45, sunset 16:15, day from 08:00: 0.75 h to 7.75 h; evening at the first step after 8.25 h."""
    assert _day(_sun("2027-01-10T08:45", "2027-01-10T16:15"), date(2027, 1, 10)) == (0.75, 7.75, 9)


def test_never_before_the_day_starts() -> None:
    """Sunrise 05:00 lies three hours before the day: travel opens with it."""
    assert _day(_sun("2027-06-10T05:00", "2027-06-10T20:00"), date(2027, 6, 10)) == (0.0, 11.5, 12)


def test_evening_on_the_hour_is_that_hour() -> None:
    assert _day(_sun("2027-03-01T07:00", "2027-03-01T18:00"))[2] == 10


def test_clock_times_and_an_evening_at_the_later_of_close_and_sunset() -> None:
    early = _day(_sun("2027-03-01T07:00", "2027-03-01T18:10"), travel_min=(510, 1020))
    assert early == (0.5, 9.0, 11)
    late = _day(_sun("2027-03-01T07:00", "2027-03-01T15:00"), travel_min=(510, 1020))
    assert late == (0.5, 9.0, 9)


def test_clock_before_the_day_starts_waits_for_it() -> None:
    assert _day(_sun("2027-03-01T07:00", "2027-03-01T18:00"), travel_min=(360, 1020))[0] == 0.0


def test_polar_day_travels_until_ten() -> None:
    assert _day(_sun(None, None, up=True), date(2027, 6, 20)) == (0.0, 14.0, 14)


def test_polar_night_has_no_daylight_travel_and_its_evening_at_once() -> None:
    opens, closes, evening = _day(_sun(None, None, down=True), date(2027, 12, 20))
    assert np.isnan([opens, closes]).all()
    assert evening == 1


def test_polar_night_by_the_clock_ends_with_the_close_of_travel() -> None:
    assert _day(_sun(None, None, down=True), date(2027, 12, 20), travel_min=(540, 900)) == (1.0, 7.0, 7)


def test_close_after_ten_without_a_sunset_ends_at_ten() -> None:
    assert _day(_sun(None, None, up=True), date(2027, 6, 20), travel_min=(540, 1410)) == (1.0, 15.5, 14)


def test_a_day_too_short_for_the_margin_has_no_travel() -> None:
    """Twenty minutes of sun less half an hour: none; the evening is still the first step after sunset."""
    opens, closes, evening = _day(_sun("2027-12-10T11:50", "2027-12-10T12:10"), date(2027, 12, 10))
    assert np.isnan([opens, closes]).all()
    assert evening == 5


@pytest.mark.parametrize(("first", "length"), [(date(2027, 3, 27), 23), (date(2027, 10, 30), 25)])
def test_clock_times_follow_the_clock_changes(first: date, length: int) -> None:
    """Dublin: clocks change at 01:00 UTC on 28 March and 31 October 2027. The day from 00:00 that holds the change."""
    changing = first + timedelta(days=1)
    calendar = days(changing, 1, "Europe/Dublin", 0)
    assert int(calendar.length_h[0]) == length
    sun = _sun(f"{changing}T06:30", f"{changing}T17:00")
    opens, closes, _ = _day(sun, changing, "Europe/Dublin", 0, (540, 1020))
    assert (opens, closes) == (9.0 + (length - 24), 17.0 + (length - 24))


def test_evening_is_never_after_the_last_step() -> None:
    """Sunset half past midnight in the far north, day from 02:00: within the day all the same."""
    assert _day(_sun("2027-06-01T01:30", "2027-06-02T01:50"), date(2027, 6, 1), day_starts_min=120)[2] == 23
