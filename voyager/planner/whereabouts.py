"""Where the boat is at any hour of the schedule, and on what course."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from voyager.planner.actions import Built
from voyager.planner.dayrun import Day, Sea
from voyager.planner.frame import Frame

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Whereabouts:
    """Kilometre of the route, position [deg] and course over the ground [deg from north], nan where made fast, (K,)."""

    km: Floats
    lat: Floats
    lon: Floats
    course_deg: Floats


def whereabouts(frame: Frame, built: Built, day: Day, hours: Floats) -> Whereabouts:
    """Where the boat is ``hours`` (K,) after the start of a day."""
    km, moving, back = _on_the_way(frame, built, day, hours)
    lat, lon = frame.route.position(km)
    course = (frame.route.course(km) + (180.0 if back else 0.0)) % 360.0
    return Whereabouts(km, lat, lon, np.where(moving, course, np.nan))


def _on_the_way(frame: Frame, built: Built, day: Day, hours: Floats) -> tuple[Floats, NDArray[np.bool_], bool]:
    """Kilometre, whether under way (in a lock too), whether going back."""
    if day.sea is not None:
        return (*_at_sea(day.sea, hours, float(frame.days.length_h[day.day])), False)
    if day.sail is None or not len(day.sail.node_h):
        here = frame.route.moorings[built.stops.mooring[day.end]].km
        return np.full(hours.shape, here), np.zeros(hours.shape, dtype=bool), False
    node_h, node_km = day.sail.node_h, day.sail.node_km
    return np.interp(hours, node_h, node_km), (hours >= node_h[0]) & (hours < node_h[-1]), day.sail.back


def _at_sea(sea: Sea, hours: Floats, length_h: float) -> tuple[Floats, NDArray[np.bool_]]:
    """A crossing runs evenly from casting off, or the day's start, to making fast, or the day's end."""
    first = 0.0 if sea.casts_off_h is None else sea.casts_off_h
    last = length_h if sea.made_fast_h is None else sea.made_fast_h
    km = np.interp(hours, [first, max(last, first + 1e-9)], [sea.start_km, sea.end_km])
    return km, (hours >= first) & (hours < last)
