"""One day's trip told in full: hour by hour for the simulator, leg by leg for the reader."""

from dataclasses import dataclass, field, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from voyager.energy.lived import Lived
from voyager.energy.passage import Passages
from voyager.planner.walks import Trips, Walker, alone, day_trips

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class LegPart:
    """What of one leg was done in one trip; ``hours`` with locks and bridges, without waiting."""

    leg: int
    km: float
    water_km: float
    hours: float
    move_h: float
    kwh: float
    motor_kwh: float
    locks: int
    finished_h: float
    complete: bool


@dataclass(frozen=True)
class Sail:
    """One trip (``trips`` has one row, moorings in the numbers of the way ahead) and its legs in order.

    ``trips`` is None for a day of a crossing, whose hours stand elsewhere. ``node_h``, ``node_km``: hours from the
    day's start and kilometres of the way ahead at every point passed, ``node_wait_h`` hours waited before it.
    """

    trips: Trips | None
    parts: tuple[LegPart, ...]
    pace_w: float
    back: bool
    node_h: Floats = field(default_factory=lambda: np.zeros(0))
    node_km: Floats = field(default_factory=lambda: np.zeros(0))
    node_wait_h: Floats = field(default_factory=lambda: np.zeros(0))

    @property
    def path(self) -> Trips:
        """The trip itself; a day of a crossing has none."""
        if self.trips is None:
            raise ValueError("a day of a crossing has no trip of its own")
        return self.trips

    @property
    def locks(self) -> int:
        """Locks passed."""
        return sum(part.locks for part in self.parts)


def sea_sail(part: LegPart, pace_w: float) -> Sail:
    """What a day of a crossing did for its leg."""
    return Sail(None, (part,), pace_w, False)


def sail(walker: Walker, day: int, start: int, end: int, pace: int, *, back: bool = False) -> Sail:
    """The trip from mooring ``start`` to ``end`` (numbers of the way ahead) at one pace of the walker."""
    sails: Lived[Sail] | None = walker.frame.bank.sails
    if sails is None or walker.frame.lived_h(day) is not None:
        return _sailed(walker, day, start, end, pace, back)
    met = _met(walker, day, start, end, back)
    return sails.again((day, start, end, pace, back), met, lambda: _sailed(walker, day, start, end, pace, back))


def _met(walker: Walker, day: int, start: int, end: int, back: bool) -> list[NDArray[Any]]:
    """All that a trip depends on: the way between two moorings, its legs and stretches, the hours of the day."""
    way, table, windows = walker.way, walker.table, walker.frame.windows
    last = len(walker.route.moorings) - 1
    first, goal = (last - start, last - end) if back else (start, end)
    nodes = slice(int(way.moorings_at[first]), int(way.moorings_at[goal]) + 1)
    legs = np.unique(np.concatenate([way.leg[nodes], way.service_leg[nodes]]))
    reach, here, there = way.reach[nodes], walker.station[first], walker.station[goal]
    clock = [windows.open_h[day, here], windows.close_h[day, here], windows.evening[day, there], walker.hours]
    return [
        np.asarray([*clock, float(walker.route.start_km[-1])]), walker.pace_w,
        *(getattr(way, name)[nodes] for name in ("node_km", "mooring", "service_h", "service_kwh", "service_leg")),
        *(getattr(way, name)[nodes] for name in ("locks", "leg", "km")), way.moorings_at[first : goal + 1],
        walker.reach_mount[reach], way.reaches.station[reach], legs, walker.route.start_km[legs + 1],
        table.values[walker.group[day], legs], table.stream_step_mps[legs], table.flood_sign[legs], table.tidal[legs],
        walker.lock_h[day, legs], walker.high_water_h[day, legs], walker.station[first : goal + 1],
    ]  # fmt: skip


def _sailed(walker: Walker, day: int, start: int, end: int, pace: int, back: bool) -> Sail:
    count = len(walker.route.moorings)
    begin, finish = (count - 1 - start, count - 1 - end) if back else (start, end)
    starts = np.asarray([begin])
    passages = walker.block(day, 1, starts)
    trips = day_trips(walker, passages, 0, day, starts, np.asarray([finish]), every_pace=True)
    row = np.flatnonzero((trips.end == finish) & (trips.pace == pace))[:1]
    one = alone(replace(trips, **{name: value[row] for name, value in vars(trips).items()}))
    parts = tuple(_parts(walker, passages, begin, finish, pace))
    nodes = slice(int(walker.way.moorings_at[begin]), int(walker.way.moorings_at[finish]) + 1)
    km = walker.way.node_km[nodes]
    return Sail(
        replace(one, start=np.asarray([start]), end=np.asarray([end])),
        parts,
        float(walker.pace_w[pace]),
        back,
        passages.arrive_h[: len(km), 0, 0, pace],
        float(walker.route.start_km[-1]) - km if back else km,
        passages.wait_h[: len(km), 0, 0, pace],
    )


def _parts(walker: Walker, passages: Passages, start: int, end: int, pace: int) -> list[LegPart]:
    way = walker.way
    first, last = int(way.moorings_at[start]), int(way.moorings_at[end])
    column = {
        name: getattr(passages, name)[: last - first + 1, 0, 0, pace]
        for name in ("arrive_h", "kwh", "wait_h", "move_h", "water_km")
    }
    legs = way.leg[first:last]
    parts = []
    for leg in dict.fromkeys(legs.tolist()):
        inside = np.flatnonzero(legs == leg)
        a, b = int(inside[0]), int(inside[-1]) + 1
        change = {name: float(value[b] - value[a]) for name, value in column.items()}
        served = slice(first + a, first + b)
        at_end = walker.route.start_km[leg + 1] - way.node_km[first + b]
        parts.append(
            LegPart(
                int(leg),
                float(way.km[served].sum()),
                change["water_km"],
                change["arrive_h"] - change["wait_h"],
                change["move_h"],
                change["kwh"],
                change["kwh"] - float(way.service_kwh[served].sum()),
                int(way.locks[served].sum()),
                float(column["arrive_h"][b]),
                bool(at_end < 1e-6),
            )
        )
    return parts
