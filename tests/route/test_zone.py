"""Civil zones of positions; well-known ones, and that every answer is usable."""

from datetime import datetime
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from voyager.route.zone import nautical_zone, time_zone_at


@pytest.mark.parametrize(
    ("lat", "lon", "zone"),
    [
        (53.94, -8.10, "Europe/Dublin"),
        (43.05, -76.15, "America/New_York"),
        (52.37, 4.90, "Europe/Amsterdam"),
        (-33.86, 151.21, "Australia/Sydney"),
        (-18.1, 178.4, "Pacific/Fiji"),
        (-18.1, 178.4 - 360.0, "Pacific/Fiji"),
    ],
)
def test_zone_of_known_towns(lat: float, lon: float, zone: str) -> None:
    assert time_zone_at(lat, lon) == zone


@settings(deadline=None, max_examples=200)
@given(st.floats(-90, 90), st.floats(-180, 180))
def test_every_position_has_a_usable_zone(lat: float, lon: float) -> None:
    assert ZoneInfo(time_zone_at(lat, lon)).utcoffset(datetime(2027, 6, 1)) is not None


def test_open_sea_keeps_the_hour_of_its_longitude() -> None:
    assert time_zone_at(30.0, -45.0) == nautical_zone(-45.0) == "Etc/GMT+3"


@given(st.floats(-180, 179.999))
def test_nautical_zone_is_within_half_an_hour_of_the_mean_sun(lon: float) -> None:
    offset = ZoneInfo(nautical_zone(lon)).utcoffset(datetime(2027, 6, 1))
    assert offset is not None
    assert abs(offset.total_seconds() / 3600.0 - lon / 15.0) <= 0.5
