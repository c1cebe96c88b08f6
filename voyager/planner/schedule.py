"""The policy followed through one sky, hour by hour, each choice on the charge that is really there."""

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from voyager.energy.ledger import joined
from voyager.energy.run import State, Track
from voyager.energy.weather import HOURS
from voyager.planner.actions import Built
from voyager.planner.crossed import chosen_crossing, cross
from voyager.planner.dayrun import Day, evening_choice, first_state, live, night_holds, poor_day, promised
from voyager.planner.effects import extra_w, hour_sun
from voyager.planner.frame import Frame
from voyager.planner.policy import Choice, Policy, choose
from voyager.planner.sail import Sail, sail
from voyager.planner.seen import Mornings, Seen, one_class_mornings

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]


@dataclass(frozen=True)
class Schedule:
    """Days in order; ``arrived`` the number of the day on which it makes fast at the destination, None if never."""

    days: tuple[Day, ...]
    arrived: int | None


def follow(
    frame: Frame,
    built: Built,
    policy: Policy,
    mornings: Mornings | None = None,
    tick: Callable[[], None] = lambda: None,
) -> Schedule:
    """Follow the policy from the first morning until the destination's nights are over or the horizon is reached;
    ``tick`` is called every day."""
    state, stop, arrived = first_state(frame, 1), int(built.stops.first[frame.begin.mooring]), None
    rows: list[Day] = []
    told = mornings or one_class_mornings(frame)
    waits = told.waits.copy()
    for day in range(policy.problem.days):
        if day < len(rows):
            continue
        tick()
        waiting = _waits_for_sea(built, waits, stop)
        seen = told.of(day, waiting)
        crossing = chosen_crossing(frame, built, policy, day, stop, float(state.charge_kwh[0]), seen)
        if crossing is None:
            row, state = _one_day(frame, built, policy, day, stop, state, seen)
            rows.append(row)
        else:
            sailed, state = cross(frame, built, policy, stop, *crossing, state, seen)
            rows += sailed
        stop = rows[-1].end
        home = built.stops.mooring[stop] == len(frame.route.moorings) - 1
        arrived = rows[-1].day if home and arrived is None else arrived
        if stop == policy.problem.destination:
            break
    return Schedule(tuple(rows), arrived)


def _waits_for_sea(built: Built, waits: Ints, stop: int) -> bool:
    """Whether the sea keeps the boat in its mooring this morning; one of the days that this costs is then over."""
    mooring = int(built.stops.mooring[stop])
    if built.stops.forced[stop] or waits[mooring] == 0:
        return False
    waits[mooring] -= 1
    return True


def _one_day(
    frame: Frame, built: Built, policy: Policy, day: int, stop: int, state: State, seen: Seen
) -> tuple[Day, State]:
    charge = float(state.charge_kwh[0])
    choice = choose(policy, day, stop, charge, seen.cls, seen.sea)
    end, trip, step = _carried_out(built, policy, day, stop, choice, frame)
    mooring = int(built.stops.mooring[end])
    evening = int(frame.windows.evening[day, frame.mooring_station[mooring]])
    track = day_track(frame, day, int(built.stops.mooring[stop]), trip)
    length = int(frame.days.length_h[day])
    before, state = live(frame, track, day, step, 0, evening, state)
    at_evening = float(state.charge_kwh[0])
    night, plugged = evening_choice(policy, built, day, end, at_evening, seen)
    slept = night_holds(policy, day, end, at_evening, night, plugged)
    charger = np.where(np.arange(HOURS) >= evening, frame.plugs_w[mooring] if plugged else 0.0, 0.0)
    after, state = live(frame, replace(track, charger_w=charger), day, night, evening, length, state)
    poor_low, poor_evening = poor_day(policy, day, stop, choice, charge, seen)
    floor, reserve = promised(frame, built, day, stop, end, step)
    full = choose(policy, day, stop, frame.ceiling_kwh, seen.cls, seen.sea)
    goes = full.action is not None and bool(policy.problem.mornings[day].pace[full.action] >= 0)
    choice = replace(choice, held=choice.held and slept)
    row = Day(
        day, stop, end, choice, trip, step, night, plugged, evening, joined([before, after]), charge, floor, reserve,
        poor_low, poor_evening, track.outside_c[0, :length], goes, seen=seen,
    )  # fmt: skip
    return row, state


def _carried_out(
    built: Built, policy: Policy, day: int, stop: int, choice: Choice, frame: Frame
) -> tuple[int, Sail | None, int]:
    """End stop, the trip if there is one, and the comfort step of the hours to the evening."""
    start = int(built.stops.mooring[stop])
    if choice.action is not None:
        acts = policy.problem.mornings[day]
        end, pace = int(acts.end[choice.action]), int(acts.pace[choice.action])
        trip = sail(built.ahead, day, start, int(built.stops.mooring[end]), pace) if pace >= 0 else None
        return end, trip, int(acts.step[choice.action])
    if not choice.flee:
        return int(policy.problem.refuges[day].stay_end[stop]), None, frame.off
    end = int(policy.problem.refuges[day].end[stop])
    goal = int(built.stops.mooring[end])
    return end, _slowest(built, day, start, goal), frame.off


def _slowest(built: Built, day: int, start: int, goal: int) -> Sail:
    back = goal < start
    walker = built.back if back and built.back is not None else built.ahead
    for pace in range(len(walker.pace_w)):
        trip = sail(walker, day, start, goal, pace, back=back)
        if len(trip.path.pace):
            return trip
    raise RuntimeError("a refuge that no pace reaches was offered")


def day_track(frame: Frame, day: int, start: int, trip: Sail | None) -> Track:
    """The day by hour step; kinds other than the sky itself are left out."""
    solar, station, propulsion = np.zeros(HOURS), np.zeros(HOURS, dtype=np.int64), np.zeros(HOURS)
    if trip is None:
        solar[:] = frame.panels.watts[day, frame.mooring_mount[start], :, 0]
        station[:] = frame.mooring_station[start]
    else:
        end = int(trip.path.end[0])
        solar[:] = frame.panels.watts[day, frame.mooring_mount[end], :, 0]
        station[:] = frame.mooring_station[end]
        for h in range(trip.path.moving.shape[1]):
            sun, where = hour_sun(frame, day, trip.path, h)
            solar[h], station[h] = sun[0, 0], where[0]
        extra = extra_w(frame, trip.path)[0] * trip.path.moving[0]
        propulsion[: len(extra)] = trip.path.kwh_by_hour[0] * 1e3 + extra
    hours = np.arange(HOURS)
    return Track(
        solar[None],
        frame.weather.air_c[day, station, hours, 0][None],
        frame.glass_w_m2[day, station, hours, 0][None],
        propulsion,
        np.zeros(HOURS),
        frame.days.local_hour[day],
    )
