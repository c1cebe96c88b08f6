"""What is known of the weather: the built-in climate, a weather file in its place, a hand forecast over it."""

from datetime import date, timedelta

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.energy.records import measured
from voyager.energy.climate import Climate, Stations, climate
from voyager.route.calendar import days
from voyager.route.voyage import Forecast
from voyager.sky.air import air_climate, wind_mean_mps
from voyager.sky.clearness import PROBABILITIES, clearness, quantiles
from voyager.sky.extra import extraterrestrial_kwh_m2
from voyager.sky.record import Record

FIRST = date(2027, 4, 20)
CALENDAR = days(FIRST, 12, "Europe/Paris", 480)
PLACES = Stations(
    np.asarray([50.0, 46.5]), np.asarray([2.0, -1.5]), np.asarray([30.0, 0.0]), np.asarray([False, True])
)  # fmt: skip
DOY = CALENDAR.day_of_year[:, None]
SKILL, KEPT = 0.8, 0.93
KMH = 1 / 3.6


def told(day: int, **keys: float) -> Forecast:
    return Forecast(FIRST + timedelta(day), **keys)


def known(*rows: Forecast, record: Record | None = None) -> Climate:
    return climate(CALENDAR, PLACES, record=record, forecast=rows, skill=SKILL)


def test_the_built_in_climate_is_that_of_every_station() -> None:
    found = known()
    assert np.array_equal(found.table, quantiles(PLACES.lat[None], PLACES.lon[None], DOY))
    air = air_climate(PLACES.lat[None], PLACES.lon[None], PLACES.height_m[None], DOY)
    for name in ("mean_c", "sd_c", "correlation", "range_year_k"):
        assert np.array_equal(getattr(found, name), np.broadcast_to(getattr(air, name), (12, 2))), name
    for name in ("mean", "spread", "wind_known_mps"):
        assert np.isnan(getattr(found, name)).all(), name
    assert found.wind_table is None


def test_the_seas_wind_blows_on_the_sea_and_harder_on_its_poor_day() -> None:
    found = known()
    assert found.wind_mps[:, 0] == pytest.approx(wind_mean_mps("canal", 50.0, CALENDAR.day_of_year))
    assert found.wind_mps[:, 1] == pytest.approx(wind_mean_mps("coastal", 46.5, CALENDAR.day_of_year))
    assert found.poor_wind_mps[:, 0] == pytest.approx(found.wind_mps[:, 0])
    assert found.poor_wind_mps[:, 1] == pytest.approx(1.6 * found.wind_mps[:, 1])


def test_a_forecast_in_energy_is_the_score_of_its_clearness() -> None:
    """What the climate's own quantile for that score would give comes back from the score."""
    extra = extraterrestrial_kwh_m2(50.0, CALENDAR.day_of_year.astype(float))
    base = known()
    for z in (-1.2, 0.0, 0.9):
        ghi = clearness(base.table[2, 0], z) * extra[2]
        found = known(told(2, ghi_kwh_m2=float(ghi)))
        assert found.mean[2] == pytest.approx(z, abs=1e-6)
        assert np.isnan(np.delete(found.mean, 2)).all()


def test_its_spread_grows_with_the_days_ahead() -> None:
    """sqrt(1 - (0.8 x 0.93^(k-1))^2), the first day of the voyage one day ahead."""
    found = known(*(told(day, ghi_kwh_m2=5.0) for day in (0, 1, 5)))
    for day in (0, 1, 5):
        assert found.spread[day] == pytest.approx(np.sqrt(1 - (SKILL * KEPT**day) ** 2))
    assert np.isnan(np.delete(found.spread, [0, 1, 5])).all()


def test_cloud_is_dark_and_a_clear_sky_bright() -> None:
    found = known(told(0, oktas=0), told(1, oktas=4), told(2, oktas=8))
    assert found.mean[0] > 1.0
    assert found.mean[0] > found.mean[1] > found.mean[2]
    assert found.mean[2] < -0.5


def test_air_and_wind_of_the_forecast_take_the_place_of_the_mean() -> None:
    """Their spread shrinks as the sun's does: sd times it, the poor day's gust from 1.6 towards 1."""
    base, found = known(), known(told(1, ghi_kwh_m2=4.0, air_c=11.0, wind_mps=7.0), told(3, ghi_kwh_m2=4.0))
    spread = np.sqrt(1 - (SKILL * KEPT) ** 2)
    assert found.mean_c[1].tolist() == [11.0, 11.0]
    assert found.sd_c[1] == pytest.approx(base.sd_c[1] * spread)
    assert found.wind_mps[1].tolist() == [7.0, 7.0]
    assert found.poor_wind_mps[1] == pytest.approx([7.0, 7.0 * (1 + 0.6 * spread)])
    for day in (0, 2, 3, 11):
        for name in ("wind_mps", "poor_wind_mps"):
            assert np.array_equal(getattr(found, name)[day], getattr(base, name)[day]), name
    for name in ("mean_c", "sd_c"):
        assert np.array_equal(getattr(found, name)[0], getattr(base, name)[0]), name
    assert found.wind_known_mps[1] == 7.0
    assert np.isnan(np.delete(found.wind_known_mps, 1)).all()
    assert np.array_equal(found.table, base.table)


def test_told_air_fades_into_the_climate_by_its_persistence() -> None:
    """.75 a day in spring (CLIMATE, measured); the variance that the forecast took away comes back by its square."""
    base, found = known(), known(told(0, oktas=4.0, air_c=2.0))
    off, lost = found.mean_c - base.mean_c, 1 - (found.sd_c / base.sd_c) ** 2
    for day in range(1, 6):
        assert off[day] / off[day - 1] == pytest.approx([0.75, 0.75], abs=0.02), day
        assert lost[day] / lost[day - 1] == pytest.approx([0.75**2, 0.75**2], abs=0.03), day
    assert found.air_told[0] == 1.0
    assert np.diff(found.air_told).max() < 0
    assert (base.air_told == 0).all()


def test_a_forecast_of_other_dates_says_nothing() -> None:
    found = known(told(-1, oktas=0), told(40, oktas=0, air_c=35.0))
    assert np.isnan(found.mean).all()
    assert np.array_equal(found.mean_c, known().mean_c)


def test_a_weather_file_takes_the_place_of_the_climate_everywhere() -> None:
    """A quarter of its days at each of four clearnesses, its own air and wind; the yearly range stays the grid's."""
    found, base = known(record=measured()), known()
    assert np.array_equal(found.table[:, 0], found.table[:, 1])
    at = {p: found.table[:, 0, PROBABILITIES.index(p)] for p in (0.1, 0.4, 0.6, 0.87)}
    for p, value in {0.1: 0.2, 0.4: 0.35, 0.6: 0.5, 0.87: 0.7}.items():
        assert at[p] == pytest.approx(np.full(12, value), rel=0.02), p
    day = CALENDAR.day_of_year
    assert found.mean_c[:, 1] == pytest.approx(13.0 - 10.0 * np.cos(2 * np.pi * (day - 16) / 365), abs=0.3)
    assert found.sd_c.max() < 0.5
    assert np.array_equal(found.range_year_k, base.range_year_k)
    assert found.wind_mps == pytest.approx(np.full((12, 2), 6.5), abs=0.2)
    assert found.poor_wind_mps[:, 1] == pytest.approx(1.6 * found.wind_mps[:, 1])


def test_a_weather_file_without_wind_keeps_the_climates() -> None:
    found = known(record=measured(wind=False))
    assert np.array_equal(found.wind_mps, known().wind_mps)
    assert found.wind_table is None
    assert np.array_equal(found.calm(0.1), np.ones(12))


def test_a_forecast_holds_over_a_weather_file() -> None:
    found, base = known(told(0, ghi_kwh_m2=4.0, air_c=5.0), record=measured()), known(record=measured())
    assert found.mean_c[0].tolist() == [5.0, 5.0]
    off = np.abs(found.mean_c - base.mean_c)
    assert (off[11] < 0.05 * off[0]).all()
    assert np.isfinite(found.mean[0])


def test_calm_days_are_those_of_the_file() -> None:
    """Ten winds by turns, 2 to 11 m/s: so many tenths of the days, less half a step of the quantiles; the ends sure."""
    found = known(record=measured())
    for limit, share in ((1.5, 0.0), (3.5, 0.2), (6.5, 0.5), (9.5, 0.8), (11.5, 1.0)):
        assert found.calm(limit) == pytest.approx(np.full(12, share), abs=0.1), limit


@settings(max_examples=60, deadline=None)
@given(st.integers(0, 56).map(lambda n: n / 4), st.integers(0, 56).map(lambda n: n / 4))
def test_a_day_is_fit_just_where_its_wind_is_within_the_limit(wind: float, limit: float) -> None:
    """The rank of a day's wind is its draw of the sea: below the chance of a calm enough day if the wind is no more.

    The file's own days lie between 2 and 11 m/s; winds and limits beyond those are no different from one another.
    """
    found = known(record=measured())
    rank, calm = found.rank(np.full((1, 12), wind))[0], found.calm(limit)
    if 2.0 <= limit < 11.0:
        assert np.array_equal(rank < calm, np.full(12, wind <= limit))
    elif limit >= 11.0:
        assert (rank < calm).all() or wind > limit
    else:
        assert not (rank < calm).any()
    assert np.array_equal(found.rank(np.full((3, 4), wind)), np.tile(rank[:4], (3, 1)))


def test_no_wind_keeps_a_boat_that_has_no_limit() -> None:
    """The stormiest days of the file too, which rank above all its quantiles."""
    found = known(record=measured())
    winds = np.linspace(0.0, 30.0, 40)[:, None] + np.zeros(12)
    assert (found.rank(winds) < found.calm(np.inf)).all()
    assert (found.rank(winds) < known().calm(np.inf)).all()


def test_a_weather_file_s_calm_changes_by_the_month_only() -> None:
    """The policy weighs a state of the sea for every chance that it meets."""
    from voyager.energy.climate import _by_month

    calendar = days(date(2027, 3, 20), 30, "UTC", 480)
    table = np.cumsum(np.random.default_rng(1).random((30, 16)), axis=1)
    found = _by_month(table, calendar)
    march = np.asarray(calendar.month) == 3
    assert found[march] == pytest.approx(np.repeat(table[march].mean(axis=0)[None], march.sum(), axis=0))
    assert len(np.unique(found, axis=0)) == 2
