"""One day of the way back from the horizon: what the night leaves, then what the morning's best action is worth.

Between the stages stand X nodes of weather, before the morning Y classes: an action's worth to a class is the mean of
its nodes, one matrix product for all actions and levels.
"""

from dataclasses import dataclass

import numpy as np
from numpy.lib.stride_tricks import sliding_window_view
from numpy.typing import NDArray

from voyager.planner.aim import NOT_HELD
from voyager.planner.levels import Table, first_level, shifted, table
from voyager.planner.problem import Evening, Morning, Problem

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
UNFIT = 1e6
TIE = 1e-5
BLOCK = 128


@dataclass(frozen=True)
class Ahead:
    """What is known of this and later days: ``evening`` (D,X,T,G), and by day ``dawn`` (X,T,G), the worth of the
    morning after it given its node."""

    evening: Floats
    dawn: dict[int, Floats]


def dawn_value(follow: Floats, morning: Floats) -> Floats:
    """Worth (X,T,G) of tomorrow's morning (Y,T,G), given today's node."""
    return np.asarray((follow @ morning.reshape(len(morning), -1)).reshape(-1, *morning.shape[1:]))


def evening_value(problem: Problem, day: int, dawn: Floats, grid: Floats) -> Floats:
    """Worth (X,T,G) of every stop and level in the evening: the rule's own night, or the plug where it pays and may."""
    evening, nodes = problem.evenings[day], len(dawn)
    rows = table(dawn.reshape(-1, len(grid)), grid[1] - grid[0])
    every = np.arange(problem.stops)
    out = _night(rows, nodes, every, evening.add[..., problem.wanted], evening.cap[..., problem.wanted])
    short = grid < evening.hold_kwh[:, problem.wanted, None] - 1e-9
    free = np.flatnonzero(short.any(axis=1) & ~evening.plug)
    if len(free) and evening.hold_kwh.shape[1] > problem.wanted + 1:
        out[:, free] = np.where(short[free], _lower(problem, evening, rows, nodes, free, grid), out[:, free])
    plug = np.flatnonzero(evening.plug)
    if len(plug):
        shore = _night(rows, nodes, plug, evening.plug_add, evening.plug_cap) + evening.plug_cost
        unplugged = np.minimum(out[:, plug], shore) if problem.plug_freely else out[:, plug]
        out[:, plug] = np.where(short[plug], shore, unplugged)
    return out


def _lower(problem: Problem, evening: Evening, rows: Table, nodes: int, stops: Ints, grid: Floats) -> Floats:
    """Worth (X,n,G) of the warmest step below the voyage's that holds at stops (n,), else of the last."""
    last = evening.hold_kwh.shape[1] - 1
    out = _night(rows, nodes, stops, evening.add[..., last], evening.cap[..., last])
    for step in range(last - 1, problem.wanted, -1):
        holds = grid >= evening.hold_kwh[stops, step, None] - 1e-9
        out = np.where(holds, _night(rows, nodes, stops, evening.add[..., step], evening.cap[..., step]), out)
    return out


def _night(rows: Table, nodes: int, stops: Ints, add: Floats, cap: Floats) -> Floats:
    """Worth (X,n,G) of one kind of night at stops (n,), its map (X,T)."""
    row = np.arange(nodes)[:, None] * add.shape[1] + stops
    return shifted(rows, row, add[:, stops], cap[:, stops])


def ranks(acts: Morning) -> Ints:
    """Numbers of the actions (A,) by start and, at each, in the order in which ties are settled: warmer step, lower
    pace, staying last, further end."""
    pace = np.where(acts.pace < 0, np.iinfo(np.int64).max, acts.pace)
    return np.lexsort((-acts.end, pace, acts.step, acts.start))


@dataclass(frozen=True)
class Worth:
    """The actions of one morning by ``ranks``: ``order`` (A,), value (Y,A,G), UNFIT where not held; ``stops`` (S,)
    that have an action and the first place of each (S,)."""

    order: Ints
    value: Floats
    stops: Ints
    first: Ints


def worth(problem: Problem, day: int, ahead: Ahead, grid: Floats, order: Ints) -> Worth:
    """Price and mean worth of all actions of a morning where they are held."""
    acts = problem.mornings[day]
    step, levels = grid[1] - grid[0], len(grid)
    begin = first_level(acts.from_kwh[:, order], step, levels)
    value = np.full((problem.classes, len(order), levels), UNFIT)
    for after, landed in kinds(acts):
        rows = _table_after(problem, day, after, landed, ahead, step)
        at = np.flatnonzero((acts.days[order] == after) & (acts.lands[order] == landed))
        _fill(value, problem, day, rows, order, at, begin)
    _close(value, acts.below_kwh[order], grid)
    stops, first = np.unique(acts.start[order], return_index=True)
    return Worth(order, value, stops, first)


def kinds(acts: Morning) -> list[tuple[int, bool]]:
    """The lengths of actions that are met: (days after the first, landing after the evening)."""
    if not acts.days.any() and not acts.lands.any():
        return [(0, False)]
    return sorted({(int(a), bool(b)) for a, b in zip(acts.days, acts.lands, strict=True)})


def _table_after(problem: Problem, day: int, after: int, landed: bool, ahead: Ahead, step: float) -> Table:
    last = min(day + after, problem.days - 1)
    values = ahead.dawn[last] if landed else ahead.evening[last]
    return table(values.reshape(-1, values.shape[-1]), step)


def _fill(value: Floats, problem: Problem, day: int, rows: Table, order: Ints, at: Ints, begin: Ints) -> None:
    """Values of the actions at places ``at``, in blocks that fit the cache; levels where none is held are left."""
    acts, nodes, levels = problem.mornings[day], problem.nodes, value.shape[2]
    least = begin[:, at].min(axis=0)
    sequence = at[np.argsort(least, kind="stable")][: np.count_nonzero(least < levels)]
    weights = np.concatenate([problem.chance[day], np.ones((problem.classes, 1))], axis=1)
    fence = sliding_window_view(np.repeat([UNFIT, 0.0], levels), levels)
    node = np.arange(nodes)[:, None] * problem.stops
    for k in range(0, len(sequence), BLOCK):
        block = sequence[k : k + BLOCK]
        number, skip = order[block], int(begin[:, block[0]].min())
        width = levels - skip
        stack = np.empty((nodes + 1, len(block), width))
        row = node + acts.end[number]
        shifted(rows, row, acts.add[:, number], acts.cap[:, number], skip=skip, out=stack[:nodes])
        stack[nodes] = acts.cost[number, None]
        mean = (weights @ stack.reshape(nodes + 1, -1)).reshape(-1, len(block), width)
        mean += fence[:, :width][levels + skip - begin[:, block]]
        value[:, block, skip:] = mean


def _close(value: Floats, below_kwh: Floats, grid: Floats) -> None:
    """Unfit from the end of what holds on."""
    some = np.flatnonzero(below_kwh <= grid[-1] + 1e-9)
    if len(some):
        value[:, some] = np.where(grid >= below_kwh[some, None] - 1e-9, UNFIT, value[:, some])


def least(worth: Worth, allowed: NDArray[np.bool_] | None = None) -> tuple[Floats, Ints]:
    """Least value (Y,S,G) at each stop and the number of its action, the first within TIE of it; -1 and UNFIT where
    nothing is held. ``allowed`` (A,) by place: what the sea forbids is made unfit for good."""
    if allowed is not None:
        worth.value[:, ~allowed] = UNFIT
    count = worth.value.shape[1]
    low = np.minimum.reduceat(worth.value, worth.first, axis=1)
    group = np.repeat(np.arange(len(worth.first)), np.diff(np.append(worth.first, count)))
    near = worth.value <= (low + TIE)[:, group]
    place = np.arange(count, dtype=np.int16 if count < 2**15 else np.int64)[:, None]
    winner = np.minimum.reduceat(np.where(near, place, place.dtype.type(count - 1)), worth.first, axis=1)
    return low, np.where(low < UNFIT / 2, worth.order[winner], -1)


def refuge_values(problem: Problem, day: int, evening: Floats, grid: Floats) -> tuple[Floats, Floats]:
    """Worth (Y,T,G) of the refuge where the sea allows the flight, and where it does not: fleeing to a plug, or staying
    at ``off``, at a finite price, for infinity leaks between levels."""
    refuge, chance, step = problem.refuges[day], problem.chance[day], grid[1] - grid[0]
    rows, node = table(evening.reshape(-1, len(grid)), step), np.arange(problem.nodes)[:, None] * problem.stops
    after = shifted(rows, node + refuge.stay_end, refuge.stay_add, refuge.stay_cap)
    stay = np.tensordot(chance, after, 1) + (refuge.stay_cost + NOT_HELD)[:, None]
    some = np.flatnonzero(refuge.end >= 0)
    if not len(some):
        return stay, stay
    after = shifted(rows, node + refuge.end[some], refuge.add[:, some], refuge.cap[:, some])
    go = np.tensordot(chance, after, 1) + refuge.cost[some, None]
    go += np.where(grid < refuge.held_kwh[:, some, None] - 1e-9, NOT_HELD, 0.0)
    fled = stay.copy()
    fled[:, some] = np.where(grid >= refuge.reach_kwh[:, some, None] - 1e-9, go, stay[:, some])
    return fled, stay
