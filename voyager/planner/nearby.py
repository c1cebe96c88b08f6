"""What else is left of a morning: other moorings, other paces, as the poor day would have them."""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from voyager.planner.actions import Built
from voyager.planner.effects import heating_reserve_kwh, trip_chains
from voyager.planner.frame import Frame
from voyager.planner.rows import taken
from voyager.planner.walks import Trips, build_walker, day_trips

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
FASTER_H = 1 / 60


def poor_kind(frame: Frame, classes: int, cls: int) -> int:
    """Number of the poor day among the frame's kinds: of a class, or of a skipper who knows of no classes."""
    return frame.weather.poor + (1 + cls if classes > 1 else 0)


@dataclass(frozen=True)
class Morning:
    """A day, the mooring that the boat wakes at and what is in the battery; ``kind``: the poor day's number."""

    day: int
    start: int
    charge_kwh: float
    kind: int


def held(frame: Frame, trips: Trips, step: int, at: Morning) -> NDArray[np.bool_]:
    """Whether trips of a morning's day are held at a comfort step on its poor day (A,)."""
    part = trip_chains(frame, at.day, trips, [step])[0]
    station = frame.mooring_station
    floor = np.maximum(*(frame.weather.floor_kwh[at.day, station[n]] for n in (trips.start, trips.end)))
    reserve = heating_reserve_kwh(frame, at.day)[trips.end, step]
    need = floor + np.where(frame.plugs_w[trips.end] > 0, 0.0, reserve)
    low, evening = part.lowest_kwh(at.charge_kwh)[:, at.kind], part.end_kwh(at.charge_kwh)[:, at.kind]
    return np.asarray((low >= floor - 1e-4) & (evening >= need - 1e-4))


def trips_ahead(frame: Frame, built: Built, at: Morning, every_pace: bool) -> Trips:
    """The day's trips ahead from where the boat wakes, slowest first to each end."""
    start, last = np.asarray([at.start]), np.asarray([len(frame.route.moorings) - 1])
    passages = built.ahead.block(at.day, 1, start)
    return day_trips(built.ahead, passages, 0, at.day, start, last, every_pace=every_pace)


def trips_behind(frame: Frame, at: Morning) -> Trips:
    """The same on the way back, told in numbers of the way ahead."""
    last = len(frame.route.moorings) - 1
    walker, start = build_walker(frame, back=True), np.asarray([last - at.start])
    found = day_trips(walker, walker.block(at.day, 1, start), 0, at.day, start, np.asarray([last]))
    return replace(found, start=last - found.start, end=last - found.end)


def faster_is_held(frame: Frame, built: Built, end: int, arrive_h: float, step: int, at: Morning) -> bool:
    """Whether any trip that makes fast at ``end`` sooner is held; True as well where none is sooner at all."""
    trips = trips_ahead(frame, built, at, True)
    sooner = taken(trips, (trips.end == end) & (trips.arrive_h < arrive_h - FASTER_H))
    return not len(sooner.end) or bool(held(frame, sooner, step, at).any())


def nearest_held(frame: Frame, built: Built, other_than: int, at: Morning) -> int | None:
    """The nearest mooring ahead or behind that is held at ``off`` and the slowest pace, whatever the sea does."""
    offers = []
    for trips in (trips_ahead(frame, built, at, False), trips_behind(frame, at)):
        if not len(trips.end):
            continue
        _, first = np.unique(trips.end, return_index=True)
        slowest = taken(trips, np.asarray(first))
        good = held(frame, slowest, frame.off, at) & (slowest.end != other_than)
        good &= built.sea.of(at.day, slowest.start, slowest.end) >= 1
        offers += slowest.end[good].tolist()
    km = [m.km for m in frame.route.moorings]
    return min(offers, key=lambda n: (abs(km[n] - km[at.start]), n), default=None)
