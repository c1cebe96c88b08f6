"""A day of the schedule hour by hour: where the boat is, what flows, how full and how warm it is."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from voyager.boat.cabin import Piece, air_setpoint_c
from voyager.planner.actions import Built
from voyager.planner.dayrun import Day
from voyager.planner.frame import Frame, pieces_of
from voyager.planner.spent import ways_spent
from voyager.planner.whereabouts import whereabouts
from voyager.session.values import Json

Floats = NDArray[np.float64]
FLOWS = ("solar", "shore", "propulsion", "hotel", "heating", "loss", "spilled", "unserved")
PLACES = 8
"""Decimals of an hour's energies: 25 of them still add up to the day's to a millionth."""


def hours_told(frame: Frame, built: Built, day: Day) -> list[Json]:
    """Each hour step of a day, of one entered in its middle those after that.

    Position and charge as the hour ends; energies kWh in it; hours under way (locks with it) and waiting, made fast
    before a lock, in it; cabin air and its setpoint as it ends, whether warmth is then asked for; outside air.
    """
    columns = _columns(frame, built, day)
    return [dict(zip(columns, row, strict=True)) for row in zip(*columns.values(), strict=True)]


def _columns(frame: Frame, built: Built, day: Day) -> dict[str, Sequence[object]]:
    ledger, first = day.ledger, frame.from_step(day.day)
    count = ledger.charge_kwh.shape[1]
    here = whereabouts(frame, built, day, np.arange(first + 1.0, count + 1))
    away, wait = ways_spent(frame, day)
    wishes = setpoints(frame, day)
    ends = frame.days.starts_utc[day.day] + (np.arange(first, count) + 1) * np.timedelta64(3600, "s")
    return {
        "ends_utc": [f"{text}Z" for text in np.datetime_as_string(ends, unit="s").tolist()],
        "km": _rounded(here.km, 2),
        "at": [list(pair) for pair in zip(_rounded(here.lat, 4), _rounded(here.lon, 4), strict=True)],
        "course_deg": [None if np.isnan(course) else round(course) % 360 for course in here.course_deg.tolist()],
        "underway_h": _rounded(away[first:], 4),
        "waiting_h": _rounded(wait[first:], 4),
        **{f"{name}_kwh": _rounded(getattr(ledger, f"{name}_kwh")[0, first:], PLACES) for name in FLOWS},
        "charge_kwh": _rounded(ledger.charge_kwh[0, first:], 7),
        "floor_kwh": _rounded(ledger.floor_kwh[0, first:], 7),
        "cabin_c": _rounded(ledger.air_c[0, first:], 2),
        "setpoint_c": [round(wishes[h][0], 2) for h in range(first, count)],
        "asked": [wishes[h][1] for h in range(first, count)],
        "outside_c": _rounded(day.outside_c[first:count], 2),
    }


def _rounded(values: Floats, places: int) -> list[float]:
    """Plain numbers, never minus nought."""
    plain: list[float] = (np.round(values, places) + 0.0).tolist()
    return plain


def setpoints(frame: Frame, day: Day) -> dict[int, tuple[float, bool]]:
    """Setpoint of the air as each hour step ends and whether warmth is asked for: the morning's step of the ladder to
    the evening, then the night's."""
    last: dict[int, Piece] = {}
    for step, late in ((day.morning_step, False), (day.night_step, True)):
        last |= {p.hour: p for p in pieces_of(frame, day.day, step) if (p.hour >= day.evening) is late}
    heaters = frame.vessel.heaters
    return {
        hour: (float(air_setpoint_c(heaters, p.setpoint_c)) if p.asked else p.setpoint_c, p.asked)
        for hour, p in last.items()
    }
