"""What a day's passage leaves open: where else to go if it turns out worse, and from where on nobody gets back."""

from typing import Any

from voyager.planner.dayrun import Day
from voyager.planner.frame import Frame
from voyager.planner.nearby import Morning, nearest_held
from voyager.planner.outing import morning_of, outing_of, trip_of
from voyager.planner.outlook import Outlook
from voyager.planner.turning import turning_point

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
    found = turning_point(frame, shown.built.ahead, outing_of(shown, day, to, at.start), at.charge_kwh, at.kind)
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
