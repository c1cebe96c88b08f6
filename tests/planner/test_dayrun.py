"""The evening's promise as the schedule tells it."""

from dataclasses import replace
from functools import lru_cache

import numpy as np

from tests.planner.instances import evening_step
from tests.planner.samples import vessel, voyage
from voyager.planner.dayrun import night_holds
from voyager.planner.outlook import look
from voyager.planner.policy import Policy


@lru_cache
def thirsty() -> Policy:
    """A small plan whose first evening asks for 9 kWh even at ``off``, without a plug."""
    policy = look(vessel(), voyage()).policy
    first = policy.problem.evenings[0]
    hold = np.full_like(first.hold_kwh, 12.0)
    hold[:, -1] = 9.0
    evening = replace(first, hold_kwh=hold, plug=np.zeros_like(first.plug))
    problem = replace(policy.problem, evenings=(evening, *policy.problem.evenings[1:]))
    return replace(policy, problem=problem)


def test_a_night_at_off_that_is_not_held_says_so() -> None:
    policy = thirsty()
    evening = policy.problem.evenings[0]
    off = evening.hold_kwh.shape[1] - 1
    assert evening_step(evening, 0, 8.0, policy.problem.wanted) == (off, False)
    assert not night_holds(policy, 0, 0, 8.0, off, False)
    assert night_holds(policy, 0, 0, 9.0, off, False)


def test_a_plug_holds_any_night() -> None:
    assert night_holds(thirsty(), 0, 0, 0.0, 0, True)
