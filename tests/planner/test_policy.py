"""The policy's arithmetic: shifted rows against plain interpolation, what must not fall, how ties are settled."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tests.planner.instances import NOTHING, evening_step, levels, morning, problems
from voyager.planner.backward import TIE
from voyager.planner.levels import at_charge, shift, shifted
from voyager.planner.levels import table as ready
from voyager.planner.policy import choose, solve
from voyager.planner.problem import Evening, Problem, Refuge

QUICK = settings(max_examples=60, deadline=None, suppress_health_check=list(HealthCheck))
ROWS = 4
values_st = st.lists(st.floats(-50, 50), min_size=ROWS * 13, max_size=ROWS * 13)
kwh_lists = st.lists(st.floats(-40, 40), min_size=6, max_size=6)
cap_lists = st.lists(st.floats(0, 12), min_size=6, max_size=6)
row_lists = st.lists(st.integers(0, ROWS - 1), min_size=6, max_size=6)


@QUICK
@given(values_st, row_lists, kwh_lists, cap_lists)
def test_shifted_is_linear_interpolation_at_the_charge_after(
    values: list[float], rows: list[int], add: list[float], cap: list[float]
) -> None:
    _shifted_is_interpolated(np.reshape(values, (ROWS, 13)), rows, add, cap)


@QUICK
@given(values_st, row_lists, kwh_lists, cap_lists)
def test_so_it_is_where_more_charge_is_worth_no_more(
    values: list[float], rows: list[int], add: list[float], cap: list[float]
) -> None:
    """Falling rows, whose caps are read as the larger of two values."""
    _shifted_is_interpolated(-np.sort(np.reshape(values, (ROWS, 13)), axis=1), rows, add, cap)


def _shifted_is_interpolated(table: np.ndarray, rows: list[int], add: list[float], cap: list[float]) -> None:
    grid, whole = np.linspace(0, 12, 13), ready(table, 1.0)
    out = shifted(whole, shift(whole, np.asarray([rows]), np.asarray([add]), np.asarray([cap])))[0]
    for k, row in enumerate(rows):
        after = np.minimum(grid + add[k], cap[k])
        np.testing.assert_allclose(out[k], np.interp(after, grid, table[row]), atol=1e-6)


@QUICK
@given(values_st, row_lists, kwh_lists)
def test_at_charge_is_linear_interpolation(values: list[float], rows: list[int], charge: list[float]) -> None:
    table, grid = np.reshape(values, (ROWS, 13)), np.linspace(0, 12, 13)
    out = at_charge(table, 1.0, np.asarray(rows), np.asarray(charge))
    expected = [np.interp(c, grid, table[r]) for r, c in zip(rows, charge, strict=True)]
    np.testing.assert_allclose(out, expected, atol=1e-6)


def _longer(problem: Problem, price: float) -> Problem:
    return replace(problem, never_cost=problem.never_cost + price)


@QUICK
@given(problems(most_days=4), st.integers(1, 20))
def test_a_dearer_never_makes_nothing_cheaper_and_costs_no_more_than_itself(problem: Problem, more: int) -> None:
    low, high = (solve(p, levels(problem)).morning for p in (problem, _longer(problem, more)))
    assert (high >= low - 1e-9).all()
    assert (high <= low + more + 1e-9).all()


@QUICK
@given(problems(most_days=4), st.integers(0, 3), st.integers(0, 20))
def test_one_more_held_action_makes_no_state_in_which_something_was_held_dearer(
    problem: Problem, day: int, pick: int
) -> None:
    """Widening what is held may only help where a choice was there before: elsewhere it takes the refuge away."""
    acts = problem.mornings[day % problem.days]
    a = pick % len(acts.start)
    wider = replace(acts, below_kwh=np.where(np.arange(len(acts.start)) == a, NOTHING, acts.below_kwh))
    days = list(problem.mornings)
    days[day % problem.days] = wider
    before, after = (solve(p, levels(problem)) for p in (problem, replace(problem, mornings=tuple(days))))
    row, charge = int(acts.start[a]), before.levels_kwh
    mine = acts.start == row
    held = ((charge[:, None] >= acts.from_kwh[0, mine]) & (charge[:, None] < acts.below_kwh[mine])).any(axis=1)
    at = day % problem.days
    assert (after.morning[at, 0, row][held] <= before.morning[at, 0, row][held] + 1e-9).all()


def test_at_the_destination_everything_is_over() -> None:
    policy = solve(_choice([{"pace": 0, "cost": 1.0}]), 11)
    assert (policy.morning[:, 0, 1] == 0).all()


def _choice(rows: list[dict[str, float]], never: float = 30.0, *, freely: bool = False) -> Problem:
    """One morning between two stops; every row goes from the first to the second unless it says otherwise."""
    base = {"start": 0, "end": 1, "cap": 10.0, "below_kwh": NOTHING}
    nought, none = np.zeros(2), np.full(2, -1)
    refuge = Refuge(
        none, nought, nought + 1.0, nought[None], nought[None] + 10, nought[None], nought[None], nought[None],
        nought[None] + 10, (nought[None],) * 4, (nought[None],) * 4, np.arange(2),
    )  # fmt: skip
    evening = Evening(
        np.zeros((2, 1)), np.zeros((1, 2, 1)), np.full((1, 2, 1), 10.0), np.zeros(2, bool), nought[None] + 5,
        nought[None] + 10, 0.01,
    )  # fmt: skip
    return Problem((morning([base | row for row in rows]),), (refuge,), (evening,), 2, 1, 10.0, 0, freely, never)


def _taken(rows: list[dict[str, float]]) -> int | None:
    problem = _choice(rows)
    return choose(solve(problem, 11), 0, 0, 5.0).action


def test_ties_go_to_the_lower_pace() -> None:
    assert _taken([{"pace": 2, "cost": 1.0}, {"pace": 1, "cost": 1.0 + TIE / 2}, {"pace": 3, "cost": 1.0}]) == 1


def test_beyond_the_margin_the_cheaper_wins() -> None:
    assert _taken([{"pace": 2, "cost": 1.0}, {"pace": 1, "cost": 1.0 + 2 * TIE}]) == 0


def test_staying_comes_last_among_equals() -> None:
    assert _taken([{"pace": -1, "end": 0, "cost": 1.0}, {"pace": 4, "cost": 31.0}]) == 1


def test_a_warmer_step_comes_first_among_equals() -> None:
    assert _taken([{"pace": 1, "step": 1, "cost": 1.0}, {"pace": 2, "step": 0, "cost": 1.0}]) == 1


def test_thresholds_are_met_to_the_charge_itself_between_levels() -> None:
    """An action held from 4.37 kWh, levels a kilowatt-hour apart."""
    problem = _choice([{"pace": 1, "cost": 1.0, "from_kwh": 4.37}])
    policy = solve(problem, 11)
    assert choose(policy, 0, 0, 4.37).action == 0
    assert choose(policy, 0, 0, 4.36).action is None
    assert not choose(policy, 0, 0, 4.36).held


def test_band_that_ends_is_left_at_its_end() -> None:
    policy = solve(_choice([{"pace": 1, "cost": 1.0, "below_kwh": 4.5}]), 11)
    assert choose(policy, 0, 0, 4.49).action == 0
    assert choose(policy, 0, 0, 4.5).action is None


def test_interpolated_value_of_the_chosen_action() -> None:
    """Two stops a day apart, staying costs a day: 1 + 30 never; going 1: the value is the price of going."""
    policy = solve(_choice([{"pace": 1, "cost": 1.25}, {"pace": -1, "end": 0, "cost": 1.0}]), 11)
    assert choose(policy, 0, 0, 3.3).value == pytest.approx(1.25, abs=1e-12)


HOLD = np.asarray([[8.0, 5.0, 3.0]])


@pytest.mark.parametrize(
    ("charge", "wanted", "plug", "expected"),
    [
        (8.0, 0, True, (0, False)),
        (7.9, 0, True, (0, True)),
        (7.9, 0, False, (1, False)),
        (4.0, 0, False, (2, False)),
        (1.0, 0, False, (2, False)),
        (6.0, 1, True, (1, False)),
        (9.0, 2, False, (2, False)),
        (2.0, 2, True, (2, True)),
    ],
)
def test_rule_of_the_evening(charge: float, wanted: int, plug: bool, expected: tuple[int, bool]) -> None:
    """DESIGN's order: the voyage's step where it holds, else the plug, else the warmest that holds, else off."""
    shape = np.zeros((1, 1, 3))
    evening = Evening(HOLD, shape, shape + 10, np.asarray([plug]), shape[..., 0], shape[..., 0] + 10, 0.01)
    assert evening_step(evening, 0, charge, wanted) == expected


def test_more_levels_change_nothing_where_everything_is_in_whole_steps() -> None:
    problem = _choice([{"pace": 1, "cost": 2.0, "add": -3.0, "from_kwh": 3.0}])
    coarse, fine = solve(problem, 11), solve(problem, 41)
    np.testing.assert_allclose(coarse.morning[0, 0, 0], fine.morning[0, 0, 0][::4], atol=1e-12)
