"""How an hour is shared between two times; whole days: tests of the hours that a plan tells."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from voyager.planner.spent import inside


def test_parts_of_hours() -> None:
    assert inside(5, 1.25, 3.5).tolist() == [0.0, 0.75, 1.0, 0.5, 0.0]
    assert inside(2, 0.25, 0.75).tolist() == [0.5, 0.0]
    assert inside(2, 5.0, 7.0).tolist() == [0.0, 0.0]


@given(st.floats(0, 24), st.floats(0, 24))
def test_the_parts_add_up_to_the_whole(one: float, two: float) -> None:
    begins, ends = sorted((one, two))
    assert np.sum(inside(24, begins, ends)) == pytest.approx(ends - begins, abs=1e-9)
