"""Coast and land of a window."""

import math

import numpy as np
import pytest

from tests.route.samples import odd
from voyager.route.around import MOST_DOTS, WIDEST_DEG, around
from voyager.route.land import on_land
from voyager.route.mercator import latitude, northing

WHOLE = {"west": -180.0, "south": -180.0, "east": 180.0, "north": 180.0, "dot": 2.0}


def test_land_filled_even_odd_is_the_land():
    y = float(northing(np.array(50.2)))
    _, land = around({"west": -3.0, "east": 1.0, "south": y - 1.5, "north": y + 1.5, "dot": 0.002})
    rng = np.random.default_rng(5)
    points = [(x, y + north) for x, north in zip(rng.uniform(-3, 1, 400), rng.uniform(-1.5, 1.5, 400), strict=True)]
    inside = [sum(odd(ring, *point) for ring in land) % 2 == 1 for point in points]
    truth = [bool(on_land(latitude(north), x)) for x, north in points]
    assert 0.2 < np.mean(truth) < 0.8
    assert np.mean(np.array(inside) == np.array(truth)) > 0.985


def test_nothing_without_a_window():
    assert around(None) == ([], [])


@pytest.mark.parametrize("change", [{"west": math.nan}, {"east": math.inf}, {"dot": math.nan}, {"west": 200.0}])
def test_what_is_no_window_has_no_coast(change):
    assert around({**WHOLE, **change}) == ([], [])


def test_of_a_window_wider_than_the_earth_the_middle_is_given():
    """Held by the tiles looked at: a billion degrees would be two hundred million columns of them."""
    coast, land = around({**WHOLE, "west": -1e9 + 7, "east": 1e9 + 7, "south": -1e300, "north": 1e300})
    xs = [x for line in (*coast, *land) for x, _ in line]
    assert 7 - WIDEST_DEG / 2 - 4 <= min(xs) < 7 - 180
    assert 7 + 180 < max(xs) <= 7 + WIDEST_DEG / 2 + 4


def test_a_window_is_given_no_finer_than_can_be_drawn():
    """Points of the whole earth at a dot a millionth of it: no more of them than at the finest that is given."""
    small = {"west": -10.0, "south": 50.0, "east": 10.0, "north": 70.0}
    finest, beyond = (around({**small, "dot": dot})[0] for dot in (20.0 / MOST_DOTS, 1e-9))
    assert beyond == finest
    coarser = around({**small, "dot": 0.1})[0]
    assert sum(map(len, coarser)) < sum(map(len, finest))
