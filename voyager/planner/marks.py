"""What a day was for, and why: the marks and reasons of a schedule."""

import numpy as np

from voyager.planner.actions import Built
from voyager.planner.dayrun import Day
from voyager.planner.frame import Frame
from voyager.planner.seen import CALM


def mark(built: Built, day: Day) -> str:
    """``underway``, ``shore``, ``charge`` (it would go on from a full battery) or ``rest``."""
    if day.sea is not None or built.stops.mooring[day.start] != built.stops.mooring[day.end]:
        return "underway"
    if day.ledger.total("shore_kwh")[0] > 0:
        return "shore"
    return "charge" if day.would_go_full else "rest"


def why(frame: Frame, built: Built, day: Day) -> str:
    """The reason beside the mark."""
    what = mark(built, day)
    if what == "underway":
        return "to-shore" if day.choice.flee else "going"
    start = int(built.stops.mooring[day.start])
    if start == len(frame.route.moorings) - 1:
        return "arrived"
    if built.stops.forced[day.start]:
        return built.stops.forced[day.start]
    if day.seen.sea > CALM:
        return "sea"
    if what == "shore":
        return "low"
    return "recover" if what == "charge" else _idle(frame, built, day, start)


def _idle(frame: Frame, built: Built, day: Day, start: int) -> str:
    """Why a boat that would not go on with a full battery either lies still."""
    if np.isnan(frame.windows.open_h[day.day, frame.mooring_station[start]]):
        return "daylight"
    if _too_early(frame, day, start):
        return "asked"
    if built.sea.fit[day.day, built.sea.onward[start]] == 0:
        return "sea"
    passages = built.ahead.block(day.day, 1, np.asarray([start]))
    furthest = int(np.isfinite(passages.arrive_h).any(axis=(1, 2, 3)).sum()) - 1
    first = int(built.ahead.way.moorings_at[start])
    if _shut(frame, built, day, float(built.ahead.way.node_km[first + max(furthest, 0)])):
        return "closed"
    return "slack" if furthest > 0 else "daylight"


def _too_early(frame: Frame, day: Day, start: int) -> bool:
    leg = int(frame.route.leg_at(frame.route.moorings[start].km + 1e-6))
    earliest = frame.voyage.legs[leg].earliest
    return earliest is not None and frame.days.dates[day.day] < earliest


def _shut(frame: Frame, built: Built, day: Day, km: float) -> bool:
    """True where the leg ahead of a point of the route is closed, or its locks and bridges are shut, all day."""
    leg = int(frame.route.leg_at(km + 1e-6))
    return bool(np.isnan(built.ahead.lock_h[day.day, leg]).any())
