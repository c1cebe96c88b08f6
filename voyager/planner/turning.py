"""The point of no return: how far along today's trip the boat can still turn back.

Ahead the boat sails the planned pace; the way back is walked from points of the trip at every pace. Both are lived on
the poor day (its sun, its wind, its cold) from the charge of now: where no pace gets back before travel closes with the
charge above the floor until the evening, it is too late to turn.
"""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from voyager.energy.passage import Clock, Passages, walk
from voyager.energy.way import Way
from voyager.planner.effects import trip_chains
from voyager.planner.frame import Frame
from voyager.planner.walks import ByHour, Trips, Walker, build_walker

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]
COARSE_KM, FINE_KM, NODE_KM = 1.0, 0.1, 4.0


@dataclass(frozen=True)
class Outing:
    """A day's trip: casting off, hours from the day's start, pace of the way ahead, mooring that it makes for, comfort
    step until the evening; the day and the mooring that it starts from (None: where the plan begins)."""

    depart_h: float
    pace: int
    end: int
    step: int
    day: int = 0
    start: int | None = None

    def begin(self, frame: Frame) -> int:
        """Number of the mooring that it starts from."""
        return frame.begin.mooring if self.start is None else self.start


@dataclass(frozen=True)
class Turning:
    """The furthest kilometre from which the boat can still get back, and the mooring there (``plug``: it has one)."""

    km: float
    mooring: int
    plug: bool


def turning_point(frame: Frame, ahead: Walker, outing: Outing, charge_kwh: float, kind: int) -> Turning | None:
    """Where the day's trip passes the point of no return; None where the boat can turn back all the way.

    ``kind``: number of the poor day among the frame's kinds. Back means the last plug behind or here; where none is in
    reach even from here, the last mooring (here, where the boat may stay). Not even that: the kilometre of now.
    """
    begin = outing.begin(frame)
    plugs = np.flatnonzero(frame.plugs_w[: begin + 1] > 0)
    haven = begin if frame.may_stay or begin != frame.begin.mooring else begin - 1
    targets = [int(plugs[-1])] if len(plugs) and plugs[-1] != haven else []
    start_km = frame.route.moorings[begin].km
    back = build_walker(frame, back=True)
    for target in [*targets, haven]:
        home = _Home(frame, ahead, back, outing, target, charge_kwh, kind)
        if home.reached(np.asarray([start_km]))[0]:
            km = _furthest(home)
            return None if km is None else Turning(km, target, bool(frame.plugs_w[target] > 0))
    return Turning(start_km, haven, bool(frame.plugs_w[haven] > 0))


def _furthest(home: "_Home") -> float | None:
    """The last point of the trip before the first from which nobody gets back; None: from all of them."""
    first, last = home.track.km[0], home.track.km[-1]
    coarse = np.linspace(first, last, max(int(np.ceil((last - first) / COARSE_KM)), 1) + 1)
    lost = np.flatnonzero(~home.reached(coarse))
    if not len(lost):
        return None
    good, bad = coarse[lost[0] - 1], coarse[lost[0]]
    fine = np.linspace(good, bad, max(int(np.ceil((bad - good) / FINE_KM)), 1) + 1)
    late = np.flatnonzero(~home.reached(fine[1:-1]))
    return float(fine[late[0]] if len(late) else fine[-2])


@dataclass(frozen=True)
class _Track:
    """The trip at its nodes (K,): kilometre, time of arrival, poor day's propulsion so far; of the stretch before each
    node the time and energy under way, waiting so far, and the stretch of the way."""

    km: Floats
    time_h: Floats
    kwh: Floats
    move_h: Floats
    move_kwh: Floats
    wait_h: Floats
    reach: Ints

    def at(self, km: Floats) -> tuple[Floats, Floats, Floats]:
        """Time, energy and waiting (I,) as the boat gets to points of the trip, locks before them passed."""
        node = np.clip(np.searchsorted(self.km, km - 1e-9), 1, len(self.km) - 1)
        length = self.km[node] - self.km[node - 1]
        left = np.clip((self.km[node] - km) / np.maximum(length, 1e-9), 0.0, 1.0)
        there = km > self.km[0] + 1e-9
        time = np.where(there, self.time_h[node] - left * self.move_h[node], self.time_h[0])
        kwh = np.where(there, self.kwh[node] - left * self.move_kwh[node], 0.0)
        return time, kwh, np.where(there, self.wait_h[node], 0.0)


def _track(frame: Frame, walker: Walker, outing: Outing) -> _Track:
    """Today's part of the trip: to its end, or as far as a crossing gets before the evening."""
    begin = outing.begin(frame)
    km = [frame.route.moorings[n].km for n in (begin, outing.end)]
    way, _ = with_nodes(walker.way, np.arange(km[0] + NODE_KM, km[1] - NODE_KM / 2, NODE_KM))
    first, last = (int(np.flatnonzero(way.mooring == n)[0]) for n in (begin, outing.end))
    close_h = frame.days.length_h[outing.day] - 1.0
    passages = _walk(walker, way, np.asarray([[outing.depart_h]]), close_h, [first], outing.day)
    column = {
        name: value[: last - first + 1, 0, 0, outing.pace]
        for name, value in vars(passages).items()
    }
    count = int(np.isfinite(column["arrive_h"]).sum())
    nodes = slice(first, first + count)
    kwh, served = column["poor_kwh"][:count], way.service_kwh[nodes]
    move_kwh = np.diff(kwh, prepend=0.0) - np.concatenate([[0.0], served[:-1]])
    reach = way.reach[np.maximum(np.arange(first, first + count) - 1, 0)]
    move_h = np.diff(column["move_h"][:count], prepend=0.0)
    return _Track(
        way.node_km[nodes], column["arrive_h"][:count], kwh, move_h, move_kwh, column["wait_h"][:count], reach
    )


def _walk(
    walker: Walker, way: Way, open_h: Floats, close_h: float, starts: list[int] | Ints, day: int
) -> Passages:
    """Walks of a day from nodes or moorings of a way, each at its own time (1,I)."""
    clock = Clock(
        open_h,
        np.full_like(open_h, close_h),
        walker.lock_h[[day]],
        walker.high_water_h[[day]],
        walker.group[[day]],
    )
    return walk(way, walker.route.legs, walker.table, clock, np.asarray(starts))


def with_nodes(way: Way, km: Floats) -> tuple[Way, Ints]:
    """A way cut at more points (I,), ascending, and their node numbers; a new node lies behind those of its kilometre.

    In the way that comes back ``moorings_at`` are all its nodes, so that walks may begin at any of them.
    """
    place = np.searchsorted(way.node_km, km + 1e-9, side="right")
    number = place + np.arange(len(km))
    old = np.ones(len(way.node_km) + len(km), dtype=bool)
    old[number] = False
    segment = np.clip(np.cumsum(old)[:-1] - 1, 0, len(way.leg) - 1)

    def put(values: NDArray[np.generic], new: float) -> NDArray[np.generic]:
        return np.insert(values, place, new)

    node_km = np.insert(way.node_km, place, km)
    return Way(
        node_km,
        np.asarray(put(way.mooring, -1), dtype=np.int64),
        np.arange(len(node_km)),
        np.asarray(put(way.service_h, 0.0), dtype=float),
        np.asarray(put(way.service_kwh, 0.0), dtype=float),
        np.asarray(put(way.service_leg, 0), dtype=np.int64),
        np.asarray(put(way.locks, 0), dtype=np.int64),
        way.leg[segment],
        np.diff(node_km),
        way.reach[segment],
        way.reaches,
    ), number


class _Home:
    """Which points of today's trip allow to get back to one mooring."""

    def __init__(
        self, frame: Frame, ahead: Walker, back: Walker, outing: Outing, target: int, charge_kwh: float, kind: int
    ) -> None:
        self.frame, self.ahead, self.back, self.outing = frame, ahead, back, outing
        self.target, self.charge_kwh, self.kind = target, charge_kwh, kind
        self.track = _track(frame, ahead, outing)
        station, day, begin = frame.mooring_station, outing.day, outing.begin(frame)
        self.close_h = float(frame.windows.close_h[day, station[begin]])
        self.evening = int(frame.windows.evening[day, station[target]])
        self.floor_kwh = max(float(frame.weather.floor_kwh[day, station[n]]) for n in (begin, target))

    def reached(self, km: Floats) -> Bools:
        """Whether the boat gets back from points (I,), ascending, at any pace."""
        target_km = self.frame.route.moorings[self.target].km
        done = km <= target_km + 1e-9
        open_points = np.flatnonzero(~done)
        if len(open_points):
            done[open_points] = self._gets_back(km[open_points])
        return np.asarray(done)

    def _gets_back(self, km: Floats) -> Bools:
        time, kwh, wait = self.track.at(km)
        total_km = float(self.frame.route.start_km[-1])
        order = np.argsort(total_km - km)
        way, number = with_nodes(self.back.way, (total_km - km)[order])
        goal = int(np.flatnonzero(way.mooring == len(self.frame.route.moorings) - 1 - self.target)[0])
        found = _walk(self.back, way, time[order][None], self.close_h, number, self.outing.day)
        out = np.zeros(len(km), dtype=bool)
        rows, who = [], []
        for k, point in enumerate(order):
            steps = goal - int(number[k])
            if steps >= len(found.arrive_h):
                continue
            ends = found.arrive_h[steps, 0, k]
            for pace in np.flatnonzero(ends <= self.evening + 1e-9):
                walked = _Back(*(getattr(found, name)[: steps + 1, 0, k, pace] for name in _Back.__dataclass_fields__))
                turn = float(time[point]), float(kwh[point]), float(wait[point])
                rows.append(self._row(*turn, walked, way.reach[int(number[k]) : goal]))
                who.append(point)
        if rows:
            whole = self._trips(rows)
            chain = trip_chains(self.frame, self.outing.day, whole, [self.outing.step])[0]
            held = chain.lowest_kwh(self.charge_kwh)[:, self.kind] >= self.floor_kwh - 1e-9
            np.logical_or.at(out, np.asarray(who), held)
        return out

    def _row(self, turn_h: float, turn_kwh: float, wait_h: float, back: "_Back", reach: Ints) -> "_Row":
        """One outing out and back by hour step."""
        out = self.track.time_h < turn_h - 1e-9
        time = np.concatenate([self.track.time_h[out], back.arrive_h])
        spent = np.concatenate([self.track.kwh[out], turn_kwh + back.poor_kwh])
        edges = np.arange(self.evening + 1.0)
        begins, ends = np.maximum(edges[:-1], time[0]), np.minimum(edges[1:], time[-1])
        middle = np.clip((begins + ends) / 2, time[0], time[-1])
        there = self.track.reach[np.clip(np.searchsorted(self.track.time_h, middle), 1, len(self.track.reach) - 1)]
        here = reach[np.clip(np.searchsorted(back.arrive_h, middle, side="right") - 1, 0, len(reach) - 1)]
        outward = middle < turn_h
        return _Row(
            float(time[-1]),
            wait_h + float(back.wait_h[-1]),
            np.diff(np.interp(edges, time, spent)),
            np.clip(ends - begins, 0.0, 1.0),
            np.where(outward, self.ahead.reach_mount[there], self.back.reach_mount[here]),
            np.where(outward, self.ahead.way.reaches.station[there], self.back.way.reaches.station[here]),
        )

    def _trips(self, rows: "list[_Row]") -> Trips:
        count, frame, day = len(rows), self.frame, self.outing.day
        table = {name: np.stack([getattr(row, name) for row in rows]) for name in _Row.__dataclass_fields__}
        zero, begin = np.zeros(count), np.full(count, self.outing.begin(frame))
        kwh, moving = frame.by_lived(day, table["kwh"]), frame.by_lived(day, table["moving"])
        trips = Trips(
            begin, np.full(count, self.target), begin, zero + self.outing.depart_h, table["arrive_h"], table["wait_h"],
            zero, zero, table["kwh"].sum(axis=1), ByHour(kwh, kwh, moving, table["mount"], table["station"]),
        )  # fmt: skip
        return replace(trips, move_h=trips.hours)


@dataclass(frozen=True)
class _Back:
    arrive_h: Floats
    poor_kwh: Floats
    wait_h: Floats


@dataclass(frozen=True)
class _Row:
    arrive_h: float
    wait_h: float
    kwh: Floats
    moving: Floats
    mount: Ints
    station: Ints
