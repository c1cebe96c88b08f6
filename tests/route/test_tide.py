"""The tidal stream as DESIGN has it, against the times of a tide."""

from datetime import UTC, datetime, timedelta, timezone

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from voyager.route.tide import hours_from_high_water, stream_mps

HIGH_WATER = datetime(2027, 3, 1, 5, 40, tzinfo=UTC)
FLOOD = st.floats(-4.0, 4.0)
HOURS = st.floats(-300.0, 300.0)


def test_flood_is_strongest_3_1_h_before_high_water_and_ebb_half_a_tide_later() -> None:
    assert stream_mps([-3.1, -3.1 + 6.21], 1.5).tolist() == pytest.approx([1.5, -1.5])


def test_slack_is_within_a_minute_of_high_water() -> None:
    """A quarter of 12.42 h is 3.105 h."""
    assert stream_mps(0.005, 2.0) == pytest.approx(0.0, abs=1e-12)
    assert float(stream_mps(-0.5, 2.0)) > 0.0 > float(stream_mps(0.5, 2.0))


@given(HOURS, FLOOD)
def test_stream_repeats_each_tide_and_never_exceeds_the_flood(hours: float, flood: float) -> None:
    now, later = stream_mps([hours, hours + 12.42], flood)
    assert now == pytest.approx(later, abs=1e-9)
    assert abs(now) <= abs(flood)


@given(FLOOD)
def test_stream_carries_nowhere_over_a_tide(flood: float) -> None:
    hours = np.arange(1242) / 100.0
    assert np.mean(stream_mps(hours, flood)) == pytest.approx(0.0, abs=1e-12)


def test_stream_broadcasts() -> None:
    assert stream_mps(np.zeros((4, 1)), np.ones(3)).shape == (4, 3)


def test_hours_from_high_water_in_any_zone() -> None:
    times = np.array(["2027-03-01T05:40:00", "2027-03-01T08:46", "2027-02-28T17:15:00"], dtype="datetime64[s]")
    there = HIGH_WATER.astimezone(timezone(timedelta(hours=-5)))
    for moment in (HIGH_WATER, there):
        assert hours_from_high_water(times, moment).tolist() == pytest.approx([0.0, 3.1, -12.4166667])
