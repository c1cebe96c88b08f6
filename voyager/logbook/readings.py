"""What a log's readings say about a stretch of time: the charge at its ends, what flowed in it, how far it went."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from voyager.logbook.entries import Entry

Floats = NDArray[np.float64]
COLUMNS = ("solar", "shore", "propulsion", "heating", "hotel")
CLOSE_H = 3.0
"""A reading further than this from a day's start says nothing about the charge at it."""
FIRST_H = 26.0
LONGEST_H = 48.0
"""What flowed in longer than this is not shared out over the days."""
DAY_H = 25.0
SAME_KM = 0.05
AT_ONCE_H = 0.75
"""A stop no longer than a lock takes does not end a passage."""
WATCHED_H = 1.1
"""Positions no further apart than this say when the boat was under way."""


@dataclass(frozen=True)
class Mark:
    """A charge at a time, hours from the log's zero. ``moved``: the reading is not at the day's start but near it."""

    hour: float
    charge_kwh: float
    moved: bool = False


@dataclass(frozen=True)
class Flows:
    """Energies [kWh] that flowed between two times each, hours from zero, one after another, (n,)."""

    begins: Floats
    ends: Floats
    kwh: Floats


@dataclass(frozen=True)
class Passage:
    """The boat went from one kilometre to another between two times. ``watched``: the readings followed it closely, so
    that the time is that of being under way; else it was only somewhere in between."""

    begins: float
    ends: float
    from_km: float
    to_km: float
    watched: bool


def hour_of(moment: datetime, zero: np.datetime64) -> float:
    """Hours from ``zero`` (UTC) to an aware moment."""
    return float(moment.timestamp() - int(zero.astype("datetime64[s]").astype(np.int64))) / 3600


def charges(entries: Sequence[Entry], zero: np.datetime64) -> list[Mark]:
    """All readings of the charge in the order of time; of two at one time the later in the log."""
    by_hour = {hour_of(one.time_utc, zero): one.charge_kwh for one in entries if one.charge_kwh is not None}
    return [Mark(hour, kwh) for hour, kwh in sorted(by_hour.items())]


def mark_at(marks: Sequence[Mark], hour: float) -> Mark | None:
    """The charge at an hour: between two readings on a straight line where both are within 3 h of it; else the nearest
    within 3 h, at its own time (``moved``); None where there is none."""
    before = [one for one in marks if hour - CLOSE_H <= one.hour <= hour]
    after = [one for one in marks if hour <= one.hour <= hour + CLOSE_H]
    if before and after:
        a, b = before[-1], after[0]
        share = (hour - a.hour) / (b.hour - a.hour) if b.hour > a.hour else 0.0
        return Mark(hour, a.charge_kwh + share * (b.charge_kwh - a.charge_kwh))
    near = min([*before, *after], key=lambda one: abs(one.hour - hour), default=None)
    return None if near is None else Mark(near.hour, near.charge_kwh, True)


def span(marks: Sequence[Mark], starts: float, ends: float) -> tuple[Mark, Mark] | None:
    """The two readings between which a day is told: at its start and end; where there is none near, the first and the
    last of the day. None with fewer than two."""
    inside = [one for one in marks if starts < one.hour < ends]
    first, last = mark_at(marks, starts), mark_at(marks, ends)
    if first is None and inside:
        first = Mark(inside[0].hour, inside[0].charge_kwh, True)
    if last is None and inside:
        last = Mark(inside[-1].hour, inside[-1].charge_kwh, True)
    return None if first is None or last is None or last.hour - first.hour <= 1e-9 else (first, last)


def flows(entries: Sequence[Entry], column: str, zero: np.datetime64, day_starts: Floats) -> Flows:
    """What flowed, reading by reading, by one of ``COLUMNS``: since the reading before that has the same column.

    The first one counts from the log's beginning, 26 h at the most; where it is the beginning itself, from the start of
    its own day. ``day_starts`` (D,) hours from zero, ascending.
    """
    rows = ((one.time_utc, getattr(one, f"{column}_kwh")) for one in entries)
    noted = [(hour_of(at, zero), kwh) for at, kwh in rows if kwh is not None]
    if not noted:
        return Flows(*np.zeros((3, 0)))
    ends, kwh = np.asarray(noted, dtype=float).T
    begins = np.concatenate([[_first(float(ends[0]), hour_of(entries[0].time_utc, zero), day_starts)], ends[:-1]])
    told = (ends - begins > 0) & (ends - begins <= LONGEST_H)
    return Flows(begins[told], ends[told], kwh[told])


def _first(hour: float, begun: float, day_starts: Floats) -> float:
    if begun < hour:
        return max(begun, hour - FIRST_H)
    earlier = day_starts[day_starts < hour]
    return float(earlier[-1]) if len(earlier) else hour


def measured(rows: Flows, begins: float, ends: float, expected: Floats) -> tuple[float, float]:
    """What flowed between two hours as far as it was measured, and what is expected of the part that was not, kWh.

    ``expected`` (T,): the model's kWh of each hour from zero, along which a reading that reaches beyond is shared out
    (evenly in time where nothing is expected of it).
    """
    a, b = np.maximum(begins, rows.begins), np.minimum(ends, rows.ends)
    inside = b > a
    a, b, first, last, kwh = (values[inside] for values in (a, b, rows.begins, rows.ends, rows.kwh))
    edges, total = np.arange(len(expected) + 1.0), np.concatenate([[0.0], np.cumsum(expected)])
    upto = [np.interp(hour, edges, total) for hour in (first, last, a, b)]
    whole, part = upto[1] - upto[0], upto[3] - upto[2]
    share = np.where(whole > 1e-9, part / np.where(whole > 1e-9, whole, 1.0), (b - a) / (last - first))
    return float((kwh * share).sum()), max(within(expected, begins, ends) - float(part.sum()), 0.0)


def covered(rows: Flows, begins: float, ends: float) -> float:
    """Share of the time between two hours in which it was measured."""
    inside = np.clip(np.minimum(ends, rows.ends) - np.maximum(begins, rows.begins), 0.0, None)
    return float(inside.sum()) / (ends - begins) if ends > begins else 0.0


def within(by_hour: Floats, begins: float, ends: float) -> float:
    """Sum of hourly values (T,) between two hours; parts of hours count by their share."""
    return float((by_hour * shares(len(by_hour), begins, ends)).sum())


def shares(count: int, begins: float, ends: float) -> Floats:
    """How much of each of ``count`` hours lies between two hours, (T,)."""
    edges = np.arange(count + 1.0)
    return np.asarray(np.clip(np.minimum(edges[1:], ends) - np.maximum(edges[:-1], begins), 0.0, 1.0))


def passages(places: Sequence[tuple[float, float]]) -> list[Passage]:
    """Stretches on which the boat went one way, from (hour, kilometre) in the order of time; stops as short as a lock's
    belong to them."""
    out: list[Passage] = []
    for (a, from_km), (b, to_km) in pairwise(places):
        if abs(to_km - from_km) < SAME_KM or b <= a:
            continue
        watched = b - a <= WATCHED_H
        last = out[-1] if out else None
        goes_on = last is not None and watched and last.watched and a - last.ends <= AT_ONCE_H
        if last is not None and goes_on and (last.to_km - last.from_km) * (to_km - from_km) > 0:
            out[-1] = Passage(last.begins, b, last.from_km, to_km, True)
        else:
            out.append(Passage(a, b, from_km, to_km, watched))
    return out


def km_at(places: Sequence[tuple[float, float]], hour: float) -> float | None:
    """Where the boat was at an hour, by the last reading in the day before it, or an older one that the next reading
    does not gainsay; None where the log does not say."""
    number = sum(at <= hour + 1e-9 for at, _ in places)
    if not number:
        return None
    (at, km), after = places[number - 1], places[number : number + 1]
    return km if hour - at <= DAY_H or all(abs(there - km) < SAME_KM for _, there in after) else None
