"""The policy for classes, nodes and a sea against expectimax in plain Python and voyages drawn from the chain."""

from dataclasses import dataclass, field, replace
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st

from tests.planner.chain import voyages
from tests.planner.instances import levels, problems
from voyager.planner.policy import solve
from voyager.planner.problem import Problem

NOT_HELD_PRICE = 1.0
EXACT = 1e-7
"""Rounding over a few days; the least difference between two plans is a 64th times a chance."""
TINY = settings(max_examples=25, deadline=None, phases=[Phase.generate], suppress_health_check=list(HealthCheck))
FEW = settings(TINY, max_examples=15, derandomize=True, database=None)
small = st.builds(lambda y, x, sea: (y, x, sea), st.integers(1, 3), st.integers(1, 3), st.booleans()).flatmap(
    lambda size: problems(4, 4, classes=size[0], nodes=size[1], sea=size[2])
)


@dataclass
class Expectimax:
    """Mean cost of the best decisions at exact charges: the sea and the class are seen, the weather is not."""

    problem: Problem
    known: dict[tuple[str, int, int, int, float], float] = field(default_factory=dict)

    def morning(self, day: int, kind: int, stop: int, charge: float) -> float:
        """Given the class ``kind``, before the sea is seen."""
        if stop == self.problem.destination:
            return 0.0
        if day >= self.problem.days:
            return float(self.problem.never[stop])
        return self._kept("morning", day, kind, stop, charge)

    def evening(self, day: int, node: int, stop: int, charge: float) -> float:
        """Given the day's node."""
        return self._kept("evening", day, node, stop, charge)

    def dawn(self, day: int, node: int, stop: int, charge: float) -> float:
        """Before the class of the day after ``day`` is seen."""
        chances = self.problem.follow[day][node]
        return sum(float(p) * self.morning(day + 1, c, stop, charge) for c, p in enumerate(chances))

    def _kept(self, part: str, day: int, kind: int, stop: int, charge: float) -> float:
        key = (part, day, kind, stop, charge)
        if key not in self.known:
            self.known[key] = (self._seas if part == "morning" else self._night)(day, kind, stop, charge)
        return self.known[key]

    def _seas(self, day: int, kind: int, stop: int, charge: float) -> float:
        acts, refuge = self.problem.mornings[day], self.problem.refuges[day]
        edges = sorted({0.0, 1.0, *map(float, acts.fit), *map(float, refuge.fit)})
        total = 0.0
        for low, high in pairwise(edges):
            total += (high - low) * self.best(day, kind, stop, charge, (low + high) / 2)
        return total

    def best(self, day: int, kind: int, stop: int, charge: float, sea: float) -> float:
        """Least cost on a morning whose sea is ``sea``."""
        acts, held = self.problem.mornings[day], []
        for a in range(len(acts.start)):
            fits = acts.fit[a] > sea and acts.from_kwh[kind, a] <= charge < acts.below_kwh[a]
            if acts.start[a] == stop and fits:
                held.append(self.action(day, kind, a, charge))
        return min(held) if held else self._refuge(day, kind, stop, charge, sea)

    def action(self, day: int, kind: int, a: int, charge: float) -> float:
        """Mean cost of one action."""
        acts, total = self.problem.mornings[day], 0.0
        last = min(day + int(acts.days[a]), self.problem.days - 1)
        for x, chance in enumerate(self.problem.chance[day][kind]):
            rest = self.dawn if acts.lands[a] else self.evening
            after = _after(charge, acts.add[x, a], acts.cap[x, a])
            total += float(chance) * rest(last, x, int(acts.end[a]), after)
        return float(acts.cost[a]) + total

    def _refuge(self, day: int, kind: int, stop: int, charge: float, sea: float) -> float:
        refuge, chances = self.problem.refuges[day], self.problem.chance[day][kind]
        flees = refuge.end[stop] >= 0 and charge >= refuge.reach_kwh[kind, stop] and refuge.fit[stop] > sea
        held = flees and charge >= refuge.held_kwh[kind, stop]
        add, cap = (refuge.add, refuge.cap) if flees else (refuge.stay_add, refuge.stay_cap)
        end = int(refuge.end[stop] if flees else refuge.stay_end[stop])
        price = float(refuge.cost[stop] if flees else refuge.stay_cost[stop]) + (0.0 if held else NOT_HELD_PRICE)
        ends = [self.evening(day, x, end, _after(charge, add[x, stop], cap[x, stop])) for x in range(len(chances))]
        return price + sum(float(p) * value for p, value in zip(chances, ends, strict=True))

    def _night(self, day: int, node: int, stop: int, charge: float) -> float:
        evening, wanted = self.problem.evenings[day], self.problem.wanted
        hold, plug = evening.hold_kwh[stop], bool(evening.plug[stop])
        holding = [c for c in range(wanted, len(hold)) if charge >= hold[c]]
        step = holding[0] if holding else len(hold) - 1
        after = _after(charge, evening.plug_add[node, stop], evening.plug_cap[node, stop])
        if (plug and step != wanted) or (plug and not holding):
            return evening.plug_cost + self.dawn(day, node, stop, after)
        night = _after(charge, evening.add[node, stop, step], evening.cap[node, stop, step])
        alone = self.dawn(day, node, stop, night)
        if plug and self.problem.plug_freely:
            return min(alone, evening.plug_cost + self.dawn(day, node, stop, after))
        return alone


def _after(charge: float, add: float, cap: float) -> float:
    return max(0.0, min(charge + float(add), float(cap)))


@TINY
@given(small)
def test_values_equal_expectimax_at_every_stop_charge_and_class(problem: Problem) -> None:
    search, policy = Expectimax(problem), solve(problem, levels(problem))
    for kind in range(problem.classes):
        for stop in range(problem.stops):
            for level, charge in enumerate(policy.levels_kwh):
                expected = search.morning(0, kind, stop, float(charge))
                assert policy.morning[0, kind, stop, level] == pytest.approx(expected, abs=EXACT), (kind, stop, charge)


@TINY
@given(small)
def test_best_at_every_level_costs_no_more_than_expectimax(problem: Problem) -> None:
    """The action told for each state of the sea is held, allowed, and as good as the best."""
    search, policy = Expectimax(problem), solve(problem, levels(problem))
    acts, seas = problem.mornings[0], np.concatenate([[0.0], policy.fits[:-1]]) + 1e-6
    for (f, kind, stop, level), a in np.ndenumerate(policy.best[0]):
        if a < 0 or stop == problem.destination:
            continue
        charge = float(policy.levels_kwh[level])
        assert acts.fit[a] > seas[f]
        assert acts.from_kwh[kind, a] <= charge < acts.below_kwh[a]
        least = search.best(0, kind, stop, charge, seas[f])
        assert search.action(0, kind, int(a), charge) == pytest.approx(least, abs=EXACT)


@FEW
@given(problems(4, 4, classes=3, nodes=3, sea=True), st.integers(0, 10))
def test_voyages_drawn_from_the_chain_cost_what_the_policy_says(problem: Problem, charge: int) -> None:
    """Within three standard errors of 4,000 voyages; whole kilowatt-hours, so that no value is interpolated."""
    policy = solve(problem, levels(problem))
    start = min(charge, int(problem.top_kwh))
    paid = voyages(policy, float(start), 4000, seed=7)
    expected = float(problem.first @ policy.morning[0, :, 0, start])
    assert abs(paid.mean() - expected) <= 3 * paid.std() / np.sqrt(len(paid)) + 1e-6


@TINY
@given(problems(4, 4, classes=2, nodes=2, sea=True), st.integers(0, 1))
def test_a_class_split_in_two_alike_changes_nothing(problem: Problem, split: int) -> None:
    order = [0, 1, split]
    follow = problem.follow[:, :, order].copy()
    follow[:, :, split] *= 0.25
    follow[:, :, 2] *= 0.75
    mornings = tuple(replace(one, from_kwh=one.from_kwh[order]) for one in problem.mornings)
    refuges = tuple(
        replace(one, reach_kwh=one.reach_kwh[order], held_kwh=one.held_kwh[order]) for one in problem.refuges
    )
    more = replace(
        problem, mornings=mornings, refuges=refuges, chance=problem.chance[:, order], follow=follow,
        first=problem.first[order],
    )  # fmt: skip
    two, three = (solve(one, levels(one)).morning for one in (problem, more))
    np.testing.assert_allclose(three, two[:, order], atol=EXACT)


@TINY
@given(problems(4, 4, classes=2, nodes=3, sea=True), st.permutations([0, 1, 2]))
def test_the_order_of_nodes_changes_nothing(problem: Problem, order: list[int]) -> None:
    mornings = tuple(replace(one, add=one.add[order], cap=one.cap[order]) for one in problem.mornings)
    maps = ("add", "cap", "stay_add", "stay_cap")
    refuges = tuple(replace(one, **{name: getattr(one, name)[order] for name in maps}) for one in problem.refuges)
    maps = ("add", "cap", "plug_add", "plug_cap")
    evenings = tuple(replace(one, **{name: getattr(one, name)[order] for name in maps}) for one in problem.evenings)
    turned = replace(
        problem, mornings=mornings, refuges=refuges, evenings=evenings, chance=problem.chance[:, :, order],
        follow=problem.follow[:, order],
    )  # fmt: skip
    one, other = (solve(p, levels(p)) for p in (problem, turned))
    np.testing.assert_allclose(other.morning, one.morning, atol=EXACT)
    np.testing.assert_allclose(other.evening, one.evening[:, order], atol=EXACT)


@TINY
@given(problems(4, 4, classes=2, nodes=2, sea=True), st.integers(1, 5))
def test_dearer_days_cost_as_many_times_more_as_days_are_left(problem: Problem, more: int) -> None:
    """A price added to everything done on each day, and to never, changes no choice where nobody can arrive early."""
    stuck = replace(problem, mornings=tuple(replace(one, end=np.minimum(one.end, problem.stops - 2),
                                                    days=one.days * 0, lands=one.lands & False)
                                            for one in problem.mornings),
                    refuges=tuple(replace(one, end=np.minimum(one.end, problem.stops - 2),
                                          stay_end=np.minimum(one.stay_end, problem.stops - 2))
                                  for one in problem.refuges))  # fmt: skip
    mornings = tuple(replace(one, cost=one.cost + more) for one in stuck.mornings)
    refuges = tuple(replace(one, cost=one.cost + more, stay_cost=one.stay_cost + more) for one in stuck.refuges)
    dearer = replace(stuck, mornings=mornings, refuges=refuges)
    plain, added = (solve(p, levels(p)).morning[:, :, :-1] for p in (stuck, dearer))
    left = more * np.arange(problem.days, -1, -1.0)
    np.testing.assert_allclose(added - plain, np.broadcast_to(left[:, None, None, None], plain.shape), atol=EXACT)


@TINY
@given(problems(4, 4, classes=2, nodes=2))
def test_more_charge_never_costs_more_where_everything_is_held(problem: Problem) -> None:
    """All actions held at any charge, nights the same at every step and never plugged in."""
    def always(one):
        return replace(one, from_kwh=one.from_kwh * 0, below_kwh=one.below_kwh * 0 + 1e4)
    mornings = tuple(always(one) for one in problem.mornings)
    refuges = tuple(replace(one, reach_kwh=one.reach_kwh * 0 + 1e4) for one in problem.refuges)
    evenings = tuple(replace(one, add=np.repeat(one.add[..., :1], one.add.shape[2], axis=2),
                             cap=np.repeat(one.cap[..., :1], one.cap.shape[2], axis=2), plug=one.plug & False)
                     for one in problem.evenings)  # fmt: skip
    policy = solve(replace(problem, mornings=mornings, refuges=refuges, evenings=evenings), levels(problem))
    assert (np.diff(policy.morning, axis=3) <= EXACT).all()
