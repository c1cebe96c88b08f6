"""The passages of all days in blocks, and of each day the trips worth choosing: where to stop, at what pace."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, fields, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from voyager.energy.pace import pace_grid_w
from voyager.energy.passage import Clock, Passages, SpeedTable, speed_table, walk
from voyager.energy.way import Way
from voyager.planner.frame import Frame
from voyager.route.line import Route
from voyager.route.locks import open_hours
from voyager.route.tide import hours_from_high_water
from voyager.sky.air import wind_mean_mps
from voyager.sky.days import WIND_POOR

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Numbers = NDArray[np.signedinteger[Any]]
PACES = 12
KEPT_PACES = 3
BLOCK_DAYS, BLOCK_STARTS = 20, 1000
MID_MONTH_DAY = np.asarray([15, 46, 74, 105, 135, 166, 196, 227, 258, 288, 319, 349])


@dataclass(frozen=True)
class ByHour:
    """Hourly arrays (R,H') of more trips than those at hand, whose ``rows`` (A,) are; None: all of them.

    Most trips are only ever weighed by what they come to: their hours are not copied about with them."""

    kwh: Floats
    poor_kwh: Floats
    moving: Floats
    mount: Numbers
    station: Numbers
    rows: Ints | None = None

    def __getitem__(self, at: Ints | slice | NDArray[np.bool_]) -> "ByHour":
        """Some of the trips."""
        return replace(self, rows=(np.arange(len(self.kwh)) if self.rows is None else self.rows)[at])

    def of(self, name: str) -> NDArray[Any]:
        """One of the arrays, (A,H')."""
        values: NDArray[Any] = getattr(self, name)
        return values if self.rows is None else values[self.rows]

    def alone(self) -> "ByHour":
        """The same without the other trips."""
        return self if self.rows is None else ByHour(*(self.of(name) for name in HOURLY))


HOURLY = tuple(one.name for one in fields(ByHour) if one.name != "rows")


@dataclass(frozen=True)
class Trips:
    """A trips of one day, sorted by start mooring. ``node`` (A,) nodes passed; hourly arrays (A,H').

    ``kwh_by_hour``, ``poor_kwh_by_hour`` propulsion in each step; ``moving`` (A,H') share of the step between casting
    off and making fast, all three as means over what is lived of a step where a plan begins in its middle;
    ``water_km`` (A,) through the water; ``reach`` (A,H') stretch at the middle of that share (0 where there is none).
    """

    start: Ints
    end: Ints
    pace: Ints
    depart_h: Floats
    arrive_h: Floats
    wait_h: Floats
    move_h: Floats
    water_km: Floats
    kwh: Floats
    by_hour: ByHour

    @property
    def kwh_by_hour(self) -> Floats:
        """Propulsion in each step (A,H')."""
        return self.by_hour.of("kwh")

    @property
    def poor_kwh_by_hour(self) -> Floats:
        """The same in a poor day's wind (A,H')."""
        return self.by_hour.of("poor_kwh")

    @property
    def moving(self) -> Floats:
        """Share of each step between casting off and making fast (A,H')."""
        return self.by_hour.of("moving")

    @property
    def mount(self) -> Numbers:
        """Number of the mount in each step (A,H')."""
        return self.by_hour.of("mount")

    @property
    def station(self) -> Numbers:
        """Station in each step (A,H')."""
        return self.by_hour.of("station")

    @property
    def hours(self) -> Floats:
        """Under way, locks and bridges with it, without waiting, (A,)."""
        return np.asarray(self.arrive_h - self.depart_h - self.wait_h)


@dataclass(frozen=True)
class Walker:
    """Walks along one way (the route, or the route reversed for going back) on the days of a frame."""

    frame: Frame
    route: Route
    way: Way
    pace_w: Floats
    table: SpeedTable
    group: Ints
    lock_h: Floats
    high_water_h: Floats
    station: Ints
    reach_mount: Ints

    @property
    def hours(self) -> int:
        """Hour steps H' of a day in which anybody may be under way."""
        return int(self.frame.windows.evening.max())

    def reach_km(self, first: int, count: int) -> float:
        """More than anyone gets on in these days."""
        window = self.frame.windows
        hours = np.nan_to_num(window.close_h - window.open_h)[first : first + count]
        return float(hours.max(axis=1).sum() * self.table.fastest_kmh)

    def block(self, first: int, count: int, starts: Ints) -> Passages:
        """Passages of days ``first`` to ``first + count`` from the moorings ``starts``."""
        at = np.arange(first, first + count)
        station = self.station[starts]
        clock = Clock(
            self.frame.windows.open_h[at][:, station],
            self.frame.windows.close_h[at][:, station],
            self.lock_h[at],
            self.high_water_h[at],
            self.group[at],
        )
        return walk(self.way, self.route.legs, self.table, clock, starts)


def build_walker(frame: Frame, *, back: bool = False, paces: Floats | None = None) -> Walker:
    """The walker of the way ahead or back; all paces of the grid unless told otherwise."""
    route, way = (frame.back_route, frame.back_way) if back else (frame.route, frame.way)
    winds, group = _day_winds(frame)
    pace_w = pace_grid_w(frame.vessel.hull, PACES) if paces is None else paces
    lat, _ = route.position((route.start_km[:-1] + route.start_km[1:]) / 2)
    wind = np.stack([_leg_wind(route, lat, month, known) for month, known in winds])
    return Walker(
        frame,
        route,
        way,
        pace_w,
        speed_table(frame.vessel.hull, route.legs, pace_w, wind, WIND_POOR),
        group,
        np.stack([open_hours(leg, frame.days) for leg in route.legs], axis=1),
        _high_water(frame, route),
        frame.mooring_station[::-1] if back else frame.mooring_station,
        frame.back_mount if back else frame.reach_mount,
    )


def _day_winds(frame: Frame) -> tuple[list[tuple[int, float | None]], Ints]:
    """Days with the same wind, as (month, wind that a forecast or a weather file tells), and the group of each (D,)."""
    known = frame.climate.wind_known_mps.copy()
    if frame.climate.wind_table is not None:
        for month in np.unique(frame.days.month):
            here = (frame.days.month == month) & np.isnan(known)
            known[here] = frame.climate.wind_mps[here].mean() if here.any() else np.nan
    told = [None if np.isnan(wind) else round(float(wind), 6) for wind in known]
    keys = list(zip(frame.days.month.tolist(), told, strict=True))
    distinct = list(dict.fromkeys(keys))
    return distinct, np.asarray([distinct.index(key) for key in keys])


def _leg_wind(route: Route, lat: Floats, month: int, known_mps: float | None) -> Floats:
    """Wind of each leg (L,): a forecast's or a file's, else the leg's own, else the mean of water and month."""
    if known_mps is not None:
        return np.full(len(route.legs), known_mps)
    doy = int(MID_MONTH_DAY[month - 1])
    return np.asarray(
        [
            leg.wind_mps if leg.wind_mps is not None else float(wind_mean_mps(leg.water, float(at), doy))
            for leg, at in zip(route.legs, lat, strict=True)
        ]
    )


def _high_water(frame: Frame, route: Route) -> Floats:
    """Hours from each day's start to the given high water of each leg, (D,L); 0 without a tide."""
    out = np.zeros((len(frame.days.dates), len(route.legs)))
    for number, leg in enumerate(route.legs):
        if leg.tide_high_water is not None:
            out[:, number] = -hours_from_high_water(frame.days.starts_utc[:-1], leg.tide_high_water)
    return out


def day_trips(
    walker: Walker,
    passages: Passages,
    b: int,
    day: int,
    starts: Ints,
    furthest: Ints,
    *,
    every_pace: bool = False,
) -> Trips:
    """Trips of one day of a block from the moorings ``starts`` (those of the block) no further than ``furthest`` (I,).

    The slowest few paces that get there, all of them to the destination; ``every_pace`` keeps all.
    """
    arrive = passages.arrive_h[:, b]
    at, end, pace = _chosen(
        walker, arrive, day, starts, furthest, len(walker.pace_w) if every_pace else KEPT_PACES
    )
    nodes = walker.way.moorings_at[end] - walker.way.moorings_at[starts[at]]
    depart, finish = arrive[0, at, pace], arrive[nodes, at, pace]
    wait, move, water, kwh, poor = (
        getattr(passages, name)[nodes, b, at, pace] for name in ("wait_h", "move_h", "water_km", "kwh", "poor_kwh")
    )
    hours = walker.hours
    courses = _courses(walker, passages, b, starts, at, pace, int(nodes.max(initial=0)) + 2)
    by_hour, poor_by_hour = _by_hour(courses, hours, (kwh, poor))
    edges = np.arange(hours + 1)[None, :]
    inside = np.clip(np.minimum(edges[:, 1:], finish[:, None]) - np.maximum(edges[:, :-1], depart[:, None]), 0.0, 1.0)
    reach = _reaches(walker.way, courses, depart, finish, inside)
    by_hour, poor_by_hour, inside = (walker.frame.by_lived(day, one) for one in (by_hour, poor_by_hour, inside))
    mount, station = (where[reach].astype(np.int16) for where in (walker.reach_mount, walker.way.reaches.station))
    return Trips(
        starts[at], end, pace, depart, finish, wait, move, water, kwh,
        ByHour(by_hour, poor_by_hour, inside, mount, station),
    )  # fmt: skip


def _chosen(
    walker: Walker, arrive: Floats, day: int, starts: Ints, furthest: Ints, paces: int
) -> tuple[Ints, Ints, Ints]:
    """Start number, end mooring and pace of the trips kept."""
    count = len(walker.route.moorings)
    ahead = int(np.max(furthest - starts, initial=0))
    end = starts[:, None] + np.arange(1, ahead + 1)[None, :]
    inside = end <= furthest[:, None]
    end = np.minimum(end, count - 1)
    nodes = np.minimum(walker.way.moorings_at[end] - walker.way.moorings_at[starts][:, None], len(arrive) - 1)
    reached = walker.way.moorings_at[end] - walker.way.moorings_at[starts][:, None] < len(arrive)
    time = arrive[nodes, np.arange(len(starts))[:, None]]
    evening = walker.frame.windows.evening[day][walker.station[end]]
    fits = np.isfinite(time) & (time <= evening[:, :, None] + 1e-9) & (inside & reached)[:, :, None]
    rank = np.cumsum(fits, axis=2)
    keep = fits & ((rank <= paces) | (end == count - 1)[:, :, None])
    at, offset, pace = np.nonzero(keep)
    return at, end[at, offset], pace


@dataclass(frozen=True)
class _Courses:
    """The walks that some trip of the day follows, (O,U) each; ``of`` (A,) the walk of each trip."""

    arrive_h: Floats
    kwh: Floats
    poor_kwh: Floats
    first: Ints
    of: Ints

    def places(self, time_h: Floats) -> Ints:
        """Last node reached at times (U,K) or (K,), per walk: (U,K)."""
        passed = self.arrive_h[:, :, None] <= time_h
        return np.asarray(np.maximum(passed.sum(axis=0) - 1, 0))


def _courses(walker: Walker, passages: Passages, b: int, starts: Ints, at: Ints, pace: Ints, depth: int) -> _Courses:
    paces = passages.arrive_h.shape[-1]
    used, of = np.unique(at * paces + pace, return_inverse=True)
    rows, columns = used // paces, used % paces
    arrive, kwh, poor = (
        getattr(passages, name)[:depth, b, rows, columns] for name in ("arrive_h", "kwh", "poor_kwh")
    )
    return _Courses(arrive, kwh, poor, walker.way.moorings_at[starts[rows]], of.reshape(-1))


def _by_hour(courses: _Courses, hours: int, total: tuple[Floats, Floats]) -> list[Floats]:
    """Energy in each hour step of the trips (A,hours), mean and poor wind: along the walk, cut at the trip's end."""
    edges = np.arange(hours + 1.0)
    last = courses.places(edges)
    after = np.minimum(last + 1, len(courses.arrive_h) - 1)
    row = np.arange(last.shape[0])[:, None]
    t0, t1 = courses.arrive_h[last, row], courses.arrive_h[after, row]
    between = np.isfinite(t1) & (t1 > t0) & (edges > t0)
    share = np.where(between, edges - np.where(between, t0, 0.0), 0.0) / np.where(between, t1 - t0, 1.0)
    share = np.clip(share, 0.0, 1.0)
    out = []
    for kwh, end in zip((courses.kwh, courses.poor_kwh), total, strict=True):
        along = kwh[last, row] + share * (kwh[after, row] - kwh[last, row])
        out.append(np.diff(np.minimum(along[courses.of], end[:, None]), axis=1))
    return out


def _reaches(way: Way, courses: _Courses, depart: Floats, finish: Floats, inside: Floats) -> Ints:
    """Stretch at the middle of the moving part of each hour step, (A,H')."""
    hours = inside.shape[1]
    steps = np.arange(hours)
    middle = (np.maximum(steps, courses.arrive_h[0][:, None]) + steps + 1) / 2
    node = courses.first[:, None] + courses.places(middle)
    out = way.reach[np.minimum(node, len(way.reach) - 1)][courses.of]
    last = np.clip(np.ceil(finish).astype(np.int64) - 1, 0, hours - 1)
    middle = (np.maximum(last, depart) + finish) / 2
    passed = (courses.arrive_h[:, courses.of] <= middle).sum(axis=0) - 1
    node = courses.first[courses.of] + np.maximum(passed, 0)
    out[np.arange(len(last)), last] = way.reach[np.minimum(node, len(way.reach) - 1)]
    return np.where(inside > 0, out, 0)


def together(trips: Sequence[Trips]) -> Trips:
    """Trips after one another, with the hours of no others."""
    if len(trips) == 1:
        return alone(trips[0])
    plain = {name: np.concatenate([getattr(one, name) for one in trips]) for name in PLAIN}
    hourly = ByHour(*(np.concatenate([one.by_hour.of(name) for one in trips]) for name in HOURLY))
    return Trips(**plain, by_hour=hourly)


def alone(trips: Trips) -> Trips:
    """The same with the hours of no other trips."""
    return replace(trips, by_hour=trips.by_hour.alone())


PLAIN = tuple(one.name for one in fields(Trips) if one.name != "by_hour")


def blocks(count: int, moorings: int) -> Iterator[tuple[int, int]]:
    """Blocks of days, first and number: as many days at once as keep the arrays of all moorings in bounds."""
    size = min(BLOCK_DAYS, max(1, BLOCK_STARTS // moorings))
    for first in range(0, count, size):
        yield first, min(size, count - first)
