"""How each hour of a day is spent: under way, waiting, made fast."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from voyager.planner.dayrun import Day
from voyager.planner.frame import Frame

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class _Stretch:
    """From casting off to making fast, hours from the day's start, and the waits on the way (K,): begin and length."""

    begins: float
    ends: float
    wait_from_h: Floats
    wait_h: Floats


def ways_spent(frame: Frame, day: Day) -> tuple[Floats, Floats]:
    """Hours under way, without waiting, and hours waiting in each hour step (H,)."""
    count = day.ledger.charge_kwh.shape[1]
    found = _stretch(frame, day)
    if found is None:
        return np.zeros(count), np.zeros(count)
    wait = sum(
        (inside(count, begin, begin + length) for begin, length in zip(found.wait_from_h, found.wait_h, strict=True)),
        np.zeros(count),
    )
    return inside(count, found.begins, found.ends) - wait, wait


def _stretch(frame: Frame, day: Day) -> _Stretch | None:
    none = np.zeros(0)
    if day.sea is not None:
        begins = 0.0 if day.sea.casts_off_h is None else day.sea.casts_off_h
        ends = float(frame.days.length_h[day.day]) if day.sea.made_fast_h is None else day.sea.made_fast_h
        return _Stretch(begins, ends, none, none)
    if day.sail is None or day.sail.trips is None:
        return None
    trips, waited = day.sail.trips, np.diff(day.sail.node_wait_h)
    at = np.flatnonzero(waited > 0)
    return _Stretch(float(trips.depart_h[0]), float(trips.arrive_h[0]), day.sail.node_h[at], waited[at])


def inside(count: int, begins: float, ends: float) -> Floats:
    """How much of each of the day's first ``count`` hour steps lies between two times [h], (count,)."""
    edges = np.arange(count + 1.0)
    return np.asarray(np.clip(np.minimum(edges[1:], ends) - np.maximum(edges[:-1], begins), 0.0, 1.0))
