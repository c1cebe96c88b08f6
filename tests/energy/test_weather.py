"""The weather by day, square and kind: what a poor day and a cold night are made of, and cells that lag behind."""

from dataclasses import replace
from datetime import date
from math import exp

import numpy as np
import pytest

from tests.energy.boats import PACK, vessel
from voyager.boat.battery import floor_kwh
from voyager.energy.weather import Stations, Weather, one_sky_weather, solar_hour
from voyager.route.calendar import Days, days
from voyager.sky.air import air_climate, wind_mean_mps
from voyager.sky.clearness import PROBABILITIES, clearness, quantiles

SQUARES = Stations(np.asarray([50.0, 42.0]), np.asarray([2.0, 15.0]), np.asarray([0.0, 0.0]), np.asarray([False, True]))
WINTER = days(date(2027, 1, 10), 5, "Europe/Paris", 480)
POOR_PERCENTILE, COLD_SD = -1.2815516, 1.28
"""Normal quantile of 0.1 (Abramowitz & Stegun, table 26.1); the cold of the poor day in standard deviations."""


def weather(calendar: Days = WINTER, score: float = 0.0, air: float = 0.0, **pack: float) -> Weather:
    count = len(calendar.dates)
    boat = vessel(battery=replace(PACK, **pack))
    return one_sky_weather(boat, calendar, SQUARES, np.full(count, score), np.full(count, air))


def day_mean_c(found: Weather, kind: int) -> np.ndarray:
    return found.air_c[:, :, :24, kind].mean(axis=2)


def climate(calendar: Days = WINTER):
    doy = calendar.day_of_year[:, None]
    return air_climate(SQUARES.lat[None], SQUARES.lon[None], SQUARES.height_m[None], doy)


def test_shapes_and_kinds() -> None:
    found = weather()
    assert found.clearness.shape == found.wind_mps.shape == (5, 2, 3)
    assert found.air_c.shape == (5, 2, 25, 3)
    assert (found.poor, found.cold) == (1, 2)


def test_the_sky_is_the_quantile_of_its_score() -> None:
    """An even score is the median of the place's own distribution; a higher one is never darker."""
    table = quantiles(SQUARES.lat[None], SQUARES.lon[None], WINTER.day_of_year[:, None])
    found = weather()
    assert found.clearness[..., 0] == pytest.approx(clearness(table, np.zeros((5, 2))))
    assert found.clearness[..., 0] == pytest.approx(table[..., PROBABILITIES.index(0.5)])
    assert (weather(score=1.0).clearness[..., 0] > found.clearness[..., 0]).all()


def test_poor_clearness_is_the_tenth_percentile_with_its_margin() -> None:
    """0.9 of it, 0.8 in the subtropical winter (30 to 46 degrees); the sky itself does not touch it."""
    table = quantiles(SQUARES.lat[None], SQUARES.lon[None], WINTER.day_of_year[:, None])
    tenth = clearness(table, np.full((5, 2), POOR_PERCENTILE))
    for score in (-1.0, 2.0):
        poor = weather(score=score).clearness[..., 1]
        assert poor == pytest.approx(tenth * np.asarray([0.9, 0.8]), rel=1e-3)


def test_the_cold_night_has_no_sun() -> None:
    assert np.all(weather(score=2.0).clearness[..., 2] == 0)


def test_poor_day_and_cold_night_are_colder_than_the_mean() -> None:
    found, air = weather(air=0.5), climate()
    assert day_mean_c(found, 0) == pytest.approx(air.mean_c + 0.5 * air.sd_c, abs=1e-6)
    for kind in (1, 2):
        assert day_mean_c(found, kind) == pytest.approx(air.mean_c - COLD_SD * air.sd_c, abs=1e-6)


def test_dull_days_have_the_flatter_air() -> None:
    swing = np.ptp(weather(score=1.5).air_c[:, :, :24], axis=2)
    assert (swing[..., 0] > swing[..., 1]).all()
    assert (swing[..., 1] > swing[..., 2]).all()
    land, sea = swing[:, 0, 0], swing[:, 1, 0]
    assert (sea < land).all()  # open water


def test_warmest_in_the_afternoon_by_the_sun() -> None:
    """Mean solar time: UTC and 1 h each 15 degrees east, at the middle of the step; warmest near 15:00."""
    hour = solar_hour(WINTER, SQUARES)
    assert hour[0, 0, :2] == pytest.approx([7 + 0.5 + 2 / 15, 8 + 0.5 + 2 / 15])
    assert hour[0, 1, 0] == pytest.approx(8.5)
    air = weather(score=1.0).air_c[..., 0]
    at = np.take_along_axis(hour, air[:, :, :24].argmax(axis=2)[..., None], axis=2)
    assert (np.abs(at - 15.0) <= 1.0).all()


def test_wind_blows_harder_on_the_poor_day_where_it_is_open() -> None:
    found = weather()
    doy = WINTER.day_of_year
    assert found.wind_mps[:, 0, 0] == pytest.approx(wind_mean_mps("canal", 50.0, doy))
    assert found.wind_mps[:, 1, 0] == pytest.approx(wind_mean_mps("coastal", 42.0, doy))
    assert found.wind_mps[:, 1, 1] == pytest.approx(1.6 * found.wind_mps[:, 1, 0])
    assert np.array_equal(found.wind_mps[:, 0, 1], found.wind_mps[:, 0, 0])


def lagged(before: float, air: np.ndarray) -> float:
    """A day of hours through a first-order lag of 24 h, written out."""
    for outside in air:
        before = outside + (before - outside) * exp(-1 / 24)
    return before


@pytest.mark.parametrize("first", [date(2027, 1, 10), date(2027, 3, 27), date(2027, 10, 30)])
def test_cells_lag_the_sky_through_long_and_short_days(first: date) -> None:
    """Days of 24, 23 and 25 hours; the poor day's cells leave the sky's at its own start."""
    calendar = days(first, 3, "Europe/Paris", 480)
    found = weather(calendar, score=-0.5, air=-1.0)
    for day in (0, 1):
        length = int(calendar.length_h[day])
        for square in (0, 1):
            start = found.cell_c[day, square, 0, 0]
            ends = lagged(start, found.air_c[day, square, :length, 0])
            assert found.cell_c[day + 1, square, 0] == pytest.approx(np.full(3, ends))
            half = lagged(start, found.air_c[day, square, :12, 1])
            assert found.cell_c[day, square, 12, 1] == pytest.approx(half)


def test_cells_too_cold_to_charge_and_a_heater_that_warms_them() -> None:
    limits = {"charging_min_c": 5.0, "warmer_than_outside_k": 3.0}
    found = weather(**limits)
    assert np.array_equal(found.cold_cells, found.cell_c + 3.0 < 5.0)
    assert 0 < found.cold_cells.mean() < 1
    assert np.array_equal(found.blocked, found.cold_cells)
    warmed = weather(heater_w=80.0, **limits)
    assert np.array_equal(warmed.cold_cells, found.cold_cells)
    assert not warmed.blocked.any()


def test_the_floor_is_the_highest_of_the_day_in_its_sky_and_on_its_poor_day() -> None:
    found = weather()
    hourly = floor_kwh(PACK, found.cell_c[..., :2])
    for day in range(5):
        for square in (0, 1):
            assert found.floor_kwh[day, square] == pytest.approx(max(hourly[day, square].ravel()))
    assert (found.floor_kwh > PACK.reserve_kwh).all()


def test_other_hemisphere_has_its_winter_in_july() -> None:
    south = replace(SQUARES, lat=-SQUARES.lat, lon=np.asarray([170.0, 147.0]))
    boat, score = vessel(), np.zeros(3)
    wind, air = [], []
    for first in (date(2027, 1, 10), date(2027, 7, 10)):
        found = one_sky_weather(boat, days(first, 3, "UTC", 480), south, score, score)
        wind.append(found.wind_mps[0, 1, 0])
        air.append(found.air_c[0, 1, :24, 0].mean())
    assert wind[1] > wind[0]
    assert air[1] < air[0] - 3
