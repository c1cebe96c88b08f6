"""One morning of many members: what each decides, and what that makes of its day."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from voyager.planner.actions import Built
from voyager.planner.decide import decide
from voyager.planner.doings import Doings, crossing_doing, lying_doings, together, trip_doings
from voyager.planner.frame import Frame
from voyager.planner.overnight import Crossing
from voyager.planner.policy import Policy
from voyager.planner.rows import taken

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]


@dataclass(frozen=True)
class Afloat:
    """Members (K,) on the same crossing, the hour of it with which the day begins, and the step each keeps."""

    crossing: Crossing
    first: int
    member: Ints
    step: Ints


@dataclass(frozen=True)
class Plans:
    """What M members that wake in a mooring have decided: end stop, step to the evening, whether it is held.

    ``trip`` row of the day's trips, ``flight`` of its flights, ``crossing`` of its crossings; -1 each where it is none.
    ``arrive_h``: of making fast, nan where nobody goes.
    """

    end: Ints
    step: Ints
    held: Bools
    trip: Ints
    flight: Ints
    crossing: Ints
    arrive_h: Floats


def decided(
    frame: Frame, built: Built, policy: Policy, day: int, sea: Floats, classes: Ints, stop: Ints, charge: Floats
) -> Plans:
    """The morning's decisions (M,): the policy's, or the refuge where nothing is held."""
    acts = policy.problem.mornings[day]
    action = decide(policy, day, sea, classes, stop, charge)
    chosen, a = action >= 0, np.maximum(action, 0)
    goes = chosen & (acts.pace[a] >= 0)
    crosses = goes & ((acts.days[a] > 0) | acts.lands[a])
    plans = Plans(
        np.where(chosen, acts.end[a], stop),
        np.where(chosen, acts.step[a], frame.off),
        chosen,
        np.where(goes & ~crosses, acts.trip[a], -1),
        np.full(len(stop), -1),
        np.where(crosses, acts.trip[a], -1),
        np.where(goes, acts.arrive_h[a], np.nan),
    )
    return plans if chosen.all() else _with_refuge(built, policy, day, plans, sea, classes, stop, charge)


def _with_refuge(
    built: Built, policy: Policy, day: int, plans: Plans, sea: Floats, classes: Ints, stop: Ints, charge: Floats
) -> Plans:
    """Where nothing is held: to the plug if the sea and the charge allow, else staying at ``off``."""
    refuge, none = policy.problem.refuges[day], ~plans.held
    reach, sure = refuge.reach_kwh[classes, stop], refuge.held_kwh[classes, stop]
    flees = none & (refuge.end[stop] >= 0) & (sea < refuge.fit[stop]) & (charge >= reach - 1e-9)
    flight = np.where(flees, refuge.trip[stop], -1)
    flown = built.journeys[day].flights
    arrive = flown.arrive_h[np.maximum(flight, 0)] if len(flown.arrive_h) else np.full(len(stop), np.nan)
    return Plans(
        np.where(flees, refuge.end[stop], np.where(none, refuge.stay_end[stop], plans.end)),
        plans.step,
        plans.held | (flees & (charge >= sure - 1e-9)),
        plans.trip,
        flight,
        plans.crossing,
        np.where(flees, arrive, plans.arrive_h),
    )


def doings_of(
    frame: Frame, built: Built, day: int, plans: Plans, stop: Ints, afloat: list[Afloat], at: list[Ints]
) -> tuple[Doings, Ints]:
    """The distinct doings of a day, and which of them each member has.

    ``plans`` and ``stop`` of the members that woke in a mooring; ``at``: places of those and then of each crossing's
    members among all members of the day.
    """
    journeys = built.journeys[day]
    parts: list[Doings] = []
    of = np.empty(sum(len(a) for a in at), dtype=np.int64)
    count = 0

    def add(part: Doings, which: Ints, number: Ints | int) -> None:
        nonlocal count
        parts.append(part)
        of[which] = count + number
        count += len(part.place)

    awake = at[0]
    for rows, trips in ((plans.trip, journeys.trips), (plans.flight, journeys.flights)):
        here = np.flatnonzero(rows >= 0)
        if len(here):
            used, number = np.unique(rows[here], return_inverse=True)
            add(trip_doings(frame, day, taken(trips, used)), awake[here], number.reshape(-1))
    lies = np.flatnonzero((plans.trip < 0) & (plans.flight < 0) & (plans.crossing < 0))
    if len(lies):
        used, number = np.unique(built.stops.mooring[stop[lies]], return_inverse=True)
        add(lying_doings(frame, day, used), awake[lies], number.reshape(-1))
    for group, which in zip(afloat, at[1:], strict=True):
        add(crossing_doing(frame, group.crossing, group.first, day), which, 0)
    return together(parts), of
