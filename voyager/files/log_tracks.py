"""Recorded tracks as entries of a log."""

import os
from datetime import UTC, datetime

import numpy as np

from voyager.errors import InputError
from voyager.files.gpx import Gpx, read_gpx
from voyager.files.log_csv import Readings
from voyager.files.printable import printable
from voyager.logbook.entries import EVENT, READING, Entry
from voyager.logbook.track import thinned

HEAD_BYTES = 512


def begins_as_xml(path: str) -> bool:
    """Whether a file's first sign is ``<``; False where it can't be read."""
    try:
        with open(path, "rb") as file:
            return file.read(HEAD_BYTES).removeprefix(b"\xef\xbb\xbf").lstrip()[:1] == b"<"
    except (OSError, ValueError):
        return False


def read_log_track(path: str | os.PathLike[str]) -> Readings:
    """All tracks of a GPX file as one, thinned as ``logbook.track`` says; their source is the file's name.

    ``rows``: points by number, those of all tracks counted through from 1. Raises Problems; InputError where no point
    has a time.
    """
    gpx = read_gpx(path)
    parts = [part for line in gpx.tracks for part in line.parts]
    count = sum(map(len, parts))
    if not count:
        others = "routes and waypoints only" if gpx.routes or len(gpx.waypoints) else "no point"
        raise InputError(f"{printable(gpx.file)} has {others}; the log takes tracks, whose points have a time")
    lat, lon, time_s = (np.concatenate([getattr(part, name) for part in parts]) for name in ("lat", "lon", "time_s"))
    timed = np.flatnonzero(np.isfinite(time_s))
    if not timed.size:
        raise InputError(f"{printable(gpx.file)} has no point with a time; record a track with times, or note entries")
    order = timed[np.unique(time_s[timed], return_index=True)[1]]
    numbers = dict(zip(time_s[order].tolist(), (order + 1).tolist(), strict=True))
    source = printable(os.path.basename(gpx.file))
    fixes = thinned(time_s[order], lat[order], lon[order])
    entries = tuple(
        Entry(
            datetime.fromtimestamp(fix.time_s, UTC), EVENT if fix.what else READING, lat=fix.lat, lon=fix.lon,
            note=fix.what, source=source,
        )
        for fix in fixes
    )  # fmt: skip
    notes = _notes(gpx, count, int(timed.size), int(order.size), len(entries))
    return Readings(entries, tuple(numbers[fix.time_s] for fix in fixes), count, (), tuple(notes))


def _notes(gpx: Gpx, count: int, timed: int, different: int, kept: int) -> list[str]:
    """What was made of the points."""
    notes = []
    if timed < count:
        bad = f", {gpx.bad_times} of them with a time that cannot be read" if gpx.bad_times else ""
        notes.append(f"points without a time, left out: {count - timed} of {count}{bad}")
    if different < timed:
        notes.append(f"points of the same time as another, left out: {timed - different}")
    if kept < different:
        notes.append(f"{different} points were thinned to {kept}: ends, stops of ten minutes or more, one an hour")
    if gpx.routes or len(gpx.waypoints):
        notes.append("routes and waypoints were passed over: they say nothing of when")
    return notes
