"""Voyages drawn from a decision problem's own chain, following ``decide`` and ``evening_decide``."""

import numpy as np
from numpy.typing import NDArray

from voyager.planner.decide import decide, evening_decide
from voyager.planner.policy import Policy

Floats = NDArray[np.float64]


def voyages(policy: Policy, charge_kwh: float, members: int, seed: int) -> Floats:
    """What each of some voyages from the first stop costs (M,)."""
    problem, rng = policy.problem, np.random.default_rng(seed)
    stop, charge = np.zeros(members, dtype=np.int64), np.full(members, charge_kwh)
    paid, wakes, node = np.zeros(members), np.zeros(members, dtype=np.int64), np.zeros(members, dtype=np.int64)
    sleeps = np.full(members, -1)
    for day in range(problem.days):
        known = _drawn(rng, problem.follow[day - 1][node] if day else np.tile(problem.first, (members, 1)))
        sea = rng.random(members)
        up = np.flatnonzero((wakes == day) & (stop != problem.destination))
        if len(up):
            node[up] = _drawn(rng, problem.chance[day][known[up]])
            paid[up] += _day(policy, day, sea, known, node, stop, charge, wakes, sleeps, up)
        down = np.flatnonzero(sleeps == day)
        paid[down] += _night(policy, day, stop, charge, node, down)
        wakes[down] = day + 1
    return paid + np.where(stop == problem.destination, 0.0, problem.never[stop])


def _drawn(rng: np.random.Generator, chances: Floats) -> NDArray[np.int64]:
    """One of the last axis by its chances, (M,)."""
    return (rng.random(len(chances))[:, None] >= np.cumsum(chances, axis=1)[:, :-1]).sum(axis=1)


def _day(policy, day, sea, known, node, stop, charge, wakes, sleeps, up):
    """The morning's decisions carried out; what they cost."""
    problem, acts, refuge = policy.problem, policy.problem.mornings[day], policy.problem.refuges[day]
    here, had, x, y = stop[up], charge[up], node[up], known[up]
    a = decide(policy, day, sea[up], y, here, had)
    chosen, a = a >= 0, np.maximum(a, 0)
    flees = (refuge.end[here] >= 0) & (had >= refuge.reach_kwh[y, here] - 1e-9) & (refuge.fit[here] > sea[up])
    sure = flees & (had >= refuge.held_kwh[y, here] - 1e-9)
    fled = np.minimum(had + refuge.add[x, here], refuge.cap[x, here])
    stayed = np.minimum(had + refuge.stay_add[x, here], refuge.stay_cap[x, here])
    done = np.minimum(had + acts.add[x, a], acts.cap[x, a])
    charge[up] = np.maximum(np.where(chosen, done, np.where(flees, fled, stayed)), 0.0)
    stop[up] = np.where(chosen, acts.end[a], np.where(flees, refuge.end[here], refuge.stay_end[here]))
    last = np.where(chosen, np.minimum(day + acts.days[a], problem.days - 1), day)
    lands = chosen & acts.lands[a]
    sleeps[up], wakes[up] = np.where(lands, -1, last), np.where(lands, last + 1, -1)
    price = np.where(flees, refuge.cost[here], refuge.stay_cost[here]) + np.where(sure, 0.0, 1.0)
    return np.where(chosen, acts.cost[a], price)


def _night(policy, day, stop, charge, node, down):
    """The nights of those moored; what their plugs cost."""
    evening, here, x = policy.problem.evenings[day], stop[down], node[down]
    step, plugged = evening_decide(policy, day, here, charge[down], x)
    night = np.minimum(charge[down] + evening.add[x, here, step], evening.cap[x, here, step])
    shore = np.minimum(charge[down] + evening.plug_add[x, here], evening.plug_cap[x, here])
    charge[down] = np.maximum(np.where(plugged, shore, night), 0.0)
    return np.where(plugged, evening.plug_cost, 0.0)
