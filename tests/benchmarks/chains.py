"""What a policy costs, by Monte Carlo: on the chain of classes and nodes that it was solved for, and on drawn skies.

The unit is the aim's own (soonest: days to making fast + 0.003 per hour under way + 0.01 per evening plugged in + 1e-4
per kWh of propulsion, half a day for each step of comfort given up in a morning, one for a refuge that is not held, 20
for not having arrived at the horizon), summed over what each member really did, so that it can be held against the
value of the policy at the start.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from voyager.planner.actions import Built
from voyager.planner.aim import NOT_HELD
from voyager.planner.decide import decide, evening_decide
from voyager.planner.frame import Frame
from voyager.planner.many import Followed, _Run
from voyager.planner.policy import Policy
from voyager.planner.problem import Evening, Problem
from voyager.sky.draws import Skies

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]


def value_at(policy: Policy, charge_kwh: float, stop: int = 0) -> float:
    """The policy's own worth of the first morning at a stop and charge, before class and sea are known."""
    by_class = [np.interp(charge_kwh, policy.levels_kwh, row) for row in policy.morning[0, :, stop]]
    return float(policy.problem.first @ np.asarray(by_class))


@dataclass
class _Walk:
    """Members (M,) on the chain: where and at what charge they are, on which day they wake next and what class it
    will be, what they have paid."""

    stop: Ints
    charge: Floats
    wakes: Ints
    known: Ints
    cost: Floats


def on_chain(policy: Policy, charge_kwh: float, members: int, seed: int, stop: int = 0) -> Floats:
    """Costs (M,) of members whose classes, nodes and seas are drawn as the problem says, by its own maps."""
    problem, rng = policy.problem, np.random.Generator(np.random.PCG64(seed))
    first = _drawn(rng, np.broadcast_to(problem.first, (members, problem.classes)))
    none = np.zeros(members, dtype=np.int64)
    walk = _Walk(none + stop, np.full(members, charge_kwh), none.copy(), first, np.zeros(members))
    landing: dict[int, list[tuple[Ints, Ints]]] = {}
    for day in range(problem.days):
        awake = np.flatnonzero((walk.wakes == day) & (walk.stop != problem.destination))
        node = _drawn(rng, problem.chance[day][walk.known[awake]])
        _morning(policy, day, walk, awake, node, rng.random(len(awake)), landing)
        for who, found in landing.pop(day, []):
            _night(policy, day, walk, who, found, rng)
    late = walk.stop != problem.destination
    walk.cost[late] += problem.never[walk.stop[late]]
    return walk.cost


def _drawn(rng: np.random.Generator, chance: Floats) -> Ints:
    """One place of each row of chances (K,n)."""
    return np.asarray((rng.random((len(chance), 1)) > np.cumsum(chance, axis=1)[:, :-1]).sum(axis=1), dtype=np.int64)


def _morning(
    policy: Policy,
    day: int,
    walk: _Walk,
    awake: Ints,
    node: Ints,
    sea: Floats,
    landing: dict[int, list[tuple[Ints, Ints]]],
) -> None:
    """Choices and their maps; ``landing``: members with their node by the day on whose evening they will stand."""
    acts, last = policy.problem.mornings[day], policy.problem.days - 1
    action = decide(policy, day, sea, walk.known[awake], walk.stop[awake], walk.charge[awake])
    walk.cost[awake] += morning_costs(policy, day, action, sea, walk.known[awake], walk.stop[awake], walk.charge[awake])
    held, a = action >= 0, np.maximum(action, 0)
    flees = _flees(policy.problem, day, action, sea, walk.known[awake], walk.stop[awake], walk.charge[awake])
    refuge, at = policy.problem.refuges[day], walk.stop[awake]
    add = np.where(held, acts.add[node, a], np.where(flees, refuge.add[node, at], refuge.stay_add[node, at]))
    cap = np.where(held, acts.cap[node, a], np.where(flees, refuge.cap[node, at], refuge.stay_cap[node, at]))
    end = np.where(held, acts.end[a], np.where(flees, refuge.end[at], refuge.stay_end[at]))
    walk.charge[awake], walk.stop[awake] = np.minimum(walk.charge[awake] + add, cap), end
    ends = np.minimum(day + np.where(held, acts.days[a], 0), last)
    lands = held & acts.lands[a]
    for when in np.unique(ends):
        for late in (False, True):
            at = np.flatnonzero((ends == when) & (lands == late))
            if len(at):
                landing.setdefault(int(when), []).append((awake[at], np.where(late, -1 - node[at], node[at])))


def _night(policy: Policy, day: int, walk: _Walk, who: Ints, node: Ints, rng: np.random.Generator) -> None:
    """The evening's rule and the night; tomorrow's class. Nodes -1 - x: landed after the evening, at its end."""
    evening, slept = policy.problem.evenings[day], node >= 0
    found = np.where(slept, node, -1 - node)
    at, charge = walk.stop[who], walk.charge[who]
    step, plugged = evening_decide(policy, day, at, charge, found)
    add, cap = _night_map(evening, found, at, step, plugged)
    walk.charge[who] = np.where(slept, np.minimum(charge + add, cap), charge)
    walk.cost[who] += evening.plug_cost * (plugged & slept)
    walk.known[who] = _drawn(rng, policy.problem.follow[day][found])
    walk.wakes[who] = day + 1


def _night_map(evening: Evening, node: Ints, at: Ints, step: Ints, plugged: Bools) -> tuple[Floats, Floats]:
    add = np.where(plugged, evening.plug_add[node, at], evening.add[node, at, step])
    return add, np.where(plugged, evening.plug_cap[node, at], evening.cap[node, at, step])


def _flees(problem: Problem, day: int, action: Ints, sea: Floats, known: Ints, stop: Ints, charge: Floats) -> Bools:
    refuge = problem.refuges[day]
    reached = charge >= refuge.reach_kwh[known, stop] - 1e-9
    return np.asarray((action < 0) & (refuge.end[stop] >= 0) & reached & (sea < refuge.fit[stop]))


def morning_costs(
    policy: Policy, day: int, action: Ints, sea: Floats, known: Ints, stop: Ints, charge: Floats
) -> Floats:
    """Price (K,) of the mornings' actions or of the refuge where nothing is held."""
    acts, refuge = policy.problem.mornings[day], policy.problem.refuges[day]
    flees = _flees(policy.problem, day, action, sea, known, stop, charge)
    sure = charge >= refuge.held_kwh[known, stop] - 1e-9
    fled = refuge.cost[stop] + np.where(sure, 0.0, NOT_HELD)
    none = np.where(flees, fled, refuge.stay_cost[stop] + NOT_HELD)
    return np.where(action >= 0, acts.cost[np.maximum(action, 0)], none)


class CostedRun(_Run):
    """A run through skies that adds up what each member's actions cost, (M,) ``cost``."""

    def __init__(self, frame: Frame, built: Built, policy: Policy, skies: Skies) -> None:
        super().__init__(frame, built, policy, skies)
        self.cost = np.zeros(len(skies.factor))

    def day(self, day: int) -> bool:
        """Price the morning, live the day, price the plugs."""
        moored = self.active.copy()
        for group in self.afloat:
            moored[group.member] = False
        awake = np.flatnonzero(moored)
        told = (self.skies.sea[awake, day], self.classes[awake, day], self.stop[awake], self.state.charge_kwh[awake])
        action = decide(self.policy, day, *told)
        self.cost[awake] += morning_costs(self.policy, day, action, *told)
        going = super().day(day)
        self.cost += self.policy.problem.evenings[day].plug_cost * self.plugged[:, day]
        return going


def on_skies(frame: Frame, built: Built, policy: Policy, skies: Skies) -> tuple[Floats, Followed]:
    """Costs (M,) of members that follow the policy hour by hour, and how they fared."""
    run, problem = CostedRun(frame, built, policy, skies), policy.problem
    for day in range(problem.days):
        if not run.day(day):
            break
    late = run.stop != problem.destination
    run.cost[late] += problem.never[run.stop[late]]
    return run.cost, run.followed()
