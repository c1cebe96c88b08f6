"""A voyage as its files give it, in the shape of a plan, before anything is planned."""

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from voyager.boat.vessel import Vessel
    from voyager.route.leg import Leg
    from voyager.route.voyage import Voyage

MPS_PER_KMH = 1 / 3.6


def outline(path: str) -> dict[str, Any]:
    """Keys ``voyage``, ``boat``, ``legs``, ``choices`` as in a plan, with the file's own values only.

    A leg's ``speed_kmh`` is its fixed speed or None, ``distance_km`` None where it has to be measured first,
    ``nights`` the nights to stay at its end. Raises Problems with all that is wrong in both files.
    """
    from voyager.files.voyage_file import load_voyage

    loaded = load_voyage(path)
    return {
        "voyage": _voyage(loaded.voyage, loaded.vessel),
        "boat": {"name": loaded.vessel.name, "capacity_kwh": loaded.vessel.battery.capacity_kwh},
        "legs": [_leg(number, leg) for number, leg in enumerate(loaded.voyage.legs, 1)],
        "choices": {"comfort": [step.name for step in loaded.vessel.comfort]},
    }


def _voyage(voyage: "Voyage", vessel: "Vessel") -> dict[str, Any]:
    return {
        "name": voyage.name,
        "departs": voyage.departs.isoformat(),
        "sky": voyage.sky,
        "aim": voyage.aim,
        "by": None if voyage.by is None else voyage.by.isoformat(),
        "comfort": voyage.comfort or vessel.comfort[0].name,
    }


def _leg(number: int, leg: "Leg") -> dict[str, Any]:
    speed = None if leg.speed_mps is None else round(leg.speed_mps / MPS_PER_KMH, 3)
    return {
        "leg": number,
        "from": leg.start,
        "to": leg.end,
        "water": leg.water,
        "distance_km": leg.distance_km,
        "locks": leg.locks,
        "speed_kmh": speed,
        "fixed_speed": speed is not None,
        "nights": leg.nights,
    }
