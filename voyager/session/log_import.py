"""Files of readings into the log: a CSV's rows, a GPX track's stops and hours; what is there already is left out."""

import os
from typing import TYPE_CHECKING, Any

from voyager.errors import InputError, Problem, Problems
from voyager.files.printable import printable
from voyager.session.log_places import Way, last_km, placed

if TYPE_CHECKING:
    from voyager.logbook.entries import Entry

Json = dict[str, Any]
MOST_TOLD = 20


def imported(voyage: str, way: Way, capacity_kwh: float, file: str, counters: bool) -> Json:
    """``{"file", "kind", "rows", "added", "first_utc", "last_utc", "left_out": [{"row", "why"}], "notes"}``.

    ``rows``: rows or points of the file, ``added``: entries made of them; a row is a line of a CSV, or a point of a GPX
    file, the first being 1. All are added, or none. An entry of the same time from a file of the same name
    is in the log already. Raises Problems, InputError; NotSaved where the voyage can have no log.
    """
    from voyager.files.log import Log, log_path, refuse_unwritable
    from voyager.files.log_csv import read_log_csv
    from voyager.files.log_tracks import read_log_track
    from voyager.session.log_values import utc_text

    refuse_unwritable(voyage)
    kind = _kind(file)
    if kind == "gpx" and counters:
        raise InputError(f"{file} is a track and has no meters; leave --counters away")
    readings = read_log_track(file) if kind == "gpx" else read_log_csv(file, capacity_kwh, counters=counters)
    with Log(log_path(voyage), create=True) as log:
        there = log.entries()
        known = {(one.time_utc, one.source) for one in there}
        pairs = zip(readings.entries, readings.rows, strict=True)
        new = [(entry, row) for entry, row in pairs if (entry.time_utc, entry.source) not in known]
        _refuse_off_route(way, file, new)
        first = new[0][0].time_utc if new else None
        before = last_km(one for one in there if first is not None and one.time_utc <= first)
        entries, notes = placed(way, [entry for entry, _ in new], before)
        log.add(entries)
    kept = {row for _, row in new}
    twice = [{"row": row, "why": "in the log already"} for row in readings.rows if row not in kept]
    left = [*({"row": one.row, "why": one.why} for one in readings.left_out), *twice]
    return {
        "file": os.path.basename(file),
        "kind": kind,
        "rows": readings.count,
        "added": len(entries),
        "first_utc": utc_text(entries[0].time_utc) if entries else None,
        "last_utc": utc_text(entries[-1].time_utc) if entries else None,
        "left_out": sorted(left, key=lambda one: int(one["row"])),
        "notes": [*readings.notes, *notes],
    }


def _refuse_off_route(way: Way, file: str, new: "list[tuple[Entry, int]]") -> None:
    """Raises Problems with the line of each kilometre that the route does not have, twenty at most."""
    problems = []
    for entry, row in new:
        try:
            way.on_route(entry.km or 0.0)
        except InputError as fault:
            problems.append(Problem(printable(file), row, "km", str(fault)))
    if problems:
        raise Problems(problems[:MOST_TOLD])


def _kind(file: str) -> str:
    """``gpx`` or ``csv``, by the file's ending, else by how it begins."""
    ending = os.path.splitext(file)[1].lower()
    if ending in (".gpx", ".csv"):
        return ending[1:]
    from voyager.files.log_tracks import begins_as_xml

    return "gpx" if begins_as_xml(file) else "csv"
