"""Parts of one day as the schedule lives them: the simulator's run, the evening's rule, the poor day beside it."""

from collections.abc import Callable
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from voyager.energy.ledger import Ledger, joined, unlived
from voyager.energy.loads import Loads
from voyager.energy.run import State, Track, run
from voyager.planner.actions import Built
from voyager.planner.decide import evening_decide
from voyager.planner.frame import Frame, wishes_of
from voyager.planner.policy import Choice, Policy
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
    """Steps ``first`` to ``last`` of a day at one comfort step, by the simulator; nothing before the plan begins."""
    begins = min(max(first, frame.from_step(day)), last)
    floor = float(frame.weather.floor_kwh[day, frame.mooring_station[frame.begin.mooring]])
    before = unlived(1, begins - first, state.charge_kwh, state.air_c, floor)
    if begins == last:
        return before, state
    cabins, part_h = frame.bank.cabins, frame.lived_h(day)

    def again(given: tuple[Floats, ...], make: Callable[[], Loads]) -> Loads:
        return make() if cabins is None or part_h is not None else cabins.again((day, step, begins, last), given, make)

    lived, state = run(frame.vessel, track, wishes_of(frame, day, step), begins, last, state, part_h, again)
    return (lived if begins == first else joined([before, lived])), state


def first_state(frame: Frame, members: int) -> State:
    """How the members stand as the plan begins: the cabin as the first day leaves it at the voyage's own step, or as
    the hours before the beginning do."""
    begin, station = frame.begin, frame.mooring_station[frame.begin.mooring]
    lived, last = frame.steps[frame.wanted], int(frame.days.length_h[0]) - 1
    air, structure = lived.air_c[0, station, 0, last], None
    if lived.structure_c is not None:
        structure = lived.structure_c[0, station, 0]
    if begin.air_c is not None:
        air = begin.air_c[station, 0]
        structure = None if begin.structure_c is None else begin.structure_c[station, 0]
    return State(
        np.full(members, frame.start_kwh),
        np.full(members, air),
        None if structure is None else np.full(members, structure),
        np.full(members, frame.weather.cell_c[0, station, begin.step, 0]),
    )


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
