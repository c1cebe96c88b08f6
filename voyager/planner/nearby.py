"""What else is left from where a plan begins: other moorings, other paces, as the poor day would have them."""

from dataclasses import replace

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


def held(frame: Frame, trips: Trips, step: int, charge_kwh: float, kind: int) -> NDArray[np.bool_]:
    """Whether trips of the first day are held at a comfort step on a poor day of that kind (A,)."""
    part = trip_chains(frame, 0, trips, [step])[0]
    station = frame.mooring_station
    floor = np.maximum(*(frame.weather.floor_kwh[0, station[n]] for n in (trips.start, trips.end)))
    need = floor + np.where(frame.plugs_w[trips.end] > 0, 0.0, heating_reserve_kwh(frame, 0)[trips.end, step])
    low, evening = part.lowest_kwh(charge_kwh)[:, kind], part.end_kwh(charge_kwh)[:, kind]
    return np.asarray((low >= floor - 1e-4) & (evening >= need - 1e-4))


def trips_ahead(frame: Frame, built: Built, every_pace: bool) -> Trips:
    """Today's trips ahead from where the plan begins, slowest first to each end."""
    start, last = np.asarray([frame.begin.mooring]), np.asarray([len(frame.route.moorings) - 1])
    passages = built.ahead.block(0, 1, start)
    return day_trips(built.ahead, passages, 0, 0, start, last, every_pace=every_pace)


def trips_behind(frame: Frame) -> Trips:
    """The same on the way back, told in numbers of the way ahead."""
    last = len(frame.route.moorings) - 1
    walker, start = build_walker(frame, back=True), np.asarray([last - frame.begin.mooring])
    found = day_trips(walker, walker.block(0, 1, start), 0, 0, start, np.asarray([last]))
    return replace(found, start=last - found.start, end=last - found.end)


def faster_is_held(
    frame: Frame, built: Built, end: int, arrive_h: float, step: int, charge_kwh: float, kind: int
) -> bool:
    """Whether any trip that makes fast at ``end`` sooner is held; True as well where none is sooner at all."""
    trips = trips_ahead(frame, built, True)
    sooner = taken(trips, (trips.end == end) & (trips.arrive_h < arrive_h - FASTER_H))
    return not len(sooner.end) or bool(held(frame, sooner, step, charge_kwh, kind).any())


def nearest_held(frame: Frame, built: Built, other_than: int, charge_kwh: float, kind: int) -> int | None:
    """The nearest mooring ahead or behind that is held at ``off`` and the slowest pace, whatever the sea does."""
    offers = []
    for trips in (trips_ahead(frame, built, False), trips_behind(frame)):
        if not len(trips.end):
            continue
        _, first = np.unique(trips.end, return_index=True)
        slowest = taken(trips, np.asarray(first))
        good = held(frame, slowest, frame.off, charge_kwh, kind) & (slowest.end != other_than)
        good &= built.sea.of(0, slowest.start, slowest.end) >= 1
        offers += slowest.end[good].tolist()
    km = [m.km for m in frame.route.moorings]
    here = km[frame.begin.mooring]
    return min(offers, key=lambda n: (abs(km[n] - here), n), default=None)
