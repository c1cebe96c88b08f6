"""Heat wanted, shared out among heaters."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from voyager.energy.heaters import shared_out

WATTS = st.floats(0.0, 5000.0)


def test_the_first_gives_what_it_may_and_the_next_the_rest() -> None:
    """3 kW of heat: a heat pump of 500 W at 3 gives 1.5 kW, a plain heater of 2 kW the other 1.5 kW, a third none."""
    limits = [np.array([500.0]), np.array([2000.0]), np.array([900.0])]
    assert [float(w[0]) for w in shared_out(np.array([3000.0]), limits, [3.0, 1.0, 1.0])] == [500.0, 1500.0, 0.0]


@given(WATTS, st.lists(st.tuples(WATTS, st.floats(0.5, 5.0)), max_size=4))
def test_what_is_given_is_what_is_wanted_or_all_there_is(wanted: float, heaters: list[tuple[float, float]]) -> None:
    limits, gains = [np.array([limit]) for limit, _ in heaters], [gain for _, gain in heaters]
    given_w = [float(w[0]) for w in shared_out(np.array([wanted]), limits, gains)]
    heat = sum(w * gain for w, gain in zip(given_w, gains, strict=True))
    most = sum(limit * gain for limit, gain in heaters)
    assert heat == pytest.approx(min(wanted, most), abs=1e-6)
    assert all(-1e-9 <= w <= limit + 1e-9 for w, (limit, _) in zip(given_w, heaters, strict=True))
