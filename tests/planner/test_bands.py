"""Bands of charge: from empty to the top without gap, their edges, and each the decision of every charge in it."""

from bisect import bisect_right
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st

from tests.benchmarks.bench_policy import instance
from tests.planner.instances import levels, problems
from voyager.planner.backward import TIE
from voyager.planner.bands import EDGE_KWH, Band, bands, bands_of, evening_bands_of
from voyager.planner.decide import evening_decide
from voyager.planner.policy import Policy, choose, solve, worth_at
from voyager.planner.problem import Problem

QUICK = settings(max_examples=25, deadline=None, phases=[Phase.generate], suppress_health_check=list(HealthCheck))
CHARGES = 40


def _at(found: tuple[Band, ...], charge: float) -> Band:
    return found[bisect_right([band.from_kwh for band in found], charge + 1e-9) - 1]


def _near_an_edge(found: tuple[Band, ...], charge: float) -> bool:
    return any(abs(charge - band.from_kwh) <= EDGE_KWH for band in found)


def _loss(policy: Policy, day: int, stop: int, kind: int, charge: float, band: Band) -> float:
    """What the band's action costs more than the best of all at one charge; what is held must agree."""
    choice = choose(policy, day, stop, charge, kind)
    assert (choice.action is None) == (band.action < 0)
    if choice.action is None:
        assert (choice.flee, choice.held) == (band.flee, band.held)
        return 0.0
    value = worth_at(policy, day, np.asarray([band.action]), np.asarray([charge]), np.asarray([kind]))
    return float(value[0]) - choice.value


def _all_bands(policy: Policy, day: int) -> dict[tuple[int, int], tuple[Band, ...]]:
    problem = policy.problem
    rows = [(stop, kind) for stop in range(problem.stops - 1) for kind in range(problem.classes)]
    stop, kind = np.asarray(rows).T
    return dict(zip(rows, bands_of(policy, np.full(len(rows), day), stop, kind), strict=True))


@QUICK
@given(problems(classes=2, nodes=2, sea=True), st.integers(0, 5))
def test_bands_go_from_empty_to_the_top_and_each_differs_from_the_one_before(problem: Problem, day: int) -> None:
    policy = solve(problem, levels(problem))
    for found in _all_bands(policy, day % problem.days).values():
        assert found[0].from_kwh == 0.0
        edges = [band.from_kwh for band in found]
        assert edges == sorted(set(edges))
        assert edges[-1] <= problem.top_kwh
        told = [(band.action, band.flee, band.held) for band in found]
        assert all(a != b for a, b in pairwise(told))


@QUICK
@given(problems(classes=2, nodes=2, sea=True), st.integers(0, 5), st.integers(0, 99))
def test_what_is_held_in_a_band_is_what_is_held_at_its_charges(problem: Problem, day: int, seed: int) -> None:
    """Whole kilowatt-hours are levels: there, what a band tells is as good as the best of all."""
    policy, day = solve(problem, levels(problem)), day % problem.days
    rng = np.random.default_rng(seed)
    for (stop, kind), found in _all_bands(policy, day).items():
        for charge in rng.random(CHARGES) * problem.top_kwh:
            if not _near_an_edge(found, charge):
                assert _loss(policy, day, stop, kind, float(charge), _at(found, charge)) >= -1e-9
        for charge in policy.levels_kwh:
            assert _loss(policy, day, stop, kind, float(charge), _at(found, charge)) <= 2 * TIE


def test_on_a_river_a_band_is_the_choice_at_nearly_all_of_its_charges() -> None:
    """At most one charge in fifty has another choice, and 0.001 day is lost by it in the mean."""
    policy, rng, lost = solve(instance(days=30, stops=20, nodes=8)), np.random.default_rng(3), []
    for day in (0, 20):
        for (stop, kind), found in _all_bands(policy, day).items():
            charges = [c for c in rng.random(CHARGES) * policy.problem.top_kwh if not _near_an_edge(found, c)]
            lost += [_loss(policy, day, stop, kind, float(c), _at(found, c)) for c in charges]
    assert (np.asarray(lost) > 2 * TIE).mean() < 0.02
    assert np.mean(lost) < 1e-3


def test_edges_of_what_is_held_are_exact_and_of_values_within_a_thousandth() -> None:
    """An edge is some action's own threshold, a refuge's, or two actions there are worth the same to a tie."""
    policy = solve(instance(days=30, stops=20, nodes=8))
    acts, refuge, crossings = policy.problem.mornings[10], policy.problem.refuges[10], 0
    for (stop, kind), found in _all_bands(policy, 10).items():
        sharp = [*acts.from_kwh[kind, acts.start == stop], refuge.reach_kwh[kind, stop], refuge.held_kwh[kind, stop]]
        for low, high in pairwise(found):
            if np.abs(np.asarray(sharp) - high.from_kwh).min() < 1e-12:
                continue
            crossings += 1
            number, at = np.asarray([low.action, high.action]), np.full(2, high.from_kwh)
            before, after = (worth_at(policy, 10, number, at + k * EDGE_KWH, np.full(2, kind)) for k in (-1, 0))
            assert after[0] >= after[1] - TIE - 1e-9
            assert before[0] <= before[1] + TIE + 1e-9
    assert crossings > 20


def test_one_row_is_that_of_many() -> None:
    policy = solve(instance(days=12, stops=12, nodes=3))
    day, stop, kind = np.asarray([3, 0, 3]), np.asarray([2, 0, 5]), np.asarray([1, 4, 0])
    rows = zip(day.tolist(), stop.tolist(), kind.tolist(), strict=True)
    assert bands_of(policy, day, stop, kind) == [bands(policy, *row) for row in rows]


@QUICK
@given(problems(), st.integers(0, 5), st.integers(0, 99))
def test_evening_bands_are_what_is_decided_at_every_charge(problem: Problem, day: int, seed: int) -> None:
    policy, day = solve(problem, levels(problem)), day % problem.days
    rng, stops = np.random.default_rng(seed), np.arange(problem.stops - 1)
    every = evening_bands_of(policy, np.full(len(stops), day), stops, stops * 0)
    for stop, found in zip(stops, every, strict=True):
        assert found[0].from_kwh == 0.0
        charges = [c for c in rng.random(CHARGES) * problem.top_kwh if not _near_an_edge(found, c)]
        step, plugged = evening_decide(policy, day, np.full(len(charges), stop), np.asarray(charges), 0)
        told = [(_at(found, c).step, _at(found, c).plugged) for c in charges]
        assert told == list(zip(step.tolist(), plugged.tolist(), strict=True))
        hold = problem.evenings[day].hold_kwh[stop]
        for c in charges:
            band = _at(found, c)
            assert band.held == (band.plugged or c >= hold[band.step])


def test_evening_bands_of_the_rule_have_its_own_edges() -> None:
    """River: 3.0, 2.2 and 1.4 kWh above a floor of 4; no plug at the second mooring, one at the sixteenth."""
    policy = solve(instance(days=6, stops=20, nodes=3))
    alone, shore = evening_bands_of(policy, np.asarray([2, 2]), np.asarray([1, 15]), np.asarray([0, 0]))
    assert [(band.from_kwh, band.step, band.held) for band in alone] == [
        (0.0, 2, False), (pytest.approx(5.4), 2, True), (pytest.approx(6.2), 1, True), (pytest.approx(7.0), 0, True)
    ]  # fmt: skip
    assert [(band.step, band.plugged) for band in shore] == [(0, True), (0, False)]
    assert shore[1].from_kwh == pytest.approx(7.0)
