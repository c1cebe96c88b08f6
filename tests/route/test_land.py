"""Points on land and lines across it: a plain winding number, and ways known from any atlas."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from voyager.route.coast import TILE_DEG, tile
from voyager.route.land import crosses_land, deep_in_land, on_land

ACROSS = {
    "Dover to Bordeaux": ((51.05, 1.45), (45.6, -1.5)),
    "over the Cotentin": ((49.65, -2.0), (49.4, -0.6)),
    "New York to Chesapeake Bay by compass": ((40.5, -73.9), (38.0, -76.2)),
    "Baltic to North Sea without the canal": ((54.5, 10.4), (54.1, 8.0)),
}
ROUND = {
    "Dover to Bordeaux round Brittany": ((51.05, 1.45), (50.0, -1.0), (49.0, -6.0), (47.0, -5.0), (45.6, -1.5)),
    "round the Cotentin": ((49.65, -2.1), (49.8, -1.2), (49.7, -0.9), (49.5, -0.6)),
    "Lisbon to the Azores": ((38.6, -9.6), (37.7, -25.5)),
    "over the date line south of Fiji": ((-19.6, 178.0), (-19.6, -178.0)),
    "inland from end to end": ((48.85, 2.35), (45.76, 4.84)),
    "down a river to the sea": ((52.67, -8.63), (52.60, -9.35), (52.55, -10.2)),
    "one point twice": ((38.6, -9.6), (38.6, -9.6)),
}
ASIDE_DEG = 1.7e-5
"""Off the grid on which the data are kept, where a point may lie on an edge."""


@pytest.mark.parametrize("name", ACROSS)
def test_a_line_across_land_is_seen(name):
    assert crosses_land(ACROSS[name])
    assert crosses_land(ACROSS[name][::-1])


@pytest.mark.parametrize("name", ROUND)
def test_a_way_round_it_is_left_alone(name):
    assert not crosses_land(ROUND[name])


@settings(max_examples=60, deadline=None)
@given(st.floats(44.1, 59.9), st.floats(-11.9, 11.9))
def test_on_land_is_where_the_rings_wind_around(lat, lon):
    lat, lon = lat + ASIDE_DEG, lon + ASIDE_DEG
    row, column = int((lat + 90) // TILE_DEG), int((lon + 180) // TILE_DEG)
    turns = sum(abs(round(winding(ring.lon - lon, ring.lat - lat))) for ring in tile(row, column))
    assert bool(on_land(lat, lon)) == (turns % 2 == 1)


def winding(x: np.ndarray, y: np.ndarray) -> float:
    """Turns of the direction to a point that goes round a ring, added up side by side."""
    directions = [math.atan2(b, a) for a, b in zip(x, y, strict=True)]
    steps = [math.remainder(b - a, math.tau) for a, b in zip(directions, directions[1:] + directions[:1], strict=True)]
    return sum(steps) / math.tau


def test_points_keep_their_shape_and_longitudes_go_round():
    found = on_land([[51.5, 48.85], [40.0, 0.0]], [[-0.12, 2.35], [-30.0, 0.0]])
    assert found.tolist() == [[True, True], [False, False]]
    assert on_land(48.85, 2.35) == on_land(48.85, 362.35) == on_land(48.85, -357.65)
    assert not on_land(90.0, 0.0)
    assert on_land(-90.0, 180.0)


def test_deep_is_well_inside():
    """Paris; the Needles at the tip of the Isle of Wight; the middle of the Channel."""
    deep = deep_in_land(np.array([48.85, 50.66, 50.2]), np.array([2.35, -1.58, -1.0]))
    assert deep.tolist() == [True, False, False]
