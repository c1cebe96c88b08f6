"""Readings of a CSV as entries of a log."""

import os
from dataclasses import dataclass, replace
from datetime import UTC, datetime

import numpy as np
from numpy.typing import NDArray

from voyager.errors import Problem, Problems
from voyager.files.log_schema import ENERGIES, LIMITS, LONGEST_TEXT
from voyager.files.measured import read_measured
from voyager.files.printable import printable
from voyager.fits.measured import Measured
from voyager.fits.result import LeftOut
from voyager.logbook.entries import EVENT, READING, Entry

Floats = NDArray[np.float64]
MOST_TOLD = 20


@dataclass(frozen=True)
class Readings:
    """Entries of a file in the order of time with the line (or point) of each, what was left out, sentences on it.

    ``count``: rows of data in the file, or points.
    """

    entries: tuple[Entry, ...]
    rows: tuple[int, ...]
    count: int
    left_out: tuple[LeftOut, ...] = ()
    notes: tuple[str, ...] = ()


def read_log_csv(path: str | os.PathLike[str], capacity_kwh: float, *, counters: bool = False) -> Readings:
    """The rows as entries in the order of time; their source is the file's name, charge in percent is of the capacity.

    ``counters``: energies are meters that count up. An entry then has the difference to the meter's reading before it,
    the first one none; a meter that reads less than before is taken to have begun again at 0. Places are as they are
    written. Raises Problems.
    """
    measured = read_measured(path, "log")
    _check(measured, capacity_kwh)
    columns = {name: measured.numbers(name) for name in LIMITS if name in measured}
    if "charge_percent" in measured:
        columns["charge_kwh"] = measured.numbers("charge_percent") * capacity_kwh / 100
    notes = [*measured.notes, *_shares(measured)]
    if counters:
        for name in ENERGIES:
            if name in columns:
                columns[name], more = _differences(name, columns[name], measured.line)
                notes += more
    entries = [_entry(measured, columns, row) for row in range(len(measured))]
    told = [(entry, int(line)) for entry, line in zip(entries, measured.line, strict=True)]
    empty = tuple(LeftOut(line, "says nothing but the time") for entry, line in told if _says_nothing(entry))
    kept = [(entry, line) for entry, line in told if not _says_nothing(entry)]
    left_out = tuple(sorted((*measured.left_out, *empty), key=lambda one: one.row))
    return Readings(
        tuple(one for one, _ in kept), tuple(line for _, line in kept), measured.rows, left_out, tuple(notes)
    )


def _entry(measured: Measured, columns: dict[str, Floats], row: int) -> Entry:
    numbers = {name: float(column[row]) for name, column in columns.items() if np.isfinite(column[row])}
    times = measured.time_s
    seconds = 0.0 if times is None else float(times[row])
    place, note = measured.texts("place")[row], measured.texts("note")[row]
    entry = Entry(
        datetime.fromtimestamp(seconds, UTC),
        place=" ".join(place.split()) or None,
        note=note,
        source=printable(os.path.basename(measured.file)),
        **numbers,  # type: ignore[arg-type]
    )
    return replace(entry, kind=EVENT if note and not numbers else READING)


def _says_nothing(entry: Entry) -> bool:
    return not entry.note and entry.place is None and all(getattr(entry, name) is None for name in LIMITS)


def _differences(name: str, meter: Floats, lines: NDArray[np.int64]) -> tuple[Floats, list[str]]:
    """What flowed since the reading before [kWh] (n,), nan where none is; a sentence where a meter began again."""
    out = np.full(meter.shape, np.nan)
    read = np.flatnonzero(np.isfinite(meter))
    change = np.diff(meter[read])
    again = change < 0
    out[read[1:]] = np.where(again, meter[read[1:]], change)
    where = ", ".join(str(lines[row]) for row in read[1:][again][:5])
    more = " and later" if again.sum() > 5 else ""
    text = f"{name}: the meter reads less than before in line {where}{more}; taken to have begun again at 0 there"
    return out, [text] if again.any() else []


def _shares(measured: Measured) -> list[str]:
    percent = measured.numbers("charge_percent")
    known = percent[np.isfinite(percent)]
    if known.size < 3 or known.max() > 1 or known.max() == 0:
        return []
    return ["charge_percent is never above 1: if it is a share, multiply it by 100 and import again"]


def _check(measured: Measured, capacity_kwh: float) -> None:
    """Raises Problems for numbers that no boat can have, twenty at most."""
    limits = {**LIMITS, "charge_kwh": (0.0, capacity_kwh), "charge_percent": (0.0, 100.0)}
    file = printable(measured.file)
    problems = []
    for name, (low, high) in limits.items():
        column = measured.numbers(name)
        for row in np.flatnonzero((column < low - 1e-9) | (column > high + 1e-9)).tolist():
            full = "; the battery holds no more" if name == "charge_kwh" and column[row] > high else ""
            text = f"must lie between {low:g} and {high:g}, is {column[row]:g}{full}"
            problems.append(Problem(file, int(measured.line[row]), name, text))
    half = np.isfinite(measured.numbers("lat")) != np.isfinite(measured.numbers("lon"))
    mend = "latitude and longitude go together; give both or neither"
    problems += [Problem(file, int(line), "lat", mend) for line in measured.line[half]]
    for name in ("place", "note"):
        for line, text in zip(measured.line, measured.texts(name), strict=True):
            if len(text) > LONGEST_TEXT:
                problems.append(Problem(file, int(line), name, f"is longer than {LONGEST_TEXT} signs; shorten it"))
    if problems:
        raise Problems(sorted(problems)[:MOST_TOLD])
