"""Coastal and open legs that last longer than a travel day: under way through the night, up to three days.

A crossing begins when travel opens and is one action over several days: held on every poor day of it. Landing before
an evening, that evening's rule follows; landing later, the next morning does.
"""

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from voyager.energy.maps import Chain, chain
from voyager.energy.passage import Clock, Passages, walk
from voyager.energy.step import unclamped_kwh
from voyager.energy.way import exposed
from voyager.planner.aim import Weights, price
from voyager.planner.effects import heating_reserve_kwh, promise, propulsion_kwh
from voyager.planner.frame import Frame
from voyager.planner.rules import Rules, lateness, too_early
from voyager.planner.scope import Scope
from voyager.planner.stops import Stops, leg_end_moorings
from voyager.planner.walks import KEPT_PACES, Walker

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
LONGEST_DAYS = 3
NightLeg = tuple[int, int, int]
"""A leg that may be sailed through the night: its number, its start mooring, its end mooring."""


@dataclass(frozen=True)
class Crossing:
    """One leg at one pace from the morning of ``day``. Hours count from that day's start, over K days (K x 24 or so).

    By hour (H'): ``kwh``, ``poor_kwh`` propulsion, ``moving`` share, ``mount`` and ``station`` while moving, ``km`` at
    the end of each hour. ``last`` days after the first on which it lands; ``lands_late``: after that day's evening.
    """

    day: int
    leg: int
    start: int
    end: int
    pace: int
    depart_h: float
    arrive_h: float
    total_kwh: float
    move_h: float
    wait_h: float
    water_km: float
    kwh: Floats
    poor_kwh: Floats
    moving: Floats
    mount: Ints
    station: Ints
    km: Floats
    last: int
    lands_late: bool

    @property
    def hours(self) -> float:
        """Under way, without waiting."""
        return self.arrive_h - self.depart_h - self.wait_h


def night_legs(frame: Frame) -> list[NightLeg]:
    """The legs that may be sailed through the night; the one that the boat is on as the plan begins from there, too."""
    ends = leg_end_moorings(frame.route)
    starts = [0, *ends[:-1]]
    rows = [*zip(range(len(ends)), starts, ends, frame.voyage.legs, strict=True)]
    if frame.on_leg is not None:
        rows.append((frame.on_leg, frame.begin.mooring, ends[frame.on_leg], frame.voyage.legs[frame.on_leg]))
    return [
        (number, start, end)
        for number, start, end, leg in rows
        if leg.overnight and exposed(leg) and start is not None and end is not None
    ]


def crossings(walker: Walker, day: int, leg: int, start: int, end: int) -> list[Crossing]:
    """The slowest few paces at which the leg takes longer than the travel day and lands within three days."""
    frame = walker.frame
    days = min(LONGEST_DAYS, len(frame.days.dates) - day)
    opens = float(frame.windows.open_h[day, walker.station[start]])
    if afloat(frame, day, start):
        opens = frame.begin.hours
    if np.isnan(opens) or days < 1:
        return []
    limit = float(frame.days.length_h[day : day + days].sum())
    clock = Clock(
        np.asarray([[opens]]),
        np.asarray([[limit - 1e-6]]),
        walker.lock_h[[day]],
        walker.high_water_h[[day]],
        walker.group[[day]],
    )
    passages = walk(walker.way, walker.route.legs, walker.table, clock, np.asarray([start]))
    nodes = int(walker.way.moorings_at[end] - walker.way.moorings_at[start])
    if nodes >= len(passages.arrive_h):
        return []
    arrive = passages.arrive_h[nodes, 0, 0]
    close = float(np.nan_to_num(frame.windows.close_h[day, walker.station[start]]))
    fits = np.flatnonzero(np.isfinite(arrive) & (arrive > close))[:KEPT_PACES]
    return [_crossing(walker, passages, day, leg, start, end, int(pace), nodes) for pace in fits]


def afloat(frame: Frame, day: int, start: int) -> bool:
    """Whether a crossing from a mooring goes on with what the boat is doing as the plan begins, at any hour."""
    return day == 0 and start == frame.begin.mooring and not frame.may_stay


def _crossing(
    walker: Walker, passages: Passages, day: int, leg: int, start: int, end: int, pace: int, nodes: int
) -> Crossing:
    frame, way = walker.frame, walker.way
    column = {name: value[: nodes + 1, 0, 0, pace] for name, value in vars(passages).items()}
    time = column["arrive_h"]
    arrive = float(time[-1])
    starts = np.concatenate([[0], np.cumsum(frame.days.length_h[day : day + LONGEST_DAYS])])
    last = int(np.searchsorted(starts, arrive, side="left") - 1)
    evening = int(starts[last] + frame.windows.evening[day + last, frame.mooring_station[end]])
    late = arrive > evening
    edges = np.arange((starts[last + 1] if late else evening) + 1.0)
    node_km = way.node_km[way.moorings_at[start] : way.moorings_at[end] + 1]
    inside = np.clip(np.minimum(edges[1:], arrive) - np.maximum(edges[:-1], time[0]), 0.0, 1.0)
    middle = np.clip((np.maximum(edges[:-1], time[0]) + np.minimum(edges[1:], arrive)) / 2, time[0], arrive)
    node = np.clip(np.searchsorted(time, middle, side="right") - 1, 0, nodes - 1)
    reach = way.reach[way.moorings_at[start] + node]
    by_hour = [np.diff(np.interp(edges, time, column[name])) for name in ("kwh", "poor_kwh")]
    kwh, poor_kwh, inside = (_by_lived(frame, day, values) for values in (*by_hour, inside))
    return Crossing(
        day, leg, start, end, pace, float(time[0]), arrive, float(column["kwh"][-1]), float(column["move_h"][-1]),
        float(column["wait_h"][-1]), float(column["water_km"][-1]),
        kwh, poor_kwh, inside, walker.reach_mount[reach], way.reaches.station[reach],
        np.interp(edges[1:], time, node_km), last, late,
    )  # fmt: skip


def _by_lived(frame: Frame, day: int, values: Floats) -> Floats:
    """Sums of the hours from the start of ``day`` as means over what is lived of each."""
    first = int(frame.days.length_h[day])
    return np.concatenate([frame.by_lived(day, values[:first]), values[first:]])


def hour_of(frame: Frame, crossing: Crossing, h: int) -> tuple[int, int]:
    """Day number and step of hour ``h`` of a crossing."""
    day = crossing.day
    while h >= frame.days.length_h[day]:
        h -= int(frame.days.length_h[day])
        day += 1
    return day, h


def hour_sun(frame: Frame, crossing: Crossing, h: int) -> tuple[Floats, int]:
    """Panel power (n,) in hour ``h`` and the station whose air it is lived in."""
    day, step = hour_of(frame, crossing, h)
    watts, moving = frame.panels.watts[day], float(crossing.moving[h])
    moored = crossing.start if h + 0.5 < crossing.depart_h else crossing.end
    sun = moving * watts[crossing.mount[h], step] + (1 - moving) * watts[frame.mooring_mount[moored], step]
    away = crossing.depart_h <= h + 0.5 < crossing.arrive_h
    return np.asarray(sun), int(crossing.station[h] if away else frame.mooring_station[moored])


def crossing_chain(frame: Frame, crossing: Crossing, step: int) -> Chain:
    """The four numbers (1,n) from the first morning to the landing's evening, or to the morning after it."""
    n, poors = frame.weather.cold, frame.weather.poors
    whole = chain((1, n), frame.ceiling_kwh)
    for h in range(len(crossing.kwh)):
        day, part = hour_of(frame, crossing, h)
        sun, station = hour_sun(frame, crossing, h)
        propulsion = np.full(n, crossing.kwh[h] * 1e3)
        propulsion[poors] = crossing.poor_kwh[h] * 1e3
        propulsion += frame.vessel.hull.underway_extra_w * crossing.moving[h]
        net = sun - frame.total_w[step, day, station, part, :n] - propulsion
        blocked, lasts = frame.weather.blocked[day, station, part, :n], frame.part(day, part)[1]
        whole.append(unclamped_kwh(frame.vessel.battery, net[None], blocked, lasts))
    return whole


def crossing_days(frame: Frame, crossing: Crossing) -> float:
    """Days to making fast, the last one a fraction."""
    before = float(frame.days.length_h[crossing.day : crossing.day + crossing.last].sum())
    part = (crossing.arrive_h - before) / float(frame.days.length_h[crossing.day + crossing.last])
    return crossing.last + min(part, 1.0)


def crossing_cost(frame: Frame, crossing: Crossing, steps_down: int, weights: Weights) -> float:
    """Price of a crossing: whole days unless it makes fast at the destination."""
    arrives = crossing.end == len(frame.route.moorings) - 1
    days = crossing_days(frame, crossing) if arrives else crossing.last + 1.0
    kwh = float(propulsion_kwh(frame, np.asarray(crossing.total_kwh), np.asarray(crossing.hours)))
    values = (np.asarray([x], dtype=float) for x in (days, crossing.hours, kwh, float(steps_down)))
    return float(price(weights, *values)[0])


def night_rows(
    frame: Frame,
    scope: Scope,
    day: int,
    found: list[Crossing],
    first: int,
    fit: float,
    rules: Rules,
    weights: Weights,
) -> list[dict[str, Any]]:
    """The crossings of one leg that begin on this morning, at every step of the ladder, as rows of actions.

    ``first`` is the number of the first of them among all crossings of the morning; ``fit`` the sea's chance.
    """
    rows = []
    for number, crossing in enumerate(found, first):
        landing = day + crossing.last
        if too_early(rules, crossing.start, crossing.end, landing):
            continue
        reserve = heating_reserve_kwh(frame, landing)[crossing.end]
        station, ends = frame.mooring_station, ((day, crossing.start), (landing, crossing.end))
        floor = max(float(frame.weather.floor_kwh[d, station[m]]) for d, m in ends)
        where = np.asarray([crossing.start]), np.asarray([crossing.end])
        arrives = np.asarray([crossing.end == len(frame.route.moorings) - 1])
        late = float(lateness(rules, *where, landing, arrives)[0])
        for step in range(frame.wanted, len(frame.vessel.comfort)):
            need = floor + (0.0 if frame.plugs_w[crossing.end] > 0 else float(reserve[step]))
            cost = crossing_cost(frame, crossing, step - frame.wanted, weights) + late
            part = promise(scope, crossing_chain(frame, crossing, step), np.asarray([floor]), np.asarray([need]))
            sea = {"arrives": arrives, "fit": np.asarray([fit]), "trip": np.asarray([number])}
            rows.append(_columns(scope.stops, crossing, step, cost) | part | sea)
    return rows


def _columns(stops: Stops, crossing: Crossing, step: int, cost: float) -> dict[str, Any]:
    """The plain columns of one action."""
    values = {
        "start": stops.last[crossing.start],
        "end": stops.first[crossing.end],
        "days": crossing.last,
        "lands": crossing.lands_late,
        "step": step,
        "pace": crossing.pace,
        "cost": cost,
        "arrive_h": crossing.arrive_h,
        "hours": crossing.hours,
        "kwh": crossing.total_kwh,
        "below_kwh": np.inf,
    }
    return {name: np.asarray([value]) for name, value in values.items()}
