"""Moorings in a row: nights asked for and days of waiting for the sea."""

from dataclasses import replace

import numpy as np
import pytest

from tests.planner.samples import LEGS, PLACES, voyage
from voyager.planner.stops import build_stops, leg_end_moorings
from voyager.route.leg import Leg
from voyager.route.line import build_route
from voyager.route.place import Place
from voyager.route.voyage import Voyage


def test_a_place_with_two_nights_is_three_moorings_in_a_row() -> None:
    here = voyage(legs=(replace(LEGS[0], nights=2), LEGS[1]))
    route = build_route(here)
    stops = build_stops(here, route, "middling")
    beck = next(n for n, m in enumerate(route.moorings) if m.name == "Beck")
    assert stops.count == len(route.moorings) + 2
    assert list(np.flatnonzero(stops.mooring == beck)) == [beck, beck + 1, beck + 2]
    assert (stops.first[beck], stops.last[beck]) == (beck, beck + 2)
    assert [stops.forced[t] for t in range(beck, beck + 3)] == ["asked", "asked", ""]
    assert list(np.flatnonzero(stops.must_stop)) == [beck]
    assert all(reason == "" for t, reason in enumerate(stops.forced) if not beck <= t < beck + 2)


def test_every_mooring_comes_once_and_in_order_without_wishes() -> None:
    here = voyage()
    route = build_route(here)
    stops = build_stops(here, route, "cautious")
    assert list(stops.mooring) == list(range(len(route.moorings)))
    assert not stops.must_stop.any()


def test_extra_nights_are_added_to_those_asked_for() -> None:
    here = voyage(legs=(replace(LEGS[0], nights=1), LEGS[1]))
    route = build_route(here)
    number = leg_end_moorings(route)[0]
    assert number is not None
    assert build_stops(here, route, "good", {number: 3}).count == len(route.moorings) + 4


def test_leg_ends_without_a_mooring_are_none() -> None:
    places = (PLACES[0], replace(PLACES[1], moor=False), PLACES[2])
    route = build_route(voyage(places=places))
    ends = leg_end_moorings(route)
    assert ends[0] is None
    assert ends[1] == len(route.moorings) - 1


def _coast(chances: list[float]) -> Voyage:
    places = tuple(Place(f"Cove {k}", 53.0 + k / 10, -6.0) for k in range(len(chances) + 1))
    legs = tuple(
        Leg(a.name, b.name, "coastal", moor_anywhere=False, fit_to_go=p)
        for a, b, p in zip(places, places[1:], chances, strict=False)
    )
    return voyage(places=places, legs=legs)


@pytest.mark.parametrize(
    ("sky", "days"),
    [("cautious", [1, 1, 1]), ("middling", [1, 0, 1]), ("good", [0, 0, 0])],
)
def test_waiting_for_the_sea_by_sky(sky: str, days: list[int]) -> None:
    """(1 - p)/p = 1 day each at p = 0.5: all of it, half of it, none; whole days by carrying the rest on."""
    here = _coast([0.5, 0.5, 0.5])
    route = build_route(here)
    stops = build_stops(here, route, sky)
    waits = [stops.forced[stops.first[n] : stops.last[n]].count("sea") for n in range(3)]
    assert waits == days
    assert stops.count == len(route.moorings) + sum(days)


def test_rest_of_a_day_is_carried_on() -> None:
    """p = 0.6 owes 2/3 day a leg: after six legs four days, never more than half a day out."""
    here = _coast([0.6] * 6)
    stops = build_stops(here, build_route(here), "cautious")
    waits = [stops.forced[stops.first[n] : stops.last[n]].count("sea") for n in range(6)]
    owed = np.arange(1, 7) * 2 / 3
    assert np.abs(np.cumsum(waits) - owed).max() <= 0.5 + 1e-9
    assert sum(waits) == 4


def test_a_certain_sea_and_sheltered_water_wait_for_nothing() -> None:
    here = _coast([1.0, 1.0])
    assert build_stops(here, build_route(here), "cautious").count == 3


def test_wait_lies_before_the_leg_and_after_the_nights_asked_for() -> None:
    here = _coast([1.0, 0.5])
    here = replace(here, legs=(replace(here.legs[0], nights=1), here.legs[1]))
    stops = build_stops(here, build_route(here), "cautious")
    assert stops.forced == ("", "asked", "sea", "", "")
