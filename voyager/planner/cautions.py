"""Cautions that a day, a leg or the whole plan leans on. Codes as in the files' documentation."""

from dataclasses import dataclass

import numpy as np

from voyager.boat.hull import CUBE_LAW_FROUDE
from voyager.boat.water import critical_speed_mps, froude
from voyager.energy.way import exposed
from voyager.planner.damp import condenses
from voyager.planner.dayrun import Day
from voyager.planner.frame import Frame
from voyager.planner.sail import LegPart
from voyager.planner.schedule import Schedule
from voyager.route.land import crosses_land
from voyager.route.leg import Leg
from voyager.sky.clearness import OCEAN_WARN_KM, cell_distance_km

SHALLOW_SHARE = 0.7
FROST_C, ICE_C, SNOW_C = 0.0, -2.0, 1.0
NORTH_DEG = 62.0
DUSK_H = 0.6

TEXT = {
    "not_for_navigation": "Not for navigation: use official charts, tide tables and notices, and your own eyes.",
    "heater": "Heater in use: keep textiles clear of it, never run it asleep or unattended; heed its maker.",
    "fresh_air": "A closed, heated cabin needs fresh air: keep vents open and carry a carbon monoxide alarm.",
    "condensation": "Cold surfaces and people's breath: expect condensation; air and wipe early.",
    "frost": "Frost outside: guard water pipes, mind icy decks and lines.",
    "cold_charging": "Cells too cold to be charged: charging below freezing harms lithium; sun only serves loads.",
    "ice": "Ice is likely: a light hull is cut by it; ask the waterway's authority before you cast off.",
    "snow": "Snow may lie on the panels and the deck: clear it by hand from a safe stance, count on less sun.",
    "shore_safety": "Shore power: earth-leakage protection and galvanic isolation, fitted and checked to local code.",
    "deep_discharge": "The charge runs below the floor: little is left to manoeuvre with; the battery may be harmed.",
    "no_way_out": "Nothing chosen here is held on a poor day: look for a plug or a shorter way before you rely on it.",
    "daylight": "Made fast close to dusk: leave a margin, carry lights.",
    "overnight": "Under way through the night: watch-keeping, lights and lookout as the collision rules ask.",
    "sea": "Exposed water: waiting days are counted, no sea is forecast; decide by the official forecast.",
    "tide": "The tide is one simple curve: take times and rates from the official tables.",
    "lock_hours": "Waiting at a lock or bridge: hours change; ask its keeper. Tend lines in the chamber.",
    "shallow": "Fast for the depth: the wash grows and the stern squats; slow down near banks and moored boats.",
    "hull_speed": "Faster than the cube law holds for this hull: the power needed is likely higher than shown.",
    "over_limit": "The fixed speed is more than this leg allows or the motor gives: it is sailed slower.",
    "raised_wind": "Raised panels: lower them before the wind reaches their limit.",
    "inverter_overload": "Heaters and other alternating loads together ask for more than the inverter gives.",
    "land": "The line of this leg crosses land on a coarse map: give points on the water (via), or its distance.",
    "climate_north": "Far north the built-in climate errs most, in winter by up to a third.",
    "climate_ocean": "Far from the nearest climate cell: the sun is a guess, taken a tenth lower.",
    "deadline": "Later than the date asked for.",
}


@dataclass(frozen=True)
class Caution:
    """A caution of the plan (day and leg None), of a day (1-based) or of a leg (1-based)."""

    code: str
    day: int | None = None
    leg: int | None = None
    place: str | None = None

    @property
    def text(self) -> str:
        """The sentence shown."""
        return TEXT[self.code]


def of_day(frame: Frame, day: Day, mooring: int) -> list[str]:
    """Codes of one day, in the order of the table above."""
    outside, ledger = day.outside_c, day.ledger
    heated = float(ledger.total("heating_kwh")[0]) > 0.005
    station = int(frame.mooring_station[mooring])
    dusk = (frame.sun.set_utc[day.day, station] - frame.days.starts_utc[day.day]) / np.timedelta64(3600, "s")
    parts, trips = (day.sail.parts, day.sail.trips) if day.sail else ((), None)
    facts = {
        "heater": heated,
        "fresh_air": heated,
        "condensation": heated and condenses(ledger.air_c[0], outside),
        "frost": float(outside.min()) < FROST_C,
        "cold_charging": _cold_hours(frame, day, station),
        "ice": float(outside.mean()) < ICE_C,
        "snow": float(outside.mean()) < SNOW_C,
        "shore_safety": float(ledger.total("shore_kwh")[0]) > 0,
        "deep_discharge": bool((ledger.charge_kwh < ledger.floor_kwh - 1e-9).any()),
        "no_way_out": not day.choice.held,
        "daylight": trips is not None and bool(trips.arrive_h[0] > dusk - DUSK_H),
        "overnight": day.sea is not None,
        "sea": any(exposed(frame.route.legs[_ahead(frame, day, p)]) for p in parts),
        "tide": any(frame.route.legs[_ahead(frame, day, p)].tide_high_water is not None for p in parts),
        "lock_hours": trips is not None and bool(trips.wait_h[0] > 0.01),
        "raised_wind": _raised_wind(frame, day, station),
        "inverter_overload": _overloaded(frame, heated),
    }
    return [code for code, true in facts.items() if true]


def _ahead(frame: Frame, day: Day, part: LegPart) -> int:
    """Number of the leg on the way ahead, also of a trip back."""
    return len(frame.route.legs) - 1 - part.leg if day.sail and day.sail.back else part.leg


def _cold_hours(frame: Frame, day: Day, station: int) -> bool:
    return bool(frame.weather.cold_cells[day.day, station, : int(frame.days.length_h[day.day]), 0].any())


def _raised_wind(frame: Frame, day: Day, station: int) -> bool:
    raised = [array for array in frame.vessel.arrays if array.raised]
    poor = float(frame.weather.wind_mps[day.day, station, frame.weather.poor])
    return any(poor > array.raise_wind_max_mps for array in raised)


def _overloaded(frame: Frame, heated: bool) -> bool:
    limit = frame.vessel.inverter.max_w
    if limit is None:
        return False
    heaters_w = sum(h.max_w for h in frame.vessel.heaters if h.alternating) if heated else 0.0
    return heaters_w + max(frame.vessel.hotel.alternating_w) > limit


def of_leg(frame: Frame, leg: int, water_mps: float) -> list[str]:
    """Codes of one leg at the speed at which it is sailed."""
    here, hull = frame.route.legs[leg], frame.vessel.hull
    shallow = here.depth_m is not None and water_mps > SHALLOW_SHARE * float(critical_speed_mps(here.depth_m))
    long = hull.waterline_m is not None and float(froude(water_mps, hull.waterline_m or 1.0)) > CUBE_LAW_FROUDE
    slower = here.speed_mps is not None and water_mps < here.speed_mps - 0.01
    over = here.speed_mps is not None and here.limit_mps is not None and here.speed_mps > here.limit_mps + 1e-9
    facts = {"sea": exposed(here), "shallow": shallow, "hull_speed": long, "over_limit": slower or over,
             "land": exposed(here) and _over_land(frame, here)}  # fmt: skip
    return [code for code, true in facts.items() if true]


def _over_land(frame: Frame, leg: Leg) -> bool:
    """Whether a leg measured along its given points crosses land."""
    if leg.distance_km is not None:
        return False
    at = {place.name: (place.lat, place.lon) for place in frame.voyage.places}
    return crosses_land((at[leg.start], *leg.via, at[leg.end]))


def of_plan(frame: Frame, schedule: Schedule) -> list[Caution]:
    """Cautions of the whole plan."""
    out = [Caution("not_for_navigation")]
    lat, lon = frame.stations.lat, frame.stations.lon
    winter = any(d.month in (11, 12, 1, 2) for d in frame.days.dates[: len(schedule.days)])
    if winter and np.abs(lat).max() > NORTH_DEG:
        out.append(Caution("climate_north"))
    if np.asarray(cell_distance_km(lat, lon)).max() > OCEAN_WARN_KM:
        out.append(Caution("climate_ocean"))
    by = frame.voyage.by
    if by is not None and (schedule.arrived is None or frame.days.dates[schedule.arrived] > by):
        out.append(Caution("deadline"))
    return out
