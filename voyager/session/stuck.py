"""Why a voyage whose days are all held does not end: a leg that no day, or no charge, is enough for."""

from datetime import date

import numpy as np
from numpy.typing import NDArray

from voyager.planner.outlook import Outlook
from voyager.session.telling import Json


def stuck_told(found: Outlook) -> Json | None:
    """``stuck``: the leg on which nobody gets further on any day planned, None where the plan arrives."""
    if found.schedule.arrived is not None:
        return None
    in_time, held = found.built.reached, _held_reach(found)
    if held[-1]:
        return None
    mooring = found.frame.route.moorings[int(np.flatnonzero(held)[-1])]
    number = int(found.frame.route.leg_at(mooring.km + 1e-6))
    enough_time = int(np.flatnonzero(in_time)[-1]) > int(np.flatnonzero(held)[-1])
    text = _no_charge(found, number, mooring.name) if enough_time else _no_time(found, number, mooring.name)
    return {"leg": number + 1, "place": mooring.name, "text": text}


def _held_reach(found: Outlook) -> NDArray[np.bool_]:
    """Moorings that can be got to by actions that a full battery holds, (N,)."""
    stops, reach = found.built.stops, np.zeros(len(found.frame.route.moorings), dtype=bool)
    reach[found.frame.begin.mooring] = True
    for acts in found.built.problem.mornings:
        go = (acts.from_kwh[0] <= found.frame.ceiling_kwh) & reach[stops.mooring[acts.start]]
        reach[stops.mooring[acts.end[go]]] = True
    return reach


def _lead(found: Outlook, number: int, place: str) -> str:
    leg = found.frame.voyage.legs[number]
    return f"Nobody gets on from {place} on leg {number + 1} ({leg.start} to {leg.end})"


def _no_charge(found: Outlook, number: int, place: str) -> str:
    """There is time for it, but on a poor day a full battery would not do."""
    leg = found.frame.voyage.legs[number]
    wishes = ["a heating reserve of fewer nights", "a plug at its end", "a slower day of longer travel hours"]
    wishes += ["overnight = true"] if leg.water in ("coastal", "open") and not leg.overnight else []
    lead = _lead(found, number, place)
    return f"{lead}: on a poor day even a full battery is not enough; try {', '.join(wishes[:-1])} or {wishes[-1]}."


def _no_time(found: Outlook, number: int, place: str) -> str:
    leg, lead = found.frame.voyage.legs[number], _lead(found, number, place)
    hours = found.frame.windows.close_h - found.frame.windows.open_h
    if not np.isfinite(hours).any():
        return f"{lead}: there is no daylight to travel by; give travel hours by the clock."
    shut = _stoppage(found, number)
    if shut:
        return f"{lead}: it is closed from {shut[0]} to {shut[1]}, through all days planned; try another date or way."
    wishes = ["longer travel hours", "other lock hours"] if leg.locks or leg.bridges else ["longer travel hours"]
    wishes += [] if leg.moor_anywhere else ["moor_anywhere = true"]
    wishes += ["overnight = true"] if leg.water in ("coastal", "open") and not leg.overnight else []
    return f"{lead}: no day planned is long enough for it; try {' or '.join(wishes)}, if the water allows."


def _stoppage(found: Outlook, number: int) -> tuple[date, date] | None:
    """The stoppage of the leg that holds from the first half of the days planned to the last of them."""
    dates = found.frame.days.dates
    last = next((one for one in found.frame.voyage.legs[number].closed if one[0] <= dates[-1] <= one[1]), None)
    return last if last and last[0] <= dates[len(dates) // 2] else None
