"""Locks and lift bridges: where they lie on a leg and when they work."""

from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from voyager.errors import InputError
from voyager.route.calendar import Days
from voyager.route.leg import Leg

Kind = Literal["bridge", "lock"]
BEYOND_KM = 1e-6


@dataclass(frozen=True, order=True)
class Event:
    """Something to be passed on a leg, ``km`` from the leg's start."""

    km: float
    kind: Kind


def leg_events(leg: Leg, distance_km: float) -> tuple[Event, ...]:
    """Locks and bridges in the order met: at the kilometres given, else each kind in the middle of equal parts."""
    locks = leg.lock_at_km or _spread(leg.locks, distance_km)
    bridges = leg.bridge_at_km or _spread(leg.bridges, distance_km)
    events = [_event(leg, km, "lock", distance_km) for km in locks]
    events += [_event(leg, km, "bridge", distance_km) for km in bridges]
    return tuple(sorted(events))


def _spread(count: int, distance_km: float) -> tuple[float, ...]:
    return tuple(distance_km * (k + 0.5) / count for k in range(count))


def _event(leg: Leg, km: float, kind: Kind, distance_km: float) -> Event:
    if 0.0 <= km <= distance_km + BEYOND_KM:
        return Event(min(km, distance_km), kind)
    where = f"leg {leg.start} to {leg.end}: {kind}_at_km"
    raise InputError(f"{where} {km:g} lies beyond the leg's {distance_km:.2f} km; count from the start of the leg")


def open_hours(leg: Leg, days: Days) -> NDArray[np.float64]:
    """(D, 2) hours from each day's start between which the leg's locks and bridges work.

    (-inf, inf) where they always do, (nan, nan) where they are shut all day. Closed weekdays and stoppages go by
    the civil date on which the voyager day starts. A window that is already open when the day starts begins at
    0; a second one towards the next morning is not used.
    """
    hours = _window(leg.open_min, days)
    hours[_shut(leg, days)] = np.nan
    return hours


def _window(open_min: tuple[int, int] | None, days: Days) -> NDArray[np.float64]:
    count = len(days.dates)
    if open_min is None or (open_min[1] - open_min[0]) % 1440 == 0:
        return np.tile([-np.inf, np.inf], (count, 1))
    opens, shuts = (days.hours_from_start(np.arange(count), minute) for minute in open_min)
    shuts = np.where(shuts > 0.0, shuts, days.length_h)
    return np.stack([np.where(opens < shuts, opens, 0.0), shuts], axis=1)


def _shut(leg: Leg, days: Days) -> NDArray[np.bool_]:
    shut = [
        day.weekday() in leg.closed_weekdays or any(first <= day <= last for first, last in leg.closed)
        for day in days.dates
    ]
    return np.array(shut, dtype=bool)
