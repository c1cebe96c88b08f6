"""The days of a voyage that are past, as its log has them, beside a plan that goes on from there."""

from typing import TYPE_CHECKING, Any

import numpy as np

from voyager.session.values import after, kwh, utc

if TYPE_CHECKING:
    from voyager.logbook.actual import DayActual
    from voyager.logbook.restart import Whereabouts
    from voyager.route.line import Route
    from voyager.session.onward import Begun

Json = dict[str, Any]
LOGGED = "logged"
BESIDE_KM = 0.5
SO_FAR_H = 1.0
"""Less of today than this is not told."""
FLOWS = ("solar", "shore", "propulsion", "hotel", "heating")


def past_told(found: "Begun") -> Json:
    """``past``: a day each, those before the plan's first and the hours of that one before the boat's last reading;
    ``log``: where the boat is by it, in words.

    ``day`` counts from the plan's own day 1 (the day before it is -1), ``voyage_day`` from the voyage's departure.
    Null is what the log does not say.
    """
    from voyager.logbook.actual import actual_days, log_days
    from voyager.route.line import build_route

    where, file = found.where, found.file
    entries = [one for one in found.entries if one.time_utc <= where.time_utc]
    calendar = log_days(entries, file.voyage)
    route, rows = build_route(file.voyage), list[Json]()
    if calendar is not None:
        days = actual_days(entries, file.voyage, file.vessel, [None] * len(calendar.dates))
        told = [one for one in days if _happened(one, where.day, where.start.hours)]
        rows = [_day(one, calendar.starts_utc[0], where, route) for one in told]
    log = {"voyage_day": where.day, "time_utc": f"{where.time_utc:%Y-%m-%dT%H:%M:%SZ}", "text": where.text}
    return {"past": rows, "log": log}


def _happened(day: "DayActual", today: int, hours: float) -> bool:
    return day.day < today or (day.day == today and hours >= SO_FAR_H)


def _day(day: "DayActual", zero: np.datetime64, where: "Whereabouts", route: "Route") -> Json:
    from voyager.logbook.actual import ENDS, UNPLANNED

    start_km, end_km = day.start_km, day.end_km
    part = day.day == where.day
    length = where.start.hours if part else float(day.length_h)
    return {
        "day": 1 if part else day.day - where.day,
        "voyage_day": day.day,
        "date": day.date.isoformat(),
        "starts_utc": utc(day.starts),
        "length_h": round(length, 3),
        "mark": LOGGED,
        "from": None if start_km is None else _name(route, start_km),
        "mooring": None if end_km is None else _name(route, end_km),
        "at": None if end_km is None else [round(float(one), 4) for one in route.position(end_km)],
        "start_km": _rounded(start_km, 3),
        "end_km": _rounded(end_km, 3),
        "charge_start_kwh": None if day.start is None else kwh(day.start.charge_kwh),
        "charge_end_kwh": None if day.end is None else kwh(day.end.charge_kwh),
        "charge_from_utc": None if day.start is None else after(zero, day.start.hour),
        "charge_to_utc": None if day.end is None else after(zero, day.end.hour),
        **{f"{name}_kwh": _rounded(day.flows_kwh[name], 7) for name in FLOWS},
        "outside_c": _rounded(day.outside_c, 1),
        "notes": [note for note in day.notes if note != UNPLANNED and not (part and note.startswith(ENDS))],
    }


def _rounded(value: float | None, places: int) -> float | None:
    return None if value is None else round(value, places) + 0.0


def _name(route: "Route", km: float) -> str:
    """The mooring there, or the kilometre."""
    near = min(route.moorings, key=lambda one: abs(one.km - km))
    return near.name if abs(near.km - km) <= BESIDE_KM else f"km {km:.1f}"
