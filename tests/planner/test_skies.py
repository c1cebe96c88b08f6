"""The skies of a voyage: drawn, or a weather file's own days; the same days whatever the departure."""

from dataclasses import fields
from datetime import date, timedelta
from functools import cache

import numpy as np
import pytest

from tests.energy.records import CLEARNESS, WINDS_MPS, measured
from tests.planner.samples import LEGS, PLACES, vessel, voyage
from voyager.planner.frame import Frame, build_frame
from voyager.planner.scope import sea_of
from voyager.planner.skies import skies_of, some
from voyager.route.leg import Leg
from voyager.route.voyage import Forecast
from voyager.sky.draws import Skies, draw
from voyager.sky.record import Record

FIRST, COUNT, MEMBERS, LIMIT = date(2027, 6, 7), 12, 40, 6.0


def of_file(file: str | None) -> Record | None:
    """The made-up year, with its wind or ``still``."""
    return None if file is None else measured(file == "windy")


@cache
def framed(file: str | None = None, first: date = FIRST, forecast: tuple[Forecast, ...] = ()) -> Frame:
    legs = (LEGS[0], Leg("Beck", "Croft", "coastal", distance_km=18.0, moor_anywhere=False, wind_max_mps=LIMIT))
    here = voyage(departs=first, legs=legs, places=PLACES, forecast=forecast)
    return build_frame(vessel(), here, COUNT, record=of_file(file), many=True)


def same(a: Skies, b: Skies) -> bool:
    """All arrays bit for bit."""
    pairs = [(getattr(a, f.name), getattr(b, f.name)) for f in fields(Skies)]
    return all((x is None and y is None) or np.array_equal(x, y) for x, y in pairs)


def test_without_a_file_they_are_drawn_at_the_voyages_mean_latitude() -> None:
    frame = framed()
    plain = draw(5, MEMBERS, frame.days.dates, frame.stations.mean_lat, frame.voyage.forecast_skill)
    assert same(skies_of(frame, MEMBERS, 5, COUNT), plain)


def test_a_forecast_holds_the_drawn_days() -> None:
    """Two clear days ahead: brighter by their mean, and narrower."""
    rows = tuple(Forecast(FIRST + timedelta(day), oktas=0.0) for day in range(2))
    told = framed(forecast=rows)
    score = skies_of(told, 400, 5, COUNT).score
    plain = skies_of(framed(), 400, 5, COUNT).score
    known = told.climate
    assert score[:, :2].mean(axis=0) == pytest.approx(known.mean[:2], abs=0.15)
    assert score[:, :2].std(axis=0) == pytest.approx(known.spread[:2], abs=0.08)
    assert np.abs(score[:, 11] - plain[:, 11]).max() < 1e-3


@pytest.mark.parametrize("air_c", [None, 6.0])
def test_the_air_of_drawn_days_is_that_of_the_nodes_beside_them(air_c: float | None) -> None:
    """Two dull days ahead, their air told or not: members have the mean air that the policy's nodes promise, and where
    it is told the forecast's own (means of 4,000 within four standard errors)."""
    rows = tuple(Forecast(FIRST + timedelta(day), oktas=8.0, air_c=air_c) for day in range(2))
    frame, members = framed(forecast=rows), 4000
    skies = skies_of(frame, members, 5, COUNT)
    for day in range(4):
        promised = np.interp(skies.score[:, day], frame.kinds.score[0, frame.nodes], frame.kinds.air[day, frame.nodes])
        assert skies.air_score[:, day].mean() == pytest.approx(promised.mean(), abs=0.065), day
    if air_c is not None:
        drawn = frame.climate.mean_c[:2, 0] + frame.climate.sd_c[:2, 0] * skies.air_score[:, :2].mean(axis=0)
        assert drawn == pytest.approx([air_c, air_c], abs=0.2)


def test_a_shorter_look_and_a_later_departure_see_the_same_days() -> None:
    for file in (None, "windy"):
        record = of_file(file)
        whole = skies_of(framed(file), MEMBERS, 5, COUNT, record)
        short = skies_of(framed(file), MEMBERS, 5, 4, record)
        later = skies_of(framed(file, FIRST + timedelta(3)), MEMBERS, 5, COUNT, record)
        for name in ("score", "air_score", "known", "sea"):
            assert np.array_equal(getattr(whole, name)[:, :4], getattr(short, name)), name
            if record is None or name != "sea":
                assert np.array_equal(getattr(whole, name)[:, 3:], getattr(later, name)[:, :-3]), name


def test_a_weather_files_days_are_real_ones() -> None:
    """Its four clearnesses and ten winds in turn; hours as measured; taken at its word."""
    file, record = "windy", measured()
    skies = skies_of(framed(file), MEMBERS, 5, COUNT, record)
    assert skies.factor.tolist() == [1.0] * MEMBERS
    assert skies.hours is not None
    assert skies.hours.shape == (MEMBERS, COUNT, 25)
    assert skies.wind_mps is not None
    for winds in skies.wind_mps:
        start = WINDS_MPS.index(round(winds[0]))
        assert winds.tolist() == [WINDS_MPS[(start + n) % 10] for n in range(COUNT)]
    order = np.argsort(np.argsort(CLEARNESS))
    for row in skies.score:
        rank = [int((row[:4] < z).sum()) for z in row[:4]]
        assert any(rank == np.roll(order, n).tolist() for n in range(4))


def test_a_days_sea_is_fit_just_where_its_measured_wind_is_within_the_limit() -> None:
    """The draw is the day's wind among the file's own, so that chance and days agree."""
    file, record = "windy", measured()
    frame = framed(file)
    skies, fit = skies_of(frame, MEMBERS, 5, COUNT, record), sea_of(frame, drawn=True).fit[:, 1]
    assert skies.wind_mps is not None
    assert np.array_equal(skies.sea < fit, skies.wind_mps <= LIMIT)
    assert fit == pytest.approx(np.full(COUNT, 0.5), abs=0.1)  # the steps of a table of ten winds


def test_a_file_without_wind_leaves_the_sea_to_chance() -> None:
    file, record = "still", measured(wind=False)
    skies = skies_of(framed(file), MEMBERS, 5, COUNT, record)
    assert skies.wind_mps is None
    assert np.array_equal(skies.sea, skies_of(framed(), MEMBERS, 5, COUNT).sea)


def test_some_of_them_are_those_rows() -> None:
    for file in (None, "windy"):
        record = of_file(file)
        skies = skies_of(framed(file), MEMBERS, 5, COUNT, record)
        part = some(skies, 7, 12)
        for f in fields(Skies):
            value = getattr(skies, f.name)
            assert (getattr(part, f.name) is None) == (value is None), f.name
            if value is not None:
                assert np.array_equal(getattr(part, f.name), value[7:12]), f.name
        assert len(some(skies, 30, 2000).factor) == 10
        assert same(skies_of(framed(file), 10, 5, COUNT, record), some(skies, 0, 10))
