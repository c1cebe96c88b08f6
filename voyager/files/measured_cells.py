"""Cells of a measurement file: texts of one column to numbers, instants, dates, yes or no."""

import re
from collections.abc import Callable, Sequence
from datetime import UTC, date, datetime
from typing import Any

import numpy as np
from numpy.typing import NDArray

from voyager.files.printable import nearest, shown

Floats = NDArray[np.float64]
Tell = Callable[[int, str], None]
"""Takes the number of a row and the sentence on its cell."""

LARGEST = 1e12
FIRST_YEAR, LAST_YEAR = 1900, 2200
YES = {"true": 1.0, "1": 1.0, "yes": 1.0, "y": 1.0, "false": 0.0, "0": 0.0, "no": 0.0, "n": 0.0}
SPAN = re.compile(r"(?:(\d+):)?(\d+):(\d\d(?:\.\d*)?)")
WRITTEN = re.compile(r"(\d{1,2})\.(\d{1,2})\.(\d{4})(?:[ T,]+(\d{1,2}:\d\d(?::\d\d)?))?")
CLOCK = re.compile(r"\d{1,2}:\d\d(:\d\d)?")
EXAMPLE = '"2027-03-01T14:00+01:00", or "2027-03-01T14:00" in UTC'


def numbers(cells: Sequence[str], tell: Tell) -> Floats:
    """Numbers (n,), nan where a cell is empty."""
    try:
        values = np.array(cells, dtype=np.float64)
        if (np.abs(values) <= LARGEST).all():
            return values
    except ValueError:
        pass
    return np.array([_number(cell, row, tell) for row, cell in enumerate(cells)])


def _number(cell: str, row: int, tell: Tell) -> float:
    if not cell:
        return np.nan
    try:
        value = float(cell)
    except ValueError:
        tell(row, f"must be a number, is {shown(cell)}{_comma(cell)}")
        return np.nan
    if np.isfinite(value):
        if abs(value) <= LARGEST:
            return value
        tell(row, f"is far too large a number, {shown(cell)}")
    else:
        tell(row, f"must be an ordinary number, is {shown(cell)}; leave the cell empty where nothing was measured")
    return np.nan


def _comma(cell: str) -> str:
    point = cell.replace(",", ".")
    try:
        float(point)
    except ValueError:
        return ""
    return f"; decimals take a point, so {point} may be meant"


def alike(text: str) -> str:
    """A sentence on a cell without what stands in the cell: the same for faults that one change mends."""
    return re.sub(r'"[^"]*"|\d[\d.,:T-]*', "", text)


def spans(cells: Sequence[str], tell: Tell) -> Floats:
    """Seconds (n,) of cells such as 763, 12:43 (minutes and seconds) or 1:12:43; nan where a cell is empty."""
    return numbers([_seconds_text(cell) for cell in cells], tell)


def _seconds_text(cell: str) -> str:
    found = SPAN.fullmatch(cell)
    if not found:
        return cell
    hours, minutes, seconds = found.groups(default="0")
    return str(3600 * int(hours) + 60 * int(minutes) + float(seconds))


def yes_or_no(cells: Sequence[str], tell: Tell) -> Floats:
    """1 for yes, 0 for no (n,), nan where a cell is empty."""
    values = np.full(len(cells), np.nan)
    for row, cell in enumerate(cells):
        value = YES.get(cell.casefold())
        if value is not None:
            values[row] = value
        elif cell:
            tell(row, f"must be yes or no (true, false, 1 and 0 do as well), is {shown(cell)}")
    return values


def words(cells: Sequence[str], allowed: Sequence[str], tell: Tell) -> tuple[str, ...]:
    """The cells as the allowed words, n of them."""
    known = set(allowed)
    found = tuple(cell.casefold() for cell in cells)
    for row, cell in enumerate(found):
        if cell not in known:
            close = nearest(cell, allowed)
            meant = f'; did you mean "{close}"?' if close else ""
            tell(row, f"must be {' or '.join(allowed)}, is {shown(cells[row])}{meant}")
    return found


def dates(cells: Sequence[str], tell: Tell) -> tuple[str, ...]:
    """Civil dates as ``2026-11-28``, n of them."""
    for row, cell in enumerate(cells):
        try:
            good = len(cell) == 10 and FIRST_YEAR <= date.fromisoformat(cell).year <= LAST_YEAR
        except ValueError:
            good = False
        if not good:
            tell(row, f'must be a date such as "2027-03-01", is {shown(cell)}{_meant(cell, False)}')
    return tuple(cells)


def _meant(cell: str, timed: bool) -> str:
    """What a date with points, the day first, was probably meant to be, with its time where one belongs to it."""
    found = WRITTEN.fullmatch(cell)
    if not found or timed != bool(found[4]):
        return ""
    try:
        day = date(int(found[3]), int(found[2]), int(found[1])).isoformat()
    except ValueError:
        return ""
    hour, _, rest = (found[4] or "").partition(":")
    return f"; {day}T{hour:0>2}:{rest} may be meant" if timed else f"; {day} may be meant"


def times(cells: Sequence[str], tell: Tell) -> Floats:
    """Seconds since 1970 in UTC (n,); none may go back, and all have an offset or none has."""
    instants = [_instant(cell, row, tell) for row, cell in enumerate(cells)]
    zoned = [None if one is None else one.tzinfo is not None for one in instants]
    if True in zoned and False in zoned:
        first = next(one for one in zoned if one is not None)
        row = zoned.index(not first)
        what = f"has {'no' if first else 'an'} offset, unlike those above"
        tell(row, f"{what}; give every time one, or none where all are UTC")
    seconds = np.array([np.nan if one is None else _seconds(one) for one in instants])
    if True not in zoned or False not in zoned:
        _tell_order(cells, seconds, tell)
    return seconds


def zoned(cells: Sequence[str]) -> bool:
    """Whether the times, which were read without a fault, have an offset."""
    return any(datetime.fromisoformat(cell).tzinfo is not None for cell in cells[:1])


def _tell_order(cells: Sequence[str], seconds: Floats, tell: Tell) -> None:
    known = np.flatnonzero(np.isfinite(seconds))
    back = np.flatnonzero(np.diff(seconds[known]) < 0)
    if back.size:
        row = int(known[back[0] + 1])
        mend = "put the rows in order of time, with an offset where clocks were set back"
        tell(row, f"{cells[row]} is before the row above ({cells[int(known[back[0]])]}); {mend}")


def _seconds(instant: datetime) -> float:
    return (instant if instant.tzinfo else instant.replace(tzinfo=UTC)).timestamp()


def _instant(cell: str, row: int, tell: Tell) -> Any:
    try:
        instant = datetime.fromisoformat(cell)
    except ValueError:
        instant = None
    if instant is None or len(cell) <= 10 or not FIRST_YEAR <= instant.year <= LAST_YEAR:
        what = "is empty" if not cell else f"is {shown(cell)}"
        lacks = "has no date, " if CLOCK.fullmatch(cell) else ""
        tell(row, f"{lacks}{what}; write it such as {EXAMPLE}{_meant(cell, True)}")
        return None
    return instant
