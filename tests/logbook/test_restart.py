"""Where the boat is by its log."""

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.logbook.boat import DAY_KM, START, voyage
from voyager.errors import InputError
from voyager.logbook.entries import Entry
from voyager.logbook.restart import day_of, positions, whereabouts, with_days_kept
from voyager.route.line import build_route

CAPACITY = 40.0


def at(hours: float, **values: object) -> Entry:
    return replace(Entry(START + timedelta(hours=hours)), **values)


def test_the_last_reading_says_day_hour_place_and_charge() -> None:
    found = whereabouts([at(0, km=0.0, charge_kwh=30.0), at(53.5, place="p2", charge_kwh=10.0)], voyage(), CAPACITY)
    assert (found.departs, found.day) == (date(2027, 3, 3), 3)
    assert found.start.hours == pytest.approx(5.5)
    assert (found.start.km, found.start.charge_kwh) == (2 * DAY_KM, 10.0)
    assert found.text == "By the log at 2027-03-03 13:30: km 48.0, 25 % in the battery."


def test_an_older_charge_is_told_with_its_time() -> None:
    found = whereabouts([at(0, charge_kwh=30.0), at(5, km=20.0)], voyage(), CAPACITY)
    assert found.start.hours == 5
    assert found.start.charge_kwh == 30
    assert "The charge was noted at 2027-03-01 08:00 and has changed since." in found.text


def test_an_older_place_is_where_the_boat_lies() -> None:
    found = whereabouts([at(2, km=20.0), at(23, charge_kwh=12.0)], voyage(), CAPACITY)
    assert (found.start.hours, found.start.km) == (23, 20.0)
    assert "it is taken to lie there" in found.text


@pytest.mark.parametrize(
    ("km", "hours", "leaves", "into"), [(0.0, -200, 1, 0.0), (0.0, -1, 1, 0.0), (9.0, -1, 0, 23.0)]
)
def test_a_boat_not_yet_gone_leaves_with_the_voyage(km: float, hours: float, leaves: int, into: float) -> None:
    """An hour before the day starts it is the day before: one that is on its way already goes on from there."""
    found = whereabouts([at(hours, km=km, charge_kwh=12.0)], voyage(), CAPACITY)
    assert (found.departs, found.day) == (date(2027, 3, 1) + timedelta(days=leaves - 1), leaves)
    assert (found.start.hours, found.start.km, found.start.charge_kwh) == (into, km, 12.0)
    assert ("The voyage departs on 2027-03-01" in found.text) == (leaves == 1)


def test_before_the_day_starts_it_is_the_day_before() -> None:
    assert day_of(datetime(2027, 3, 4, 7, 59, tzinfo=UTC), voyage())[0] == date(2027, 3, 3)
    assert day_of(datetime(2027, 3, 4, 8, 0, tzinfo=UTC), voyage()) == (date(2027, 3, 4), 0.0)


@pytest.mark.parametrize(
    ("entries", "said"),
    [
        ([], "neither a place nor a charge"), ([at(0, km=3.0)], "no charge"), ([at(0, charge_kwh=3.0)], "no place"),
        ([at(0, km=999.0, charge_kwh=3.0)], "no place"), ([at(0, place="Nowhere", charge_kwh=3.0)], "no place"),
        ([at(0, lat=10.0, lon=8.0, charge_kwh=3.0)], "no place"),
    ],
)  # fmt: skip
def test_a_log_that_says_too_little_is_a_sentence(entries: list[Entry], said: str) -> None:
    with pytest.raises(InputError, match=said) as caught:
        whereabouts(entries, voyage(), CAPACITY)
    assert "\n" not in str(caught.value)


@pytest.mark.parametrize(
    ("hours", "lain", "left"), [(24 * 2, 0, 2), (24 * 3, 1, 1), (24 * 3 + 5, 1, 1), (24 * 4, 2, 0), (24 * 6, 4, 0)]
)
def test_days_lain_where_the_voyage_asks_for_some_count(hours: float, lain: int, left: int) -> None:
    """Made fast at P2 in the afternoon of the second day, where two whole days are asked for."""
    asks = replace(voyage(), legs=tuple(replace(leg, nights=2) for leg in voyage().legs))
    log = [at(30, km=40.0, charge_kwh=20.0), at(33, place="P2"), at(hours, place="P2", charge_kwh=20.0)]
    found = whereabouts(log, asks, CAPACITY)
    assert found.lain_days == lain
    onward = with_days_kept(asks, found)
    assert [leg.nights for leg in onward.legs] == [2, left, *[2] * 10]
    assert onward.departs == found.departs


@given(st.floats(0, 12 * DAY_KM), st.floats(-0.01, 0.01))
def test_a_position_near_the_line_is_its_kilometre(km: float, aside_deg: float) -> None:
    """The line runs straight north: a step to the side changes nothing."""
    route = build_route(voyage())
    lat, lon = (float(one) for one in route.position(km))
    [(_, found)] = positions([at(0, lat=lat, lon=lon + aside_deg)], route, voyage())
    assert found == pytest.approx(km, abs=0.05)


def test_a_place_passed_twice_is_the_one_nearer_to_where_the_boat_was() -> None:
    there = voyage(2)
    back = replace(there.legs[1], start="P1", end="P0")
    twice = replace(there, legs=(there.legs[0], back))
    route = build_route(twice)
    found = positions([at(0, place="P0"), at(9, km=40.0), at(10, place="P0")], route, twice)
    assert np.allclose([km for _, km in found], [0.0, 40.0, 48.0])


@pytest.mark.parametrize(("noted", "wanted"), [(DAY_KM, DAY_KM + 2), (3 * DAY_KM, 3 * DAY_KM + 2), (None, DAY_KM + 2)])
def test_a_place_is_where_the_voyage_has_it_now(noted: float | None, wanted: float) -> None:
    """Its first leg was measured anew after the entries were made; P1 is passed on the way out and on the way back."""
    there = voyage(2)
    back = replace(there.legs[1], start="P2", end="P1")
    longer = replace(there, legs=(replace(there.legs[0], distance_km=DAY_KM + 2), there.legs[1], back))
    [(_, km)] = positions([at(9, place="p1", km=noted)], build_route(longer), longer)
    assert km == pytest.approx(wanted)
