"""The policy against a search of everything that may be done, its rules written out once more and plainly."""

from dataclasses import dataclass, field

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tests.planner.instances import levels, problems
from voyager.planner.policy import choose, solve
from voyager.planner.problem import Problem

NOT_HELD_PRICE = 1.0
QUICK = settings(max_examples=40, deadline=None, suppress_health_check=list(HealthCheck))
TINY = settings(max_examples=25, deadline=None, suppress_health_check=list(HealthCheck))


@dataclass
class Search:
    """Least cost from every state that can be met, at its exact charge: no levels, no interpolation.

    ``remember`` False tries every sequence again and again; True keeps what a state was found to cost.
    """

    problem: Problem
    remember: bool = True
    known: dict[tuple[str, int, int, float], float] = field(default_factory=dict)

    def morning(self, day: int, stop: int, charge: float) -> float:
        """Least cost from a morning on: 0 at the destination, the price of never at the horizon."""
        if stop == self.problem.destination:
            return 0.0
        if day >= self.problem.days:
            return float(self.problem.never[stop])
        return self._kept("morning", day, stop, charge)

    def evening(self, day: int, stop: int, charge: float) -> float:
        """Least cost from an evening on."""
        return self._kept("evening", day, stop, charge)

    def _kept(self, part: str, day: int, stop: int, charge: float) -> float:
        key = (part, day, stop, charge)
        if not self.remember:
            return self._try_all(*key)
        if key not in self.known:
            self.known[key] = self._try_all(*key)
        return self.known[key]

    def _try_all(self, part: str, day: int, stop: int, charge: float) -> float:
        options = self.mornings(day, stop, charge) if part == "morning" else self.evenings(day, stop, charge)
        return min(cost for cost, *_ in options)

    def mornings(self, day: int, stop: int, charge: float) -> list[tuple[float, int | None]]:
        """(cost from here on, action): every held action; where there is none, what the order of resort says."""
        acts, held = self.problem.mornings[day], []
        for a in range(len(acts.start)):
            if acts.start[a] != stop or not acts.from_kwh[0, a] <= charge < acts.below_kwh[a]:
                continue
            after = self.after(charge, acts.add[0, a], acts.cap[0, a])
            last, end = day + int(acts.days[a]), int(acts.end[a])
            rest = self.morning(last + 1, end, after) if acts.lands[a] else self.evening(last, end, after)
            held.append((acts.cost[a] + rest, a))
        return held or [(self._refuge(day, stop, charge), None)]

    def _refuge(self, day: int, stop: int, charge: float) -> float:
        refuge = self.problem.refuges[day]
        if refuge.end[stop] >= 0 and charge >= refuge.reach_kwh[0, stop]:
            after = self.after(charge, refuge.add[0, stop], refuge.cap[0, stop])
            price = refuge.cost[stop] + (NOT_HELD_PRICE if charge < refuge.held_kwh[0, stop] else 0.0)
            return price + self.evening(day, int(refuge.end[stop]), after)
        after = self.after(charge, refuge.stay_add[0, stop], refuge.stay_cap[0, stop])
        return refuge.stay_cost[stop] + NOT_HELD_PRICE + self.evening(day, int(refuge.stay_end[stop]), after)

    def evenings(self, day: int, stop: int, charge: float) -> list[tuple[float, int | None]]:
        """(cost from here on, step; None plugged in): the voyage's step, the plug, the warmest that holds, the last."""
        evening, wanted = self.problem.evenings[day], self.problem.wanted
        steps = [c for c in range(wanted, evening.hold_kwh.shape[1]) if charge >= evening.hold_kwh[stop, c]]
        step = steps[0] if steps else evening.hold_kwh.shape[1] - 1
        night = self.after(charge, evening.add[0, stop, step], evening.cap[0, stop, step])
        plugged = self.after(charge, evening.plug_add[0, stop], evening.plug_cap[0, stop])
        unplugged = (self.morning(day + 1, stop, night), step)
        if not evening.plug[stop]:
            return [unplugged]
        shore = (evening.plug_cost + self.morning(day + 1, stop, plugged), None)
        if charge < evening.hold_kwh[stop, wanted]:
            return [shore]
        return [unplugged, shore] if self.problem.plug_freely else [unplugged]

    @staticmethod
    def after(charge: float, add: float, cap: float) -> float:
        """Charge after a part of the day; an empty battery stays empty."""
        return max(0.0, min(charge + float(add), float(cap)))


def realised(problem: Problem, search: Search, start_kwh: float) -> float:
    """What it costs to do, morning by morning, what the policy says; in the evening what the rule says."""
    policy = solve(problem, levels(problem))
    day, stop, charge, paid = 0, 0, start_kwh, 0.0
    while stop != problem.destination and day < problem.days:
        choice = choose(policy, day, stop, charge)
        if choice.action is None:
            options = search.mornings(day, stop, charge)
            assert [a for _, a in options] == [None], "an action was held and not taken"
            paid, day, stop, charge = paid + _resort(problem, day, stop, charge), *_fled(problem, day, stop, charge)
        else:
            acts, a = problem.mornings[day], choice.action
            assert acts.from_kwh[0, a] <= charge < acts.below_kwh[a]
            paid, charge = paid + acts.cost[a], search.after(charge, acts.add[0, a], acts.cap[0, a])
            day, stop, landed = day + int(acts.days[a]), int(acts.end[a]), bool(acts.lands[a])
            if landed:
                day += 1
                continue
        paid, charge = _night(problem, search, day, stop, charge, paid)
        day += 1
    return paid + (0.0 if stop == problem.destination else float(problem.never[stop]))


def _resort(problem: Problem, day: int, stop: int, charge: float) -> float:
    refuge = problem.refuges[day]
    flees = refuge.end[stop] >= 0 and charge >= refuge.reach_kwh[0, stop]
    held = flees and charge >= refuge.held_kwh[0, stop]
    return float(refuge.cost[stop] if flees else refuge.stay_cost[stop]) + (0.0 if held else NOT_HELD_PRICE)


def _fled(problem: Problem, day: int, stop: int, charge: float) -> tuple[int, int, float]:
    refuge = problem.refuges[day]
    if refuge.end[stop] >= 0 and charge >= refuge.reach_kwh[0, stop]:
        return day, int(refuge.end[stop]), Search.after(charge, refuge.add[0, stop], refuge.cap[0, stop])
    return day, int(refuge.stay_end[stop]), Search.after(charge, refuge.stay_add[0, stop], refuge.stay_cap[0, stop])


def _night(problem: Problem, search: Search, day: int, stop: int, charge: float, paid: float) -> tuple[float, float]:
    evening = problem.evenings[day]
    _, step = min(search.evenings(day, stop, charge), key=lambda option: option[0])
    if step is None:
        return paid + evening.plug_cost, search.after(charge, evening.plug_add[0, stop], evening.plug_cap[0, stop])
    return paid, search.after(charge, evening.add[0, stop, step], evening.cap[0, stop, step])


@QUICK
@given(problems(), st.integers(0, 10))
def test_values_equal_the_search_at_every_stop_and_charge(problem: Problem, day: int) -> None:
    search, policy = Search(problem), solve(problem, levels(problem))
    day = day % problem.days
    for stop in range(problem.stops):
        for level, charge in enumerate(policy.levels_kwh):
            expected = search.morning(day, stop, float(charge))
            assert policy.morning[day, 0, stop, level] == pytest.approx(expected, abs=1e-9), (stop, charge)


@QUICK
@given(problems(), st.integers(0, 10))
def test_following_the_policy_costs_what_the_search_finds(problem: Problem, charge: int) -> None:
    start = float(min(charge, problem.top_kwh))
    search = Search(problem)
    assert realised(problem, search, start) == pytest.approx(search.morning(0, 0, start), abs=1e-9)


@TINY
@given(problems(most_days=3, most_stops=4), st.integers(0, 10))
def test_every_sequence_tried_out_costs_no_less(problem: Problem, charge: int) -> None:
    start = float(min(charge, problem.top_kwh))
    policy = solve(problem, levels(problem))
    value = float(np.interp(start, policy.levels_kwh, policy.morning[0, 0, 0]))
    assert value == pytest.approx(Search(problem, remember=False).morning(0, 0, start), abs=1e-9)


@QUICK
@given(problems(), st.integers(0, 10))
def test_the_choice_is_one_of_the_best(problem: Problem, charge: int) -> None:
    start, search, policy = float(min(charge, problem.top_kwh)), Search(problem), solve(problem, levels(problem))
    for day in range(problem.days):
        for stop in range(problem.stops - 1):
            options = search.mornings(day, stop, start)
            choice = choose(policy, day, stop, start)
            best = [a for cost, a in options if cost <= min(c for c, _ in options) + 1e-9]
            assert choice.action in best
            assert choice.held or choice.action is None
