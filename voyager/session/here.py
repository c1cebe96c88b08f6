"""The boat of a voyage at one of its places on a date: what ``speeds`` asks about."""

from dataclasses import dataclass
from datetime import date
from difflib import get_close_matches

import numpy as np
from numpy.typing import ArrayLike, NDArray

from voyager.boat.hull import CONFINED_SHARE, cube_law_limit_mps, midship_area, propulsion_w, top_speed_mps
from voyager.boat.vessel import Vessel
from voyager.boat.water import critical_speed_mps, schijf_limit_mps
from voyager.errors import InputError
from voyager.files.voyage_file import Loaded
from voyager.route.calendar import Days, days
from voyager.route.leg import Leg
from voyager.route.line import build_route
from voyager.route.place import Place

Floats = NDArray[np.float64]
SHALLOW_FROUDE = 0.7
"""Share of the critical speed from which shallow water is said."""


@dataclass(frozen=True)
class Here:
    """The boat at a place on a date: the water of the leg that leaves it (of the last place: that ends there)."""

    vessel: Vessel
    place: Place
    leg: Leg
    course_deg: float
    days: Days
    charge_kwh: float

    def power_w(self, speed_mps: ArrayLike) -> Floats:
        """Motor power [W] in still water of the leg's depth, without wind."""
        return propulsion_w(self.vessel.hull, speed_mps, depth_m=self.leg.depth_m, width_m=self.leg.width_m)

    @property
    def top_mps(self) -> float:
        """Greatest speed that motor, depth and width allow, m/s."""
        return float(top_speed_mps(self.vessel.hull, depth_m=self.leg.depth_m, width_m=self.leg.width_m))

    @property
    def limits_mps(self) -> dict[str, float | None]:
        """Limits by name, m/s; None where the files do not say enough."""
        hull, depth = self.vessel.hull, self.leg.depth_m
        shallow = None if depth is None else SHALLOW_FROUDE * float(critical_speed_mps(depth))
        confined = CONFINED_SHARE * float(schijf_limit_mps(depth, self.leg.width_m, midship_area(hull)))
        return {
            "steerable": hull.steerable_min_mps,
            "motor": float(top_speed_mps(hull, depth_m=depth)),
            "cube_law": cube_law_limit_mps(hull),
            "shallow": None if shallow is None else min(shallow, confined),
        }


def here(loaded: Loaded, day: str | None, place: str | None, charge: str | float | None) -> Here:
    """Where ``speeds`` is asked about; None: the departure, the first place, the starting charge."""
    voyage = loaded.voyage
    name = voyage.legs[0].start if place is None else place
    number, leg = _leg_at(voyage.legs, name)
    first = voyage.departs if day is None else civil_date(day)
    course = float(build_route(voyage).course_deg[number])
    spot = next(one for one in voyage.places if one.name == name)
    full = loaded.vessel.battery.capacity_kwh
    start = full * voyage.charge_at_start_percent / 100 if charge is None else _charge_kwh(charge, full)
    return Here(loaded.vessel, spot, leg, course, days(first, 1, voyage.time_zone, 0), start)


def _leg_at(legs: tuple[Leg, ...], name: str) -> tuple[int, Leg]:
    for number, leg in enumerate(legs):
        if leg.start == name:
            return number, leg
    if legs[-1].end == name:
        return len(legs) - 1, legs[-1]
    known = [leg.start for leg in legs] + [legs[-1].end]
    near = get_close_matches(name, known, 1)
    meant = f"did you mean {near[0]}?" if near else "there are " + ", ".join(known)
    raise InputError(f'the voyage has no place "{name}"; {meant}')


def civil_date(day: str) -> date:
    """The date of ``YYYY-MM-DD``; InputError for any other text and for years that the sun's algorithm leaves out."""
    try:
        found = date.fromisoformat(day)
    except ValueError:
        raise InputError(f"{day!r} is no date; write it like 2027-03-01") from None
    if not 1900 <= found.year <= 2200:
        raise InputError(f"the year {found.year} is out of range; it lies between 1900 and 2200")
    return found


def _charge_kwh(charge: str | float, full_kwh: float) -> float:
    text = str(charge).strip()
    try:
        kwh = float(text.removesuffix("%")) * (full_kwh / 100 if text.endswith("%") else 1.0)
    except ValueError:
        raise InputError(f"charge {text!r} is neither kWh nor percent; write it like 18.5 or 61%") from None
    if not 0 <= kwh <= full_kwh:
        raise InputError(f"charge {text} is out of range; the battery holds 0 to {full_kwh:g} kWh")
    return kwh
