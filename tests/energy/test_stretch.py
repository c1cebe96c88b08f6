"""A stretch between any two kilometres costs what the walk from mooring to mooring costs."""

import numpy as np
import pytest

from voyager.boat.hull import Hull
from voyager.energy.passage import Clock, speed_table, walk
from voyager.energy.stretch import Stretch, stretch
from voyager.energy.way import StationAt, build_way
from voyager.route.leg import Leg
from voyager.route.line import build_route
from voyager.route.place import Place
from voyager.route.voyage import Voyage

HULL = Hull(95.0, waterline_m=12.0)
PACES = np.asarray([200.0, 400.0, 900.0])
PLACES = (Place("A", 53.0, -8.0), Place("B", 53.1, -8.0), Place("C", 53.3, -8.0))
LEGS = (
    Leg("A", "B", "canal", distance_km=12.0, locks=2, wind_mps=0.0),
    Leg("B", "C", "river", distance_km=22.0, current_mps=0.3, wind_mps=0.0, bridges=1),
)


def made() -> tuple:  # type: ignore[type-arg]
    from datetime import date

    route = build_route(Voyage("v", date(2027, 3, 1), "Etc/UTC", PLACES, LEGS))
    way = build_way(route, HULL, StationAt())
    return route, way, speed_table(HULL, route.legs, PACES, np.zeros((1, 2)), 1.0)


def gone(from_km: float, to_km: float) -> Stretch:
    route, way, table = made()
    return stretch(way, route.legs, table, 0, (from_km, to_km), 5.0, np.zeros(2))


def test_it_is_the_walk_of_the_planner() -> None:
    route, way, table = made()
    always = np.tile([-np.inf, np.inf], (1, 2, 1))
    clock = Clock(np.zeros((1, 1)), np.full((1, 1), 99.0), always, np.zeros((1, 2)), np.zeros(1, dtype=np.int64))
    walked = walk(way, route.legs, table, clock, np.asarray([0]))
    for mooring in range(1, len(route.moorings)):
        node = way.moorings_at[mooring]
        found = gone(0.0, float(way.node_km[node]))
        assert found.hours == pytest.approx(walked.arrive_h[node, 0, 0])
        assert found.kwh == pytest.approx(walked.kwh[node, 0, 0])


def test_parts_add_up() -> None:
    parts = [gone(a, b) for a, b in ((0.0, 5.3), (5.3, 17.7), (17.7, 34.0))]
    whole = gone(0.0, 34.0)
    assert sum(one.kwh for one in parts) == pytest.approx(whole.kwh)
    assert sum(one.hours for one in parts) == pytest.approx(whole.hours)


def test_a_kilometre_by_hand() -> None:
    """400 W on the canal is (400/95)^(1/3) = 1.6148 m/s: 3 km take 1858 s and 206 Wh."""
    found = gone(4.5, 7.5)
    assert found.hours[1] == pytest.approx(3000 / 1.6148 / 3600, rel=2e-3)
    assert found.kwh[1] == pytest.approx(0.4 * 3000 / 1.6148 / 3600, rel=4e-3)
