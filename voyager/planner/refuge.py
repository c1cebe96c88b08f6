"""Where nothing is held: the nearest plug, either way, at ``off`` and the slowest pace; else staying at ``off``."""

from collections.abc import Iterable
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from voyager.energy.pace import pace_grid_w
from voyager.energy.passage import Passages
from voyager.planner.aim import Weights, price
from voyager.planner.effects import Lying, propulsion_kwh, rounded, trip_chains, trip_days
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
    """What is done at every stop where nothing is held: of the two ways the nearer plug that a full battery reaches."""
    ahead, behind = ways
    trips = ahead if behind is None else _together(behind, ahead)
    offers = _offers(frame, stops, day, trips, weights)
    best = _best(trips.start, offers["away"], offers["reach"])
    at, poor = stops.mooring, frame.weather.poor
    table = {name: _by_mooring(frame, trips.start[best], value[best], name) for name, value in offers.items()}
    off = lain.at("stay", frame.off)
    stay_days = np.where(at == len(frame.route.moorings) - 1, 0.0, 1.0)
    zero = np.zeros(stops.count)
    return Refuge(
        table["end"][at].astype(np.int64),
        table["cost"][at],
        price(weights, stay_days, zero, zero, zero),
        rounded(table["add"][at])[None],
        rounded(table["cap"][at])[None],
        table["reach"][at][None],
        table["held"][at][None],
        rounded(off.add[at, 0])[None],
        rounded(off.cap[at, 0])[None],
        _by_class(table[name][at] for name in ("poor_add", "poor_cap", "poor_low_add", "poor_low_cap")),
        _by_class(value[at, poor] for value in (off.add, off.cap, off.low_add, off.low_cap)),
        stops.after_staying,
    )


def _by_class(numbers: Iterable[Floats]) -> tuple[Floats, Floats, Floats, Floats]:
    """The poor day's four numbers (T,) as those of one class (1,T)."""
    add, cap, low_add, low_cap = (value[None] for value in numbers)
    return add, cap, low_add, low_cap


def _together(first: Trips, second: Trips) -> Trips:
    """Trips of one day after one another."""
    return replace(
        first, **{name: np.concatenate([value, getattr(second, name)]) for name, value in vars(first).items()}
    )


def _best(start: Ints, away_km: Floats, reach_kwh: Floats) -> Ints:
    """Number of the best offer of each start: one in reach before one that is not, then the nearer, then the first."""
    order = np.lexsort((away_km, ~np.isfinite(reach_kwh), start))
    _, first = np.unique(start[order], return_index=True)
    return np.asarray(order[first])


def _by_mooring(frame: Frame, start: Ints, values: Floats, name: str) -> Floats:
    """Offers as a column over all moorings; no plug to flee to: end -1, out of reach."""
    out = np.full(len(frame.route.moorings), {"end": -1.0, "reach": np.inf, "held": np.inf}.get(name, 0.0))
    out[start] = values
    return out


def _offers(frame: Frame, stops: Stops, day: int, trips: Trips, weights: Weights) -> dict[str, Floats]:
    """What each trip to a plug ends at, costs and does to the charge at ``off``, (A,) each."""
    part, poor = trip_chains(frame, day, trips, steps=[frame.off])[0], frame.weather.poor
    km = np.asarray([m.km for m in frame.route.moorings])
    floor = np.maximum(*(frame.weather.floor_kwh[day, frame.mooring_station[m]] for m in (trips.start, trips.end)))
    days, kwh = trip_days(frame, day, trips), propulsion_kwh(frame, trips.kwh, trips.hours)
    low_add, low_cap = part.low_add[:, poor], part.low_cap[:, poor]
    back = trips.end < trips.start
    return {
        "end": np.where(back, stops.last[trips.end], stops.first[trips.end]).astype(float),
        "away": np.abs(km[trips.end] - km[trips.start]),
        "cost": price(weights, days, trips.hours, kwh, np.zeros(len(days))),
        "add": part.add[:, 0],
        "cap": part.cap[:, 0],
        "poor_add": part.add[:, poor],
        "poor_cap": part.cap[:, poor],
        "poor_low_add": low_add,
        "poor_low_cap": low_cap,
        "reach": np.where(low_cap >= 0, np.maximum(0.0, -low_add), np.inf),
        "held": np.where(low_cap >= floor, floor - low_add, np.inf),
    }
