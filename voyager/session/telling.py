"""A followed policy as plain values: the objects of ``plan --json``."""

from dataclasses import dataclass, field

import numpy as np

from voyager.boat.water import froude
from voyager.planner import cautions
from voyager.planner.actions import Built
from voyager.planner.cautions import Caution
from voyager.planner.dayrun import Day, Sea
from voyager.planner.frame import Frame
from voyager.planner.marks import mark, why
from voyager.planner.sail import LegPart
from voyager.planner.schedule import Schedule
from voyager.route.line import Mooring
from voyager.session.hours import hours_told
from voyager.session.values import instant, kwh, utc
from voyager.sky.days import CLASSES

Json = dict[str, object]
SEA = "at sea"


def days_told(frame: Frame, built: Built, schedule: Schedule) -> list[Json]:
    """``days``, one object each."""
    return [_day(frame, built, day) for day in schedule.days]


def _day(frame: Frame, built: Built, day: Day) -> Json:
    start, end = (frame.route.moorings[built.stops.mooring[stop]] for stop in (day.start, day.end))
    number = int(built.stops.mooring[day.end])
    ledger = day.ledger
    charges = np.concatenate([[day.charge_start_kwh], ledger.charge_kwh[0]])
    low = _cabin_low_c(frame, day)
    energies = ("solar", "shore", "propulsion", "hotel", "heating", "loss", "spilled", "unserved")
    return {
        "day": day.day + 1,
        "date": frame.days.dates[day.day].isoformat(),
        "starts_utc": utc(frame.days.starts_utc[day.day]),
        "length_h": int(frame.days.length_h[day.day]),
        "mark": mark(built, day),
        "why": why(frame, built, day),
        "sky_class": CLASSES[day.seen.cls] if day.seen.told else None,
        "comfort": frame.vessel.comfort[day.night_step].name,
        **(_at_sea(frame, day.sea, start, end) if day.sea else _moored(frame, number, start, end)),
        **_underway(frame, day),
        **{f"{name}_kwh": kwh(ledger.total(f"{name}_kwh")[0]) for name in energies},
        "charge_start_kwh": kwh(day.charge_start_kwh),
        "charge_low_kwh": kwh(charges.min()),
        "charge_evening_kwh": kwh(charges[day.evening]),
        "charge_end_kwh": kwh(charges[-1]),
        "floor_kwh": kwh(day.floor_kwh),
        "heating_reserve_kwh": kwh(day.reserve_kwh),
        "poor_low_kwh": kwh(day.poor_low_kwh),
        "poor_evening_kwh": kwh(day.poor_evening_kwh),
        "held": day.choice.held,
        "warm_hours": round(float(ledger.total("warm_h")[0]), 3),
        "asked_hours": round(_asked(frame, day), 3),
        "cabin_low_c": round(low, 2) if np.isfinite(low) else None,
        "cautions": cautions.of_day(frame, day, number),
        "hours": hours_told(frame, built, day),
    }


def _moored(frame: Frame, number: int, start: Mooring, end: Mooring) -> Json:
    return {
        "from": start.name,
        "mooring": end.name,
        "at": [round(end.lat, 4), round(end.lon, 4)],
        "shore_here": bool(frame.plugs_w[number] > 0),
        "start_km": round(start.km, 3),
        "end_km": round(end.km, 3),
    }


def _at_sea(frame: Frame, sea: Sea, start: Mooring, end: Mooring) -> Json:
    """The same of a day of a crossing, which may begin and end on the water."""
    lat, lon = (float(value) for value in frame.route.position(sea.end_km))
    return {
        "from": start.name if sea.casts_off_h is not None else SEA,
        "mooring": end.name if sea.made_fast_h is not None else SEA,
        "at": [round(lat, 4), round(lon, 4)],
        "shore_here": sea.made_fast_h is not None and end.shore_w > 0 and frame.voyage.shore_power != "never",
        "start_km": round(sea.start_km, 3),
        "end_km": round(sea.end_km, 3),
    }


def _asked(frame: Frame, day: Day) -> float:
    """Hours with a setpoint in the voyage's own step."""
    return float(frame.steps[frame.wanted].asked_h[day.day, 0, 0, : int(frame.days.length_h[day.day])].sum())


def _cabin_low_c(frame: Frame, day: Day) -> float:
    """Lowest air in the hours with a setpoint in the voyage's own step, also where a colder step was lived; inf: none.

    Where the lived step asks too, the half hour after a rise of the setpoint is left out.
    """
    ledger = day.ledger
    inside = frame.steps[frame.wanted].asked_h[day.day, 0, 0, : ledger.air_c.shape[1]] > 0
    air = np.where(ledger.asked_h > 0, ledger.low_c, ledger.air_c)[0]
    return float(air[inside].min(initial=np.inf))


def _sea_hours(frame: Frame, day: Day, sea: Sea) -> Json:
    return {
        "casts_off_utc": None if sea.casts_off_h is None else instant(frame, day.day, sea.casts_off_h),
        "made_fast_utc": None if sea.made_fast_h is None else instant(frame, day.day, sea.made_fast_h),
        "hours_underway": round(sea.hours, 3),
        "waiting_h": 0.0,
        "locks": 0,
        "pace_w": round(sea.pace_w),
    }


def _underway(frame: Frame, day: Day) -> Json:
    if day.sea is not None:
        return _sea_hours(frame, day, day.sea)
    if day.sail is None or day.sail.trips is None:
        return {
            "casts_off_utc": None, "made_fast_utc": None, "hours_underway": 0.0, "waiting_h": 0.0, "locks": 0,
            "pace_w": None,
        }  # fmt: skip
    trips = day.sail.trips
    depart, arrive, wait = (float(value[0]) for value in (trips.depart_h, trips.arrive_h, trips.wait_h))
    return {
        "casts_off_utc": instant(frame, day.day, depart),
        "made_fast_utc": instant(frame, day.day, arrive),
        "hours_underway": round(arrive - depart - wait, 3),
        "waiting_h": round(wait, 3),
        "locks": day.sail.locks,
        "pace_w": round(day.sail.pace_w),
    }


@dataclass
class _LegSum:
    """What of one leg has been done so far."""

    parts: list[tuple[Day, LegPart]] = field(default_factory=list)


def legs_told(frame: Frame, built: Built, schedule: Schedule) -> list[Json]:
    """``legs``, one object each; what was not sailed is null."""
    sums = [_LegSum() for _ in frame.route.legs]
    for day in schedule.days:
        for part in day.sail.parts if day.sail and not day.sail.back else ():
            sums[part.leg].parts.append((day, part))
    return [_leg(frame, built, schedule, number, done) for number, done in enumerate(sums)]


def _leg(frame: Frame, built: Built, schedule: Schedule, number: int, done: _LegSum) -> Json:
    leg, hull = frame.route.legs[number], frame.vessel.hull
    base: Json = {
        "leg": number + 1,
        "from": leg.start,
        "to": leg.end,
        "water": leg.water,
        "distance_km": round(float(frame.route.distance_km[number]), 3),
        "course_deg": round(float(frame.route.course_deg[number])) % 360,
    }
    if not done.parts:
        return base | _not_sailed(leg.speed_mps is not None, leg.locks, leg.nights)
    parts = [part for _, part in done.parts]
    move, hours = sum(p.move_h for p in parts), sum(p.hours for p in parts)
    water_mps = sum(p.water_km for p in parts) / move / 3.6 if move else 0.0
    energy = sum(p.kwh + hull.underway_extra_w * p.hours / 1e3 for p in parts)
    last = next((day for day, part in done.parts if part.complete), None)
    return base | {
        "speed_kmh": round(water_mps * 3.6, 2),
        "ground_kmh": round(sum(p.km for p in parts) / move, 2) if move else None,
        "power_w": round(sum(p.motor_kwh for p in parts) / move * 1e3) if move else None,
        "froude": round(float(froude(water_mps, hull.waterline_m)), 3) if hull.waterline_m else None,
        "hours": round(hours, 3),
        "locks": sum(p.locks for p in parts),
        "energy_kwh": kwh(energy),
        "started_day": done.parts[0][0].day + 1,
        "day": last.day + 1 if last else None,
        "charge_end_kwh": _charge_at_end(done) if last else None,
        "needs_shore": _needs_shore(frame, built, schedule, number, done),
        "fixed_speed": leg.speed_mps is not None,
        "nights": leg.nights,
        "cautions": cautions.of_leg(frame, number, water_mps),
    }


def _not_sailed(fixed: bool, locks: int, nights: int) -> Json:
    return {
        "speed_kmh": None, "ground_kmh": None, "power_w": None, "froude": None, "hours": None, "locks": locks,
        "energy_kwh": None, "started_day": None, "day": None, "charge_end_kwh": None, "needs_shore": False,
        "fixed_speed": fixed, "nights": nights, "cautions": [],
    }  # fmt: skip


def _charge_at_end(done: _LegSum) -> float:
    """Charge when the leg's end is reached, linear within the hour."""
    day, part = next((day, part) for day, part in done.parts if part.complete)
    charges = np.concatenate([[day.charge_start_kwh], day.ledger.charge_kwh[0]])
    return kwh(float(np.interp(part.finished_h, np.arange(len(charges)), charges)))


def _needs_shore(frame: Frame, built: Built, schedule: Schedule, number: int, done: _LegSum) -> bool:
    """Whether the schedule plugs in after leaving the leg's start, up to the nights at its end."""
    first = done.parts[0][0].day
    low, high = frame.route.start_km[number] + 1e-6, frame.route.start_km[number + 1] + 1e-6
    return any(
        day.plugged and day.day >= first and low < frame.route.moorings[built.stops.mooring[day.end]].km <= high
        for day in schedule.days
    )


def cautions_told(frame: Frame, days: list[Json], legs: list[Json], schedule: Schedule) -> list[Json]:
    """``cautions``: of the plan, then of each day, then of each leg."""
    found = cautions.of_plan(frame, schedule)
    for day in days:
        for code in _codes(day):
            found.append(Caution(code, int(str(day["day"])), None, str(day["mooring"])))
    for leg in legs:
        found += [Caution(code, None, int(str(leg["leg"])), str(leg["to"])) for code in _codes(leg)]
    return [{"code": c.code, "day": c.day, "leg": c.leg, "place": c.place, "text": c.text} for c in found]


def _codes(row: Json) -> list[str]:
    codes = row["cautions"]
    return [str(code) for code in codes] if isinstance(codes, list) else []
