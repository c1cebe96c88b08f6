"""Stochastic dynamic programming over (day, stop, charge), two stages a day: morning, then evening.

Feasibility is exact (each action's own least charge), the value linear between charge levels. One sky is one class
with one node: X = 1 of the axis that classes and their energy nodes share.
"""

from dataclasses import dataclass

import numpy as np
from numpy.lib.stride_tricks import sliding_window_view
from numpy.typing import NDArray

from voyager.planner.aim import NOT_HELD
from voyager.planner.problem import Evening, Problem, Refuge

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
LEVELS = 61
UNFIT = 1e6
TIE = 1e-5


@dataclass(frozen=True)
class Policy:
    """Values by day, stop and level: ``morning`` (D+1,Y,T,G) before the choice, ``evening`` (D,X,T,G) before the rule"""

    problem: Problem
    levels_kwh: Floats
    morning: Floats
    evening: Floats


def solve(problem: Problem, levels: int = LEVELS) -> Policy:
    """The policy, by going back from the horizon."""
    grid = np.linspace(0.0, problem.top_kwh, levels)
    morning = np.broadcast_to(problem.never[None, :, None], (problem.days + 1, problem.stops, levels)).copy()
    evening = np.zeros((problem.days, 1, problem.stops, levels))
    _arrived(morning[problem.days], problem)
    for day in range(problem.days - 1, -1, -1):
        evening[day, 0] = _evening_value(problem, problem.evenings[day], 0, morning[day + 1], grid)
        morning[day] = _morning_value(problem, day, evening, morning, grid)
        _arrived(morning[day], problem)
    return Policy(problem, grid, morning[:, None], evening)


def _arrived(values: Floats, problem: Problem) -> None:
    values[problem.destination] = 0.0


def shifted(values: Floats, grid: Floats, rows: Ints, add: Floats, cap: Floats) -> Floats:
    """``values[rows]`` at min(grid + add, cap), linear between levels and held at the ends: (A,G).

    On a uniform grid a shift is two neighbouring windows of the row and one weight.
    """
    count, step = len(grid), grid[1] - grid[0]
    padded = np.concatenate(
        [np.repeat(values[:, :1], count, axis=1), values, np.repeat(values[:, -1:], count + 1, axis=1)], axis=1
    )
    windows = sliding_window_view(padded, count, axis=1)
    place = np.clip(add / step, -count, count)
    whole = np.floor(place + 1e-9).astype(np.int64)
    share = np.clip(place - whole, 0.0, 1.0)[:, None]
    out = windows[rows, count + whole]
    out = out + share * (windows[rows, count + whole + 1] - out)
    over = grid[None, :] > (cap - add)[:, None]
    return np.where(over, at_charge(values, grid, rows, cap)[:, None], out)


def at_charge(values: Floats, grid: Floats, rows: Ints, charge_kwh: Floats) -> Floats:
    """``values[rows]`` at one charge each, linear between levels, held at the ends: (A,)."""
    place = np.clip(charge_kwh / (grid[1] - grid[0]), 0.0, len(grid) - 1)
    whole = np.minimum(np.floor(place + 1e-9).astype(np.int64), len(grid) - 2)
    share = np.clip(place - whole, 0.0, 1.0)
    return np.asarray(values[rows, whole] * (1 - share) + values[rows, whole + 1] * share)


def _evening_value(problem: Problem, evening: Evening, x: int, after: Floats, grid: Floats) -> Floats:
    """Value of the evening at every stop and level: the rule's own night, or the plug where it pays and may."""
    rows = np.arange(problem.stops)
    steps = range(evening.hold_kwh.shape[1])
    nights = [shifted(after, grid, rows, evening.add[x, :, c], evening.cap[x, :, c]) for c in steps]
    plugged = shifted(after, grid, rows, evening.plug_add[x], evening.plug_cap[x]) + evening.plug_cost
    holds = [grid[None, :] >= evening.hold_kwh[:, c, None] - 1e-9 for c in steps]
    out = nights[-1]
    for c in range(len(nights) - 2, problem.wanted - 1, -1):
        out = np.where(holds[c], nights[c], out)
    short = evening.plug[:, None] & ~holds[problem.wanted]
    if problem.plug_freely:
        out = np.where(evening.plug[:, None], np.minimum(out, plugged), out)
    return np.where(short, plugged, out)


def outcome(
    problem: Problem, day: int, action: slice | Ints, evening: Floats, morning: Floats, grid: Floats, x: int = 0
) -> Floats:
    """What the actions cost from here on, (A,G): own price and the value of where they end."""
    acts = problem.mornings[day]
    end, add, cap = acts.end[action], acts.add[x][action], acts.cap[x][action]
    days, lands = acts.days[action], acts.lands[action]
    if not days.any() and not lands.any():
        return acts.cost[action][:, None] + shifted(evening[day, x], grid, end, add, cap)
    out = np.empty((len(end), len(grid)))
    for after, landed in {(int(a), bool(b)) for a, b in zip(days, lands, strict=True)}:
        pick = (days == after) & (lands == landed)
        last = min(day + after, problem.days - 1)
        values = morning[last + 1] if landed else evening[last, x]
        out[pick] = shifted(values, grid, end[pick], add[pick], cap[pick])
    return acts.cost[action][:, None] + out


def _morning_value(problem: Problem, day: int, evening: Floats, morning: Floats, grid: Floats) -> Floats:
    acts = problem.mornings[day]
    values = outcome(problem, day, slice(None), evening, morning, grid)
    held = (grid[None, :] >= acts.from_kwh[0, :, None] - 1e-9) & (grid[None, :] < acts.below_kwh[:, None] - 1e-9)
    values = np.where(held, values, UNFIT)
    out = np.full((problem.stops, len(grid)), UNFIT)
    starts, first = np.unique(acts.start, return_index=True)
    out[starts] = np.minimum.reduceat(values, first, axis=0)
    fallback = refuge_value(problem, problem.refuges[day], evening[day, 0], grid)
    return np.where(out < UNFIT, out, fallback)


def refuge_value(problem: Problem, refuge: Refuge, evening: Floats, grid: Floats) -> Floats:
    """Value of fleeing to a plug or staying at ``off``, (T,G): a finite price, for infinity leaks between levels."""
    stayed = shifted(evening, grid, refuge.stay_end, refuge.stay_add[0], refuge.stay_cap[0])
    stay = refuge.stay_cost[:, None] + NOT_HELD + stayed
    if not (refuge.end >= 0).any():
        return stay
    go = shifted(evening, grid, np.maximum(refuge.end, 0), refuge.add[0], refuge.cap[0]) + refuge.cost[:, None]
    go = go + np.where(grid[None, :] < refuge.held_kwh[0, :, None] - 1e-9, NOT_HELD, 0.0)
    reached = (refuge.end >= 0)[:, None] & (grid[None, :] >= refuge.reach_kwh[0, :, None] - 1e-9)
    return np.where(reached, go, stay)


@dataclass(frozen=True)
class Choice:
    """One morning's decision: ``action`` number in the morning's table, or None with a refuge (``flee``: to a plug)."""

    action: int | None
    held: bool
    flee: bool
    value: float


def choose(policy: Policy, day: int, stop: int, charge_kwh: float) -> Choice:
    """The best held action at an exact charge; ties within 1e-5 go to the lower pace, to staying last."""
    acts = policy.problem.mornings[day]
    first, last = np.searchsorted(acts.start, [stop, stop + 1])
    number = np.arange(first, last)
    held = (charge_kwh >= acts.from_kwh[0, number] - 1e-9) & (charge_kwh < acts.below_kwh[number] - 1e-9)
    number = number[held]
    if not len(number):
        return _refuge_choice(policy, day, stop, charge_kwh)
    value = _exact(policy, day, number, charge_kwh)
    near = number[value <= value.min() + TIE]
    pace = np.where(acts.pace[near] < 0, LEVELS, acts.pace[near])
    pick = int(near[np.lexsort((-acts.end[near], pace, acts.step[near]))[0]])
    return Choice(pick, True, False, float(value.min()))


def _exact(policy: Policy, day: int, number: Ints, charge_kwh: float) -> Floats:
    """Price and value of actions at one exact charge (A,)."""
    problem, acts, grid = policy.problem, policy.problem.mornings[day], policy.levels_kwh
    after = np.minimum(charge_kwh + acts.add[0, number], acts.cap[0, number])
    out = np.empty(len(number))
    ends = {(int(d), bool(b)) for d, b in zip(acts.days[number], acts.lands[number], strict=True)}
    for days, lands in ends:
        pick = (acts.days[number] == days) & (acts.lands[number] == lands)
        last = min(day + days, problem.days - 1)
        values = policy.morning[last + 1, 0] if lands else policy.evening[last, 0]
        out[pick] = at_charge(values, grid, acts.end[number[pick]], after[pick])
    return acts.cost[number] + out


def _refuge_choice(policy: Policy, day: int, stop: int, charge_kwh: float) -> Choice:
    refuge = policy.problem.refuges[day]
    if refuge.end[stop] >= 0 and charge_kwh >= refuge.reach_kwh[0, stop] - 1e-9:
        held = bool(charge_kwh >= refuge.held_kwh[0, stop] - 1e-9)
        return Choice(None, held, True, float(np.nan))
    return Choice(None, False, False, float(np.nan))
