"""The passages of all days in blocks, and of each day the trips worth choosing: where to stop, at what pace."""

from collections.abc import Iterator
from dataclasses import dataclass

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
PACES = 14
KEPT_PACES = 3
BLOCK_DAYS = 8
MID_MONTH_DAY = np.asarray([15, 46, 74, 105, 135, 166, 196, 227, 258, 288, 319, 349])


@dataclass(frozen=True)
class Trips:
    """A trips of one day, sorted by start mooring. ``node`` (A,) nodes passed; hourly arrays (A,H').

    ``kwh_by_hour``, ``poor_kwh_by_hour`` propulsion in each step; ``moving`` (A,H') share of the step between casting
    off and making fast; ``reach`` (A,H') stretch at the middle of that share (0 where there is none).
    """

    start: Ints
    end: Ints
    pace: Ints
    depart_h: Floats
    arrive_h: Floats
    wait_h: Floats
    move_h: Floats
    kwh: Floats
    kwh_by_hour: Floats
    poor_kwh_by_hour: Floats
    moving: Floats
    mount: Ints
    station: Ints


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
    months, group = np.unique(frame.days.month, return_inverse=True)
    pace_w = pace_grid_w(frame.vessel.hull, PACES) if paces is None else paces
    lat, _ = route.position((route.start_km[:-1] + route.start_km[1:]) / 2)
    wind = np.stack([_leg_wind(route, lat, int(month)) for month in months])
    return Walker(
        frame,
        route,
        way,
        pace_w,
        speed_table(frame.vessel.hull, route.legs, pace_w, wind, WIND_POOR),
        group.reshape(-1),
        np.stack([open_hours(leg, frame.days) for leg in route.legs], axis=1),
        _high_water(frame, route),
        frame.mooring_station[::-1] if back else frame.mooring_station,
        frame.back_mount if back else frame.reach_mount,
    )


def _leg_wind(route: Route, lat: Floats, month: int) -> Floats:
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
    pick = _chosen(walker, passages.arrive_h[:, b], day, starts, furthest, len(walker.pace_w) if every_pace else KEPT_PACES)
    at, end, pace = pick
    nodes = walker.way.moorings_at[end] - walker.way.moorings_at[starts[at]]
    arrive = passages.arrive_h[:, b]
    depart = arrive[0, at, pace]
    hours = int(walker.frame.windows.evening[day].max())
    kwh = _by_hour(arrive, passages.kwh[:, b], passages.kwh[nodes, b, at, pace], at, pace, hours)
    poor = _by_hour(arrive, passages.poor_kwh[:, b], passages.poor_kwh[nodes, b, at, pace], at, pace, hours)
    finish = arrive[nodes, at, pace]
    edges = np.arange(hours + 1)[None, :]
    inside = np.clip(np.minimum(edges[:, 1:], finish[:, None]) - np.maximum(edges[:, :-1], depart[:, None]), 0.0, 1.0)
    reach = _reaches(walker.way, arrive, starts, at, pace, depart, finish, inside)
    return Trips(
        starts[at],
        end,
        pace,
        depart,
        finish,
        passages.wait_h[nodes, b, at, pace],
        passages.move_h[nodes, b, at, pace],
        passages.kwh[nodes, b, at, pace],
        kwh,
        poor,
        inside,
        walker.reach_mount[reach],
        walker.way.reaches.station[reach],
    )


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


def _by_hour(arrive: Floats, kwh: Floats, total: Floats, at: Ints, pace: Ints, hours: int) -> Floats:
    """Energy in each hour step of the trips (A,hours): along the whole walk, cut at the trip's own end."""
    edges = np.stack([_at_time(arrive, kwh, float(h)) for h in range(hours + 1)], axis=-1)
    return np.diff(np.minimum(edges[at, pace], total[:, None]), axis=1)


def _at_time(arrive: Floats, kwh: Floats, time_h: float) -> Floats:
    """Energy so far at a time along every walk (I,P), linear between nodes."""
    last = np.maximum((arrive <= time_h).sum(axis=0) - 1, 0)
    after = np.minimum(last + 1, len(arrive) - 1)
    t0, t1 = (np.take_along_axis(arrive, k[None], axis=0)[0] for k in (last, after))
    e0, e1 = (np.take_along_axis(kwh, k[None], axis=0)[0] for k in (last, after))
    between = np.isfinite(t1) & (t1 > t0) & (time_h > t0)
    share = np.where(between, time_h - np.where(between, t0, 0.0), 0.0) / np.where(between, t1 - t0, 1.0)
    return np.asarray(e0 + np.clip(share, 0.0, 1.0) * (e1 - e0))


def _reaches(
    way: Way, arrive: Floats, starts: Ints, at: Ints, pace: Ints, depart: Floats, finish: Floats, inside: Floats
) -> Ints:
    """Stretch at the middle of the moving part of each hour step, (A,H')."""
    hours = inside.shape[1]
    first = way.moorings_at[starts]
    out = np.zeros(inside.shape, dtype=np.int64)
    clean = np.where(np.isfinite(arrive), arrive, np.inf)
    for h in range(hours):
        middle = (np.maximum(h, clean[0]) + h + 1) / 2
        seg = np.maximum((clean <= middle[None]).sum(axis=0) - 1, 0)
        out[:, h] = _reach_at(way, first, seg, at, pace)
    last = np.minimum(np.maximum(np.ceil(finish).astype(np.int64) - 1, 0), hours - 1)
    middle = (np.maximum(last, depart) + finish) / 2
    seg = np.maximum((clean[:, at, pace] <= middle[None]).sum(axis=0) - 1, 0)
    out[np.arange(len(at)), last] = way.reach[np.minimum(first[at] + seg, len(way.reach) - 1)]
    return np.where(inside > 0, out, 0)


def _reach_at(way: Way, first: Ints, seg: Ints, at: Ints, pace: Ints) -> Ints:
    return np.asarray(way.reach[np.minimum(first[at] + seg[at, pace], len(way.reach) - 1)])


def blocks(count: int) -> Iterator[tuple[int, int]]:
    """Blocks of days: first and number."""
    for first in range(0, count, BLOCK_DAYS):
        yield first, min(BLOCK_DAYS, count - first)
