"""Sun position, times and clear sky against published values."""

from datetime import date, datetime, timedelta

import numpy as np
import pandas as pd
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pvlib import solarposition, spa

from voyager.sky.sun import (
    DAY_S,
    clear_sky_kwh_m2,
    clear_sky_w_m2,
    ephemeris,
    half_day_arc_rad,
    position,
    sun_times,
    unix_s,
)


def clock(day: date, text: str, utc_offset_h: float) -> np.datetime64:
    """A local time of the sources in UTC."""
    local = datetime.fromisoformat(f"{day} {text}")
    return np.datetime64(local - timedelta(hours=utc_offset_h), "s")


def minutes_apart(ours: np.ndarray, theirs: np.datetime64) -> float:
    return abs(float((np.ravel(ours)[0] - theirs) / np.timedelta64(1, "m")))


def noon_of(day: str) -> tuple[float, float]:
    """Declination [degrees] and equation of time [minutes] at noon UTC."""
    number = int(np.datetime64(day, "D").astype(int))
    declination, ahead_s = ephemeris(number, number).at(number * DAY_S + DAY_S / 2)
    return float(np.degrees(declination)), float(ahead_s) / 60


def test_position_reda_and_andreas_table_a5_1() -> None:
    """Reda & Andreas, NREL/TP-560-34302, 2008, Table A5.1 (their ΔT 67 s; the effect of 2 s is below 0.0001°)."""
    found = position("2003-10-17T19:30:30", 39.742476, -105.1786, height_m=1830.14, pressure_hpa=820.0, air_c=11.0)
    assert float(found.apparent_zenith_deg) == pytest.approx(50.11162, abs=0.001)
    assert float(found.azimuth_deg) == pytest.approx(194.34024, abs=0.001)


@pytest.mark.parametrize(
    ("lat", "lon", "day", "offset", "times"),
    [
        # NREL SPA, from memory
        (39.742476, -105.1786, date(2003, 10, 17), -7, ("06:12:43", "11:46:05", "17:20:19")),
        # NREL SPA website
        (39.742476, -105.1786, date(2015, 1, 2), -7, ("07:21:55", None, "16:47:43")),
        (39.742476, -105.1786, date(2015, 8, 2), -7, ("05:00:27", None, "19:13:58")),
        # US Naval Observatory tables
        (60.0, 0.0, date(2019, 3, 20), 0, ("06:03", None, "18:14")),
        (60.0, 0.0, date(2019, 6, 21), 0, ("02:36", None, "21:28")),
        (60.0, 0.0, date(2019, 12, 22), 0, ("09:02", None, "14:55")),
        (69.5, 19.0, date(2014, 4, 1), 1, ("04:50", "11:48", "18:49")),
    ],
)
def test_sunrise_noon_sunset_within_two_minutes(
    lat: float, lon: float, day: date, offset: int, times: tuple[str | None, ...]
) -> None:
    found = sun_times(lat, lon, [day])
    for ours, text in zip((found.rise_utc, found.noon_utc, found.set_utc), times, strict=True):
        if text is not None:
            assert minutes_apart(ours, clock(day, text, offset)) <= 2


def test_equation_of_time() -> None:
    """Meeus, Astronomical Algorithms, chapter 28 (1992-10-13, 0 h); Duffie & Beckman example 1.5.1 (day 34).

    The book's -13.5 min is its short series; the true sun, by pvlib's SPA too, stands at -13.8 on that day of 2013.
    """
    number = int(np.datetime64("1992-10-13", "D").astype(int))
    assert float(ephemeris(number, number).at(number * DAY_S)[1]) == pytest.approx(13 * 60 + 42.6, abs=30)
    assert noon_of("2013-02-03")[1] == pytest.approx(-13.5, abs=0.4)
    theirs = solarposition.get_solarposition(pd.DatetimeIndex(["2013-02-03T12"], tz="UTC"), 0.0, 0.0)
    assert noon_of("2013-02-03")[1] == pytest.approx(float(theirs["equation_of_time"].iloc[0]), abs=0.01)


def test_daylight_hours() -> None:
    """FAO-56 Table 2.7, 48° N, the 15th of January to May, with FAO's declination (equation 24); no refraction."""
    declination = 0.409 * np.sin(2 * np.pi * np.array([15, 46, 74, 105, 135]) / 365 - 1.39)
    hours = half_day_arc_rad(np.radians(48.0), declination) * 24 / np.pi
    np.testing.assert_allclose(hours, [8.6, 10.0, 11.6, 13.4, 15.0], atol=0.1)


def test_clear_sky_ineichen_and_perez() -> None:
    """Ineichen & Perez 2002, Linke 3, sea level, I0 1364; computed by an independent route, no published figure."""
    ghi, dhi, dni = clear_sky_w_m2([0.0, 60.0, 80.0], 3.0, 0.0, 1364.0)
    np.testing.assert_allclose(ghi, [1054, 470, 107], rtol=0.01)
    np.testing.assert_allclose(dni, [942, 788, 413], rtol=0.01)
    np.testing.assert_allclose(ghi - dhi, dni * np.cos(np.radians([0.0, 60.0, 80.0])), rtol=1e-9, atol=1e-9)


def test_clear_sky_day_stays_below_the_extraterrestrial_and_is_zero_in_polar_night() -> None:
    """H0 43° N, 15 April, 33.8 MJ/m², D&B example 1.10.1; 65 to 82 % on a clear day: common practice, no source."""
    assert 0.65 < clear_sky_kwh_m2(43.0, 0.0, date(2027, 4, 15)) * 3.6 / 33.8 < 0.82
    assert clear_sky_kwh_m2(78.0, 15.0, date(2027, 12, 21)) == 0.0


@pytest.mark.parametrize("lat", [-78.0, -66.0, -40.0, 0.0, 30.0, 52.0, 60.0, 66.0, 71.0])
def test_the_sun_stands_at_the_horizon_at_rise_and_set_by_pvlibs_spa(lat: float) -> None:
    dates = [date(2028, 1, 1) + timedelta(k) for k in range(0, 366, 3)]
    found = sun_times(lat, -150.0, dates)
    for times in (found.rise_utc, found.set_utc):
        crossing = times[~np.isnat(times)]
        zenith = position(crossing, lat, -150.0).zenith_deg
        off = np.abs(zenith - 90.8333)
        assert np.sum(off > 0.02) <= (1 if abs(lat) >= 66 else 0), "but for the first evening of the midnight sun"
        assert np.max(off) < 0.3
    meridian = position(found.noon_utc[:, 0], lat, -150.0).azimuth_deg % 180
    if abs(lat) > 30:
        np.testing.assert_allclose(np.minimum(meridian, 180 - meridian), 0, atol=0.05)


def test_times_agree_with_pvlibs_transit_sunrise_sunset() -> None:
    dates = [date(2027, 1, 1) + timedelta(k) for k in range(0, 365, 5)]
    found = sun_times([50.0], [8.0], dates)
    midnights = unix_s(np.array(dates, dtype="datetime64[D]"))
    noon, rise, dusk = spa.transit_sunrise_sunset(midnights, 50.0, 8.0, 70.0, 1)
    for ours, theirs in ((found.noon_utc, noon), (found.rise_utc, rise), (found.set_utc, dusk)):
        np.testing.assert_allclose(unix_s(ours[:, 0]), theirs, atol=5)


def test_polar_day_and_night_have_no_rise_nor_set_but_a_noon() -> None:
    found = sun_times([78.0, -78.0], [15.0, 15.0], [date(2027, 12, 21), date(2027, 6, 21)])
    np.testing.assert_array_equal(found.down_all_day, [[True, False], [False, True]])
    np.testing.assert_array_equal(found.up_all_day, [[False, True], [True, False]])
    assert np.all(np.isnat(found.rise_utc))
    assert np.all(np.isnat(found.set_utc))
    assert not np.any(np.isnat(found.noon_utc))


def test_the_civil_noon_picks_the_day_where_zone_and_longitude_disagree() -> None:
    """Samoa keeps UTC+13 at 171.8° W: local noon of 3 March stands at 23 h UTC of 2 March."""
    midday = np.array(["2027-03-02T23:00:00"], dtype="datetime64[s]")
    found = sun_times(-13.8, -171.8, [date(2027, 3, 3)], midday_utc=midday)
    assert minutes_apart(found.noon_utc, midday[0]) < 60
    plain = sun_times(-13.8, -171.8, [date(2027, 3, 3)])
    assert (plain.noon_utc - found.noon_utc)[0, 0] > np.timedelta64(23, "h")


def test_both_sides_of_the_date_line_see_the_same_sun() -> None:
    dates = [date(2028, 2, 29)]
    west, east = sun_times(52.0, -179.99, dates), sun_times(52.0, 179.99, dates)
    turn = (west.rise_utc - east.rise_utc)[0, 0] - np.timedelta64(86400, "s")
    assert abs(turn) < np.timedelta64(180, "s")


@settings(max_examples=60, deadline=None)
@given(first=st.dates(date(1990, 1, 1), date(2090, 1, 1)), lat=st.floats(-66, 66), lon=st.floats(-180, 180))
def test_rise_noon_set_come_in_order_within_a_day(first: date, lat: float, lon: float) -> None:
    found = sun_times(lat, lon, [first])
    if np.isnat(found.rise_utc[0, 0]):
        return
    assert found.rise_utc < found.noon_utc < found.set_utc
    assert (found.set_utc - found.rise_utc)[0, 0] < np.timedelta64(24, "h")


def test_ephemeris_read_between_midnights_is_spas() -> None:
    times = pd.date_range("2027-01-01", "2028-01-01", freq="5h17min")
    unix = unix_s(times.to_numpy().astype("datetime64[s]"))
    table = ephemeris(int(unix[0] // DAY_S), int(unix[-1] // DAY_S))
    declination, ahead_s = table.at(unix)
    sidereal, ascension, exact = spa.solar_position(unix, 0, 0, 0, 0, 0, 70.0, 0, sst=True)
    np.testing.assert_allclose(np.degrees(declination), exact, atol=0.001)
    hour_angle = (unix % DAY_S / DAY_S * 360 - 180 + ahead_s / 240 - (sidereal - ascension) + 180) % 360 - 180
    np.testing.assert_allclose(hour_angle, 0, atol=0.001)
