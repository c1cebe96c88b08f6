"""What may be done on one morning and evening, as rows of the decision problem: trips, stays, nights."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from voyager.energy.maps import Chain
from voyager.planner.aim import Weights, price
from voyager.planner.effects import Lying, chains_of_days, promise, propulsion_kwh, rounded, trip_days
from voyager.planner.frame import Frame
from voyager.planner.problem import Evening, Morning
from voyager.planner.rules import Rules, lateness
from voyager.planner.scope import Scope, Sea
from voyager.planner.walks import Trips

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Row = dict[str, Any]
PLUG_SHARE = 0.93
FIELDS = ("start", "end", "step", "pace", "cost", "arrive_h", "hours", "kwh")
BY_KIND = ("add", "cap", "poor_add", "poor_cap", "poor_low_add", "poor_low_cap", "from_kwh")


@dataclass(frozen=True)
class Going:
    """The trips of a day at one comfort step and what they do to the charge under every kind of day; ``trip`` (A,) the
    number of each among all trips of the day."""

    step: int
    trips: Trips
    trip: Ints
    chain: Chain


def goings(frame: Frame, day: int, trips: Trips) -> list[Going]:
    """The trips at the voyage's step, and the slowest of each at every step below it."""
    return goings_of_days(frame, [day], [trips])[0]


def goings_of_days(frame: Frame, days: Sequence[int], trips: Sequence[Trips]) -> list[list[Going]]:
    """The same of several days, whose chains are made together."""
    few_at, lower = [slowest(one) for one in trips], range(frame.wanted + 1, len(frame.vessel.comfort))
    few = [taken(one, at) for one, at in zip(trips, few_at, strict=True)]
    all_at = [np.arange(len(one.start)) for one in trips]
    whole = [(frame.wanted, trips, all_at, chains_of_days(frame, days, trips, [frame.wanted])[0])]
    below = chains_of_days(frame, days, few, lower)
    part = [(step, few, few_at, chains) for step, chains in zip(lower, below, strict=True)]
    return [
        [Going(step, kept[d], at[d], chains[d]) for step, kept, at, chains in whole + part] for d in range(len(days))
    ]


def taken(trips: Trips, at: Ints | NDArray[np.bool_]) -> Trips:
    """Some of the trips."""
    return replace(trips, **{name: value[at] for name, value in vars(trips).items()})


def slowest(trips: Trips) -> Ints:
    """The slowest trip from each start to each end: where comfort is given up it is to save energy."""
    _, first = np.unique(trips.start * (trips.end.max(initial=0) + 1) + trips.end, return_index=True)
    return np.asarray(first, dtype=np.int64)


def within(scope: Scope, going: Going) -> Going:
    """Without the trips that pass a stop where this scope has to stay."""
    keep = going.trips.end <= scope.furthest[going.trips.start]
    if keep.all():
        return going
    return Going(going.step, taken(going.trips, keep), going.trip[keep], going.chain.at(keep))


def morning(parts: list[Row]) -> Morning:
    """The actions of one morning in order of start and pace, without those that nothing holds; one at the least, for
    tables without any row cannot be read."""
    for part in parts:
        part.setdefault("days", np.zeros(len(part["start"]), dtype=np.int64))
        part.setdefault("lands", np.zeros(len(part["start"]), dtype=bool))
    whole = {name: np.concatenate([part[name] for part in parts]) for name in parts[0]}
    order = np.lexsort((whole["pace"], whole["start"]))
    held = np.isfinite(whole["from_kwh"][order]).any(axis=1)
    order = order[held] if held.any() else order[:1]
    arrays = {name: value[order] for name, value in whole.items()}
    for name in BY_KIND:
        arrays[name] = np.ascontiguousarray(arrays[name].T)
    return Morning(**arrays)


def going_row(
    frame: Frame, scope: Scope, sea: Sea, day: int, going: Going, reserve: Floats, rules: Rules, weights: Weights
) -> Row:
    """The trips of one comfort step."""
    trips, step, hours = going.trips, going.step, going.trips.hours
    arrives = trips.end == len(frame.route.moorings) - 1
    floor = np.maximum(*(frame.weather.floor_kwh[day, frame.mooring_station[m]] for m in (trips.start, trips.end)))
    need = floor + np.where(frame.plugs_w[trips.end] > 0, 0.0, reserve[trips.end, step])
    kwh = propulsion_kwh(frame, trips.kwh, hours)
    cost = price(weights, trip_days(frame, day, trips), hours, kwh, np.full(len(hours), float(step - frame.wanted)))
    cost = cost + lateness(rules, trips.start, trips.end, day, arrives)
    stops = scope.stops
    base = (stops.last[trips.start], stops.first[trips.end], np.full(len(hours), step), trips.pace, cost)
    row = dict(zip(FIELDS, (*base, trips.arrive_h, hours, kwh), strict=True))
    row |= {"fit": sea.of(day, trips.start, trips.end), "trip": going.trip}
    row |= promise(scope, going.chain, floor, need)
    return row | {"arrives": arrives, "below_kwh": np.full(len(hours), np.inf)}


def staying_rows(
    frame: Frame, scope: Scope, day: int, lain: Lying, reserve: Floats, weights: Weights
) -> list[Row]:
    """Staying at every stop and step; at a plug the floor alone is enough below 0.93 of the ceiling."""
    stops, at = scope.stops, scope.stops.mooring
    floor = frame.weather.floor_kwh[day, frame.mooring_station[at]]
    plug = frame.plugs_w[at] > 0
    edge = PLUG_SHARE * frame.ceiling_kwh
    rows = []
    for step in range(frame.wanted, len(frame.vessel.comfort)):
        fields = _stay(frame, scope, step, weights)
        chain = lain.at("stay", step).at(at)
        full = fields | promise(scope, chain, floor, floor + reserve[at, step])
        full["from_kwh"] = np.where(plug[:, None], np.maximum(full["from_kwh"], edge), full["from_kwh"])
        rows.append(full | {"below_kwh": np.full(stops.count, np.inf)})
        if plug.any():
            low = fields | promise(scope, chain, floor, floor)
            low |= {"below_kwh": np.full(stops.count, edge)}
            rows.append({name: value[plug] for name, value in low.items()})
    return rows


def nobody_stays(rows: list[Row], stop: int) -> list[Row]:
    """The same where nobody may stay at one of the stops."""
    return [
        row | {"from_kwh": np.where((row["start"] == stop)[:, None], np.inf, row["from_kwh"])} for row in rows
    ]


def _stay(frame: Frame, scope: Scope, step: int, weights: Weights) -> Row:
    """What staying at one step costs, by stop."""
    stops, zero = scope.stops, np.zeros(scope.stops.count)
    days = np.where(stops.mooring == len(frame.route.moorings) - 1, 0.0, 1.0)
    cost = price(weights, days, zero, zero, np.full(stops.count, float(step - frame.wanted)))
    none = np.full(stops.count, -1)
    base = (np.arange(stops.count), stops.after_staying, np.full(stops.count, step), none, cost)
    fields = dict(zip(FIELDS, (*base, zero, zero, zero), strict=True))
    return fields | {"arrives": np.zeros(stops.count, dtype=bool), "fit": np.ones(stops.count), "trip": none}


def evening(frame: Frame, scope: Scope, day: int, lain: Lying, reserve: Floats, weights: Weights) -> Evening:
    """The evening at every stop: what each step needs, what nights and plugs do."""
    at, nodes = scope.stops.mooring, scope.nodes
    floor = frame.weather.floor_kwh[day, frame.mooring_station]
    night = [lain.at("night", max(step, frame.wanted)) for step in range(len(frame.vessel.comfort))]
    return Evening(
        rounded(floor[:, None] + reserve)[at],
        _by_node([part.add[at][:, nodes] for part in night]),
        _by_node([part.cap[at][:, nodes] for part in night]),
        frame.plugs_w[at] > 0,
        np.ascontiguousarray(rounded(lain.plugged.add[at][:, nodes]).T),
        np.ascontiguousarray(rounded(lain.plugged.cap[at][:, nodes]).T),
        weights.plug,
    )


def _by_node(steps: Sequence[Floats]) -> Floats:
    """Nights (T,X) of each step as (X,T,C)."""
    return np.ascontiguousarray(np.moveaxis(rounded(np.stack(steps, axis=-1)), 1, 0))
