"""Reads a CSV of measurements: columns by name, every fault with its line, rows that are there twice left out."""

import csv
import io
import os
import re
from collections.abc import Sequence
from dataclasses import dataclass, field, replace

import numpy as np

from voyager.errors import InputError, Problem, Problems
from voyager.files.measured_cells import Floats, Tell, alike, dates, numbers, spans, times, words, yes_or_no, zoned
from voyager.files.measured_kinds import DISTANCE, LAYOUTS, SECONDS, Column, Layout, meant, other_kind
from voyager.files.printable import printable
from voyager.files.toml import fail, text_of
from voyager.fits.measured import Measured
from voyager.fits.result import LeftOut

LARGEST_BYTES = 50_000_000
MOST_TOLD = 20
MOST_ALIKE = 3
DECIMAL_COMMA = re.compile(r"^([+-]?\d*),(\d+)$")
UTC_NOTE = (
    "the times have no offset and were taken as UTC; if they are local, write them such as 2027-03-01T14:00+01:00"
)
Values = Floats | tuple[str, ...]


def read_measured(path: str | os.PathLike[str], kind: str) -> Measured:
    """The rows of a CSV for a ``kind`` of measurement: heat, trial, panels, model, roll, log.

    Names of columns may be in any case and order. Columns that no one knows are passed over and named in ``notes``;
    one that may be meant for a known column is refused. Raises Problems with all that is wrong, twenty at most.
    """
    file = os.fspath(path)
    if kind not in LAYOUTS:
        raise InputError(f"there is no measurement {printable(kind)}; there are {', '.join(LAYOUTS)}")
    return _read(_text(file), file, kind)


def _text(file: str) -> str:
    if os.path.isdir(file):
        raise fail(file, 1, "is a directory; name the file in it")
    try:
        if os.path.getsize(file) > LARGEST_BYTES:
            raise fail(file, 1, f"is larger than {LARGEST_BYTES // 1_000_000} MB; thin the readings out")
        with open(file, "rb") as handle:
            content = handle.read()
    except FileNotFoundError:
        raise fail(file, 1, "no such file; check its name and directory") from None
    except (OSError, ValueError) as error:
        why = error.strerror if isinstance(error, OSError) and error.strerror else "its name cannot be a file's"
        raise fail(file, 1, f"cannot be read: {why}") from None
    if b"\0" in content and not content.startswith((b"\xff\xfe", b"\xfe\xff")):
        raise fail(file, 1, "is not text but binary; save it as CSV")
    text = text_of(file, content).replace("\r", "\n")
    if not text.strip():
        raise fail(file, 1, "is empty; a CSV with a header row is wanted")
    return text


@dataclass
class _Sheet:
    """The cells of a file, and what is wrong with them."""

    file: str
    names: list[str]
    rows: list[list[str]]
    lines: list[int]
    problems: list[Problem] = field(default_factory=list)

    def add(self, line: int, column: str, text: str) -> None:
        self.problems.append(Problem(printable(self.file), line, printable(column), printable(text)))

    def cells_of(self, name: str) -> list[str]:
        """The cells of a column by its name."""
        place = self.names.index(name)
        return [row[place] for row in self.rows]

    def teller(self, column: str) -> Tell:
        return lambda row, text: self.add(self.lines[row], column, text)

    def refuse(self) -> None:
        """Raises Problems where there are any."""
        if not self.problems:
            return
        told = _without_repeats(sorted(self.problems))
        if (more := len(told) - MOST_TOLD) > 0:
            text = f"this and {more} more faults; mend those above first"
            told = [*told[: MOST_TOLD - 1], Problem(printable(self.file), told[MOST_TOLD - 1].line, "", text)]
        raise Problems(told)


def _without_repeats(problems: Sequence[Problem]) -> list[Problem]:
    """A fault that a column has in row after row is told of its first rows, and counted in the others."""
    rows: dict[tuple[str, str], list[Problem]] = {}
    for one in problems:
        rows.setdefault((one.key, alike(one.text)), []).append(one)
    told = []
    for same in rows.values():
        told += same[:MOST_ALIKE]
        if rest := same[MOST_ALIKE:]:
            where = "in this row" if len(rest) == 1 else f"in this row and {len(rest) - 1} more below"
            told.append(replace(rest[0], text=f"the same {where}"))
    return sorted(told)


def _read(text: str, file: str, kind: str) -> Measured:
    layout, sheet = LAYOUTS[kind], _cells(text, file)
    if other := other_kind(set(sheet.names), kind):
        raise fail(
            file, 1, f"has the columns of fit {other}, not those of {'a log' if kind == 'log' else f'fit {kind}'}"
        )
    found, notes = _columns(sheet, layout)
    sheet.refuse()
    if not sheet.rows:
        raise fail(file, 1, "has a header and not a single row; measure first, one row a reading")
    values = {column.read_as: _values(sheet, place, column) for place, column in found.items()}
    sheet.refuse()
    if layout.timed and "run_s" in values:
        values["speed_mps"] = _speeds(sheet, values)
    if kind == "log" and not zoned(sheet.cells_of("time")):
        notes = (*notes, UTC_NOTE)
    return _measured(sheet, layout, values, notes)


def _speeds(sheet: _Sheet, values: dict[str, Values]) -> Floats:
    """Speed over a measured distance [m/s] (n,), which takes the place of distance and time."""
    seconds, distance = (np.array(values.pop(name), dtype=np.float64) for name in ("run_s", "distance_m"))
    for name, column in (("seconds", seconds), ("distance", distance)):
        for row in np.flatnonzero(column <= 0):
            sheet.add(sheet.lines[row], name, "must be above 0")
    sheet.refuse()
    return distance / seconds


def _cells(text: str, file: str) -> _Sheet:
    """Header and rows; empty lines are passed over.

    A header of one name with semicolons or tabs in it parts the columns by these; a decimal comma is then a point.
    """
    part = parted_by(text)
    reader = csv.reader(io.StringIO(text), strict=True, skipinitialspace=True, delimiter=part)
    rows, lines, before = [], [], 0
    try:
        for row in reader:
            if any(cell.strip() for cell in row):
                rows.append([cell.strip() for cell in row])
                lines.append(before + 1)
            before = reader.line_num
    except csv.Error as error:
        raise fail(file, before + 1, f"is not CSV: {error}; look at its quotation marks") from None
    header = [name.casefold() for name in rows[0]]
    while len(header) > 1 and not header[-1]:
        header.pop()
    if part != ",":
        rows[1:] = [[DECIMAL_COMMA.sub(r"\1.\2", cell) for cell in row] for row in rows[1:]]
    return _Sheet(file, header, rows[1:], lines[1:])


def parted_by(text: str) -> str:
    """What parts the columns: the comma, unless the header has none but semicolons or tabs, as spreadsheets write
    where the comma parts the decimals."""
    header = next((line for line in text.split("\n") if line.strip()), "")
    found = re.search("[;\t]", header)
    return found[0] if found and "," not in header else ","


def _columns(sheet: _Sheet, layout: Layout) -> tuple[dict[int, Column], tuple[str, ...]]:
    """Known columns by place, and notes; what is missing, double or misnamed is told to the sheet."""
    known, there = layout.columns, set(sheet.names)
    unknown = [name for name in dict.fromkeys(sheet.names) if name not in known]
    other = {name: meant(name, layout, there) for name in unknown}
    for name, near in other.items():
        if near:
            sheet.add(1, name, f"unknown column; did you mean {near}?")
    for name in sorted(there & known.keys()):
        if sheet.names.count(name) > 1:
            sheet.add(1, name, "stands twice in the header; take one away")
    for group in layout.groups:
        _check_group(sheet, layout, group, set(other.values()))
    _check_timed(sheet, layout, there)
    _check_widths(sheet)
    passed = [name for name, near in other.items() if not near and name]
    notes = (f"columns passed over: {printable(', '.join(passed))}",) if passed else ()
    return {place: known[name] for place, name in enumerate(sheet.names) if name in known}, notes


def _check_group(sheet: _Sheet, layout: Layout, group: tuple[Column, ...], near: set[str | None]) -> None:
    """``near``: columns for which a misnamed one may stand, told already."""
    names = [column.name for column in group]
    given = [name for name in names if name in sheet.names]
    if len(given) > 1:
        sheet.add(1, given[1], f"stands beside {given[0]}; give one of them")
    if group in layout.needed and not given and not near & set(names):
        wanted = ", ".join(" or ".join(column.name for column in one) for one in layout.needed)
        sheet.add(1, " or ".join(names), f"is missing; the file needs {wanted}")


def _check_timed(sheet: _Sheet, layout: Layout, there: set[str]) -> None:
    if layout.timed and SECONDS.name in there and not there & {column.name for column in DISTANCE}:
        sheet.add(1, DISTANCE[0].name, f"is missing: the distance run in {SECONDS.name}, or distance_km, distance_nm")


def _check_widths(sheet: _Sheet) -> None:
    wanted = len(sheet.names)
    for row, line in zip(sheet.rows, sheet.lines, strict=True):
        while len(row) > wanted and not row[-1]:
            row.pop()
        if len(row) != wanted:
            mend = "leave missing ones empty; decimals take a point, texts with a comma quotation marks"
            sheet.add(line, "", f"has {len(row)} cells, the header {wanted} names; {mend}")


def _values(sheet: _Sheet, place: int, column: Column) -> Values:
    cells, tell = [row[place] for row in sheet.rows], sheet.teller(column.name)
    if column.cells == "number":
        return numbers(cells, tell) * column.factor
    if column.cells == "span":
        return spans(cells, tell)
    if column.cells == "time":
        return times(cells, tell)
    if column.cells == "text":
        return tuple(map(printable, cells))
    if column.cells == "date":
        return dates(cells, tell)
    return yes_or_no(cells, tell) if column.cells == "yes" else words(cells, column.cells.split(", "), tell)


def _measured(sheet: _Sheet, layout: Layout, values: dict[str, Values], notes: tuple[str, ...]) -> Measured:
    left = _twice(sheet, layout, values)
    gone = {one.row for one in left}
    kept = [row for row, line in enumerate(sheet.lines) if line not in gone]
    columns = {name: _chosen(value, kept) for name, value in values.items()}
    time_s = columns.pop("time", None)
    return Measured(
        file=sheet.file,
        rows=len(sheet.rows),
        columns=columns,
        time_s=time_s if isinstance(time_s, np.ndarray) else None,
        line=np.array(sheet.lines, dtype=np.int64)[kept],
        left_out=left,
        notes=notes,
    )


def _chosen(value: Values, kept: Sequence[int]) -> Values:
    return value[list(kept)] if isinstance(value, np.ndarray) else tuple(value[row] for row in kept)


def _twice(sheet: _Sheet, layout: Layout, values: dict[str, Values]) -> tuple[LeftOut, ...]:
    """Rows that say nothing new: of the same time (or day) as one above, or the same in every cell."""
    if layout.repeats:
        return ()
    moment = [name for name in ("time", "date") if name in values]
    keys = [*moment, *(name for name in layout.alone_with if name in values and name not in moment)]
    told = [values[name] for name in keys] if moment else list(values.values())
    first: dict[tuple[object, ...], int] = {}
    left = []
    for row, line in enumerate(sheet.lines):
        key = tuple(repr(column[row]) for column in told)
        other = first.setdefault(key, row)
        if other != row:
            left.append(LeftOut(line, _why(sheet, moment, other, row)))
    return tuple(left)


def _why(sheet: _Sheet, moment: Sequence[str], other: int, row: int) -> str:
    line = sheet.lines[other]
    if sheet.rows[other] == sheet.rows[row]:
        return f"duplicate row, the same as {line}"
    return f"duplicate {moment[0]}, as in row {line}" if moment else f"duplicate row, the same as {line}"
