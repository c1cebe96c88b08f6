"""The user's own weather: solar days, the climate of the file, real sequences as skies."""

from dataclasses import replace
from datetime import date, timedelta
from functools import cache
from pathlib import Path

import numpy as np
import pvlib
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from voyager.sky.air import correlation
from voyager.sky.clearness import HIGHEST, LOWEST, PROBABILITIES, clearness, mean_clearness, score
from voyager.sky.draws import draw
from voyager.sky.extra import extraterrestrial_kwh_m2
from voyager.sky.hours import day_shape
from voyager.sky.record import Record, climate_of, record_skies

HOUR = np.timedelta64(3600, "s")
YEAR = np.arange(1, 366)
WINTER = [date(2027, 12, 20) + timedelta(days=n) for n in range(40)]


@cache
def greensboro():
    """TMY3 of Greensboro, North Carolina (NREL), as shipped with pvlib."""
    path = Path(pvlib.__file__).parent / "data" / "723170TYA.CSV"
    data, meta = pvlib.iotools.read_tmy3(path, coerce_year=2001)
    times = np.datetime64("2001-01-01T05:00:00") + np.arange(8760) * HOUR
    return Record(
        meta["latitude"], meta["longitude"], meta["altitude"], "g.csv", "TMY3", 1, times,
        data["ghi"].to_numpy(float), None, None, data["temp_air"].to_numpy(float), data["wind_speed"].to_numpy(float),
    )  # fmt: skip


def made(k, lat=52.0, lon=10.0, first="2019-01-01", air=None, years=None):
    """A record of smooth days of given clearness (N,), with air (N,) all day long."""
    k = np.asarray(k, dtype=float)
    start = np.datetime64(first, "s") - np.timedelta64(round(240 * lon), "s")
    shape = day_shape(start + np.arange(len(k) + 1) * 24 * HOUR, np.full(len(k), 24.0), [lat], [lon])
    ghi = (shape.extraterrestrial_wh_m2[:, 0, :24] * k[:, None]).ravel()
    times = start + np.arange(24 * len(k)) * HOUR
    warmth = np.repeat(np.full(len(k), 10.0) if air is None else air, 24)
    return Record(lat, lon, None, "m.csv", "CSV", years or max(1, len(k) // 365), times, ghi, None, None, warmth, None)


def test_every_hour_of_a_year_is_in_its_days():
    record = greensboro()
    days = record.days
    assert (days.dates[0], days.dates[-1], len(days.dates)) == (
        np.datetime64("2001-01-01"),
        np.datetime64("2001-12-31"),
        365,
    )
    assert days.ghi_kwh_m2.sum() == pytest.approx(record.ghi_w_m2.sum() / 1000)
    assert days.air_c.mean() == pytest.approx(record.air_c.mean(), abs=0.01)
    h0 = extraterrestrial_kwh_m2(record.lat, days.day_of_year)
    np.testing.assert_allclose(days.clearness * h0, days.ghi_kwh_m2, rtol=1e-12)


@pytest.mark.parametrize("lon", [-170.0, -93.0, 0.0, 77.0, 179.0])
def test_clearness_of_smooth_days_comes_back_anywhere(lon):
    k = 0.2 + 0.5 * np.random.default_rng(3).random(90)
    days = made(k, lon=lon).days
    np.testing.assert_allclose(days.clearness, k, rtol=0.01)
    lit = (days.hours != 1) & (days.hours > 0)
    assert np.median(np.abs(days.hours[lit] - 1)) < 0.02


def test_ragged_ends_are_cut_at_whole_solar_days():
    whole = made(np.full(10, 0.4))
    for first, last, days in ((0, 240, 10), (1, 240, 10), (5, 240, 9), (0, 236, 9), (0, 238, 10), (30, 200, 6)):
        part = replace(
            whole,
            times_utc=whole.times_utc[first:last],
            ghi_w_m2=whole.ghi_w_m2[first:last],
            air_c=whole.air_c[first:last],
        )
        assert len(part.days.dates) == days
        np.testing.assert_allclose(part.days.clearness, 0.4, rtol=0.01)


def test_the_climate_has_the_file_s_quantiles_and_mean():
    record = greensboro()
    found = climate_of(record, YEAR)
    assert np.all(np.diff(found.table, axis=1) >= 0)
    assert mean_clearness(found.table).mean() == pytest.approx(record.days.clearness.mean(), rel=0.01)
    assert found.mean_c.mean() == pytest.approx(record.air_c.mean(), abs=0.1)
    assert found.mean_c[14] < 6 < 22 < found.mean_c[195]
    share = (record.days.clearness[:, None] <= found.table).mean(axis=0)
    np.testing.assert_allclose(share, PROBABILITIES, atol=0.03)


def test_climate_of_drawn_days():
    """Days drawn with known quantiles, persistence, spread and correlation: the climate finds them again."""
    rng, days = np.random.default_rng(11), 365 * 12
    z, a = np.zeros(days), np.zeros(days)
    for n in range(1, days):
        z[n] = 0.35 * z[n - 1] + np.sqrt(1 - 0.35**2) * rng.standard_normal()
        a[n] = 0.4 * z[n] + np.sqrt(1 - 0.4**2) * rng.standard_normal()
    season = 10 - 8 * np.cos(2 * np.pi * np.arange(days) / 365.25)
    k = 0.45 + 0.12 * z
    found = climate_of(made(k, air=season + 3 * a), [15, 105, 196, 288])
    np.testing.assert_allclose(found.table[:, 8], np.clip(0.45, LOWEST, HIGHEST), atol=0.025)
    np.testing.assert_allclose(found.table[:, 13] - found.table[:, 8], 0.12 * 1.4758, rtol=0.15)
    np.testing.assert_allclose(
        found.mean_c, 10 - 8 * np.cos(2 * np.pi * (np.array([15, 105, 196, 288]) - 1) / 365.25), atol=0.6
    )
    np.testing.assert_allclose(found.sd_c, 3.0, rtol=0.12)
    assert abs(found.lag1.mean() - 0.35) < 0.07
    assert abs(found.correlation.mean() - 0.4) < 0.07


def share_below(table, limit_mps):
    """Share of days (D,) whose wind is at most a limit, from quantiles (D, 16)."""
    return np.array([np.interp(limit_mps, row, PROBABILITIES, left=0.0, right=1.0) for row in table])


def test_the_wind_of_a_file_and_its_calm_days():
    found = climate_of(greensboro(), YEAR)
    daily = greensboro().days.wind_mps
    assert found.wind_mps.mean() == pytest.approx(daily.mean(), rel=0.01)
    calm = {limit: share_below(found.wind_table, limit) for limit in (0.0, 4.0, 100.0)}
    assert calm[100.0].min() == 1
    assert calm[0.0].max() == 0
    assert calm[4.0].mean() == pytest.approx((daily <= 4.0).mean(), abs=0.03)
    assert climate_of(made(np.full(40, 0.4)), YEAR).wind_table is None


@settings(max_examples=25, deadline=None)
@given(st.lists(st.floats(0.05, 0.78), min_size=30, max_size=60), st.integers(1, 365))
def test_round_trip_from_record_to_climate_to_score_and_back(values, first):
    """Score and clearness are each other's inverse in the file's own table, for the file's own days."""
    record = made(values, first=str(np.datetime64("2019-01-01") + first - 1))
    table = climate_of(record, record.days.day_of_year).table
    k = record.days.clearness
    inside = (k > table[:, 0]) & (k < table[:, -1])
    back = clearness(table, score(table, k))
    np.testing.assert_allclose(back[inside], k[inside], atol=1e-6)


def test_a_short_file_stands_for_days_beyond_it():
    found = climate_of(made(np.linspace(0.2, 0.6, 20), first="2021-03-01"), [62, 70, 200])
    assert np.isfinite(found.table).all()
    np.testing.assert_allclose(found.table[2], found.table[0], atol=0.02)


def test_polar_night_does_not_break_the_climate():
    days = made(np.full(365, 0.4), lat=72.0)
    found = climate_of(days, YEAR)
    assert np.isfinite(found.table).all()
    np.testing.assert_allclose(found.table[[80, 170]], 0.4, atol=0.01)


def skies(**other):
    what = {"record": greensboro(), "seed": 5, "members": 200, "dates": WINTER, "skill": 0.8, **other}
    return record_skies(**what)


def test_members_are_real_sequences_of_the_file():
    found, days = skies(), greensboro().days
    wind = found.wind_mps
    for member in range(0, 200, 23):
        (starts,) = np.nonzero(days.wind_mps == wind[member, 0])
        runs = [np.array_equal(np.take(days.wind_mps, range(s, s + 40), mode="wrap"), wind[member]) for s in starts]
        assert any(runs)
    assert len({row.tobytes() for row in found.score}) == 31, "one year, shifted by up to 15 days either way"


def test_scores_of_the_members_are_standard_normal_over_a_year():
    dates = [date(2027, 1, 1) + timedelta(days=n) for n in range(365)]
    found = skies(dates=dates)
    assert abs(found.score.mean()) < 0.03
    assert abs(found.score.std() - 1) < 0.06
    assert abs(found.air_score.mean()) < 0.05
    assert abs(found.air_score.std() - 1) < 0.1
    table = climate_of(greensboro(), YEAR).table
    energy = clearness(table, found.score).mean()
    assert energy == pytest.approx(greensboro().days.clearness.mean(), rel=0.015)


def test_a_later_departure_and_fewer_members_see_the_same_days():
    whole, later = skies(), skies(dates=WINTER[7:], members=10)
    for name in ("score", "air_score", "known", "sea", "wind_mps"):
        np.testing.assert_array_equal(getattr(later, name), getattr(whole, name)[:10, 7:])
    assert not np.array_equal(skies(seed=6).score, whole.score)


def test_noise_sea_and_factor():
    found, drawn = skies(), draw(5, 200, WINTER, greensboro().lat, 0.8)
    np.testing.assert_array_equal(found.sea, drawn.sea)
    np.testing.assert_array_equal(found.factor, 1.0)
    noise = (found.known - 0.8 * found.score) / 0.6
    np.testing.assert_allclose(noise, (drawn.known - 0.8 * drawn.score) / 0.6, atol=1e-9)
    np.testing.assert_array_equal(skies(skill=1.0).known, found.score)


def test_leap_day_and_new_year_follow_on():
    dates = [date(2028, 2, 27) + timedelta(days=n) for n in range(4)]
    found = skies(dates=dates, members=5)
    np.testing.assert_array_equal(found.score[:, 1], found.score[:, 2])
    assert not np.array_equal(found.score[:, 2], found.score[:, 3])


def test_several_years_are_all_drawn():
    k = np.concatenate([np.full(365, level) + 0.001 * np.sin(np.arange(365)) for level in (0.2, 0.4, 0.6)])
    record = made(k, first="2017-01-01")
    found = record_skies(record, 1, 300, WINTER[:5], 0.8)
    share = [((found.score[:, 0] > low) & (found.score[:, 0] < high)).mean() for low, high in ((-9, -0.4), (0.4, 9))]
    assert all(0.2 < part < 0.47 for part in share)


def test_hours_are_as_measured():
    """With the shape of the hours a member's day has the file's energy in each hour, not the smooth day's."""
    record, start = greensboro(), np.datetime64("2027-06-01T12:00:00")
    dates = [date(2027, 6, 1) + timedelta(days=n) for n in range(10)]
    starts = start + np.arange(11) * 24 * HOUR
    found = skies(dates=dates, members=31, starts_utc=starts)
    unit = day_shape(starts, np.full(10, 24.0), [record.lat], [record.lon]).extraterrestrial_wh_m2[:, 0]
    k = clearness(climate_of(record, [152 + n for n in range(10)]).table, found.score)
    told = (found.hours[..., :24] * unit[:, :24] * k[..., None]).sum(axis=(1, 2)) / 1000
    smooth = (unit[:, :24] * k[..., None]).sum(axis=(1, 2)) / 1000
    np.testing.assert_allclose(told, smooth, rtol=0.06)
    assert found.hours.std() > 0.2
    assert skies(dates=dates, members=3).hours is None


def test_a_forecast_draws_the_members_to_it_and_fades():
    mean, spread = np.full(40, np.nan), np.full(40, np.nan)
    mean[:2], spread[:2] = -1.5, 0.3
    found, plain = skies(mean=mean, spread=spread), skies()
    np.testing.assert_allclose(found.score[:, :2], -1.5 + 0.3 * plain.score[:, :2])
    tied = correlation([354, 355], greensboro().lat)
    moved, brighter = (getattr(found, name) - getattr(plain, name) for name in ("air_score", "score"))
    np.testing.assert_allclose(moved[:, :2], tied * brighter[:, :2])
    gap = np.abs(found.score - plain.score).mean(axis=0)
    assert gap[2] > gap[3] > gap[4]
    assert gap[12] < 1e-3


def test_a_season_that_is_shorter_than_the_horizon():
    record = made(np.linspace(0.2, 0.6, 25), first="2021-12-15")
    found = record_skies(record, 1, 20, WINTER, 0.8)
    assert np.isfinite(found.score).all()
    assert found.wind_mps is None
