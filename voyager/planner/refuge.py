"""Where nothing is held: the nearest plug, either way, at ``off`` and the slowest pace; else staying at ``off``."""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from voyager.energy.pace import pace_grid_w
from voyager.energy.passage import Passages
from voyager.planner.aim import Weights, price
from voyager.planner.effects import Lying, rounded, trip_chains
from voyager.planner.frame import Frame
from voyager.planner.problem import Refuge
from voyager.planner.stops import Stops
from voyager.planner.walks import PACES, Trips, Walker, build_walker, day_trips

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
BACK_PACES = slice(0, PACES, 3)


@dataclass(frozen=True)
class Plugs:
    """Nearest plug ahead and behind each mooring (N,), -1 where there is none; ``here`` (N,) a plug at it."""

    ahead: Ints
    behind: Ints
    here: NDArray[np.bool_]


def nearest_plugs(frame: Frame) -> Plugs:
    """Plugs that may be used, by mooring."""
    has = frame.plugs_w > 0
    at = np.flatnonzero(has)
    number = np.arange(len(has))
    following = np.searchsorted(at, number, side="right")
    before = np.searchsorted(at, number, side="left") - 1
    padded = np.append(at, -1)
    return Plugs(padded[following], np.where(before >= 0, padded[before], -1), has)


def build_back(frame: Frame) -> Walker | None:
    """The walker of the way back, at a few paces; None where no plug may be used."""
    if not (frame.plugs_w > 0).any():
        return None
    paces = pace_grid_w(frame.vessel.hull, PACES)[BACK_PACES]
    return build_walker(frame, back=True, paces=paces)


def back_trips(
    walker: Walker, passages: Passages, starts: Ints, b: int, day: int, plugs: Plugs, reached: NDArray[np.bool_]
) -> Trips:
    """The slowest trip back to the plug behind from those of ``starts`` (numbers of the way back) that are reached
    by this day, told in numbers of the way ahead."""
    last = len(plugs.here) - 1
    target = np.where(reached[last - starts], last - plugs.behind[last - starts], starts)
    trips = day_trips(walker, passages, b, day, starts, target)
    goal = np.full(last + 1, -1)
    goal[starts] = target
    keep = _first_of_each(trips, trips.end == goal[trips.start])
    kept = replace(trips, **{name: value[keep] for name, value in vars(trips).items()})
    return replace(kept, start=last - kept.start, end=last - kept.end)


def _first_of_each(trips: Trips, wanted: NDArray[np.bool_]) -> Ints:
    """Number of the first wanted trip (the slowest) of each start."""
    number = np.flatnonzero(wanted)
    _, first = np.unique(trips.start[number], return_index=True)
    return np.asarray(number[first])


def slowest_to_plug(trips: Trips, plugs: Plugs) -> Trips:
    """The slowest trip from each mooring without a plug of its own to the one ahead of it."""
    keep = _first_of_each(trips, (trips.end == plugs.ahead[trips.start]) & ~plugs.here[trips.start])
    return replace(trips, **{name: value[keep] for name, value in vars(trips).items()})


def build_refuge(
    frame: Frame, stops: Stops, day: int, ways: tuple[Trips, Trips | None], lain: Lying, weights: Weights
) -> Refuge:
    """What is done at every stop where nothing is held; the nearer plug of the two ways wins."""
    table = _Table(len(frame.route.moorings))
    for trips, behind in ((ways[1], True), (ways[0], False)):
        if trips is not None and len(trips.start):
            _offer(frame, stops, day, trips, behind, table, weights)
    at, poor = stops.mooring, frame.weather.poor
    off = lain.at("stay", frame.off)
    stay_days = np.where(at == len(frame.route.moorings) - 1, 0.0, 1.0)
    zero = np.zeros(stops.count)
    return Refuge(
        table.end[at],
        table.cost[at],
        price(weights, stay_days, zero, zero, zero),
        rounded(table.add[at])[None],
        rounded(table.cap[at])[None],
        table.reach[at],
        table.held[at],
        rounded(off.add[at, 0])[None],
        rounded(off.cap[at, 0])[None],
        (table.poor_add[at], table.poor_cap[at], table.poor_low_add[at], table.poor_low_cap[at]),
        tuple(value[at, poor] for value in (off.add, off.cap, off.low_add, off.low_cap)),
        stops.after_staying,
    )


class _Table:
    """The best offer so far by mooring."""

    def __init__(self, count: int) -> None:
        self.end = np.full(count, -1, dtype=np.int64)
        self.away = np.full(count, np.inf)
        self.cost, self.add, self.cap = np.zeros(count), np.zeros(count), np.zeros(count)
        self.reach, self.held = np.full(count, np.inf), np.full(count, np.inf)
        self.poor_add, self.poor_cap = np.zeros(count), np.zeros(count)
        self.poor_low_add, self.poor_low_cap = np.zeros(count), np.zeros(count)


def _offer(
    frame: Frame, stops: Stops, day: int, trips: Trips, behind: bool, table: _Table, weights: Weights
) -> None:
    part, poor = trip_chains(frame, day, trips, steps=[frame.off])[0], frame.weather.poor
    km = np.asarray([m.km for m in frame.route.moorings])
    away = np.abs(km[trips.end] - km[trips.start])
    nearer = away < table.away[trips.start]
    at = trips.start[nearer]
    floor = np.maximum(
        *(frame.weather.floor_kwh[day, frame.mooring_station[m]] for m in (trips.start, trips.end))
    )
    arrives = trips.end == len(km) - 1
    days = np.where(arrives, trips.arrive_h / frame.days.length_h[day], 1.0)
    hours = trips.arrive_h - trips.depart_h - trips.wait_h
    kwh = trips.kwh + frame.vessel.hull.underway_extra_w * hours / 1e3
    cost = price(weights, days, hours, kwh, np.zeros(len(days)))
    low_add, low_cap = part.low_add[:, poor], part.low_cap[:, poor]
    values = {
        "end": (stops.last if behind else stops.first)[trips.end],
        "away": away,
        "cost": cost,
        "add": part.add[:, 0],
        "cap": part.cap[:, 0],
        "poor_add": part.add[:, poor],
        "poor_cap": part.cap[:, poor],
        "poor_low_add": low_add,
        "poor_low_cap": low_cap,
        "reach": np.where(low_cap >= 0, np.maximum(0.0, -low_add), np.inf),
        "held": np.where(low_cap >= floor, floor - low_add, np.inf),
    }
    for name, value in values.items():
        getattr(table, name)[at] = value[nearer]
