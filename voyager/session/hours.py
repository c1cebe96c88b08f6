"""A day of the schedule hour by hour: where the boat is, what flows, how full and how warm it is."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from voyager.energy.wishes import Wish, wishes
from voyager.planner.actions import Built
from voyager.planner.dayrun import Day
from voyager.planner.frame import Frame, pieces_of
from voyager.planner.whereabouts import whereabouts
from voyager.session.values import Json, instant, kwh

Floats = NDArray[np.float64]
FLOWS = ("solar", "shore", "propulsion", "hotel", "heating", "loss", "spilled", "unserved")
PLACES = 8
"""Decimals of an hour's energies: 25 of them still add up to the day's to a millionth."""


def hours_told(frame: Frame, built: Built, day: Day) -> list[Json]:
    """Each hour step of a day, of one entered in its middle those after that.

    Position and charge as the hour ends; energies kWh in it; hours under way (locks with it) and waiting, made fast
    before a lock, in it; cabin air and its setpoint as it ends, whether warmth is then asked for; outside air.
    """
    ledger, first = day.ledger, frame.from_step(day.day)
    steps = range(first, ledger.charge_kwh.shape[1])
    here = whereabouts(frame, built, day, np.asarray(steps) + 1.0)
    away, wait = ways_spent(frame, day)
    wish = setpoints(frame, day)
    return [
        {
            "ends_utc": instant(frame, day.day, h + 1.0),
            "km": round(float(here.km[k]), 2),
            "at": [round(float(here.lat[k]), 4), round(float(here.lon[k]), 4)],
            "course_deg": None if np.isnan(here.course_deg[k]) else round(float(here.course_deg[k])) % 360,
            "underway_h": round(float(away[h]), 4),
            "waiting_h": round(float(wait[h]), 4),
            **{f"{name}_kwh": round(float(getattr(ledger, f"{name}_kwh")[0, h]), PLACES) + 0.0 for name in FLOWS},
            "charge_kwh": kwh(ledger.charge_kwh[0, h]),
            "floor_kwh": kwh(ledger.floor_kwh[0, h]),
            "cabin_c": round(float(ledger.air_c[0, h]), 2),
            "setpoint_c": round(float(wish[h].setpoint_c), 2),
            "asked": bool(wish[h].asked > 0),
            "outside_c": round(float(day.outside_c[h]), 2),
        }
        for k, h in enumerate(steps)
    ]


def setpoints(frame: Frame, day: Day) -> dict[int, Wish]:
    """What the thermostat is asked for as each hour step ends: the morning's step to the evening, then the night's."""
    found: dict[int, Wish] = {}
    for step, late in ((day.morning_step, False), (day.night_step, True)):
        own = wishes(frame.vessel, pieces_of(frame, day.day, step))
        found |= {wish.hour: wish for wish in own if (wish.hour >= day.evening) is late}
    return found


@dataclass(frozen=True)
class _Stretch:
    """From casting off to making fast, hours from the day's start, and the waits on the way (K,): begin and length."""

    begins: float
    ends: float
    wait_from_h: Floats
    wait_h: Floats


def ways_spent(frame: Frame, day: Day) -> tuple[Floats, Floats]:
    """Hours under way, without waiting, and hours waiting in each hour step (H,)."""
    count = day.ledger.charge_kwh.shape[1]
    found = _stretch(frame, day)
    if found is None:
        return np.zeros(count), np.zeros(count)
    wait = sum(
        (_inside(count, begin, begin + length) for begin, length in zip(found.wait_from_h, found.wait_h, strict=True)),
        np.zeros(count),
    )
    return _inside(count, found.begins, found.ends) - wait, wait


def _stretch(frame: Frame, day: Day) -> _Stretch | None:
    none = np.zeros(0)
    if day.sea is not None:
        begins = 0.0 if day.sea.casts_off_h is None else day.sea.casts_off_h
        ends = float(frame.days.length_h[day.day]) if day.sea.made_fast_h is None else day.sea.made_fast_h
        return _Stretch(begins, ends, none, none)
    if day.sail is None or day.sail.trips is None:
        return None
    trips, waited = day.sail.trips, np.diff(day.sail.node_wait_h)
    at = np.flatnonzero(waited > 0)
    return _Stretch(float(trips.depart_h[0]), float(trips.arrive_h[0]), day.sail.node_h[at], waited[at])


def _inside(count: int, begins: float, ends: float) -> Floats:
    """How much of each hour step lies between two times."""
    edges = np.arange(count + 1.0)
    return np.asarray(np.clip(np.minimum(edges[1:], ends) - np.maximum(edges[:-1], begins), 0.0, 1.0))
