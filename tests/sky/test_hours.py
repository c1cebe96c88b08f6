"""A day's clearness over its hours: sums, windows, horizon, poles, zones."""

from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from voyager.sky.extra import extraterrestrial_kwh_m2
from voyager.sky.hours import HOURS, DayShape, day_shape, irradiance
from voyager.sky.shares import daily_diffuse_fraction
from voyager.sky.sun import position


def windows(first: str, days: int, hour_utc: float = 0.0) -> np.ndarray:
    """Starts of days of 24 h from an hour of the day in UTC."""
    seconds = round(hour_utc * 3600) + 86400 * np.arange(days + 1)
    return np.datetime64(first, "s") + seconds.astype("timedelta64[s]")


def plain(first: str, days: int, lat: list[float], lon: float = 0.0, hour_utc: float = 0.0) -> DayShape:
    return day_shape(windows(first, days, hour_utc), [24] * days, lat, [lon] * len(lat))


def h0_wh(lat: list[float], of_year: np.ndarray) -> np.ndarray:
    return 1000 * extraterrestrial_kwh_m2(np.array(lat), of_year[:, None])


LATITUDES = [-55.0, -20.0, 0.0, 35.0, 52.0, 60.0, 66.0, 70.0]


def test_each_solar_day_sums_to_clearness_times_extraterrestrial_leap_year_included() -> None:
    shape = plain("2028-01-01", 366, LATITUDES)
    ours, theirs = np.sum(shape.extraterrestrial_wh_m2, axis=2), h0_wh(LATITUDES, np.arange(1, 367))
    risen = np.sum(shape.light.sun.weight_h, axis=(2, 3)) > 0
    np.testing.assert_allclose(ours[risen], theirs[risen], rtol=1e-9)
    assert np.max(theirs[~risen]) < 30
    assert np.all(ours[~risen] == 0)


def test_diffuse_sums_to_the_daily_fraction() -> None:
    shape = plain("2027-03-01", 60, [52.0])
    sky = irradiance(shape, np.full((60, 1, 1), 0.6))
    weight = shape.light.sun.weight_h[..., None]
    parts = [np.sum(weight * part, axis=(2, 3))[:, 0, 0] for part in (sky.dhi_w_m2, sky.ghi_w_m2)]
    short = shape.light.short_day[:, 0, 12, 0]
    np.testing.assert_allclose(parts[0] / parts[1], daily_diffuse_fraction(0.6, short), rtol=2e-3)
    assert {True, False} == set(short.tolist())


def test_a_window_from_eight_holds_the_rest_of_the_date_and_the_next_dates_early_sun() -> None:
    """A week at 52° N in June: what is before 08:00 belongs to the voyager day before, of that day's clearness."""
    midnight, eight = plain("2027-06-10", 8, [52.0]), plain("2027-06-10", 7, [52.0], hour_utc=8)
    k = np.linspace(0.2, 0.7, 7)
    ours = np.sum(eight.extraterrestrial_wh_m2[:, 0], axis=1) * k
    hourly = midnight.extraterrestrial_wh_m2[:, 0]
    early, late = np.sum(hourly[:, :8], axis=1), np.sum(hourly[:, 8:], axis=1)
    np.testing.assert_allclose(ours, k * (late[:7] + early[1:]), rtol=1e-9)
    assert np.min(early) > 500


@pytest.mark.parametrize("hour_utc", [0.0, 5.75, 8.0, 13.5, 20.0])
@pytest.mark.parametrize("lon", [-179.9, -60.0, 0.0, 100.0, 179.9])
def test_nothing_is_lost_or_doubled_in_any_zone_or_at_the_date_line(lon: float, hour_utc: float) -> None:
    """40 days from a first sunless start hold 40 to 41 solar days, whatever the zone: the middle ones whole."""
    days = 40
    shape = plain("2028-02-10", days, [48.0], lon, hour_utc)
    sums = np.sum(shape.extraterrestrial_wh_m2[:, 0], axis=1)
    expected = h0_wh([48.0], np.arange(41, 41 + days))[:, 0]
    assert np.sum(sums) == pytest.approx(np.sum(expected), rel=0.02)
    np.testing.assert_allclose(sums, expected, rtol=0.06)


def test_clock_changes_lose_no_sun() -> None:
    """A day of 23 and one of 25 hours in Amsterdam's time beside days of 24."""
    zone = ZoneInfo("Europe/Amsterdam")
    for month, first, length in ((3, 27, 23), (10, 30, 25)):
        civil = date(2027, month, first)
        noons = [datetime.combine(civil + timedelta(k), time(8), zone) for k in range(3)]
        starts = np.array([d.astimezone(UTC).replace(tzinfo=None) for d in noons], dtype="datetime64[s]")
        lengths = np.diff(starts).astype(int) // 3600
        assert lengths[0] == length
        shape = day_shape(starts, lengths, [53.0], [5.0])
        joined = day_shape(starts[[0, 0]] + np.array([0, 86400]), [24], [53.0], [5.0])
        ours = np.concatenate([shape.extraterrestrial_wh_m2[d, 0, :n] for d, n in enumerate(lengths)])
        np.testing.assert_allclose(ours[:24], joined.extraterrestrial_wh_m2[0, 0, :24], rtol=1e-9)
        assert np.all(shape.light.sun.weight_h[0, 0, length:] == 0)
        assert shape.light.sun.weight_h.shape == (2, 1, HOURS, 4)


def test_the_sun_of_a_quarter_hour_is_spas_to_a_hundredth_of_a_degree() -> None:
    shape = plain("2027-09-20", 30, [52.0], 4.9)
    whole = np.nonzero(np.isclose(shape.light.sun.weight_h, 0.25))
    minutes = whole[0] * 1440 + whole[2] * 60 + whole[3] * 15
    middle = np.datetime64("2027-09-20T00:07:30") + minutes.astype("timedelta64[m]")
    found = position(middle, 52.0, 4.9)
    zenith = np.degrees(np.arccos(shape.light.sun.cos_zenith[whole]))
    np.testing.assert_allclose(zenith, found.zenith_deg, atol=0.012)
    np.testing.assert_allclose(shape.azimuth_deg[whole], found.azimuth_deg, atol=0.005)


def test_polar_night_is_dark_and_polar_day_has_light_in_every_hour() -> None:
    night, day = plain("2027-12-15", 5, [75.0], 20.0), plain("2027-06-15", 5, [75.0], 20.0)
    assert np.all(irradiance(night, np.full((5, 1, 1), 0.5)).ghi_w_m2 == 0)
    assert np.all(np.sum(day.light.sun.weight_h[:, 0, :24], axis=2) == pytest.approx(1.0))
    np.testing.assert_allclose(
        np.sum(day.extraterrestrial_wh_m2, axis=2), h0_wh([75.0], np.arange(166, 171)), rtol=0.003
    )


def test_the_sun_stands_north_at_noon_in_the_south() -> None:
    shape = plain("2027-01-15", 1, [-40.0])
    azimuth = shape.azimuth_deg[0, 0, 12, 0]
    assert min(azimuth, 360 - azimuth) < 5
    assert shape.light.sun.east[0, 0, 8, 0] > 0.5


@settings(max_examples=60, deadline=None)
@given(
    lat=st.floats(-90, 90),
    lon=st.floats(-180, 180),
    first=st.integers(3000, 40000),
    hour=st.integers(0, 23),
    k=st.floats(0.01, 0.9),
)
def test_irradiance_closes_and_stays_finite_anywhere(lat: float, lon: float, first: int, hour: int, k: float) -> None:
    starts = windows(str(np.datetime64(first, "D")), 2, hour)
    shape = day_shape(starts, [24, 24], [lat], [lon])
    sky, sun = irradiance(shape, np.full((2, 1, 1), k)), shape.light.sun
    lit = sun.weight_h > 0
    for part in (sky.ghi_w_m2, sky.dhi_w_m2, sky.dni_w_m2, sky.circumsolar_w_m2, sky.isotropic_w_m2):
        assert np.all(np.isfinite(part))
        assert np.all(part >= 0)
        assert np.all(part[~lit] == 0)
    closing = sky.dhi_w_m2 + sky.dni_w_m2 * sun.cos_zenith[..., None]
    np.testing.assert_allclose(closing, np.maximum(sky.ghi_w_m2, closing), atol=1e-9)
    np.testing.assert_allclose(closing, sky.ghi_w_m2, atol=0.02 * 1361)
    assert np.max(sky.dni_w_m2) <= 1.1 * 1.25 * 1361
    length = np.sqrt(sun.cos_zenith**2 + sun.east**2 + sun.north**2)
    np.testing.assert_allclose(length[lit], 1, atol=1e-9)
