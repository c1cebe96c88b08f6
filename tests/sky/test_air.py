"""The climate of the air against station records and its own statements."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from tests.sky.climate_sites import Sites
from voyager.sky.air import (
    WIND_MPS,
    air_climate,
    diurnal_range_k,
    hourly_c,
    wind_mean_mps,
)
from voyager.sky.extra import extraterrestrial_kwh_m2
from voyager.sky.grid import layers_at

STATION_HEIGHT_M = {
    "TRY08_Braunlage": 607,
    "TRY10_Hof": 565,
    "TRY11_Fichtelberg": 1213,
    "TRY12_Mannheim": 96,
    "TRY14_Stoetten": 734,
    "TRY15_Garmisch-Partenkirchen": 719,
    "Golden": 1829,
    "Tucson": 779,
}
"""Heights of the weather stations, from memory (Deutscher Wetterdienst, NREL)."""


@pytest.fixture(scope="module")
def sites():
    return Sites()


def test_monthly_means_of_the_sites(sites):
    """RMSE 1.4 to 1.7 K against stations is what the source reaches, mostly from height; mean within 0.5 K."""
    ours, record = air_climate(sites.lat, sites.lon, None, sites.days).mean_c.mean(axis=0), sites.column("site_T")
    error = (ours - record)[np.isfinite(record)]
    assert error.size == 357
    assert abs(error.mean()) < 0.5
    assert np.sqrt((error**2).mean()) < 1.8


def test_grid_is_as_another_reading(sites):
    """Nodes and interpolation against the independent reading of the maps that the file keeps."""
    months, _ = layers_at(sites.lat, sites.lon)
    ours = months[np.arange(sites.month.size), sites.month - 1]
    other = sites.column("itur_T")
    known = np.isfinite(other)
    assert known.sum() > 350
    assert_allclose(ours[known], other[known], atol=0.1)


def test_heights_halve_the_error_in_the_hills(sites):
    """With the station's height the error at eight hill and valley sites is less than half of what it is without."""
    chosen = np.array([name in STATION_HEIGHT_M for name in sites.names])
    height = np.array([STATION_HEIGHT_M.get(name, np.nan) for name in sites.names])
    lat, lon, days, record = sites.lat[chosen], sites.lon[chosen], sites.days[:, chosen], sites.column("site_T")[chosen]
    without, known = (
        np.sqrt(((air_climate(lat, lon, h, days).mean_c.mean(axis=0) - record) ** 2).mean())
        for h in (None, height[chosen])
    )
    assert without > 2.0
    assert known < 0.5 * without + 0.2


def test_height_lapse_and_unknown_height():
    """6.5 K per km; None, NaN and 0 leave the grid's own height."""
    table = [air_climate(47.5, 11.07, h, 200).mean_c for h in (None, np.nan, 0.0, 700.0, 1700.0)]
    assert table[0] == table[1] == table[2]
    assert table[3] - table[4] == pytest.approx(6.5)


def test_grid_heights():
    """The Netherlands lie flat, the Alps about the Jungfrau high, the sea at nought; all from common knowledge."""
    _, height = layers_at([52.5, 46.5, 30.0, 31.5], [5.2, 8.0, -45.0, 35.5])
    assert abs(height[0]) <= 10
    assert 1500 < height[1] < 2800
    assert height[2] == 0
    assert height[3] < 700


def test_spread_by_hand():
    """Mid-winter and mid-summer of the regressions: 0.49 + 0.198·A and 1.94 + 0.041·A."""
    climate = air_climate(52.0, 5.0, None, np.array([16.0, 197.0]))
    year = climate.range_year_k
    assert_allclose(climate.sd_c, [0.49 + 0.198 * year[0], 1.94 + 0.041 * year[1]], atol=0.02)
    assert_allclose(climate.lag1, [0.80, 0.71], atol=0.001)
    assert_allclose(climate.correlation, [-0.26, 0.31], atol=0.005)


def test_seasons_of_the_two_hemispheres():
    july, january = (air_climate([52.0, -42.9], [5.0, 147.3], None, day).mean_c for day in (196, 15))
    assert july[0] > january[0] + 10
    assert january[1] > july[1] + 5


@given(st.floats(-90, 90), st.floats(-180, 180), st.integers(1, 366))
def test_anywhere_any_day(lat, lon, day):
    climate = air_climate(lat, lon, None, day)
    assert -75 < climate.mean_c < 45
    assert 0.4 < climate.sd_c < 15


@given(st.floats(-90, 90), st.integers(1, 366))
def test_date_line(lat, day):
    assert air_climate(lat, -180.0, None, day).mean_c == air_climate(lat, 180.0, None, day).mean_c
    west, east = (air_climate(lat, lon, None, day).mean_c for lon in (-179.999, 179.999))
    assert west == pytest.approx(float(east), abs=0.1)


def test_shapes_broadcast_and_agree_with_single_places():
    lat, lon, day = np.array([51.0, 60.2, -42.9]), np.array([5.0, 24.9, 147.3]), np.array([[10.0], [200.0]])
    climate = air_climate(lat, lon, np.array([[10.0, np.nan, 50.0]]), day)
    assert climate.mean_c.shape == climate.sd_c.shape == climate.lag1.shape == climate.correlation.shape == (2, 3)
    assert climate.mean_c[1, 2] == pytest.approx(float(air_climate(-42.9, 147.3, 50.0, 200).mean_c))


def test_daily_range_by_hand():
    """0.7 + (7.1 + 0.385·A)·K + 0.22·H0; half of it over open water."""
    land = diurnal_range_k(52.0, 100, 0.5, 15.0)
    assert land == pytest.approx(0.7 + (7.1 + 0.385 * 15) * 0.5 + 0.22 * float(extraterrestrial_kwh_m2(52.0, 100)))
    assert_allclose(diurnal_range_k(52.0, 100, 0.5, 15.0, [True, False]), [land / 2, land])


def test_course_of_the_day():
    """Mean kept, 0.95 to 1 of the range spanned, coldest before or about sunrise, warmest in mid-afternoon."""
    hours = np.arange(0, 24, 0.1)
    air = hourly_c(10.0, 8.0, hours)
    assert air.mean() == pytest.approx(10.0, abs=1e-9)
    assert 0.95 * 8 < np.ptp(air) <= 8.0
    assert 4 < hours[air.argmin()] < 7
    assert 14 < hours[air.argmax()] < 16.5
    assert hourly_c(10.0, 8.0, 24.0) == pytest.approx(float(air[0]))


@pytest.mark.parametrize("water", WIND_MPS)
def test_wind_by_water_and_season(water):
    """Coast 5 to 6.5 m/s in winter and 4.5 in summer, inland 3 to 4 and 2.5 to 3.5: common practice, no source."""
    winter, summer = wind_mean_mps(water, 52.0, np.array([15, 197]))
    low, high = ((5.0, 6.5), (4.5, 4.5)) if water in ("coastal", "open") else ((3.0, 4.0), (2.5, 3.5))
    assert low[0] - 0.01 <= winter <= low[1] + 0.01
    assert high[0] - 0.01 <= summer <= high[1] + 0.01
    assert wind_mean_mps(water, -40.0, 197) == pytest.approx(float(winter), abs=0.01)
