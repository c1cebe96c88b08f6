"""How much of the weather a plan looks at, and when the sea lets a boat go."""

from dataclasses import replace
from datetime import date, timedelta
from functools import cache

import numpy as np
import pytest

from tests.planner.samples import LEGS, vessel, voyage
from voyager.energy.climate import Climate
from voyager.planner.frame import Frame, build_frame
from voyager.planner.scope import many_skies_scope, one_sky_scope, sea_of
from voyager.route.leg import Leg
from voyager.route.place import Place
from voyager.route.voyage import Forecast
from voyager.sky.chances import NODES
from voyager.sky.clearness import PROBABILITIES

FIRST, COUNT = date(2027, 6, 7), 10
PLACES = tuple(Place(name, 53.0 + n / 10, -6.0) for n, name in enumerate(("Bay", "Bar", "Sound", "Cape", "Isle")))
WATERS = (
    Leg("Bay", "Bar", "canal", distance_km=9.0, fit_to_go=0.1),
    Leg("Bar", "Sound", "coastal", distance_km=11.0, moor_anywhere=False, fit_to_go=0.7, wind_max_mps=6.0),
    Leg("Sound", "Cape", "lake", distance_km=8.0, fit_to_go=0.1),
    Leg("Cape", "Isle", "open", distance_km=11.0, moor_anywhere=False, fit_to_go=0.5),
)
FIT = (1.0, 0.7, 1.0, 0.5)
"""Sheltered waters need no fitness, whatever is said of them."""


@cache
def framed(*forecast: Forecast, many: bool = True) -> Frame:
    here = voyage(places=PLACES, legs=WATERS, departs=FIRST, comfort="off", forecast=forecast)
    return build_frame(vessel(), here, COUNT, many=many)


def told(day: int, wind: float) -> Forecast:
    return Forecast(FIRST + timedelta(day), oktas=4.0, wind_mps=wind)


def touched(frame: Frame, a: int, b: int) -> list[int]:
    """Legs of which a way from mooring to mooring has more than a point, by their kilometres."""
    low, high = sorted((frame.route.moorings[a].km, frame.route.moorings[b].km))
    starts = frame.route.start_km
    return [leg for leg in range(len(WATERS)) if min(high, starts[leg + 1]) - max(low, starts[leg]) > 1e-6]


def test_a_trip_needs_the_roughest_of_the_legs_that_it_touches() -> None:
    """Every pair of moorings, there and back: the least chance of the legs between them, one draw for all."""
    frame = framed()
    sea, count = sea_of(frame, drawn=True), len(frame.route.moorings)
    pairs = [(a, b) for a in range(count) for b in range(count) if a != b]
    start, end = (np.asarray(side) for side in zip(*pairs, strict=True))
    got = sea.of(3, start, end)
    assert got.tolist() == [min(FIT[leg] for leg in touched(frame, a, b)) for a, b in pairs]
    assert {0.5, 0.7, 1.0} == set(got.tolist())


def test_one_sky_never_draws_the_sea() -> None:
    """Its days of waiting are asked of the stops instead."""
    frame = framed()
    assert np.array_equal(sea_of(frame, drawn=False).fit, np.ones((COUNT, 4)))
    waits = one_sky_scope(frame).stops.forced.count("sea")
    assert waits > 0
    assert "sea" not in many_skies_scope(frame).stops.forced


@pytest.mark.parametrize("drawn", [True, False])
def test_a_known_wind_decides_instead_of_chance(drawn: bool) -> None:
    """At the limit of 6 m/s it goes, above it nobody does; open water without a limit always goes that day."""
    frame = framed(told(0, 6.0), told(1, 6.1), told(2, 30.0))
    fit = sea_of(frame, drawn).fit
    assert fit[:3, 1].tolist() == [1.0, 0.0, 0.0]
    assert fit[:3, 3].tolist() == [1.0, 1.0, 1.0]
    assert (fit[3:, 1] == (0.7 if drawn else 1.0)).all()
    assert (fit[:, [0, 2]] == 1).all()


def test_a_weather_file_tells_how_many_days_are_calm_enough() -> None:
    """Quantiles of its wind: half of the days below 4.5 m/s and 0.8 of them below the limit of 6."""
    base = framed()
    row = np.interp(PROBABILITIES, (0.0, 0.5, 0.8, 1.0), (1.0, 4.5, 6.0, 12.0))
    known: Climate = replace(base.climate, wind_table=np.tile(row, (COUNT, 1)))
    fit = sea_of(replace(base, climate=known), drawn=True).fit
    assert fit[:, 1] == pytest.approx(np.full(COUNT, 0.8))
    assert (fit[:, 3] == 1.0).all()


def test_one_sky_looks_at_itself_and_the_poor_day_of_no_class() -> None:
    for many in (False, True):
        frame = framed(many=many)
        scope = one_sky_scope(frame)
        assert frame.kinds.score[:, scope.nodes].shape[1] == 1
        assert scope.nodes == slice(0, 1)
        assert scope.poors == slice(frame.weather.poor, frame.weather.poor + 1)
        assert scope.chances is None
        assert not scope.drawn


def test_many_skies_look_at_all_nodes_and_at_the_poor_day_of_every_class() -> None:
    frame = framed()
    scope = many_skies_scope(frame)
    assert np.array_equal(frame.kinds.score[0, scope.nodes], NODES)
    assert scope.poors == slice(frame.weather.poor + 1, frame.weather.cold)
    assert scope.chances is not None
    given, follow = scope.chances.given, scope.chances.follow
    assert given.shape == (COUNT, 5, len(NODES))
    assert follow.shape == (COUNT, len(NODES), 5)
    assert given.sum(axis=2) == pytest.approx(np.ones((COUNT, 5)))
    assert follow.sum(axis=2) == pytest.approx(np.ones((COUNT, len(NODES))))
    assert scope.chances.first == pytest.approx(np.full(5, 0.2), abs=1e-3)
    assert (np.diff(given @ NODES, axis=1) > 0.2).all()


def test_a_forecast_tells_the_first_class() -> None:
    """A clear day forecast at a skill of 0.8 is more often bright than dark; one of eight oktas the other way."""
    for oktas, brighter in ((0.0, True), (8.0, False)):
        scope = many_skies_scope(framed(Forecast(FIRST, oktas=oktas)))
        assert scope.chances is not None
        first = scope.chances.first
        assert bool(first[-1] > 0.4 > first[0]) is brighter
        assert bool(first[0] > 0.4 > first[-1]) is not brighter


def test_nobody_passes_a_place_without_its_nights() -> None:
    """Nights at the end of the first leg: from before it a day ends there at the latest, from it anywhere ahead."""
    here = voyage(legs=(replace(LEGS[0], nights=1), LEGS[1]))
    frame = build_frame(vessel(), here, 5, many=True)
    moorings = frame.route.moorings
    beck = next(n for n, m in enumerate(moorings) if m.name == "Beck")
    for scope in (one_sky_scope(frame), many_skies_scope(frame)):
        furthest = scope.furthest.tolist()
        assert furthest[:beck] == [beck] * beck
        assert set(furthest[beck:]) == {len(moorings) - 1}


def test_extra_nights_are_asked_as_well() -> None:
    frame = framed()
    plain, more = one_sky_scope(frame), one_sky_scope(frame, {2: 3})
    assert more.stops.count == plain.stops.count + 3
    assert more.furthest[0] == 2
