"""One day of the way back from the horizon: what the night leaves, then what the morning's best action is worth.

Between the stages stand X nodes of weather, before the morning Y classes: an action's worth to a class is the mean of
its nodes. All in float64: single precision would be a fifth faster, and
near-ties would fall one way on one machine and another way on the next.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.lib.stride_tricks import sliding_window_view
from numpy.typing import NDArray

from voyager.planner.aim import NOT_HELD
from voyager.planner.levels import Shift, Table, first_level, shift, shifted, table
from voyager.planner.problem import Morning, Problem

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]
UNFIT = 1e6
TIE = 1e-5
CHUNK, BLOCK = 512, 128


@dataclass(frozen=True)
class Worth:
    """Values of all nodes and stops as a table of rows (X*T,G); first row of each node (X,1)."""

    rows: Table
    node: Ints

    def shift(self, end: Ints, add: Floats, cap: Floats) -> Shift:
        """How actions (n,) that end at stops read the table; maps (X,n)."""
        return shift(self.rows, self.node + end, add, cap)


def worth_table(values: Floats, step_kwh: float) -> Worth:
    """Values (X,T,G) ready to be read by actions."""
    nodes, stops, levels = values.shape
    return Worth(table(values.reshape(-1, levels), step_kwh), np.arange(nodes)[:, None] * stops)


def means(weights: Floats, values: Floats) -> Floats:
    """Weighted sums (Y,...) of values (X,...): element by element, for in a matrix product the last digit of one hangs
    on how many stand beside it."""
    found = np.einsum("yx,xn->yn", weights, values.reshape(len(values), -1))
    return np.asarray(found.reshape(-1, *values.shape[1:]))


def dawn_value(follow: Floats, morning: Floats) -> Floats:
    """Worth (X,T,G) of tomorrow's morning (Y,T,G), given today's node."""
    return means(follow, morning)


def evening_value(problem: Problem, day: int, after: Worth, grid: Floats, stops: Ints) -> Floats:
    """Worth (X,K,G) of the evening at stops (K,) and every level: the rule's own night, or the plug where it pays and
    may."""
    evening, wanted, last = problem.evenings[day], problem.wanted, problem.evenings[day].hold_kwh.shape[1] - 1
    out = _night(after, stops, evening.add[..., wanted], evening.cap[..., wanted], len(grid))
    begin, plugs = first_level(evening.hold_kwh[stops], grid[1] - grid[0], len(grid)), evening.plug[stops]
    free = np.flatnonzero((begin[:, wanted] > 0) & ~plugs)
    upto = int(begin[free, wanted].max(initial=0))
    for step in range(last, wanted, -1) if len(free) else ():
        night = _night(after, stops[free], evening.add[..., step], evening.cap[..., step], upto)
        low = 0 if step == last else begin[free, step, None]
        here = (np.arange(upto) >= low) & (np.arange(upto) < begin[free, wanted, None])
        out[:, free, :upto] = np.where(here, night, out[:, free, :upto])
    plug = np.flatnonzero(plugs)
    if len(plug):
        shore = _night(after, stops[plug], evening.plug_add, evening.plug_cap, len(grid)) + evening.plug_cost
        unplugged = np.minimum(out[:, plug], shore) if problem.plug_freely else out[:, plug]
        out[:, plug] = np.where(np.arange(len(grid)) < begin[plug, wanted, None], shore, unplugged)
    return out


def _night(after: Worth, stops: Ints, add: Floats, cap: Floats, upto: int) -> Floats:
    """Worth (X,n,upto) of one kind of night at stops (n,) and the lowest levels, its map (X,T)."""
    return shifted(after.rows, after.shift(stops, add[:, stops], cap[:, stops]), 0, upto)


def ranks(acts: Morning) -> Ints:
    """Numbers of the actions (A,) by start and, at each, in the order in which ties are settled: warmer step, lower
    pace, staying last, further end."""
    pace = np.where(acts.pace < 0, np.iinfo(np.int64).max, acts.pace)
    return np.lexsort((-acts.end, pace, acts.step, acts.start))


def kinds(acts: Morning) -> list[tuple[int, bool]]:
    """The lengths of actions that are met: (days after the first, landing after the evening)."""
    if not acts.days.any() and not acts.lands.any():
        return [(0, False)]
    return sorted({(int(a), bool(b)) for a, b in zip(acts.days, acts.lands, strict=True)})


@dataclass(frozen=True)
class Batch:
    """Actions (n,) of one kind and one run of stops that are weighed together: their places, how they read ``table``,
    what they cost, the first level at which each class holds them (Y,n)."""

    place: Ints
    rows: Table
    how: Shift
    cost: Floats
    begin: Ints


@dataclass(frozen=True)
class Offers:
    """The actions of one morning in the order ``number`` (A,): ``stops`` (S,) that have any, ``count`` (S,) of each,
    runs of stops with their batches; ``close`` (A,) the first level at which an action is held no more."""

    number: Ints
    stops: Ints
    count: Ints
    runs: tuple[tuple[slice, list[Batch]], ...]
    close: Ints
    fit: Floats


def offers(acts: Morning, number: Ints, tables: dict[tuple[int, bool], Worth], grid: Floats) -> Offers:
    """All actions of a morning ready to be weighed."""
    step, levels = grid[1] - grid[0], len(grid)
    stops, count = np.unique(acts.start[number], return_counts=True)
    begin = first_level(acts.from_kwh[:, number], step, levels)
    least, found = begin.min(axis=0), kinds(acts)
    kind = _kind_of(acts, number, found)
    runs = _runs(count)
    run = np.repeat(np.repeat(np.arange(len(runs)), [r.stop - r.start for r in runs]), count)
    batches: list[list[Batch]] = [[] for _ in runs]
    for k, key in enumerate(found):
        own = np.flatnonzero((kind == k) & (least < levels))
        own = own[np.lexsort((least[own], run[own]))]
        for r, batch in _batches(acts, number, own, run[own], begin, tables[key]):
            batches[r].append(batch)
    close = first_level(acts.below_kwh[number], step, levels)
    return Offers(number, stops, count, tuple(zip(runs, batches, strict=True)), close, acts.fit[number])


def _batches(
    acts: Morning, number: Ints, place: Ints, run: Ints, begin: Ints, after: Worth
) -> Iterator[tuple[int, Batch]]:
    """The actions at places (n,), in order of their runs, in batches of one run each: (run, batch)."""
    who = number[place]
    end = acts.end[who]
    how = after.shift(end, acts.add[:, who], acts.cap[:, who])
    cost = acts.cost[who]
    edges = np.searchsorted(run, np.arange(run.max(initial=-1) + 2)).tolist()
    for r, (first, last) in enumerate(pairwise(edges)):
        for a in range(first, last, BLOCK):
            b = min(a + BLOCK, last)
            yield r, Batch(place[a:b], after.rows, how.part(a, b), cost[a:b], begin[:, place[a:b]])


def _runs(count: Ints) -> list[slice]:
    """Runs of stops whose actions fit the cache together."""
    part = np.cumsum(count) // CHUNK
    edges = np.concatenate([[0], np.flatnonzero(np.diff(part)) + 1, [len(count)]])
    return [slice(a, b) for a, b in pairwise(edges.tolist()) if b > a]


def _kind_of(acts: Morning, number: Ints, found: list[tuple[int, bool]]) -> Ints:
    """Place among the kinds ``found`` of each action (A,)."""
    kind = np.zeros(len(number), dtype=np.int64)
    for k, (days, lands) in enumerate(found[1:], 1):
        kind[(acts.days[number] == days) & (acts.lands[number] == lands)] = k
    return kind


@dataclass(frozen=True)
class Best:
    """What is best at stops (S,): value (F,Y,S,G), UNFIT where nothing is held, and number of the action, -1 there."""

    stops: Ints
    value: Floats
    number: Ints


def best(given: Offers, chance: Floats, fits: Floats, levels: int, drawn: bool) -> Best:
    """The least value at every stop, level and state of the sea; ``drawn``: the sea may forbid some action that day."""
    first = np.cumsum(given.count) - given.count
    shape = (len(fits) if drawn else 1, len(chance), len(given.stops), levels)
    value, number = np.full(shape, UNFIT), np.full(shape, -1, dtype=np.int64)
    for run, batches in given.runs:
        places = slice(int(first[run.start]), int(first[run.stop - 1] + given.count[run.stop - 1]))
        stop = np.repeat(np.arange(run.stop - run.start), given.count[run])
        where = np.arange(places.stop - places.start) - (first[run] - places.start)[stop], stop
        weighed = _weigh(batches, places, where, chance, levels)
        for k in np.flatnonzero(given.close[places] < levels):
            weighed[where[0][k], :, stop[k], given.close[places][k] :] = UNFIT
        fit = np.full((len(weighed), run.stop - run.start), UNFIT)
        fit[where] = given.fit[places]
        for f in range(shape[0]):
            lost = np.nonzero((fit < fits[f]) & (fit >= fits[f - 1]) if f else fit < fits[0])
            turned = np.unique(lost[1]) if f else np.arange(fit.shape[1])
            if f:
                value[f, :, run], number[f, :, run] = value[f - 1, :, run], number[f - 1, :, run]
            if len(turned):
                weighed[lost[0], :, lost[1]] = UNFIT
                at = turned + run.start
                value[f, :, at], number[f, :, at] = _chosen(given, first[at], weighed[:, :, turned] if f else weighed)
    number[value >= UNFIT / 2] = -1
    return Best(given.stops, value, number)


def _chosen(given: Offers, first: Ints, values: Floats) -> tuple[Floats, Ints]:
    """The least of (K,Y,S,G) and the number of its action, stops first: (S,Y,G); ``first`` (S,) place of the first."""
    low, rank = _least(values)
    number = given.number[np.minimum(first[:, None] + rank, len(given.number) - 1)]
    return np.swapaxes(low, 0, 1), np.swapaxes(number, 0, 1)


def _weigh(batches: list[Batch], places: slice, where: tuple[Ints, Ints], chance: Floats, levels: int) -> Floats:
    """Price and mean worth of actions (n,) by rank and stop, their ``where``: (K,Y,S,G), UNFIT where not held or
    missing; levels below the first held one are left out."""
    rank, stop = where
    value = np.full((int(rank.max()) + 1, len(chance), int(stop[-1]) + 1, levels), UNFIT)
    weights = np.concatenate([chance, np.ones((len(chance), 1))], axis=1)
    fence = sliding_window_view(np.repeat([UNFIT, 0.0], levels), levels)
    for batch in batches:
        skip = int(batch.begin.min())
        stack = np.empty((weights.shape[1], len(batch.place), levels - skip))
        shifted(batch.rows, batch.how, skip, out=stack[:-1])
        stack[-1] = batch.cost[:, None]
        mean = means(weights, stack)
        mean += fence[:, : levels - skip][levels + skip - batch.begin]
        at = batch.place - places.start
        value[rank[at], :, stop[at], skip:] = np.swapaxes(mean, 0, 1)
    return value


def _least(values: Floats) -> tuple[Floats, Ints]:
    """Least of (K,Y,S,G) over K, and the first place within TIE of it."""
    low = values.min(axis=0)
    most = len(values)
    near = values <= low + TIE
    rank = np.arange(most, 0, -1, dtype=np.uint8 if most < 256 else np.uint32)[:, None, None, None]
    return low, most - (near.view(np.uint8) * rank).max(axis=0).astype(np.int64)


def refuge_values(problem: Problem, day: int, after: Worth, grid: Floats, stops: Ints) -> tuple[Floats, Floats]:
    """Worth (Y,K,G) of the refuge at stops (K,) where the sea allows the flight, and where it does not: fleeing to a
    plug, or staying at ``off``, at a finite price, for infinity leaks between levels."""
    refuge, chance = problem.refuges[day], problem.chance[day]
    end, cost = refuge.stay_end[stops], refuge.stay_cost[stops] + NOT_HELD
    stay = _mean(after, chance, end, refuge.stay_add[:, stops], refuge.stay_cap[:, stops], cost)
    flies = np.flatnonzero(refuge.end[stops] >= 0)
    if not len(flies):
        return stay, stay
    some = stops[flies]
    go = _mean(after, chance, refuge.end[some], refuge.add[:, some], refuge.cap[:, some], refuge.cost[some])
    go += np.where(grid < refuge.held_kwh[:, some, None] - 1e-9, NOT_HELD, 0.0)
    fled = stay.copy()
    fled[:, flies] = np.where(grid >= refuge.reach_kwh[:, some, None] - 1e-9, go, stay[:, flies])
    return fled, stay


def _mean(after: Worth, chance: Floats, end: Ints, add: Floats, cap: Floats, cost: Floats) -> Floats:
    """Price and mean worth (Y,n,G) of ending at stops (n,)."""
    return np.asarray(means(chance, shifted(after.rows, after.shift(end, add, cap))) + cost[:, None])
