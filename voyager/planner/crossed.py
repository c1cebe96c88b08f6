"""A crossing of several days as the schedule lives it."""

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from voyager.energy.ledger import joined
from voyager.energy.run import State, Track
from voyager.energy.weather import HOURS
from voyager.planner.actions import Built
from voyager.planner.dayrun import Day, Sea, evening_choice, live, night_holds, poor_day, promised
from voyager.planner.frame import Frame
from voyager.planner.overnight import Crossing, hour_sun, night_legs
from voyager.planner.policy import Choice, Policy, choose
from voyager.planner.sail import LegPart, Sail, sea_sail
from voyager.planner.seen import Seen

Floats = NDArray[np.float64]


def chosen_crossing(
    frame: Frame, built: Built, policy: Policy, day: int, stop: int, charge_kwh: float, seen: Seen
) -> tuple[Choice, Crossing] | None:
    """The morning's choice and its crossing, None where the day is an ordinary one."""
    if not any(start == built.stops.mooring[stop] for _, start, _ in night_legs(frame)):
        return None
    choice = choose(policy, day, stop, charge_kwh, seen.cls, seen.sea)
    if choice.action is None:
        return None
    acts, a = policy.problem.mornings[day], choice.action
    if not (acts.days[a] or acts.lands[a]):
        return None
    return choice, built.journeys[day].crossings[int(acts.trip[a])]


def cross(
    frame: Frame, built: Built, policy: Policy, stop: int, choice: Choice, crossing: Crossing, state: State, seen: Seen
) -> tuple[list[Day], State]:
    """The days of a crossing, the last one with its landing."""
    rows: list[Day] = []
    first = 0
    step = int(policy.problem.mornings[crossing.day].step[choice.action or 0])
    end = int(built.stops.first[crossing.end])
    for after in range(crossing.last + 1):
        day, length = crossing.day + after, int(frame.days.length_h[crossing.day + after])
        landing, charge = after == crossing.last, float(state.charge_kwh[0])
        track = _track(frame, crossing, first, day, length)
        late = landing and not crossing.lands_late
        evening = int(frame.windows.evening[day, frame.mooring_station[crossing.end]])
        parts, night, plugged = [], step, False
        done, state = live(frame, track, day, step, 0, evening, state)
        parts.append(done)
        if late:
            at_evening = float(state.charge_kwh[0])
            night, plugged = evening_choice(policy, built, day, end, at_evening, seen)
            choice = replace(choice, held=choice.held and night_holds(policy, day, end, at_evening, night, plugged))
            track = _plugged(frame, track, evening, crossing.end if plugged else None)
        done, state = live(frame, track, day, night, evening, length, state)
        parts.append(done)
        poor = poor_day(policy, crossing.day, stop, choice, rows[0].charge_start_kwh if rows else charge, seen)
        floor, reserve = promised(frame, built, day, stop, end, step)
        rows.append(
            Day(
                day, stop, end if landing else stop, choice, _sail(frame, built, crossing, after, first), step, night,
                plugged, evening, joined(parts), charge, floor, reserve, *poor, track.outside_c[0, :length], True,
                _sea(crossing, built, first, length, landing), seen,
            )
        )  # fmt: skip
        first += length
    return rows, state


def _track(frame: Frame, crossing: Crossing, first: int, day: int, length: int) -> Track:
    """One day of the crossing by hour step; moored at its end once it has landed."""
    solar, station, propulsion = np.zeros(HOURS), np.zeros(HOURS, dtype=np.int64), np.zeros(HOURS)
    solar[:] = frame.panels.watts[day, frame.mooring_mount[crossing.end], :, 0]
    station[:] = frame.mooring_station[crossing.end]
    for h in range(length):
        if first + h < len(crossing.kwh):
            sun, station[h] = hour_sun(frame, crossing, first + h)
            solar[h] = sun[0]
            extra = frame.vessel.hull.underway_extra_w * crossing.moving[first + h]
            propulsion[h] = crossing.kwh[first + h] * 1e3 + extra
    hours = np.arange(HOURS)
    air, glass = (values[day, station, hours, 0][None] for values in (frame.weather.air_c, frame.glass_w_m2))
    return Track(solar[None], air, glass, propulsion, np.zeros(HOURS), frame.days.local_hour[day])


def _plugged(frame: Frame, track: Track, evening: int, mooring: int | None) -> Track:
    watts = 0.0 if mooring is None else float(frame.plugs_w[mooring])
    charger = np.where(np.arange(HOURS) >= evening, watts, 0.0)
    return Track(
        track.solar_w, track.outside_c, track.glass_w_m2, track.propulsion_w, charger, track.local_hour
    )


def _sea(crossing: Crossing, built: Built, first: int, length: int, landing: bool) -> Sea:
    last = min(first + length, len(crossing.km)) - 1
    km = built.ahead.route.moorings[crossing.start].km if first == 0 else float(crossing.km[first - 1])
    return Sea(
        km,
        built.ahead.route.moorings[crossing.end].km if landing else float(crossing.km[last]),
        float(crossing.moving[first : first + length].sum()),
        crossing.depart_h if first == 0 else None,
        crossing.arrive_h - first if landing else None,
        float(built.ahead.pace_w[crossing.pace]),
    )


def _sail(frame: Frame, built: Built, crossing: Crossing, after: int, first: int) -> Sail | None:
    """The leg's sums stand on the day of landing, its beginning on the first day."""
    if after == crossing.last:
        km = float(frame.route.distance_km[crossing.leg])
        if frame.route.moorings[crossing.start].place is None:
            km = frame.route.moorings[crossing.end].km - frame.route.moorings[crossing.start].km
        hours = crossing.arrive_h - crossing.depart_h - crossing.wait_h
        motor, finished = crossing.total_kwh, crossing.arrive_h - first
        part = LegPart(crossing.leg, km, crossing.water_km, hours, crossing.move_h, motor, motor, 0, finished, True)
        return sea_sail(part, float(built.ahead.pace_w[crossing.pace]))
    nothing = LegPart(crossing.leg, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0, 0.0, False)
    return sea_sail(nothing, float(built.ahead.pace_w[crossing.pace])) if after == 0 else None
