"""Dates that the voyage sets at the ends of legs, and what missing them costs."""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from voyager.planner.aim import LATE
from voyager.planner.frame import Frame
from voyager.planner.walks import Trips

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
NO_DATE = 10**6


@dataclass(frozen=True)
class Rules:
    """Dates at leg ends: (R,) kilometre, first day number on which it may be reached, last one without being late."""

    km: Floats
    earliest: Ints
    latest: Ints
    by: int | None
    mooring_km: Floats


def rules_of(frame: Frame) -> Rules:
    """The leg ends with a date, and the date of arrival as one more at the destination."""
    first = frame.voyage.departs
    rows = [
        (
            float(km),
            (leg.earliest - first).days if leg.earliest else 0,
            (leg.latest - first).days if leg.latest else NO_DATE,
        )
        for leg, km in zip(frame.voyage.legs, frame.route.start_km[1:], strict=True)
        if leg.earliest or leg.latest
    ]
    table = np.asarray(rows, dtype=float).reshape(-1, 3)
    by = (frame.voyage.by - first).days if frame.voyage.by else None
    days = table[:, 1:].astype(np.int64)
    return Rules(table[:, 0], days[:, 0], days[:, 1], by, np.asarray([m.km for m in frame.route.moorings]))


def _crossed(rules: Rules, start: Ints, end: Ints) -> NDArray[np.bool_]:
    """Which dated leg ends are reached between moorings (A,), (A,R)."""
    first, last = rules.mooring_km[start][:, None], rules.mooring_km[end][:, None]
    return np.asarray((rules.km[None, :] > first + 1e-9) & (rules.km[None, :] <= last + 1e-9))


def allowed(trips: Trips, rules: Rules, day: int) -> Trips:
    """Without the trips that reach a leg's end before its ``earliest``."""
    if not len(rules.km):
        return trips
    keep = ~early(rules, trips.start, trips.end, day)
    return replace(trips, **{name: value[keep] for name, value in vars(trips).items()})


def too_early(rules: Rules, start: int, end: int, day: int) -> bool:
    """Whether going from one mooring to another reaches a leg's end before its ``earliest`` on ``day``."""
    return bool(len(rules.km)) and bool(early(rules, np.asarray([start]), np.asarray([end]), day)[0])


def early(rules: Rules, start: Ints, end: Ints, day: int) -> NDArray[np.bool_]:
    """Which trips (A,) between moorings reach a leg's end before its ``earliest`` on ``day``."""
    if not len(rules.km):
        return np.zeros(len(start), dtype=bool)
    return np.asarray((_crossed(rules, start, end) & (rules.earliest > day)).any(axis=1))


def lateness(rules: Rules, start: Ints, end: Ints, day: int, arrives: NDArray[np.bool_]) -> Floats:
    """Price of reaching dated leg ends, or the destination, on ``day``, (A,)."""
    late = (_crossed(rules, start, end) & (rules.latest < day)).sum(axis=1) * LATE if len(rules.km) else 0.0
    missed = arrives & (rules.by is not None and day > (rules.by or 0))
    return np.asarray(late + LATE * missed)


def missed(rules: Rules, mooring: Ints) -> Floats:
    """Price of the dated leg ends still ahead of moorings (A,) when the days are over, (A,)."""
    ahead = rules.km[None, :] > rules.mooring_km[mooring][:, None] + 1e-9
    return np.asarray((ahead & (rules.latest < NO_DATE)).sum(axis=1) * LATE)
