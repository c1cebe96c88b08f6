"""A short table read along straight lines, against numpy's own interpolation."""

from random import Random

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from voyager.boat.battery import Battery
from voyager.boat.broken_line import along

GRID = st.integers(-40, 40).map(lambda n: n / 4)
POINTS = st.lists(st.tuples(GRID, GRID), min_size=1, max_size=8)
AT = st.lists(st.one_of(GRID, st.floats(-50, 50)), min_size=1, max_size=12)


@given(POINTS, AT)
def test_it_is_numpys_interpolation_of_the_points_in_order(points: list[tuple[float, float]], at: list[float]) -> None:
    """Any order, points twice, vertical steps (read above the step where they stand), level beyond the ends."""
    x, y = zip(*sorted(points), strict=True)
    np.testing.assert_allclose(along(points, at), np.interp(at, x, y), rtol=0, atol=1e-10)


@given(POINTS, AT, st.randoms())
def test_the_order_of_the_points_does_not_matter(
    points: list[tuple[float, float]], at: list[float], shuffler: Random
) -> None:
    mixed = list(points)
    shuffler.shuffle(mixed)
    assert np.array_equal(along(points, at), along(mixed, at))


def test_by_hand() -> None:
    """Half way from 1 to 3, level outside, and up at a step."""
    assert along(((0.0, 1.0), (2.0, 3.0)), [-1.0, 1.0, 5.0]).tolist() == [1.0, 2.0, 3.0]
    assert along(((0.0, 1.0), (0.0, 4.0)), [-0.1, 0.0, 0.1]).tolist() == [1.0, 4.0, 4.0]
    assert along(((7.0, 2.5),), [[0.0, 7.0], [8.0, -3.0]]).tolist() == [[2.5, 2.5], [2.5, 2.5]]


def test_any_shape_keeps_its_shape() -> None:
    table = Battery(10.0).capacity_by_c
    assert float(along(table, -10.0)) == pytest.approx(0.775)
    assert along(table, np.zeros((2, 3, 4))).shape == (2, 3, 4)
    assert along(table, np.arange(3)).dtype == np.float64
