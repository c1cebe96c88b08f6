"""The weather file that a voyage names, held to the voyage: found, sound, of its place and season."""

import os
from datetime import timedelta
from itertools import pairwise
from typing import TYPE_CHECKING

from voyager.errors import Problems
from voyager.files.faults import Faults
from voyager.files.printable import shown
from voyager.files.voyage_model import LegTable, VoyageFile

if TYPE_CHECKING:
    from voyager.sky.record import Record

FAST_KM_A_DAY = 60.0
"""No voyage is planned to be shorter than at this many kilometres a day: common practice, no source."""
Point = tuple[float, float]


def voyage_weather(voyage: VoyageFile, path: str, faults: Faults) -> "tuple[Record | None, tuple[str, ...]]":
    """The record of the file at ``path`` with notes; what is wrong is told to ``faults``, None then.

    A file that is not there is a fault of the voyage file; one that can't be trusted, of the weather file's own line.
    """
    if fault := _absent(path):
        faults.add(("weather",), fault)
        return None, ()
    points = {place.name: place.at for place in voyage.place or [] if place.name and place.at}
    at = _middle(voyage, points)
    if at is None or not voyage.departs:
        return None, ()
    from voyager.files.weather import read_weather
    from voyager.files.weather_sun import fit_notes, misfit

    try:
        record, notes = read_weather(path, at)
    except Problems as error:
        faults.problems.extend(error.problems)
        return None, ()
    if fault := misfit(record, at, voyage.departs, least_days(voyage, points)):
        faults.add(("weather",), fault)
        return None, ()
    return record, (*notes, *fit_notes(record, at))


def _absent(path: str) -> str | None:
    if os.path.isdir(path):
        return f"{shown(path)} is a directory; name the file in it"
    if not os.path.isfile(path):
        return f"{shown(path)}: no such file (seen from the voyage file)"
    return None


def _middle(voyage: VoyageFile, points: dict[str, Point]) -> Point | None:
    """Mean position of the places on the legs, across the date line too; None where none is sound."""
    used = {name for leg in voyage.leg or [] for name in (leg.start, leg.end)}
    found = [points[name] for name in points if name in used]
    if not found:
        return None
    first = found[0][1]
    turns = [(lon - first + 180) % 360 - 180 for _, lon in found]
    lon = first + sum(turns) / len(turns)
    return sum(lat for lat, _ in found) / len(found), (lon + 180) % 360 - 180


def least_days(voyage: VoyageFile, points: dict[str, Point]) -> int:
    """Days that the voyage takes at the least: its nights and its length at a good pace, or until ``by``."""
    from voyager.files.weather_sun import distance_km

    def leg_km(leg: LegTable) -> float:
        if leg.distance_km is not None:
            return leg.distance_km
        ends = (points.get(leg.start), *(leg.via or []), points.get(leg.end))
        return sum(distance_km(a, b) for a, b in pairwise(point for point in ends if point))

    legs = voyage.leg or []
    days = 1 + int(sum(map(leg_km, legs)) / FAST_KM_A_DAY) + sum(leg.nights or 0 for leg in legs)
    if voyage.by and voyage.by > voyage.departs:
        days = max(days, (voyage.by - voyage.departs) // timedelta(days=1) + 1)
    return days
