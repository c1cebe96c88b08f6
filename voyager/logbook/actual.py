"""Planned against actual, day by day, from the readings of a log: see ``logbook.split`` for what each part means."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

import numpy as np
from numpy.typing import NDArray

from voyager.boat.vessel import Vessel
from voyager.logbook.doing import (
    Waters,
    heating_done,
    outside_c,
    propulsion_done,
    setpoint_shift_k,
    shore_done,
    waters,
)
from voyager.logbook.entries import Entry
from voyager.logbook.readings import (
    COLUMNS,
    LONGEST_H,
    Flows,
    Mark,
    charges,
    covered,
    flows,
    hour_of,
    km_at,
    passages,
    shares,
    span,
    within,
)
from voyager.logbook.readings import measured as measured_kwh
from voyager.logbook.restart import positions
from voyager.logbook.split import Done, Split, split
from voyager.logbook.timeline import Row, Timeline, timeline
from voyager.route.calendar import Days, days
from voyager.route.line import build_route
from voyager.route.voyage import Voyage

Floats = NDArray[np.float64]
UNPLANNED, ENDS = "no plan was made for all of it", "ends with"
SunDone = Callable[[Timeline, Sequence[tuple[float, float]]], Floats]
SHORTEST_H = 1.0
SAID_H = 0.5
LOOSELY = 0.1
WHOLE_DAY = 0.9
"""A flow measured in this share of a day's time is told as the day's."""
NAMES = {"solar": "sun", "propulsion": "propulsion", "heating": "heating", "hotel": "hotel"}


@dataclass(frozen=True)
class DayActual:
    """One day of the voyage, ``day`` 1 the first: what the log says of it, and the split where it was also planned.

    ``start``, ``end``: the charges between which it is told (hours from ``starts``); ``start_km``, ``end_km`` where the
    day began and ended, None where the log does not say (before its first place the boat is taken to have left as the
    voyage departs); ``flows_kwh`` by ``readings.COLUMNS``, None where not measured in the whole of it; ``split`` None
    without two readings of the charge or without a plan. ``outside_c`` mean of the readings; ``timed``: they say how
    long its passages took.
    """

    day: int
    date: date
    starts: np.datetime64
    length_h: int
    start: Mark | None
    end: Mark | None
    start_km: float | None
    end_km: float | None
    flows_kwh: Mapping[str, float | None]
    split: Split | None
    outside_c: float | None
    timed: bool
    notes: tuple[str, ...]


@dataclass(frozen=True)
class _Log:
    """The log's readings against the hours of the days."""

    line: Timeline
    marks: list[Mark]
    places: list[tuple[float, float]]
    readings: dict[str, Flows]
    done: Done | None
    entries: Sequence[Entry]
    hours: Floats


def log_days(entries: Sequence[Entry], voyage: Voyage) -> Days | None:
    """The days of the voyage from departure to the last reading; None where all of the log lies before."""
    if not entries:
        return None
    first = days(voyage.departs, 1, voyage.time_zone, voyage.day_starts_min)
    hours = hour_of(entries[-1].time_utc, first.starts_utc[0])
    if hours < 0:
        return None
    count = int(hours // 24) + 2
    whole = days(voyage.departs, count, voyage.time_zone, voyage.day_starts_min)
    edges = (whole.starts_utc - whole.starts_utc[0]) / np.timedelta64(3600, "s")
    needed = int(np.searchsorted(edges, hours, side="left"))
    return days(voyage.departs, max(needed, 1), voyage.time_zone, voyage.day_starts_min)


def actual_days(
    entries: Sequence[Entry],
    voyage: Voyage,
    vessel: Vessel,
    rows: Sequence[Row | None],
    *,
    sun_done: SunDone | None = None,
) -> tuple[DayActual, ...]:
    """Every day of ``log_days`` as the log has it, against ``rows``, one for each: the day as it was planned.

    ``rows``: objects of ``plan --json`` (``timeline.slim`` of them will do), None where no plan was. ``sun_done``
    gives the sun that the planned sky would have given for what was really done, by hour (T,), from the timeline and
    (hour, kilometre) of the readings; None: as planned.
    """
    calendar = log_days(entries, voyage)
    if calendar is None:
        return ()
    log = _read(entries, voyage, vessel, calendar, rows, sun_done)
    return tuple(_day(log, vessel, calendar, d) for d in range(len(calendar.dates)))


def _read(
    entries: Sequence[Entry], voyage: Voyage, vessel: Vessel, calendar: Days, rows: Sequence[Row | None],
    sun_done: SunDone | None,
) -> _Log:  # fmt: skip
    line = timeline(calendar, rows, vessel)
    route = build_route(voyage)
    places = _from_the_first([(hour_of(at, line.zero), km) for at, km in positions(entries, route, voyage)])
    readings = {name: flows(entries, name, line.zero, line.edges) for name in COLUMNS}
    done = None
    if any(row is not None for row in rows):
        months = calendar.month.tolist()
        water: Waters = waters(voyage, vessel.hull, months, line.zero)
        motor, loose = np.nan_to_num(np.stack([line.propulsion, line.propulsion]))
        if places:
            motor, loose = propulsion_done(passages(places), line, water, months, [_pace(row) for row in rows])
        kept, real = heating_done(vessel, line, outside_c(line, entries), setpoint_shift_k(line, entries))
        sun = line.sun if sun_done is None else sun_done(line, places)
        done = Done(sun, shore_done(line, places, route), motor, loose, kept, real)
    hours = np.asarray([hour_of(one.time_utc, line.zero) for one in entries])
    return _Log(line, charges(entries, line.zero), places, readings, done, entries, hours)


def _from_the_first(places: list[tuple[float, float]]) -> list[tuple[float, float]]:
    """Hour and kilometre of the readings, with the first place as the voyage departs where they begin soon after it."""
    return [(0.0, 0.0), *places] if places and 0 < places[0][0] <= LONGEST_H else places


def _pace(row: Row | None) -> float | None:
    pace: Any = None if row is None else row.get("pace_w")
    return None if not pace else float(pace)


def _day(log: _Log, vessel: Vessel, calendar: Days, d: int) -> DayActual:
    begins, ends = float(log.line.edges[d]), float(log.line.edges[d + 1])
    found = span(log.marks, begins, ends)
    told, notes = None, list[str]()
    if found is None:
        notes.append("fewer than two readings of the charge, so note it mornings and evenings")
    elif found[1].hour - found[0].hour < SHORTEST_H:
        found = None
        notes.append("the readings of the charge lie within an hour")
    elif log.done is None or not log.line.planned(found[0].hour, found[1].hour):
        notes.append(UNPLANNED)
    else:
        a, b = found
        told = split(vessel, log.line, log.done, log.readings, a.hour, b.hour, b.charge_kwh - a.charge_kwh)
        notes += [*_shared_out(told), *_loosely(log, told, begins, ends)]
    if found is not None:
        notes = [*_moved(calendar, d, begins, ends, found), *notes]
    first, last = (None, None) if found is None else found
    at = np.searchsorted(log.hours, [begins, ends], side="left")
    inside = log.entries[int(at[0]) : int(at[1])]
    air = [e.outside_c for e in inside if e.outside_c is not None]
    return DayActual(
        d + 1, calendar.dates[d], calendar.starts_utc[d], int(calendar.length_h[d]), first, last,
        km_at(log.places, begins), km_at(log.places, ends), _flows(log, told, begins, ends), told,
        float(np.mean(air)) if air else None, _timed(log, begins, ends),
        (*notes, *(e.note for e in inside if e.note)),
    )  # fmt: skip


def _timed(log: _Log, begins: float, ends: float) -> bool:
    if log.done is None:
        return False
    return within(log.done.loose, begins, ends) <= LOOSELY * within(log.done.propulsion, begins, ends)


def _flows(log: _Log, told: Split | None, begins: float, ends: float) -> dict[str, float | None]:
    """What was measured, between the two charges where the day is split, else in the day."""
    if told is not None:
        return {name: told.flows[name].measured_kwh for name in COLUMNS}
    return {name: _unsplit(log, name, begins, ends) for name in COLUMNS}


def _unsplit(log: _Log, name: str, begins: float, ends: float) -> float | None:
    """What one of ``COLUMNS`` says of a day; what the motor took flowed while the boat went, the rest evenly."""
    rows, count = log.readings[name], len(log.line.change)
    way = np.zeros(count)
    for one in passages(log.places) if name == "propulsion" else ():
        way += shares(count, one.begins, one.ends)
    kwh, left = measured_kwh(rows, begins, ends, way)
    gone = within(way, begins, ends)
    share = 1 - left / gone if gone > 0 else covered(rows, begins, ends)
    return kwh if share >= WHOLE_DAY else None


def _loosely(log: _Log, told: Split, begins: float, ends: float) -> list[str]:
    """A sentence where what the motor took is held against a passage whose time is not known."""
    if told.flows["propulsion"].measured_kwh is None or _timed(log, begins, ends):
        return []
    lacking = "" if log.places else "way and "
    return [f"{lacking}pace taken as planned, so note place and time of casting off and making fast"]


def _shared_out(told: Split) -> list[str]:
    if not told.shared:
        return []
    names = [NAMES[name] for name in told.shared]
    return [f"not measured, and {'sharing' if len(names) > 1 else 'taking'} what is left: {', '.join(names)}"]


def _moved(calendar: Days, d: int, begins: float, ends: float, found: tuple[Mark, Mark]) -> list[str]:
    out = []
    for mark, edge, what in ((found[0], begins, "begins with"), (found[1], ends, ENDS)):
        if mark.moved and abs(mark.hour - edge) > SAID_H:
            minute = round((mark.hour - begins) * 60)
            shift = int(calendar.shift_min[d]) if minute >= calendar.shift_at_min[d] else 0
            clock = (int(calendar.start_min[d]) + minute + shift) % 1440
            out.append(f"{what} the reading at {clock // 60:02d}:{clock % 60:02d}")
    return out
