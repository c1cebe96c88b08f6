"""Where nothing is held: the nearest plug, either way, at ``off`` and the slowest pace; else staying at ``off``."""

from collections.abc import Iterable
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from voyager.energy.maps import Chain
from voyager.energy.pace import pace_grid_w
from voyager.energy.passage import Passages
from voyager.planner.aim import Weights, price
from voyager.planner.effects import Lying, heating_reserve_kwh, propulsion_kwh, rounded, trip_days
from voyager.planner.frame import Frame
from voyager.planner.problem import Refuge
from voyager.planner.scope import Scope, Sea
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
    """Plugs that may be used, by mooring; where the boat may not stay as the plan begins, any mooring next to it."""
    has = frame.plugs_w > 0
    at = np.flatnonzero(has)
    number = np.arange(len(has))
    following = np.searchsorted(at, number, side="right")
    before = np.searchsorted(at, number, side="left") - 1
    padded = np.append(at, -1)
    ahead, behind = padded[following], np.where(before >= 0, padded[before], -1)
    if not frame.may_stay:
        begin = frame.begin.mooring
        ahead[begin], behind[begin] = begin + 1, begin - 1
    return Plugs(ahead, behind, has)


def build_back(frame: Frame) -> Walker | None:
    """The walker of the way back, at a few paces; None where there is nothing to go back for."""
    if frame.may_stay and not (frame.plugs_w > 0).any():
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
    keep = slowest_back(trips, starts, plugs, reached)
    kept = replace(trips, **{name: value[keep] for name, value in vars(trips).items()})
    return replace(kept, start=last - kept.start, end=last - kept.end)


def slowest_back(trips: Trips, starts: Ints, plugs: Plugs, reached: NDArray[np.bool_]) -> Ints:
    """Numbers, among trips back, of the slowest to the plug behind from those of ``starts`` that are reached."""
    last = len(plugs.here) - 1
    goal = np.full(last + 1, -1)
    goal[starts] = np.where(reached[last - starts], last - plugs.behind[last - starts], -1)
    return _first_of_each(trips, trips.end == goal[trips.start])


def _first_of_each(trips: Trips, wanted: NDArray[np.bool_]) -> Ints:
    """Number of the first wanted trip (the slowest) of each start."""
    number = np.flatnonzero(wanted)
    _, first = np.unique(trips.start[number], return_index=True)
    return np.asarray(number[first])


def to_plug(trips: Trips, plugs: Plugs) -> Ints:
    """Numbers of the slowest trips from each mooring without a plug of its own to the one ahead of it."""
    return _first_of_each(trips, (trips.end == plugs.ahead[trips.start]) & ~plugs.here[trips.start])


@dataclass(frozen=True)
class Flights:
    """Trips to a plug at ``off``, at most two from each mooring, and what they do to the charge under every kind."""

    trips: Trips
    chain: Chain


def build_refuge(
    frame: Frame, scope: Scope, sea: Sea, day: int, flown: Flights, lain: Lying, weights: Weights
) -> Refuge:
    """What is done at every stop where nothing is held: of the two ways the nearer plug that a full battery reaches."""
    stops, start = scope.stops, flown.trips.start
    offers = _offers(frame, scope, sea, day, flown, weights)
    best = _best(start, offers["away"], offers["reach"])
    at = stops.mooring
    table = {name: _by_mooring(frame, start[best], value[best], name)[at] for name, value in offers.items()}
    off = lain.at("stay", frame.off).at(at)
    stay_days = np.where(at == len(frame.route.moorings) - 1, 0.0, 1.0)
    zero = np.zeros(stops.count)
    return Refuge(
        table["end"].astype(np.int64),
        table["cost"],
        price(weights, stay_days, zero, zero, zero),
        rounded(table["add"]).T,
        rounded(table["cap"]).T,
        table["reach"].T,
        table["held"].T,
        rounded(off.add[:, scope.nodes]).T,
        rounded(off.cap[:, scope.nodes]).T,
        _by_class(table[name] for name in ("poor_add", "poor_cap", "poor_low_add", "poor_low_cap")),
        _by_class(value[:, scope.poors] for value in (off.add, off.cap, off.low_add, off.low_cap)),
        stops.after_staying,
        table["fit"],
        table["trip"].astype(np.int64),
    )


def _by_class(numbers: Iterable[Floats]) -> tuple[Floats, Floats, Floats, Floats]:
    """The poor days' four numbers (T,Y) as (Y,T)."""
    add, cap, low_add, low_cap = (value.T for value in numbers)
    return add, cap, low_add, low_cap


def _best(start: Ints, away_km: Floats, reach_kwh: Floats) -> Ints:
    """Number of the best offer of each start: one in reach of every class before one that is not, then the nearer,
    then the first."""
    order = np.lexsort((away_km, ~np.isfinite(reach_kwh).all(axis=1), start))
    _, first = np.unique(start[order], return_index=True)
    return np.asarray(order[first])


def _by_mooring(frame: Frame, start: Ints, values: Floats, name: str) -> Floats:
    """Offers over all moorings (N, ...); no plug to flee to: end and trip -1, out of reach."""
    nothing = {"end": -1.0, "trip": -1.0, "reach": np.inf, "held": np.inf, "fit": 1.0}.get(name, 0.0)
    out = np.full((len(frame.route.moorings), *values.shape[1:]), nothing)
    out[start] = values
    return out


def _held_kwh(frame: Frame, day: int, end: Ints, floor: Floats, part: Chain, poors: slice) -> Floats:
    """Least charge (A,Y) that keeps above the floor (A,1), and at an end without a plug the evening's reserve too."""
    low_add, low_cap = part.low_add[:, poors], part.low_cap[:, poors]
    held = np.where(low_cap >= floor, floor - low_add, np.inf)
    bare = frame.plugs_w[end] <= 0
    if not bare.any():
        return held
    need = floor + heating_reserve_kwh(frame, day)[end, frame.off][:, None]
    slept = np.where(part.cap[:, poors] >= need, need - part.add[:, poors], np.inf)
    return np.where(bare[:, None], np.maximum(held, slept), held)


def _offers(
    frame: Frame, scope: Scope, sea: Sea, day: int, flown: Flights, weights: Weights
) -> dict[str, Floats]:
    """What each trip to a plug ends at, costs and does to the charge at ``off``: (A,), (A,X) or (A,Y)."""
    trips, part, stops = flown.trips, flown.chain, scope.stops
    nodes, poors = scope.nodes, scope.poors
    km = np.asarray([m.km for m in frame.route.moorings])
    floor = np.maximum(*(frame.weather.floor_kwh[day, frame.mooring_station[m]] for m in (trips.start, trips.end)))
    floor = floor[:, None]
    days, kwh = trip_days(frame, day, trips), propulsion_kwh(frame, trips.kwh, trips.hours)
    low_add, low_cap = part.low_add[:, poors], part.low_cap[:, poors]
    back = trips.end < trips.start
    return {
        "end": np.where(back, stops.last[trips.end], stops.first[trips.end]).astype(float),
        "trip": np.arange(len(days), dtype=float),
        "away": np.abs(km[trips.end] - km[trips.start]),
        "fit": sea.of(day, trips.start, trips.end),
        "cost": price(weights, days, trips.hours, kwh, np.zeros(len(days))),
        "add": part.add[:, nodes],
        "cap": part.cap[:, nodes],
        "poor_add": part.add[:, poors],
        "poor_cap": part.cap[:, poors],
        "poor_low_add": low_add,
        "poor_low_cap": low_cap,
        "reach": np.where(low_cap >= 0, np.maximum(0.0, -low_add), np.inf),
        "held": _held_kwh(frame, day, trips.end, floor, part, poors),
    }
