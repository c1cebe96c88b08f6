"""The sun of a day at a place: published sunrises, and what must hold anywhere on any date."""

import json
from datetime import datetime
from math import radians, sin

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from voyager.errors import InputError
from voyager.report.export import json_text
from voyager.session.place import sun
from voyager.sky.clearness import mean_clearness, quantiles

FILES_KEYS = [
    "lat", "lon", "date", "sunrise_utc", "sunset_utc", "day_length_h", "extraterrestrial_kwh_m2", "clear_sky_kwh_m2",
    "air_temp_c", "tilt_deg", "azimuth_deg", "ghi_kwh_m2", "tilted_kwh_m2",
]  # fmt: skip


def seconds_between(said: object, published: str) -> float:
    return abs((datetime.fromisoformat(str(said)) - datetime.fromisoformat(published)).total_seconds())


@pytest.mark.parametrize(
    ("lat", "lon", "day", "rise", "sets"),
    [
        (39.743, -105.178, "2015-01-02", "2015-01-02T07:21:55-07:00", "2015-01-02T16:47:43-07:00"),
        (39.743, -105.178, "2015-08-02", "2015-08-02T05:00:27-07:00", "2015-08-02T19:13:58-07:00"),
        (60.0, 0.0, "2019-06-21", "2019-06-21T02:36:00+00:00", "2019-06-21T21:28:00+00:00"),
        (69.5, 19.0, "2014-04-01", "2014-04-01T04:50:00+01:00", "2014-04-01T18:49:00+01:00"),
    ],
)
def test_sunrise_and_sunset(lat: float, lon: float, day: str, rise: str, sets: str) -> None:
    """Golden, Colorado: NREL's SPA page; the others: US Naval Observatory tables. Two minutes."""
    result = sun(lat, lon, day)
    assert seconds_between(result["sunrise_utc"], rise) < 120
    assert seconds_between(result["sunset_utc"], sets) < 120
    length = (datetime.fromisoformat(sets) - datetime.fromisoformat(rise)).total_seconds() / 3600
    assert result["day_length_h"] == pytest.approx(length, abs=4 / 60)


def test_extraterrestrial() -> None:
    """FAO-56 example 18: 50.8°N, 6 July, 41.09 MJ/m² with its solar constant of 1367 W/m²; 0.5 %."""
    result = sun(50.8, 4.35, "2027-07-06")
    assert result["extraterrestrial_kwh_m2"] == pytest.approx(41.09 / 3.6 * 1361 / 1367, rel=0.005)


def test_keys_are_those_of_the_page() -> None:
    assert list(sun(53.4, -7.9, "2027-03-03"))[: len(FILES_KEYS)] == FILES_KEYS


def test_the_mean_is_that_of_the_clearness_table() -> None:
    result = sun(53.4, -7.9, "2027-03-03")
    mean = float(mean_clearness(quantiles(53.4, -7.9, 62)))
    assert result["ghi_kwh_m2"]["mean"] == pytest.approx(mean * result["extraterrestrial_kwh_m2"], rel=0.005)  # type: ignore[index, operator]


def test_polar_night_is_zero_and_polar_day_is_24_hours() -> None:
    night, day = sun(70, 25, "2027-12-21", 90), sun(70, 25, "2027-06-21")
    assert night["sunrise_utc"] is None
    assert (night["day_length_h"], day["day_length_h"]) == (0.0, 24.0)
    assert night["tilted_kwh_m2"] == {"mean": 0.0, "p10": 0.0, "p50": 0.0, "p90": 0.0}


def test_a_clear_winter_day_is_steeper_the_better() -> None:
    """Beam on a plane facing the noon sun grows as sin(altitude + tilt)/sin(altitude): at 50°N in midwinter the sun
    stands 16.6° high, and the day's gain at 60° is far above 2 on the brightest days (common practice, no source)."""
    flat, steep = sun(50, 10, "2027-12-21"), sun(50, 10, "2027-12-21", 60)
    noon = sin(radians(16.6 + 60)) / sin(radians(16.6))
    gain = steep["tilted_kwh_m2"]["p90"] / flat["ghi_kwh_m2"]["p90"]  # type: ignore[index]
    assert 2.0 < gain < noon


def test_facing_the_equator_is_north_in_the_south() -> None:
    assert (sun(-33.9, 151.2, "2027-01-05")["azimuth_deg"], sun(33.9, 151.2, "2027-01-05")["azimuth_deg"]) == (0, 180)
    assert sun(50, 0, "2027-03-01", 30, -45.0)["azimuth_deg"] == 315


def test_far_from_land_and_far_north_are_said() -> None:
    codes = [caution["code"] for caution in sun(0, -130, "2027-03-01")["cautions"]]  # type: ignore[attr-defined]
    assert codes == ["climate_ocean"]
    assert [one["code"] for one in sun(70, 25, "2027-03-01")["cautions"]] == ["climate_north"]  # type: ignore[attr-defined]
    assert sun(53, -8, "2027-03-01")["cautions"] == []


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        ((95, 0, "2027-03-01"), "latitude 95 is out of range"),
        ((50, 181, "2027-03-01"), "longitude 181 is out of range"),
        ((float("nan"), 0, "2027-03-01"), "latitude nan is out of range"),
        ((50, 0, "2027-02-29"), "no date"),
        ((50, 0, "0001-01-01"), "year 1 is out of range"),
        ((50, 0, "2027-03-01", 91), "tilt 91 is out of range"),
        ((50, 0, "2027-03-01", 30, float("inf")), "azimuth inf"),
    ],
)
def test_bad_input_is_one_sentence(arguments: tuple[float, float, str], said: str) -> None:
    with pytest.raises(InputError, match=said):
        sun(*arguments)


@settings(deadline=None, max_examples=25)
@given(
    lat=st.floats(-90, 90),
    lon=st.floats(-180, 180),
    day=st.dates(min_value=datetime(1950, 1, 1).date(), max_value=datetime(2150, 12, 31).date()),
    tilt=st.floats(0, 90),
    azimuth=st.floats(-360, 360),
)
def test_anywhere_on_any_date(lat: float, lon: float, day: object, tilt: float, azimuth: float) -> None:
    result = json.loads(json_text(sun(lat, lon, str(day), tilt, azimuth)))
    for key in ("ghi_kwh_m2", "tilted_kwh_m2"):
        spread = result[key]
        assert 0 <= spread["p10"] <= spread["p50"] <= spread["p90"]
        assert spread["p10"] <= spread["mean"] * 1.0001 + 1e-4
    assert result["ghi_kwh_m2"]["p90"] <= 0.9 * result["extraterrestrial_kwh_m2"] + 1e-4
    level = sun(lat, lon, str(day), 0.0, azimuth)
    assert level["tilted_kwh_m2"]["mean"] == pytest.approx(level["ghi_kwh_m2"]["mean"], rel=0.01, abs=0.002)  # type: ignore[index]
