"""A hand forecast as scores: the cloud relation, the fading skill, what is left to the climate."""

from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np
import pandas as pd
import pytest
from hypothesis import given
from hypothesis import strategies as st
from pvlib import clearsky, solarposition

from voyager.sky.clearness import clearness, quantiles
from voyager.sky.extra import extraterrestrial_kwh_m2
from voyager.sky.forecast import clear_day_kwh_m2, forecast_skill, known, okta_clearness_ratio
from voyager.sky.sun import clear_sky_kwh_m2

FIRST = date(2027, 3, 1)
DATES = [FIRST + timedelta(days=n) for n in range(6)]
DAY = np.array([day.timetuple().tm_yday for day in DATES])
TABLE = quantiles(53.0, -8.0, DAY)
EXTRA = extraterrestrial_kwh_m2(53.0, DAY)
CLEAR = clear_day_kwh_m2(53.0, DAY)


@dataclass(frozen=True)
class Told:
    date: date
    oktas: float | None = None
    ghi_kwh_m2: float | None = None
    air_c: float | None = None
    wind_mps: float | None = None


def test_kasten_and_czeplak():
    """G/G0 = 1 - 0.75 (N/8)^3.4 (Kasten & Czeplak 1980, Solar Energy 24:177; coefficients from memory): 0.25 when
    overcast, the half of the sky 0.929, six eighths 0.718."""
    np.testing.assert_allclose(okta_clearness_ratio([0, 4, 6, 8]), [1.0, 0.9290, 0.7180, 0.25], atol=5e-4)


@given(st.floats(0, 8), st.floats(0, 8))
def test_more_cloud_is_less_sun(a, b):
    less, more = sorted((a, b))
    assert okta_clearness_ratio(less) >= okta_clearness_ratio(more)


def test_skill_falls_by_seven_percent_a_day():
    np.testing.assert_allclose(forecast_skill([1, 2, 3], 0.8), [0.8, 0.744, 0.69192])


def test_the_clear_day_is_haurwitz():
    """Against pvlib's haurwitz on its own sun, minute by minute."""
    for lat, day in ((0.0, "2027-03-21"), (36.0, "2027-12-21"), (53.0, "2027-03-02"), (-40.0, "2027-01-15")):
        times = pd.date_range(day, periods=1440, freq="1min", tz="UTC")
        zenith = solarposition.get_solarposition(times, lat, 0.0)["zenith"]
        whole = float(clearsky.haurwitz(zenith)["ghi"].sum()) / 60 / 1000
        assert clear_day_kwh_m2(lat, times[0].day_of_year) == pytest.approx(whole, rel=0.01)
    assert clear_day_kwh_m2(80.0, 355) == 0


@pytest.mark.filterwarnings("ignore:DatetimeIndex.dayofyear")
@pytest.mark.parametrize("lat", [-35.0, 0.0, 20.0, 36.0, 50.0, 60.0])
def test_the_clear_day_bounds_ineichen(lat):
    """A model with turbidity, in all seasons: a bound of 1.2 times ours refuses nothing that this model allows."""
    days = [date(2027, month, 15) for month in (2, 5, 8, 11)]
    ours = np.array([float(clear_day_kwh_m2(lat, day.timetuple().tm_yday)) for day in days])
    ratio = ours / [clear_sky_kwh_m2(lat, 5.0, day) for day in days]
    assert ratio.min() > 0.9
    assert np.median(ratio) < 1.2


def test_a_forecast_value_comes_back_as_the_middle_of_its_day():
    rows = [Told(DATES[0], ghi_kwh_m2=1.1), Told(DATES[2], oktas=6)]
    found = known(rows, DATES, TABLE, EXTRA, CLEAR, 0.8)
    k = clearness(TABLE, np.nan_to_num(found.mean))
    assert k[0] * EXTRA[0] == pytest.approx(1.1)
    assert k[2] * EXTRA[2] == pytest.approx((1 - 0.75 * 0.75**3.4) * CLEAR[2])
    np.testing.assert_array_equal(np.isfinite(found.mean), [True, False, True, False, False, False])
    np.testing.assert_array_equal(np.isfinite(found.spread), np.isfinite(found.mean))


def test_the_spread_grows_with_the_days_ahead():
    found = known([Told(day, oktas=4) for day in DATES], DATES, TABLE, EXTRA, CLEAR, 0.8)
    np.testing.assert_allclose(found.spread, np.sqrt(1 - (0.8 * 0.93 ** np.arange(6)) ** 2))
    assert known([Told(FIRST, oktas=4)], DATES, TABLE, EXTRA, CLEAR, 1.0).spread[0] == 0
    assert known([Told(FIRST, oktas=4)], DATES, TABLE, EXTRA, CLEAR, 0.0).spread[0] == 1


def test_air_and_wind_are_taken_as_told_and_other_dates_ignored():
    rows = [Told(DATES[1], oktas=2, air_c=-3.0), Told(DATES[3], oktas=2, wind_mps=7.5)]
    rows += [Told(FIRST - timedelta(days=1), oktas=0, air_c=30.0), Told(date(2028, 3, 2), oktas=0, air_c=30.0)]
    found = known(rows, DATES, TABLE, EXTRA, CLEAR, 0.8)
    np.testing.assert_array_equal(found.air_c, [np.nan, -3.0, np.nan, np.nan, np.nan, np.nan])
    np.testing.assert_array_equal(found.wind_mps, [np.nan, np.nan, np.nan, 7.5, np.nan, np.nan])


def test_polar_night_has_no_score():
    found = known([Told(FIRST, oktas=4)], DATES[:1], TABLE[:1], np.zeros(1), np.zeros(1), 0.8)
    assert np.isnan(found.mean[0])


@given(st.floats(0, 13), st.floats(0, 1))
def test_any_value_gives_a_finite_score(ghi, skill):
    found = known([Told(FIRST, ghi_kwh_m2=ghi)], DATES, TABLE, EXTRA, CLEAR, skill)
    assert abs(found.mean[0]) <= 3
    assert 0 <= found.spread[0] <= 1
