"""Parts of one day as the schedule lives them: the simulator's run, the evening's rule, the poor day beside it."""

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from voyager.energy.ledger import Ledger
from voyager.energy.run import State, Track, run
from voyager.energy.wishes import wishes
from voyager.planner.actions import Built
from voyager.planner.frame import Frame, pieces_of
from voyager.planner.policy import Choice, Policy
from voyager.planner.decide import evening_decide
from voyager.planner.sail import Sail
from voyager.planner.seen import NOTHING, Seen

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Sea:
    """A day of a crossing: kilometres of the route at its start and end, hours under way in it, hours from its start
    of casting off and making fast (None: not on this day). Not moored at its end unless ``made_fast_h``."""

    start_km: float
    end_km: float
    hours: float
    casts_off_h: float | None
    made_fast_h: float | None
    pace_w: float


@dataclass(frozen=True)
class Day:
    """One day as it went. Stops are numbers of ``Built.stops``; ``evening`` the step number of the evening's choice."""

    day: int
    start: int
    end: int
    choice: Choice
    sail: Sail | None
    morning_step: int
    night_step: int
    plugged: bool
    evening: int
    ledger: Ledger
    charge_start_kwh: float
    floor_kwh: float
    reserve_kwh: float
    poor_low_kwh: float
    poor_evening_kwh: float
    outside_c: Floats
    would_go_full: bool
    sea: Sea | None = None
    seen: Seen = field(default_factory=lambda: NOTHING)


def live(
    frame: Frame, track: Track, day: int, step: int, first: int, last: int, state: State
) -> tuple[Ledger, State]:
    """Steps ``first`` to ``last`` of a day at one comfort step, by the simulator."""
    return run(frame.vessel, track, wishes(frame.vessel, pieces_of(frame, day, step)), first, last, state)


def evening_choice(
    policy: Policy, built: Built, day: int, stop: int, charge_kwh: float, seen: Seen
) -> tuple[int, bool]:
    """The evening's rule; where plugging in is free to choose, the plug wherever it is worth more than it costs."""
    step, plugged = evening_decide(
        policy, day, np.asarray([stop]), np.asarray([charge_kwh]), np.asarray([seen.node])
    )
    return int(step[0]), bool(plugged[0])


def night_holds(policy: Policy, day: int, stop: int, charge_kwh: float, step: int, plugged: bool) -> bool:
    """Whether the evening's charge is enough for the night that is lived: only ``off`` may fail it."""
    return plugged or bool(charge_kwh >= policy.problem.evenings[day].hold_kwh[stop, step] - 1e-9)


def poor_day(
    policy: Policy, day: int, stop: int, choice: Choice, charge: float, seen: Seen
) -> tuple[float, float]:
    """Lowest and evening charge of what was chosen if the day turns out poor."""
    if choice.action is not None:
        acts, a = policy.problem.mornings[day], choice.action
        low = min(charge + acts.poor_low_add[seen.cls, a], acts.poor_low_cap[seen.cls, a])
        return float(low), float(min(charge + acts.poor_add[seen.cls, a], acts.poor_cap[seen.cls, a]))
    refuge = policy.problem.refuges[day]
    numbers = refuge.poor_go if choice.flee else refuge.poor_stay
    add, cap, low_add, low_cap = (float(value[seen.cls, stop]) for value in numbers)
    return min(charge + low_add, low_cap), min(charge + add, cap)


def promised(frame: Frame, built: Built, day: int, start: int, end: int, step: int) -> tuple[float, float]:
    """Floor of the day and heating reserve of the morning's step where the day ends."""
    at = [int(built.stops.mooring[stop]) for stop in (start, end)]
    floor = max(float(frame.weather.floor_kwh[day, frame.mooring_station[m]]) for m in at)
    return floor, float(built.reserve_kwh[day, at[1], step])
