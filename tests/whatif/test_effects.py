"""Effects of uncertain values, reckoned by hand on made-up members; which values get a second run."""

from dataclasses import replace
from math import sqrt
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.planner.test_tally import voyages
from voyager.whatif.effects import Fared, Shift, Side, Trial, effect, effects, fared, paired, widened

NONE = np.zeros(4)
BASE = Fared(np.array([10.0, 11, 12, np.nan]), np.array([0.0, 0, 0, 1]), NONE, NONE, np.array([1.0, 2, 3, 4]))


def boat(**moves: float) -> Any:
    """A stand-in for a vessel: what it adds to each measure."""
    return SimpleNamespace(moves=moves)


def follow(vessel: Any) -> Fared:
    return replace(BASE, **{name: getattr(BASE, name) + more for name, more in vessel.moves.items()})


def trial(hard: float, easy: float, **moves: float) -> Trial:
    """A value with error 2 whose sides, 2 up and 2 down, move the measures by ``hard`` and ``easy`` times ``moves``."""
    sides = [boat(**{name: share * move for name, move in moves.items()}) for share in (hard, easy)]
    return Trial(2.0, (Side(2.0, sides[0]), Side(-2.0, sides[1])))


def test_differences_are_taken_member_by_member() -> None:
    """1, 3 and 2 days later: 2 on average, standard deviation 1, of three pairs; the fourth arrives in neither."""
    got = paired(BASE.arrive_days, BASE.arrive_days + np.array([1.0, 3, 2, 0]))
    assert (got.mean, got.pairs) == (2.0, 3)
    assert got.se == pytest.approx(1 / sqrt(3))
    assert paired(np.array([np.nan]), np.array([1.0])) == Shift(None, None, 0)
    assert paired(np.array([1.0]), np.array([np.inf])) == Shift(None, None, 0)
    assert paired(np.array([1.0]), np.array([3.0]), 0.5) == Shift(1.0, None, 1)


def test_the_same_gives_exactly_nothing() -> None:
    got = effect(3.0, [(0.0, BASE), (3.0, BASE)], 1)
    assert {(one.mean, one.se) for one in got.shifts.values()} == {(0.0, 0.0)}


def test_central_difference_and_one_side() -> None:
    """Steps of 2 up and 1 down move by +0.8 and −0.1 days: a slope of 0.3 a unit, 0.6 for an error of 2."""
    up, down = follow(boat(arrive_days=0.8)), follow(boat(arrive_days=-0.1))
    both = effect(2.0, [(-1.0, down), (2.0, up)], 2).shifts["arrive_days"]
    assert both.mean == pytest.approx(0.6)
    assert effect(2.0, [(0.0, BASE), (-1.0, down)], 1).shifts["arrive_days"].mean == pytest.approx(0.2)


def test_what_counts_of_a_run() -> None:
    """The least charge above a reserve of 3 kWh among days lived; a stay with a plug; who never arrives."""
    charge = np.array([[9.0, 5, np.nan], [4, 8, 9]])
    plugged = np.array([[1, 1, 0], [0, 0, 0]]) > 0
    run = voyages(2, 3, charge_end_kwh=charge, plugged=plugged, arrive_day=np.array([1, -1]),
                  arrive_days=np.array([1.5, np.nan]))  # fmt: skip
    got = fared(run, 3.0)
    assert got.margin_kwh.tolist() == [2.0, 1.0]
    assert (got.stops.tolist(), got.never.tolist()) == ([1.0, 0.0], [0.0, 1.0])


def test_the_other_side_where_the_harder_one_moves_something() -> None:
    """The first and third move the arrival, the second by too little; the fourth has no error."""
    trials = [trial(1, -1, arrive_days=1), trial(0.009, -9, arrive_days=1), trial(-0.3, 0.5, arrive_days=1)]
    trials.append(Trial(0.0, trials[0].sides))
    heard: list[tuple[int, int]] = []
    got = effects(follow, BASE, trials, lambda done, of: heard.append((done, of)))
    assert [one.sides for one in got] == [2, 1, 2, 0]
    assert [one.shifts["arrive_days"].mean for one in got] == pytest.approx([1.0, 0.009, -0.4, 0.0])
    assert heard == [(0, 3), (1, 3), (2, 3), (3, 5), (4, 5)]


def test_stops_and_margin_count_as_well() -> None:
    moves: list[dict[str, float]] = [{"stops": 0.2}, {"margin_kwh": -3}, {"stops": 0.04, "margin_kwh": 0.04}]
    got = effects(follow, BASE, [trial(1, -1, **one) for one in [*moves, {"warm_h": 1.0}]])
    assert [one.sides for one in got] == [2, 2, 1, 1]


def test_a_limit_leaves_one_side_or_none() -> None:
    one = Trial(2.0, (Side(-1.0, boat(arrive_days=3)),))
    got = effects(follow, BASE, [one, Trial(2.0, ())])
    assert [(each.sides, each.shifts["arrive_days"].mean) for each in got] == [(1, -6.0), (0, 0.0)]


@given(st.floats(0, 1e3), st.floats(-1e3, 1e3))
def test_an_unknown_never_narrows(sd: float, shift: float) -> None:
    """Variances of independent causes add; nothing unknown widens nothing, and a sure arrival by the whole shift."""
    wider = widened(sd, shift)
    assert 0.0 <= wider <= abs(shift) + 1e-9
    assert (sd + wider) ** 2 == pytest.approx(sd**2 + shift**2)
    assert (widened(sd, 0.0), widened(0.0, shift)) == (0.0, abs(shift))
