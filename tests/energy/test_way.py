"""The route cut where something happens: every lock, bridge and mooring once, in the order met."""

from dataclasses import replace
from datetime import UTC, datetime

import numpy as np
import pytest
from hypothesis import given, settings

from tests.energy.boats import CUBE
from tests.route.samples import voyage, voyages
from voyager.energy.way import StationAt, Way, build_way
from voyager.route.leg import Leg
from voyager.route.line import Route, build_route
from voyager.route.place import Place
from voyager.route.voyage import Voyage

PLACES = (Place("A", 52.0, 0.0), Place("B", 52.2, 0.0), Place("C", 52.3, 0.1, moor=False), Place("D", 52.4, 0.1))
LEGS = (
    Leg("A", "B", "canal", distance_km=20.0, locks=2, lock_at_km=(0.0, 20.0), lock_min=30.0, lock_kwh=0.2),
    Leg("B", "C", "canal", distance_km=10.0, moor_anywhere=False, bridges=1, bridge_min=12.0),
    Leg("C", "D", "canal", distance_km=12.0, locks=3),
)
HIGH_WATER = datetime(2027, 3, 1, 12, tzinfo=UTC)


def built(trip: Voyage) -> tuple[Route, Way]:
    route = build_route(trip)
    return route, build_way(route, CUBE, StationAt())


def test_a_small_canal_by_hand() -> None:
    """A, its lock at km 0, moorings each 5 km, the lock at the very end before B; the bridge; no mooring at C."""
    _, way = built(voyage(PLACES, LEGS, mooring_every_km=5.0))
    assert way.node_km == pytest.approx([0, 0, 5, 10, 15, 20, 20, 25, 30, 32, 34, 36, 38, 40, 42], abs=2.1)
    assert way.node_km[:9] == pytest.approx([0, 0, 5, 10, 15, 20, 20, 25, 30])
    assert way.locks[:9].tolist() == [0, 1, 0, 0, 0, 1, 0, 0, 0]
    assert way.mooring[:9].tolist() == [0, -1, 1, 2, 3, -1, 4, -1, -1]
    assert way.service_h[[1, 5, 7]] == pytest.approx([0.5, 0.5, 0.2])
    assert way.service_kwh[[1, 5, 7]] == pytest.approx([0.2, 0.2, CUBE.manoeuvre_w * 0.2 / 1e3])
    assert way.service_leg[[1, 5, 7]].tolist() == [0, 0, 1]
    assert way.leg[:8].tolist() == [0, 0, 0, 0, 0, 0, 1, 1]


def test_the_boat_may_lie_before_a_lock_at_its_mooring() -> None:
    """Mooring and lock both at 10 km: it makes fast first, and passes when it goes on."""
    leg = replace(LEGS[0], locks=1, lock_at_km=(10.0,))
    _, way = built(voyage(PLACES[:2], (leg,), mooring_every_km=5.0))
    assert way.node_km.tolist() == pytest.approx([0, 5, 10, 10, 15, 20])
    assert way.mooring.tolist() == [0, 1, 2, -1, 3, 4]
    assert way.locks.tolist() == [0, 0, 0, 1, 0, 0]


@settings(max_examples=80, deadline=None)
@given(voyages())
def test_all_of_the_route_is_on_the_way_once(trip: Voyage) -> None:
    route, way = built(trip)
    assert way.node_km[0] == 0
    assert way.node_km[-1] == pytest.approx(route.start_km[-1])
    assert (np.diff(way.node_km) >= -1e-9).all()
    assert way.km == pytest.approx(np.diff(way.node_km))
    assert len(way.leg) == len(way.km) == len(way.node_km) - 1
    lengths = np.bincount(way.leg, weights=way.km, minlength=len(route.legs))
    assert lengths == pytest.approx(route.distance_km, abs=1e-6)
    assert sorted(way.mooring[way.mooring >= 0].tolist()) == list(range(len(route.moorings)))
    assert way.node_km[way.moorings_at] == pytest.approx([m.km for m in route.moorings])
    assert (np.diff(way.moorings_at) > 0).all()
    events = [route.events(n) for n in range(len(route.legs))]
    assert way.locks.sum() == sum(e.kind == "lock" for row in events for e in row)
    assert (way.service_h > 0).sum() == sum(len(row) for row in events)


@settings(max_examples=40, deadline=None)
@given(voyages())
def test_energy_and_time_of_services_are_those_of_the_legs(trip: Voyage) -> None:
    route, way = built(trip)
    for number, leg in enumerate(route.legs):
        at = way.service_leg == number
        bridges, locks = leg.bridges, leg.locks
        assert way.service_h[at].sum() == pytest.approx((locks * leg.lock_min + bridges * leg.bridge_min) / 60)
        kwh = locks * leg.lock_kwh + bridges * CUBE.manoeuvre_w * leg.bridge_min / 60e3
        assert way.service_kwh[at].sum() == pytest.approx(kwh)


def test_reaches_are_pairs_of_leg_and_square() -> None:
    """A leg over three degrees of latitude lies in its squares, each nearest to the middle of its segments."""
    long = voyage(
        (Place("A", 50.0, 0.0), Place("B", 53.0, 0.0), Place("C", 53.2, 0.0)),
        (Leg("A", "B", "canal"), Leg("B", "C", "canal")),
        mooring_every_km=5.0,
    )
    route = build_route(long)
    squares = StationAt()
    way = build_way(route, CUBE, squares)
    assert {key[0] for key in squares.keys} == {50.0, 51.0, 52.0, 53.0}
    lat, _ = route.position((way.node_km[1:] + way.node_km[:-1]) / 2)
    at = {number: key for key, number in squares.keys.items()}
    assert [at[s][0] for s in way.reaches.station[way.reach]] == np.round(lat).tolist()
    assert (way.reaches.leg[way.reach] == way.leg).all()
    pairs = list(zip(way.reaches.leg.tolist(), way.reaches.station.tolist(), strict=True))
    assert len(pairs) == len(set(pairs))


def test_squares_are_half_as_high_in_the_north_and_meet_at_the_date_line() -> None:
    squares = StationAt()
    numbers = squares(np.asarray([57.4, 58.3, 58.6, 10.0, 10.0]), np.asarray([5.2, 5.2, 5.2, 179.9, -179.9]))
    assert list(squares.keys) == [(57.0, 5.0), (58.5, 5.0), (10.0, -180.0)]
    assert numbers.tolist() == [0, 1, 1, 2, 2]
    assert squares(np.asarray([57.0]), np.asarray([4.8])).tolist() == [0]


def test_tidal_legs_are_cut_so_that_the_stream_can_turn() -> None:
    leg = Leg("A", "B", "coastal", distance_km=30.0, moor_anywhere=False, tide_high_water=HIGH_WATER)
    _, way = built(voyage(PLACES[:2], (leg,)))
    assert way.km.max() <= 4.0
    assert way.km.sum() == pytest.approx(30.0)
    _, still = built(voyage(PLACES[:2], (replace(leg, tide_high_water=None),)))
    assert len(still.km) == 1


def test_a_leg_that_only_dates_can_close_is_barred_at_its_start() -> None:
    """A stoppage on water without locks or bridges is met before the first kilometre, and takes no time to pass."""
    closed = replace(LEGS[1], bridges=0, closed=((datetime(2027, 3, 1).date(), datetime(2027, 3, 5).date()),))
    _, way = built(voyage(PLACES, (LEGS[0], closed, LEGS[2]), mooring_every_km=5.0))
    gate = np.flatnonzero((way.service_leg == 1) & (way.service_h > 0))
    assert way.node_km[gate] == pytest.approx([20.0])
    assert way.service_h[gate] * 3600 < 1
    assert way.locks[gate].tolist() == [0]
