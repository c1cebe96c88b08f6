"""What many members decide at once, each on the charge that it really has.

Where the levels on both sides of a charge agree on an action that is held, it is taken. Elsewhere all actions of the
stop are weighed at the charge itself.
"""

import numpy as np
from numpy.typing import ArrayLike, NDArray

from voyager.planner.backward import TIE
from voyager.planner.levels import at_charge
from voyager.planner.policy import Policy, holds, worth_at
from voyager.planner.problem import Evening

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]


def decide(
    policy: Policy, day: int, sea: Floats, known_class: Ints, stop: Ints, charge_kwh: Floats
) -> Ints:
    """Action numbers of the morning (M,), -1 where none is held (then the refuge).

    ``sea`` (M,) the day's uniform draw, ``known_class`` (M,), ``stop`` (M,), ``charge_kwh`` (M,).
    """
    low, high = neighbours(policy, day, sea, known_class, stop, charge_kwh)
    same = (low == high) & (high >= 0) & holds(policy, day, high, charge_kwh, known_class)
    out = np.where(same, high, -1)
    rest = np.flatnonzero(~same)
    who, number = actions_of(policy, day, rest, stop[rest])
    held = holds(policy, day, number, charge_kwh[who], known_class[who])
    held &= policy.problem.mornings[day].fit[number] > sea[who]
    who, number = who[held], number[held]
    value = worth_at(policy, day, number, charge_kwh[who], known_class[who])
    chosen, pick = best_of_each(who, value, policy.places[day][number])
    out[chosen] = number[pick]
    return out


def neighbours(
    policy: Policy, day: int, sea: Floats, known_class: Ints, stop: Ints, charge_kwh: Floats
) -> tuple[Ints, Ints]:
    """The best actions (M,) at the levels below and above each charge."""
    state = np.searchsorted(policy.fits, sea, side="right")
    below = np.clip(charge_kwh / policy.levels_kwh[1], 0, len(policy.levels_kwh) - 2).astype(np.int64)
    best = policy.best[day]
    low, high = (best[state, known_class, stop, below + k].astype(np.int64) for k in (0, 1))
    return low, high


def actions_of(policy: Policy, day: int, who: Ints, stop: Ints) -> tuple[Ints, Ints]:
    """All actions of each member's stop, one after the other: members (K,), numbers (K,)."""
    start = policy.problem.mornings[day].start
    first, after = np.searchsorted(start, stop), np.searchsorted(start, stop, side="right")
    return spread(who, first, after - first)


def spread(who: Ints, first: Ints, count: Ints) -> tuple[Ints, Ints]:
    """Each of ``who`` (N,) ``count`` times, with ``first``, ``first + 1``, ...: (K,) each."""
    offset = np.repeat(first - (np.cumsum(count) - count), count)
    return np.repeat(who, count), np.arange(count.sum()) + offset


def best_of_each(who: Ints, value: Floats, place: Ints) -> tuple[Ints, Ints]:
    """Of offers (K,) to ``who`` the one of each with the first ``place`` among those within the margin of ties of the
    least value: (members, offers)."""
    if not len(who):
        return who, who
    order = np.lexsort((place, who))
    who, value = who[order], value[order]
    first = np.flatnonzero(np.concatenate([[True], who[1:] != who[:-1]]))
    count = np.diff(np.append(first, len(who)))
    near = value <= np.repeat(np.minimum.reduceat(value, first) + TIE, count)
    at = np.where(near, np.arange(len(who)), len(who))
    return who[first], order[np.minimum.reduceat(at, first)]


def evening_decide(
    policy: Policy, day: int, stop: Ints, charge_kwh: Floats, node: ArrayLike = 0
) -> tuple[Ints, Bools]:
    """Step of the night (M,) and whether it is spent plugged in (M,), given the day's node (M,).

    The rule of the evening; where plugging in is free to choose, the plug wherever it is worth more than it costs.
    """
    evening, wanted = policy.problem.evenings[day], policy.problem.wanted
    step, plugged = evening_rule(evening, stop, charge_kwh, wanted)
    free = np.flatnonzero(evening.plug[stop] & ~plugged) if policy.problem.plug_freely else np.zeros(0, dtype=np.int64)
    if len(free):
        nodes = np.broadcast_to(np.asarray(node), stop.shape)[free]
        night, shore = night_worth(policy, day, stop[free], charge_kwh[free], step[free], nodes)
        pays = free[shore < night - TIE]
        step[pays], plugged[pays] = wanted, True
    return step, plugged


def evening_rule(evening: Evening, stop: Ints, charge_kwh: Floats, wanted: int) -> tuple[Ints, Bools]:
    """The rule of the evening for many: step (M,) and plugged in (M,)."""
    holds_step = charge_kwh[:, None] >= evening.hold_kwh[stop, wanted:] - 1e-9
    last = holds_step.shape[1] - 1
    step = wanted + np.where(holds_step.any(axis=1), holds_step.argmax(axis=1), last)
    plugged = ~holds_step[:, 0] & evening.plug[stop]
    return np.where(plugged, wanted, step), plugged


def night_worth(
    policy: Policy, day: int, stop: Ints, charge_kwh: Floats, step: Ints, node: Ints
) -> tuple[Floats, Floats]:
    """What a night at a step and one plugged in are worth, the plug's price with it, (M,) each."""
    evening, dawn = policy.problem.evenings[day], policy.dawn(day)
    rows, row = dawn.reshape(-1, dawn.shape[2]), node * policy.problem.stops + stop
    after = np.minimum(charge_kwh + evening.add[node, stop, step], evening.cap[node, stop, step])
    shore = np.minimum(charge_kwh + evening.plug_add[node, stop], evening.plug_cap[node, stop])
    width = float(policy.levels_kwh[1])
    return at_charge(rows, width, row, after), at_charge(rows, width, row, shore) + evening.plug_cost
