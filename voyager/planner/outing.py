"""A day of a schedule taken for itself: the morning that it begins with, its trip, whether it had to be that slow."""

import numpy as np

from voyager.planner.dayrun import Day
from voyager.planner.nearby import Morning, faster_is_held, poor_kind
from voyager.planner.outlook import Outlook
from voyager.planner.turning import Outing


def morning_of(shown: Outlook, day: Day) -> Morning:
    """The morning of a day of the schedule."""
    kind = poor_kind(shown.frame, shown.policy.problem.classes, day.seen.cls)
    return Morning(day.day, int(shown.built.stops.mooring[day.start]), day.charge_start_kwh, kind)


def trip_of(shown: Outlook, day: Day) -> tuple[int, int, float, float, float]:
    """End mooring, number of the day of landing and hours from its start, pace [W], speed through the water [km/h].

    Raises ValueError for a day without a trip.
    """
    if day.sea is not None:
        rest = shown.schedule.days[day.day - shown.schedule.days[0].day :]
        landing = next(row for row in rest if row.sea is not None and row.sea.made_fast_h is not None)
        made_fast, parts = landing.sea, landing.sail.parts if landing.sail else ()
        move_h = sum(part.move_h for part in parts)
        kmh = sum(part.water_km for part in parts) / move_h if move_h else 0.0
        arrive_h = made_fast.made_fast_h if made_fast and made_fast.made_fast_h is not None else 0.0
        return int(shown.built.stops.mooring[landing.end]), landing.day, arrive_h, day.sea.pace_w, kmh
    if day.sail is None:
        raise ValueError("a boat that stays has no trip")
    path = day.sail.path
    kmh = float(path.water_km[0] / path.move_h[0]) if path.move_h[0] > 0 else 0.0
    return int(path.end[0]), day.day, float(path.arrive_h[0]), day.sail.pace_w, kmh


def slowest(shown: Outlook, day: Day) -> bool:
    """Whether a day goes as slowly as it does because no faster way to its stop is held from this charge."""
    if day.sail is None or day.sea is not None or day.choice.flee:
        return False
    end, _, arrive_h, _, _ = trip_of(shown, day)
    return not faster_is_held(shown.frame, shown.built, end, arrive_h, day.morning_step, morning_of(shown, day))


def outing_of(shown: Outlook, day: Day, to: int, start: int) -> Outing:
    """The day's trip from one mooring to another as its point of no return is looked for."""
    pace_w, depart = 0.0, 0.0 if day.day else shown.frame.begin.hours
    if day.sea is not None:
        pace_w, depart = day.sea.pace_w, day.sea.casts_off_h or depart
    elif day.sail is not None:
        pace_w, depart = day.sail.pace_w, float(day.sail.path.depart_h[0])
    pace = int(np.abs(shown.built.ahead.pace_w - pace_w).argmin())
    return Outing(depart, pace, to, day.morning_step, day.day, start)
