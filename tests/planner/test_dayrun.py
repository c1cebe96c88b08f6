"""The evening's promise as the schedule tells it."""

from dataclasses import replace

import numpy as np
import pytest

from tests.planner.samples import demo
from voyager.planner.dayrun import night_holds
from voyager.planner.problem import evening_step


@pytest.fixture
def thirsty():
    """The winter plan's first evening, when even ``off`` asks for 9 kWh and there is no plug."""
    found = demo("winter")
    first = found.policy.problem.evenings[0]
    hold = np.full_like(first.hold_kwh, 12.0)
    hold[:, -1] = 9.0
    evening = replace(first, hold_kwh=hold, plug=np.zeros_like(first.plug))
    problem = replace(found.policy.problem, evenings=(evening, *found.policy.problem.evenings[1:]))
    return replace(found.policy, problem=problem)


def test_a_night_at_off_that_is_not_held_says_so(thirsty) -> None:
    evening = thirsty.problem.evenings[0]
    off = evening.hold_kwh.shape[1] - 1
    assert evening_step(evening, 0, 8.0, thirsty.problem.wanted) == (off, False)
    assert not night_holds(thirsty, 0, 0, 8.0, off, False)
    assert night_holds(thirsty, 0, 0, 9.0, off, False)


def test_a_plug_holds_any_night(thirsty) -> None:
    assert night_holds(thirsty, 0, 0, 0.0, 0, True)
