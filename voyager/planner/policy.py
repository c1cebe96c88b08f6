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

from voyager.planner.again import Again, comparable
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
Bools = NDArray[np.bool_]
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


def solve(
    problem: Problem,
    levels: int = LEVELS,
    tick: Callable[[float], None] = lambda share: None,
    before: Policy | None = None,
) -> Policy:
    """The policy, by going back from the horizon; ``tick`` hears the share done. What holds of the one found
    ``before`` for another problem is not weighed again."""
    search = _Search(problem, levels, before)
    for day in range(problem.days - 1, -1, -1):
        tick(1 - (day + 1) / problem.days)
        search.day(day)
    return search.found()


class _Search:
    """A policy while it is found."""

    def __init__(self, problem: Problem, levels: int, before: Policy | None) -> None:
        self.problem, self.grid, self.fits = problem, np.linspace(0.0, problem.top_kwh, levels), _fits(problem)
        days, stops, classes = problem.days, problem.stops, problem.classes
        self.morning = np.empty((days + 1, classes, stops, levels))
        self.morning[days] = problem.never[:, None]
        self.morning[days, :, problem.destination] = 0.0
        self.evening = np.empty((days, problem.nodes, stops, levels))
        small = max((len(acts.start) for acts in problem.mornings), default=0) < np.iinfo(np.int16).max
        shape = (days, len(self.fits), classes, stops, levels)
        self.choice = np.full(shape, -1, dtype=np.int16 if small else np.int32)
        self.ranks: dict[int, Ints] = {}
        same = before is not None and comparable(before, problem, self.fits, levels)
        self.again = Again(before, problem) if before is not None and same else None
        self.ahead = _Ahead(problem, self.grid[1] - self.grid[0], self.morning, self.evening)

    def day(self, day: int) -> None:
        """One day further back."""
        self.ahead.drop(day + LONGEST_DAYS)
        again, acts, every = self.again, self.problem.mornings[day], np.arange(self.problem.stops)
        if again is None:
            self._nights(day, every)
            self.ranks[day] = ranks(acts)
            self._weigh(day, every, self.ranks[day])
            return
        night = again.nights(day)
        again.keep(night, again.old.evening[day], self.evening[day])
        self._nights(day, np.flatnonzero(~night))
        again.recover(night, again.old.evening[day], self.evening[day])
        alike = again.actions(day)
        same = again.worth(day, alike)
        self.ranks[day] = again.old.ranks[day] if again.shift == 0 and alike.all() else ranks(acts)
        again.keep(same, again.old.morning[day], self.morning[day])
        again.choose(day, same, self.choice[day])
        self._weigh(day, np.flatnonzero(~same), self.ranks[day][~same[acts.start[self.ranks[day]]]])
        again.recover(same, again.old.morning[day], self.morning[day])
        again.mornings[day] = same

    def _nights(self, day: int, stops: Ints) -> None:
        """The evening at some stops (K,)."""
        if len(stops):
            found = evening_value(self.problem, day, self.ahead.table(day, True), self.grid, stops)
            self.evening[day][:, stops] = found

    def _weigh(self, day: int, stops: Ints, order: Ints) -> None:
        """The morning at some stops (K,), whose actions are ``order``."""
        if not len(stops):
            return
        acts, flight = self.problem.mornings[day], self.problem.refuges[day].fit
        refuge = refuge_values(self.problem, day, self.ahead.table(day, False), self.grid, stops)
        given = offers(acts, order, self.ahead.seen_from(day, kinds(acts)), self.grid)
        found = best(given, self.problem.chance[day], self.fits, len(self.grid), bool((acts.fit < 1).any()))
        self.choice[day][:, :, found.stops] = found.number
        shares = np.diff(self.fits, prepend=0.0) if len(found.value) > 1 or (flight < 1).any() else np.ones(1)
        value = np.zeros((self.problem.classes, len(stops), len(self.grid)))
        low, at = np.full(value.shape, UNFIT), np.searchsorted(stops, found.stops)
        for f, share in enumerate(shares):
            low[:, at] = found.value[min(f, len(found.value) - 1)]
            fled = (flight[stops] >= self.fits[f])[:, None]
            value += share * np.where(low < UNFIT / 2, low, np.where(fled, *refuge))
        value[:, stops == self.problem.destination] = 0.0
        self.morning[day][:, stops] = value

    def found(self) -> Policy:
        """The policy of all days."""
        order = tuple(self.ranks[day] for day in range(self.problem.days))
        places = tuple(map(np.argsort, order))
        return Policy(self.problem, self.grid, self.morning, self.evening, self.choice, self.fits, order, places)


class _Ahead:
    """Tables of the days just ahead, by (day, landing after its evening), made when they are asked for."""

    def __init__(self, problem: Problem, step_kwh: float, morning: Floats, evening: Floats) -> None:
        self.problem, self.step_kwh, self.values = problem, step_kwh, (morning, evening)
        self.tables: dict[tuple[int, bool], Worth] = {}

    def table(self, day: int, lands: bool) -> Worth:
        """The worth of a day's evening given its node, or of the morning after it."""
        if (day, lands) not in self.tables:
            morning, evening = self.values
            values = dawn_value(self.problem.follow[day], morning[day + 1]) if lands else evening[day]
            self.tables[day, lands] = worth_table(values, self.step_kwh)
        return self.tables[day, lands]

    def drop(self, day: int) -> None:
        """Let go of a day."""
        self.tables.pop((day, True), None)
        self.tables.pop((day, False), None)

    def seen_from(self, day: int, kinds: list[tuple[int, bool]]) -> dict[tuple[int, bool], Worth]:
        """Tables by days from here on, the last day of all for what would end beyond it."""
        last = self.problem.days - 1
        return {key: self.table(min(day + key[0], last), key[1]) for key in kinds}


def _fits(problem: Problem) -> Floats:
    """The draws at which the sea allows less (F,), ascending, the last one 1."""
    fit = [acts.fit for acts in problem.mornings] + [refuge.fit for refuge in problem.refuges]
    found = np.concatenate([[1.0], *fit])
    return np.unique(found[found > 0.0])


@dataclass(frozen=True)
class Choice:
    """One morning's decision: ``action`` number in the morning's table, or None with a refuge (``flee``: to a plug)."""

    action: int | None
    held: bool
    flee: bool
    value: float


def choose(policy: Policy, day: int, stop: int, charge_kwh: float, known_class: int = 0, sea: float = 0.0) -> Choice:
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


def _refuge_choice(policy: Policy, day: int, stop: int, charge_kwh: float, known_class: int, sea: float) -> Choice:
    refuge = policy.problem.refuges[day]
    reached = charge_kwh >= refuge.reach_kwh[known_class, stop] - 1e-9
    if refuge.end[stop] >= 0 and reached and refuge.fit[stop] > sea:
        held = bool(charge_kwh >= refuge.held_kwh[known_class, stop] - 1e-9)
        return Choice(None, held, True, float(np.nan))
    return Choice(None, False, False, float(np.nan))
