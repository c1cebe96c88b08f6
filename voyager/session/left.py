"""What a day's passage leaves open: where else to go if it turns out worse, and from where on nobody gets back."""

from typing import Any

import numpy as np

from voyager.planner.dayrun import Day
from voyager.planner.frame import Frame
from voyager.planner.nearby import Morning, faster_is_held, nearest_held, poor_kind
from voyager.planner.outlook import Outlook
from voyager.planner.turning import Outing, turning_point

Json = dict[str, Any]


def left_told(shown: Outlook, day: Day) -> Json:
    """``fallback`` and ``no_return``; below the floor there is no turning point to speak of."""
    frame, at = shown.frame, morning_of(shown, day)
    goes = day.sail is not None or day.sea is not None
    to = trip_of(shown, day)[0] if goes else at.start
    ahead = goes and to > at.start
    there = at.start == len(frame.route.moorings) - 1
    near = None if there else nearest_held(frame, shown.built, to, at)
    return {
        "fallback": None if near is None else _fallback(frame, at.start, near),
        "no_return": _no_return(shown, day, to, at) if ahead and at.charge_kwh >= day.floor_kwh else None,
    }


def morning_of(shown: Outlook, day: Day) -> Morning:
    """The morning of a day of the schedule."""
    kind = poor_kind(shown.frame, shown.policy.problem.classes, day.seen.cls)
    return Morning(day.day, int(shown.built.stops.mooring[day.start]), day.charge_start_kwh, kind)


def trip_of(shown: Outlook, day: Day) -> tuple[int, int, float, float, float]:
    """End mooring, number of the day of landing and hours from its start, pace and speed through the water."""
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


def where_words(frame: Frame, mooring: int) -> str:
    """``Athlone (km 78)``, ``km 63``."""
    place = frame.route.moorings[mooring]
    return place.name if place.name.startswith("km ") else f"{place.name} (km {round(place.km, 1):g})"


def _fallback(frame: Frame, start: int, mooring: int) -> Json:
    turn = "turn back to" if mooring < start else "go no further than"
    place = frame.route.moorings[mooring]
    text = f"If it turns out worse: {turn} {where_words(frame, mooring)}, at the slowest pace."
    return {"to": place.name, "to_km": round(place.km, 3), "text": text}


def _no_return(shown: Outlook, day: Day, to: int, at: Morning) -> Json | None:
    frame = shown.frame
    found = turning_point(frame, shown.built.ahead, _outing(shown, day, to, at.start), at.charge_kwh, at.kind)
    if found is None:
        return None
    place = frame.route.moorings[found.mooring]
    what, here = "plug" if found.plug else "haven", frame.route.moorings[at.start].km
    lead = "From here on" if found.km <= here + 1e-6 else f"Past km {found.km:.1f}"
    if found.mooring == at.start and found.km <= here + 1e-6:
        lead = "Once cast off"
    return {
        "km": round(found.km, 3),
        "to": place.name,
        "to_km": round(place.km, 3),
        "kind": what,
        "text": f"{lead} {where_words(frame, found.mooring)}, the last {what} behind, is out of reach on a poor day.",
    }


def _outing(shown: Outlook, day: Day, to: int, start: int) -> Outing:
    pace_w, depart = 0.0, 0.0 if day.day else shown.frame.begin.hours
    if day.sea is not None:
        pace_w, depart = day.sea.pace_w, day.sea.casts_off_h or depart
    elif day.sail is not None:
        pace_w, depart = day.sail.pace_w, float(day.sail.path.depart_h[0])
    pace = int(np.abs(shown.built.ahead.pace_w - pace_w).argmin())
    return Outing(depart, pace, to, day.morning_step, day.day, start)
