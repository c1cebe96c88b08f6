"""Stochastic dynamic programming over (day, stop, charge, sky class), two stages a day: morning, then evening.

Feasibility is exact (each action's own least charge), the value linear between charge levels. The morning knows the
class and the sea, the weather is one of the nodes that all classes share, and tomorrow's class hangs on the node: one
sky is one class with one node.
"""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from voyager.planner.backward import (
    TIE,
    UNFIT,
    Worth,
    best,
    dawn_value,
    evening_value,
    kinds,
    offers,
    ranks,
    refuge_values,
    worth_table,
)
from voyager.planner.levels import at_charge
from voyager.planner.problem import Problem

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Numbers = NDArray[np.signedinteger[Any]]
LEVELS = 61
LONGEST_DAYS = 4


@dataclass(frozen=True)
class Policy:
    """Values and choices by day, stop (T) and charge level (G).

    ``morning`` (D+1,Y,T,G): value given the class, before the sea is known; ``evening`` (D,X,T,G) given the node,
    before the rule. ``best`` (D,F,Y,T,G): the action taken at each level in each state of the sea, -1 where none is
    held. ``fits`` (F,): a draw u below the first allows every action that is ever fit, one from ``fits[f-1]`` on those
    with ``fit >= fits[f]``. ``ranks``: the actions of each morning in the order in which ties are settled,
    ``places`` where each action stands in it.
    """

    problem: Problem
    levels_kwh: Floats
    morning: Floats
    evening: Floats
    best: Numbers
    fits: Floats
    ranks: tuple[Ints, ...]
    places: tuple[Ints, ...]

    def dawn(self, day: int) -> Floats:
        """Worth (X,T,G) of the morning after a day given its node."""
        return dawn_value(self.problem.follow[day], self.morning[day + 1])


def solve(problem: Problem, levels: int = LEVELS, tick: Callable[[float], None] = lambda share: None) -> Policy:
    """The policy, by going back from the horizon; ``tick`` hears the share done."""
    grid = np.linspace(0.0, problem.top_kwh, levels)
    days, stops, classes, fits = problem.days, problem.stops, problem.classes, _fits(problem)
    morning = np.empty((days + 1, classes, stops, levels))
    morning[days] = problem.never[:, None]
    morning[days, :, problem.destination] = 0.0
    evening = np.empty((days, problem.nodes, stops, levels))
    small = max((len(acts.start) for acts in problem.mornings), default=0) < np.iinfo(np.int16).max
    choice = np.full((days, len(fits), classes, stops, levels), -1, dtype=np.int16 if small else np.int32)
    order = tuple(ranks(acts) for acts in problem.mornings)
    ahead = _Ahead(problem, grid[1] - grid[0])
    for day in range(days - 1, -1, -1):
        tick(1 - (day + 1) / days)
        ahead.dawn(day, morning[day + 1])
        evening[day] = evening_value(problem, day, ahead.tables[day, True], grid)
        ahead.evening(day, evening[day])
        _solve_morning(problem, day, ahead, grid, order[day], fits, morning[day], choice[day])
        morning[day, :, problem.destination] = 0.0
    return Policy(problem, grid, morning, evening, choice, fits, order, tuple(map(np.argsort, order)))


class _Ahead:
    """Tables of the days just ahead, by (day, landing after its evening)."""

    def __init__(self, problem: Problem, step_kwh: float) -> None:
        self.problem, self.step_kwh = problem, step_kwh
        self.tables: dict[tuple[int, bool], Worth] = {}

    def dawn(self, day: int, morning: Floats) -> None:
        """The worth of the morning after a day given its node; what is too far ahead is let go."""
        self.tables[day, True] = worth_table(dawn_value(self.problem.follow[day], morning), self.step_kwh)
        self.tables.pop((day + LONGEST_DAYS, True), None)
        self.tables.pop((day + LONGEST_DAYS, False), None)

    def evening(self, day: int, values: Floats) -> None:
        """The worth of a day's evening given its node."""
        self.tables[day, False] = worth_table(values, self.step_kwh)

    def seen_from(self, day: int) -> dict[tuple[int, bool], Worth]:
        """Tables by days from here on, the last day of all for what would end beyond it."""
        last = self.problem.days - 1
        keys = [(after, landed) for after in range(LONGEST_DAYS) for landed in (False, True)]
        return {key: self.tables[min(day + key[0], last), key[1]] for key in keys}


def _fits(problem: Problem) -> Floats:
    """The draws at which the sea allows less (F,), ascending, the last one 1."""
    fit = [acts.fit for acts in problem.mornings] + [refuge.fit for refuge in problem.refuges]
    found = np.concatenate([[1.0], *fit])
    return np.unique(found[found > 0.0])


def _solve_morning(
    problem: Problem,
    day: int,
    ahead: _Ahead,
    grid: Floats,
    order: Ints,
    fits: Floats,
    value: Floats,
    choice: Numbers,
) -> None:
    """Fills one day's ``value`` (Y,T,G) and ``choice`` (F,Y,T,G)."""
    given = offers(problem.mornings[day], order, ahead.seen_from(day), grid)
    found = best(given, problem.chance[day], fits, len(grid))
    refuge = refuge_values(problem, day, ahead.tables[day, False], grid)
    choice[:, :, found.stops] = found.number
    flight, value[:] = problem.refuges[day].fit, 0.0
    shares = np.diff(fits, prepend=0.0) if len(found.value) > 1 or (flight < 1).any() else np.ones(1)
    low = np.full(value.shape, UNFIT)
    for f, share in enumerate(shares):
        low[:, found.stops] = found.value[min(f, len(found.value) - 1)]
        value += share * np.where(low < UNFIT / 2, low, np.where((flight >= fits[f])[:, None], *refuge))


@dataclass(frozen=True)
class Choice:
    """One morning's decision: ``action`` number in the morning's table, or None with a refuge (``flee``: to a plug)."""

    action: int | None
    held: bool
    flee: bool
    value: float


def choose(
    policy: Policy, day: int, stop: int, charge_kwh: float, known_class: int = 0, sea: float = 0.0
) -> Choice:
    """The best held action at an exact charge, given the class and the sea's draw (0: fit for all).

    Ties within 1e-5 go to the warmer step, the lower pace, staying last.
    """
    acts = policy.problem.mornings[day]
    first, last = np.searchsorted(acts.start, [stop, stop + 1])
    number = policy.ranks[day][first:last]
    held = holds(policy, day, number, np.asarray(charge_kwh), np.asarray(known_class))
    number = number[held & (acts.fit[number] > sea)]
    if not len(number):
        return _refuge_choice(policy, day, stop, charge_kwh, known_class, sea)
    value = worth_at(policy, day, number, np.full(len(number), charge_kwh), np.full(len(number), known_class))
    pick = int(number[np.argmax(value <= value.min() + TIE)])
    return Choice(pick, True, False, float(value.min()))


def holds(policy: Policy, day: int, number: Ints, charge_kwh: Floats, known_class: Ints) -> NDArray[np.bool_]:
    """Whether actions are held at a charge each and a class each, shapes broadcast."""
    acts = policy.problem.mornings[day]
    least_kwh = acts.from_kwh[known_class, number]
    return np.asarray((charge_kwh >= least_kwh - 1e-9) & (charge_kwh < acts.below_kwh[number] - 1e-9))


def worth_at(policy: Policy, day: int, number: Ints, charge_kwh: Floats, known_class: Ints) -> Floats:
    """Price and mean worth of actions (N,) at one exact charge and class each."""
    problem, acts = policy.problem, policy.problem.mornings[day]
    out = np.empty(len(number))
    for days, lands in kinds(acts):
        pick = np.flatnonzero((acts.days[number] == days) & (acts.lands[number] == lands))
        if not len(pick):
            continue
        last, who = min(day + days, problem.days - 1), number[pick]
        values = policy.dawn(last) if lands else policy.evening[last]
        after = np.minimum(charge_kwh[pick] + acts.add[:, who], acts.cap[:, who])
        node = np.arange(problem.nodes)[:, None] * problem.stops
        found = at_charge(values.reshape(-1, values.shape[2]), policy.levels_kwh[1], node + acts.end[who], after)
        out[pick] = np.einsum("xn,nx->n", found, problem.chance[day][known_class[pick]])
    return np.asarray(acts.cost[number] + out)


def _refuge_choice(
    policy: Policy, day: int, stop: int, charge_kwh: float, known_class: int, sea: float
) -> Choice:
    refuge = policy.problem.refuges[day]
    reached = charge_kwh >= refuge.reach_kwh[known_class, stop] - 1e-9
    if refuge.end[stop] >= 0 and reached and refuge.fit[stop] > sea:
        held = bool(charge_kwh >= refuge.held_kwh[known_class, stop] - 1e-9)
        return Choice(None, held, True, float(np.nan))
    return Choice(None, False, False, float(np.nan))
