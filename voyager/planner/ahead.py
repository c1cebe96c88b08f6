"""How long the one-sky plan takes, read from its own tables: enough to know the horizon, without living its days."""

import numpy as np

from voyager.planner.actions import Built
from voyager.planner.dayrun import first_state
from voyager.planner.decide import evening_decide
from voyager.planner.frame import Frame
from voyager.planner.policy import Policy, choose
from voyager.planner.schedule import Schedule


def arrival(frame: Frame, built: Built, policy: Policy) -> tuple[int | None, int]:
    """Number of the day of making fast at the destination, None if never, and of the days until its nights are over."""
    problem, day = policy.problem, 0
    stop, charge = int(built.stops.first[frame.begin.mooring]), float(first_state(frame, 1).charge_kwh[0])
    arrived: int | None = None
    last = len(frame.route.moorings) - 1
    while day < problem.days and stop != problem.destination:
        stop, charge, day, night = _day(policy, day, stop, charge)
        if arrived is None and built.stops.mooring[stop] == last:
            arrived = day
        charge = _slept(policy, day, stop, charge) if night else charge
        day += 1
    return arrived, day


def sketch(frame: Frame, built: Built, policy: Policy) -> tuple[Schedule, int]:
    """A schedule that knows its arrival and no days, and how many there would be."""
    arrived, days = arrival(frame, built, policy)
    return Schedule((), arrived), days


def _day(policy: Policy, day: int, stop: int, charge: float) -> tuple[int, float, int, bool]:
    """One morning's choice: end stop, charge and day there, and whether the evening's rule follows."""
    choice, acts, refuge = choose(policy, day, stop, charge), policy.problem.mornings[day], policy.problem.refuges[day]
    if choice.action is not None:
        a = choice.action
        end = min(charge + acts.add[0, a], acts.cap[0, a])
        last = min(day + int(acts.days[a]), policy.problem.days - 1)
        return int(acts.end[a]), max(float(end), 0.0), last, not acts.lands[a]
    if choice.flee:
        end = min(charge + refuge.add[0, stop], refuge.cap[0, stop])
        return int(refuge.end[stop]), max(float(end), 0.0), day, True
    end = min(charge + refuge.stay_add[0, stop], refuge.stay_cap[0, stop])
    return int(refuge.stay_end[stop]), max(float(end), 0.0), day, True


def _slept(policy: Policy, day: int, stop: int, charge: float) -> float:
    """The charge in the morning after."""
    evening = policy.problem.evenings[day]
    step, plugged = evening_decide(policy, day, np.asarray([stop]), np.asarray([charge]))
    if plugged[0]:
        return max(0.0, float(min(charge + evening.plug_add[0, stop], evening.plug_cap[0, stop])))
    return max(0.0, float(min(charge + evening.add[0, stop, step[0]], evening.cap[0, stop, step[0]])))
