"""A voyage as its files give it, in the shape of a plan, before anything is planned."""

import os
from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from voyager.files.boat_model import BoatFile
    from voyager.files.voyage_model import LegTable, VoyageFile

OFF = "off"


def outline(path: str | os.PathLike[str], documents: Mapping[str, Any] | None = None) -> dict[str, Any]:
    """Keys ``voyage``, ``boat``, ``legs``, ``choices`` as in a plan, with the file's own values only.

    A leg's ``speed_kmh`` is its fixed speed or None, ``distance_km`` None where it has to be measured first,
    ``nights`` the nights to stay at its end. ``documents`` as in ``plan``. Raises Problems with all that is wrong in
    both files.
    """
    from voyager.files.examine import examine

    sound = examine(path, documents=documents)
    return outline_of(sound.voyage, sound.boat, sound.voyage_path)


def outline_of(voyage: "VoyageFile", boat: "BoatFile | None", path: str) -> dict[str, Any]:
    """The outline of two models, sound or not: what is at fault in them is None."""
    ladder = [*((boat and boat.comfort) or {}), OFF]
    return {
        "voyage": {
            "name": voyage.name or Path(path).stem,
            "departs": _day(voyage.departs),
            "sky": voyage.sky,
            "aim": voyage.aim,
            "by": _day(voyage.by),
            "comfort": voyage.comfort or ladder[0],
        },
        "boat": {"name": boat.name if boat else None, "capacity_kwh": _capacity_kwh(boat)},
        "legs": [_leg(number, leg) for number, leg in enumerate(voyage.leg or [], 1)],
        "choices": {"comfort": ladder},
    }


def _day(day: Any) -> str | None:
    return None if day is None else str(day.isoformat())


def _capacity_kwh(boat: "BoatFile | None") -> float | None:
    """What is left of the rated capacity."""
    battery = boat.battery if boat else None
    if not battery or battery.capacity_kwh is None or battery.health_percent is None:
        return None
    return battery.capacity_kwh * battery.health_percent / 100


def _leg(number: int, leg: "LegTable") -> dict[str, Any]:
    return {
        "leg": number,
        "from": leg.start,
        "to": leg.end,
        "water": leg.water,
        "distance_km": leg.distance_km,
        "locks": leg.locks if leg.locks is not None else len(leg.lock_at_km or []),
        "speed_kmh": None if leg.speed_kmh is None else round(leg.speed_kmh, 3),
        "fixed_speed": leg.speed_kmh is not None,
        "nights": leg.nights,
    }
