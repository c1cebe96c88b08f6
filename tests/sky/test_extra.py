"""Extraterrestrial irradiation against printed examples and against pvlib's sun, minute by minute."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from voyager.sky.extra import daily_hours, declination_rad, distance_factor, extraterrestrial_kwh_m2

MJ = 3.6
FAO_SOLAR_CONSTANT = 0.0820e6 / 60
"""0.0820 MJ/m² a minute, Allen et al. 1998, FAO Irrigation and Drainage Paper 56, equation 21."""


def test_duffie_beckman_example():
    """Duffie & Beckman, example 1.10.1: 43°N, 15 April, Gsc 1367: 33.8 MJ/m², with the book's declination of 9.4° and
    distance (its equation 1.4.1a). The true sun of these decades stands at 9.7°, which gives 1 % more."""
    book = 1.367 * (1 + 0.033 * np.cos(2 * np.pi * 105 / 365)) * daily_hours(43.0, np.radians(9.4))
    assert book * MJ == pytest.approx(33.8, rel=0.005)
    assert extraterrestrial_kwh_m2(43.0, 105, 1367.0) * MJ == pytest.approx(33.8, rel=0.01)


@pytest.mark.parametrize(("lat", "day", "mj"), [(45.72, 196, 40.6), (50.8, 187, 41.09)])
def test_fao_examples(lat, day, mj):
    """FAO-56, examples 15 (45.72°N, mid-July) and 18 (50.8°N, 6 July)."""
    assert extraterrestrial_kwh_m2(lat, day, FAO_SOLAR_CONSTANT) * MJ == pytest.approx(mj, rel=0.005)


def test_fao_table():
    """FAO-56, table 2.6: 48°N on the 15th of January to June, with FAO's own declination and distance (its equations
    23 and 24). The true sun of these decades runs a day or so ahead of that formula in spring: up to 0.6 MJ/m²."""
    days = np.array([15, 46, 74, 105, 135, 166])
    expected = [10.1, 15.7, 23.3, 32.2, 38.8, 41.8]
    angle = 2 * np.pi * days / 365
    hours = daily_hours(48.0, 0.409 * np.sin(angle - 1.39))
    assert_allclose(FAO_SOLAR_CONSTANT / 1000 * (1 + 0.033 * np.cos(angle)) * hours * MJ, expected, atol=0.1)
    assert_allclose(extraterrestrial_kwh_m2(48.0, days, FAO_SOLAR_CONSTANT) * MJ, expected, atol=0.6)


def test_daily_clearness_duffie_beckman_example_2_11_1():
    """Duffie & Beckman, example 2.11.1: 38.6°N, 3 September, H 23 MJ/m²: clearness 0.69."""
    assert 23 / (extraterrestrial_kwh_m2(38.6, 246) * MJ) == pytest.approx(0.69, rel=0.03)


def test_declination_on_mean_days():
    """Duffie & Beckman, table 1.6.1, by Cooper's formula, which runs up to 1.4° behind the true sun in autumn."""
    days = np.array([17, 47, 75, 105, 135, 162, 198, 228, 258, 288, 318, 344])
    expected = [-20.9, -13.0, -2.4, 9.4, 18.8, 23.1, 21.2, 13.5, 2.2, -9.6, -18.9, -23.0]
    assert_allclose(np.degrees(declination_rad(days)), expected, atol=1.5)


@pytest.mark.parametrize("year", [2024, 2025, 2026, 2027, 2031])
def test_declination_and_distance_against_pvlib(year):
    """The solar position algorithm (Reda & Andreas 2004, NREL) in pvlib, seen from the equator at noon."""
    pvlib = pytest.importorskip("pvlib")
    pandas = pytest.importorskip("pandas")
    times = pandas.date_range(f"{year}-01-01 12:00", periods=365, tz="UTC")
    sun = pvlib.solarposition.get_solarposition(times, 0.0, 0.0)
    expected = np.degrees(np.arcsin(np.sin(np.radians(sun["zenith"])) * np.cos(np.radians(sun["azimuth"]))))
    days = np.arange(1, 366)
    assert_allclose(np.degrees(declination_rad(days)), expected.to_numpy(), atol=0.25)
    extra = pvlib.irradiance.get_extra_radiation(times, solar_constant=1361.0, method="nrel").to_numpy()
    assert_allclose(1361.0 * distance_factor(days), extra, rtol=0.001)


@pytest.mark.parametrize("lat", [-66.0, -35.0, 0.0, 52.0, 66.0, 80.0])
def test_daily_sums_against_pvlib(lat):
    """The same algorithm integrated over days of 2026 in steps of five minutes, within 1 % or 0.08 kWh/m²."""
    pvlib = pytest.importorskip("pvlib")
    pandas = pytest.importorskip("pandas")
    for month in (1, 3, 6, 9, 12):
        start = pandas.Timestamp(f"2026-{month:02d}-20 00:02:30", tz="UTC")
        times = pandas.date_range(start, periods=288, freq="5min")
        zenith = pvlib.solarposition.get_solarposition(times, lat, 0.0)["zenith"].to_numpy()
        extra = pvlib.irradiance.get_extra_radiation(times, solar_constant=1361.0, method="nrel").to_numpy()
        expected = (extra * np.maximum(np.cos(np.radians(zenith)), 0)).sum() / 12 / 1000
        ours = extraterrestrial_kwh_m2(lat, start.day_of_year)
        assert_allclose(ours, expected, rtol=0.01, atol=0.0 if abs(lat) < 60 else 0.08)


def test_polar_night_and_midnight_sun():
    assert extraterrestrial_kwh_m2(80.0, 355) == 0
    assert extraterrestrial_kwh_m2(-80.0, 172) == 0
    assert extraterrestrial_kwh_m2(90.0, 172) == pytest.approx(1.361 * 0.968 * 24 * np.sin(np.radians(23.45)), rel=0.01)


def test_southern_summer_is_the_stronger():
    """The earth is nearest the sun in January."""
    assert extraterrestrial_kwh_m2(-40.0, 355) > 1.05 * extraterrestrial_kwh_m2(40.0, 172)


@given(st.floats(-90, 90), st.integers(1, 366))
def test_scalar_equals_array_and_is_never_negative(lat, day):
    table = extraterrestrial_kwh_m2(np.array([[lat], [0.0]]), np.array([day, 1, 366]))
    assert table.shape == (2, 3)
    assert table[0, 0] == pytest.approx(float(extraterrestrial_kwh_m2(lat, day)), abs=1e-12)
    assert table.min() >= 0
    assert table.max() < 13.5
