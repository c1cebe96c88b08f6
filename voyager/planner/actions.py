"""From trips, stays and nights to the decision problem: prices, least charges, the rule of the evening."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from voyager.energy.maps import Chain
from voyager.energy.passage import Passages
from voyager.planner.aim import WEIGHTS, Weights, never_price, price
from voyager.planner.effects import (
    Lying,
    heating_reserve_kwh,
    lying,
    promise,
    propulsion_kwh,
    rounded,
    trip_chains,
    trip_days,
)
from voyager.planner.frame import Frame
from voyager.planner.overnight import night_legs, night_rows
from voyager.planner.problem import Evening, Morning, Problem, Refuge
from voyager.planner.refuge import back_trips, build_back, build_refuge, nearest_plugs, slowest_to_plug
from voyager.planner.rules import Rules, allowed, lateness, missed, rules_of
from voyager.planner.stops import Stops
from voyager.planner.walks import Trips, Walker, blocks, build_walker, day_trips

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Row = dict[str, Any]
PLUG_SHARE = 0.93
BY_SKY = ("add", "cap", "poor_add", "poor_cap", "poor_low_add", "poor_low_cap", "from_kwh")
FIELDS = ("start", "end", "step", "pace", "cost", "arrive_h", "hours", "kwh")


@dataclass(frozen=True)
class Built:
    """The problem with what the schedule needs to tell it: trips by day, walkers ahead and back, HR (D,N,C),
    moorings that anybody can get to in time, whatever the energy (N,)."""

    problem: Problem
    stops: Stops
    ahead: Walker
    back: Walker | None
    reserve_kwh: Floats
    reached: NDArray[np.bool_]


def build_problem(frame: Frame, stops: Stops, tick: Callable[[float], None] = lambda share: None) -> Built:
    """The problem of the frame's sky over all its days; ``tick`` hears the share done before each block of days."""
    builder = _Builder(frame, stops)
    for first, count in blocks(len(frame.days.dates), len(frame.route.moorings)):
        tick(first / len(frame.days.dates))
        builder.block(first, count)
    start_kwh = frame.vessel.battery.capacity_kwh * frame.voyage.charge_at_start_percent / 100
    problem = Problem(
        tuple(builder.mornings),
        tuple(builder.refuges),
        tuple(builder.evenings),
        stops.count,
        stops.count - 1,
        max(frame.ceiling_kwh, start_kwh),
        frame.wanted,
        frame.voyage.shore_power == "any",
        never_price(builder.weights, frame.voyage.by is not None) + missed(builder.rules, stops.mooring),
    )
    return Built(problem, stops, builder.ahead, builder.back, np.stack(builder.reserves), builder.reached)


class _Builder:
    """Walks the days in blocks; a mooring is looked at from the first day on which it can have been reached."""

    def __init__(self, frame: Frame, stops: Stops) -> None:
        self.frame, self.stops = frame, stops
        self.weights = WEIGHTS[frame.voyage.aim]
        self.ahead, self.back = build_walker(frame), build_back(frame)
        self.rules, self.furthest, self.plugs = rules_of(frame), _furthest(stops), nearest_plugs(frame)
        self.number = np.arange(len(frame.route.moorings))
        self.km = np.asarray([m.km for m in frame.route.moorings])
        self.reached = self.number == 0
        self.night_legs = night_legs(frame)
        self.mornings: list[Morning] = []
        self.evenings: list[Evening] = []
        self.refuges: list[Refuge] = []
        self.reserves: list[Floats] = []

    def block(self, first: int, count: int) -> None:
        near = self.km <= self.km[self.reached].max() + self.ahead.reach_km(first, count)
        starts = np.flatnonzero(near)
        passages = self.ahead.block(first, count, starts)
        back = self._back(first, count, near)
        for b in range(count):
            far = np.where(self.reached, self.furthest, self.number)[starts]
            trips = allowed(day_trips(self.ahead, passages, b, first + b, starts, far), self.rules, first + b)
            behind = back_trips(*back, b, first + b, self.plugs, self.reached) if back else None
            self.day(first + b, trips, behind)

    def _back(self, first: int, count: int, near: NDArray[np.bool_]) -> tuple[Walker, Passages, Ints] | None:
        """Walks back in these days from every mooring in reach that has a plug behind it and none itself."""
        wants = near & (self.plugs.behind >= 0) & ~self.plugs.here
        if self.back is None or not wants.any():
            return None
        starts = np.sort(len(wants) - 1 - np.flatnonzero(wants))
        return self.back, self.back.block(first, count, starts), starts

    def day(self, day: int, trips: Trips, behind: Trips | None) -> None:
        frame, stops, weights = self.frame, self.stops, self.weights
        lain, reserve = lying(frame, day), heating_reserve_kwh(frame, day)
        self.reserves.append(reserve)
        parts = [_going(frame, stops, day, trips, reserve, self.rules, weights)]
        parts += _staying(frame, stops, day, lain, reserve, weights) + self._night_rows(day)
        self.mornings.append(_morning(parts))
        self.evenings.append(_evening(frame, stops, day, lain, reserve, weights))
        ways = (slowest_to_plug(trips, self.plugs), behind)
        self.refuges.append(build_refuge(frame, stops, day, ways, lain, weights))
        self.reached[trips.end] = True


    def _night_rows(self, day: int) -> list[Row]:
        """Crossings that begin on this morning."""
        rows: list[Row] = []
        for leg in self.night_legs:
            if self.reached[leg[1]]:
                rows += night_rows(self.ahead, self.stops, day, leg, self.rules, self.weights)
                self.reached[leg[2]] |= bool(rows)
        return rows


def _furthest(stops: Stops) -> Ints:
    """The furthest mooring that a day from each mooring may end at: the next one that asks for nights."""
    count = len(stops.first)
    out = np.full(count, count - 1, dtype=np.int64)
    following = count - 1
    for number in range(count - 1, -1, -1):
        out[number] = following
        following = number if stops.must_stop[number] else following
    return out


def _morning(parts: list[Row]) -> Morning:
    """The actions of one morning in order of start and pace, without those that nothing holds."""
    for part in parts:
        part.setdefault("days", np.zeros(len(part["start"]), dtype=np.int64))
        part.setdefault("lands", np.zeros(len(part["start"]), dtype=bool))
    whole = {name: np.concatenate([part[name] for part in parts]) for name in parts[0]}
    order = np.lexsort((whole["pace"], whole["start"]))
    order = order[np.isfinite(whole["from_kwh"][order])]
    arrays = {name: value[order] for name, value in whole.items()}
    return Morning(**arrays | {name: arrays[name][None] for name in BY_SKY})


def _going(
    frame: Frame, stops: Stops, day: int, trips: Trips, reserve: Floats, rules: Rules, weights: Weights
) -> Row:
    """The trips at the voyage's step, and the slowest of each at every step below it."""
    slowest, lower = _slowest(trips), range(frame.wanted + 1, len(frame.vessel.comfort))
    chains = trip_chains(frame, day, trips, [frame.wanted])
    rows = [_going_at(frame, stops, day, trips, frame.wanted, chains[0], reserve, rules, weights)]
    for step, chain in zip(lower, trip_chains(frame, day, slowest, lower), strict=True):
        rows.append(_going_at(frame, stops, day, slowest, step, chain, reserve, rules, weights))
    return {name: np.concatenate([row[name] for row in rows]) for name in rows[0]}


def _slowest(trips: Trips) -> Trips:
    """The slowest trip from each start to each end: where comfort is given up it is to save energy."""
    _, first = np.unique(trips.start * (trips.end.max(initial=0) + 1) + trips.end, return_index=True)
    return replace(trips, **{name: value[first] for name, value in vars(trips).items()})


def _going_at(
    frame: Frame,
    stops: Stops,
    day: int,
    trips: Trips,
    step: int,
    chain: Chain,
    reserve: Floats,
    rules: Rules,
    weights: Weights,
) -> Row:
    arrives = trips.end == len(frame.route.moorings) - 1
    hours = trips.hours
    floor = np.maximum(*(frame.weather.floor_kwh[day, frame.mooring_station[m]] for m in (trips.start, trips.end)))
    need = floor + np.where(frame.plugs_w[trips.end] > 0, 0.0, reserve[trips.end, step])
    kwh = propulsion_kwh(frame, trips.kwh, hours)
    cost = price(weights, trip_days(frame, day, trips), hours, kwh, np.full(len(hours), float(step - frame.wanted)))
    cost = cost + lateness(rules, trips.start, trips.end, day, arrives)
    base = (stops.last[trips.start], stops.first[trips.end], np.full(len(hours), step), trips.pace, cost)
    row = dict(zip(FIELDS, (*base, trips.arrive_h, hours, kwh), strict=True))
    return row | promise(frame, chain, floor, need) | {"arrives": arrives, "below_kwh": np.full(len(hours), np.inf)}


def _staying(
    frame: Frame, stops: Stops, day: int, lain: Lying, reserve: Floats, weights: Weights
) -> list[Row]:
    """Staying at every stop and step; at a plug the floor alone is enough below 0.93 of the ceiling."""
    at = stops.mooring
    floor = frame.weather.floor_kwh[day, frame.mooring_station[at]]
    plug = frame.plugs_w[at] > 0
    home = at == len(frame.route.moorings) - 1
    days = np.where(home, 0.0, 1.0)
    end = stops.after_staying
    edge = PLUG_SHARE * frame.ceiling_kwh
    rows = []
    for step in range(frame.wanted, len(frame.vessel.comfort)):
        zero = np.zeros(stops.count)
        cost = price(weights, days, zero, zero, np.full(stops.count, float(step - frame.wanted)))
        base = (np.arange(stops.count), end, np.full(stops.count, step), np.full(stops.count, -1), cost)
        fields = dict(zip(FIELDS, (*base, zero, zero, zero), strict=True))
        fields["arrives"] = np.zeros(stops.count, dtype=bool)
        chain = _at(lain.at("stay", step), at)
        full = fields | promise(frame, chain, floor, floor + reserve[at, step])
        full["from_kwh"] = np.where(plug, np.maximum(full["from_kwh"], edge), full["from_kwh"])
        rows.append(full | {"below_kwh": np.full(stops.count, np.inf)})
        if plug.any():
            low = fields | promise(frame, chain, floor, floor)
            low |= {"below_kwh": np.full(stops.count, edge)}
            rows.append({name: value[plug] for name, value in low.items()})
    return rows


def _at(part: Chain, number: Ints) -> Chain:
    """The chains of moorings as those of stops."""
    return Chain(part.add[number], part.cap[number], part.low_add[number], part.low_cap[number], part.ceiling_kwh)


def _evening(frame: Frame, stops: Stops, day: int, lain: Lying, reserve: Floats, weights: Weights) -> Evening:
    at = stops.mooring
    floor = frame.weather.floor_kwh[day, frame.mooring_station]
    night = [lain.at("night", max(step, frame.wanted)) for step in range(len(frame.vessel.comfort))]
    return Evening(
        rounded(floor[:, None] + reserve)[at],
        np.stack([rounded(part.add[at, 0]) for part in night], axis=-1)[None],
        np.stack([rounded(part.cap[at, 0]) for part in night], axis=-1)[None],
        frame.plugs_w[at] > 0,
        rounded(lain.plugged.add[at, 0])[None],
        rounded(lain.plugged.cap[at, 0])[None],
        weights.plug,
    )

