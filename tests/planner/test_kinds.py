"""The kinds of day: where each stands, darker classes darker, a forecast over all of them."""

from dataclasses import replace
from datetime import date, timedelta
from functools import cache

import numpy as np
import pytest

from tests.planner.samples import PLACES, vessel, voyage
from voyager.energy.climate import Climate, Stations, climate
from voyager.energy.weather import Weather, weather_of
from voyager.planner.kinds import NODES_FROM, ONE_SKY, kinds_of
from voyager.route.calendar import days
from voyager.route.voyage import Forecast
from voyager.sky.air import correlation
from voyager.sky.chances import NODES
from voyager.sky.clearness import clearness
from voyager.sky.days import CLASSES, poor_score, round_scores

FIRST, COUNT, LAT = date(2027, 5, 10), 14, 52.0
CALENDAR = days(FIRST, COUNT, "Europe/Dublin", 480)
DOY = CALENDAR.day_of_year
HERE = Stations(np.asarray([LAT]), np.asarray([-8.0]), np.asarray([0.0]), np.asarray([False]))
X, Y = len(NODES), len(CLASSES)
TENTH = -1.2815516
"""Normal quantile of 0.1, Abramowitz & Stegun, table 26.1."""


@cache
def known(*bright: int, oktas: float = 0.0) -> Climate:
    """The climate, with these days forecast."""
    rows = tuple(Forecast(FIRST + timedelta(day), oktas=oktas) for day in bright)
    return climate(CALENDAR, HERE, forecast=rows, skill=0.8)


def kinds(found: Climate, sky: str = "middling", skill: float = 0.8, many: bool = True):
    return kinds_of(found, DOY, LAT, sky, skill, many)


def weather(found: Climate, many: bool = True) -> Weather:
    return weather_of(vessel(), CALENDAR, HERE, found, kinds(found, many=many))


def test_layout_of_one_sky_and_of_many() -> None:
    """The chosen sky first, then the nodes; poor days: unknown first, then the classes; the cold night last."""
    one, many = weather(known(), many=False), weather(known())
    assert (one.poor, one.cold) == (1, 2)
    assert (many.poor, many.cold) == (1 + X, 2 + X + Y)
    assert many.clearness.shape == (COUNT, 1, 3 + X + Y)
    assert (ONE_SKY, NODES_FROM) == (0, 1)
    told = kinds(known())
    assert (told.score.shape, told.air.shape, told.poor.shape) == ((COUNT, 1 + X), (COUNT, 1 + X), (COUNT, 1 + Y))
    assert np.array_equal(told.score[:, 1:], np.tile(NODES, (COUNT, 1)))


def test_the_one_sky_is_the_same_beside_many_and_alone() -> None:
    for found in (known(), known(0, 1, 2)):
        one, many = weather(found, many=False), weather(found)
        for name in ("clearness", "wind_mps"):
            a, b = getattr(one, name), getattr(many, name)
            assert np.array_equal(a[..., 0], b[..., 0]), name
            assert np.array_equal(a[..., one.poor], b[..., many.poor]), name
            assert np.array_equal(a[..., one.cold], b[..., many.cold]), name
        assert np.array_equal(one.air_c[..., 0], many.air_c[..., 0])
        assert np.array_equal(one.cell_c[..., one.poor], many.cell_c[..., many.poor])
        assert np.array_equal(one.floor_kwh, many.floor_kwh)


@pytest.mark.parametrize("sky", ["cautious", "middling", "good"])
def test_the_chosen_sky_without_a_forecast_is_its_round(sky: str) -> None:
    """Air as its mean given the score: the correlation times it."""
    told = kinds(known(), sky)
    assert np.array_equal(told.score[:, 0], round_scores(sky, DOY, LAT))
    assert told.air[:, 0] == pytest.approx(correlation(DOY, LAT) * told.score[:, 0])
    assert told.air[:, 1:] == pytest.approx(correlation(DOY, LAT)[:, None] * NODES)


def test_nodes_ascend_in_clearness_and_are_the_quantiles_of_their_scores() -> None:
    found = weather(known())
    k = found.clearness[:, 0, 1 : 1 + X]
    assert (np.diff(k, axis=1) > 0).all()
    assert k == pytest.approx(clearness(known().table[:, 0, None], np.tile(NODES, (COUNT, 1))))


def test_the_poor_day_of_a_darker_class_is_darker() -> None:
    """Each the tenth percentile of its class, with the same margin of 0.9; the unknown day's lies among them."""
    found = weather(known())
    poor = found.clearness[:, 0, found.poors]
    assert (np.diff(poor[:, 1:], axis=1) > 0).all()
    assert ((poor[:, 1] < poor[:, 0]) & (poor[:, 0] < poor[:, -1])).all()
    table = known().table[:, 0, None]
    scores = np.concatenate([[TENTH], poor_score(Y, 0.8)])
    assert poor == pytest.approx(0.9 * clearness(table, np.tile(scores, (COUNT, 1))), rel=1e-4)


def test_a_skipper_who_knows_nothing_has_the_same_poor_day_in_every_class() -> None:
    poor = kinds(known(), skill=0.0).poor
    assert poor == pytest.approx(np.full(poor.shape, TENTH), abs=2e-3)


def test_poor_days_are_cold_and_their_cells_leave_the_sky_each_morning() -> None:
    found = weather(known())
    mean, sd = known().mean_c[:, 0], known().sd_c[:, 0]
    for kind in range(found.poor, found.cold + 1):
        assert found.air_c[:, 0, :24, kind].mean(axis=1) == pytest.approx(mean - 1.28 * sd, abs=0.02), kind
    assert np.array_equal(found.cell_c[:, :, 0], np.repeat(found.cell_c[:, :, 0, :1], found.cold + 1, axis=-1))


def test_forecast_days_shift_and_narrow_every_score() -> None:
    """A clear day: the sky's own round about the forecast's mean, its spread the forecast's."""
    found = known(0, 1, 2)
    told, round_ = kinds(found), round_scores("middling", DOY, LAT)
    for day in range(3):
        assert told.score[day, 0] == pytest.approx(found.mean[day] + found.spread[day] * round_[day])
        assert told.poor[day, 0] == pytest.approx(found.mean[day] + found.spread[day] * TENTH, abs=1e-4)
        assert np.array_equal(told.score[day, 1:], NODES)


def test_a_poor_day_of_a_bright_forecast_is_brighter_than_the_climates() -> None:
    """And of a dull one darker; both come back to the climate's once the forecast has faded."""
    plain = weather(known()).clearness[:, 0]
    bright, dull = (weather(found).clearness[:, 0] for found in (known(0, 1, 2), known(0, 1, 2, oktas=8.0)))
    first = 1 + X
    assert (bright[:3, first : first + 1 + Y] > plain[:3, first : first + 1 + Y]).all()
    assert (dull[:3, first] < plain[:3, first]).all()
    gaps = np.abs(bright[3:, first] - plain[3:, first])
    assert gaps[0] > 0.001
    assert (np.diff(gaps) <= 1e-12).all()
    assert np.array_equal(bright[-1], plain[-1])


def test_a_forecast_fades_by_the_days_persistence() -> None:
    """Mean of the day after the last one: persistence (0.34 and a little) times the last one's."""
    found = known(0, 1, 2)
    told, plain = kinds(found, "middling"), kinds(known(), "middling")
    centre = (told.poor[:, 0] - plain.poor[:, 0])[3:6]
    assert (centre > 0).all()
    assert centre[1] / centre[0] == pytest.approx(0.4, abs=0.12)


def test_air_of_a_node_is_tied_to_its_score_and_to_a_forecast_of_the_air_where_there_is_one() -> None:
    """The mean of the air given the score is the correlation times it; told air has the forecast's own middle as its
    zero."""
    tied, sun = correlation(DOY, LAT)[0], known(0)
    assert kinds(sun).air[0, 1:] == pytest.approx(tied * NODES)
    both = climate(CALENDAR, HERE, forecast=(Forecast(FIRST, oktas=0.0, air_c=3.0),), skill=0.8)
    assert kinds(both).air[0, 1:] == pytest.approx(tied * (NODES - both.mean[0]))


def test_southern_winter_has_the_wider_margin() -> None:
    """0.8 between 30 and 46 degrees in June to August south of the equator, 0.9 in January."""
    south = replace(HERE, lat=np.asarray([-38.0]), lon=np.asarray([145.0]))
    for first, margin in ((date(2027, 7, 1), 0.8), (date(2027, 1, 10), 0.9)):
        calendar = days(first, 3, "UTC", 480)
        base = climate(calendar, south)
        told = kinds_of(base, calendar.day_of_year, -38.0, "good", 0.8, True)
        found = weather_of(vessel(), calendar, south, base, told)
        bare = clearness(base.table[:, 0, None], told.poor)
        assert found.clearness[:, 0, found.poors] == pytest.approx(margin * bare)


def test_a_plan_has_these_kinds() -> None:
    """The frame of a voyage: nodes where the layout says, panels brighter from node to node."""
    from voyager.planner.frame import build_frame

    frame = build_frame(vessel(), voyage(places=PLACES), 3, many=True)
    assert frame.nodes == slice(1, 1 + X)
    watts = frame.panels.watts[:, frame.mooring_mount[0]].sum(axis=1)
    assert (np.diff(watts[:, frame.nodes], axis=1) >= 0).all()
    assert build_frame(vessel(), voyage(), 3).nodes == slice(1, 1)
