"""Polygons cut to a window."""

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.route.samples import odd
from voyager.route.clip import clipped, thinned, within


@settings(deadline=None)
@given(st.lists(st.tuples(st.floats(-5, 5), st.floats(-5, 5)), min_size=3, max_size=12))
def test_aclipped_polygon_keeps_its_area_within(points):
    """Held to random points: those in the window are in the clipped polygon just when they are in the whole one."""
    ring = np.array(points)
    cut = [tuple(point) for point in clipped(ring, (-2.0, -1.0, 3.0, 2.0)).tolist()]
    rng = np.random.default_rng(1)
    for x, y in zip(rng.uniform(-2, 3, 20), rng.uniform(-1, 2, 20), strict=True):
        before = odd([tuple(p) for p in points], x, y) % 2
        assert (odd(cut, x, y) if len(cut) > 2 else 0) % 2 == before


def test_a_line_is_cut_to_the_pieces_that_may_touch():
    line = np.array([(-9.0, 0), (-3, 0), (0, 0), (9, 0), (20, 0), (9, 0)])
    pieces = [piece[:, 0].tolist() for piece in within(line, (-1.0, -1.0, 10.0, 1.0))]
    assert pieces == [[-3, 0, 9, 20, 9]]
    assert [len(piece) for piece in within(line, (-8.0, -1.0, -5.0, 1.0))] == [2]


def test_one_point_a_dot_and_the_last_one():
    line = np.column_stack([np.linspace(0, 10, 1001), np.zeros(1001)])
    kept = thinned(line, 1.0)
    assert len(kept) == 12, "a point in each of the dots 0 to 10, and the end"
    assert (kept[0], kept[-1]) == ((0.0, 0.0), (10.0, 0.0))
    assert len(thinned(line, 0.0)) == 1001
    assert thinned(line[:0], 1.0) == []
