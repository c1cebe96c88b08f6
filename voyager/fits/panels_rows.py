"""The rows of a log of panel energy as spans of time, and what can't be one."""

from collections.abc import Sequence
from dataclasses import dataclass, fields, replace
from datetime import UTC, date, datetime, time, timedelta
from difflib import get_close_matches
from typing import Any
from zoneinfo import ZoneInfo

import numpy as np
from numpy.typing import NDArray

from voyager.boat.arrays import PanelArray
from voyager.errors import InputError
from voyager.fits.measured import Measured
from voyager.fits.result import Floats, LeftOut
from voyager.sky.sun import DAY_S, SOLAR_DAY_S_PER_DEG

Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]

UNEVEN = 1.5
"""A step longer than this many usual ones is a gap: the row before it stands for a usual step."""


@dataclass(frozen=True)
class Spans:
    """Rows (n,): Unix times [s] of start and end, energy, irradiation on the horizontal (nan where not measured), how
    the boat lay, air (nan: the climate's), line of the file, local solar day since 1970, whether it is a whole day."""

    start_s: Floats
    end_s: Floats
    energy_kwh: Floats
    ghi_kwh_m2: Floats
    heading_deg: Floats
    moored: Bools
    air_c: Floats
    line: Ints
    day: Ints
    whole_day: Bools

    def __len__(self) -> int:
        return len(self.line)

    def take(self, chosen: NDArray[Any]) -> "Spans":
        """The chosen rows."""
        return replace(self, **{f.name: getattr(self, f.name)[chosen] for f in fields(self)})

    @property
    def hours(self) -> Floats:
        """Length of each row [h]."""
        return np.asarray((self.end_s - self.start_s) / 3600)


@dataclass(frozen=True)
class Group:
    """Rows that stand for the same arrays together."""

    arrays: tuple[PanelArray, ...]
    spans: Spans


def groups_of(
    measured: Measured,
    arrays: Sequence[PanelArray],
    lon: float,
    *,
    array: str | None,
    heading_deg: float | None,
    moored: bool,
    time_zone: str | None,
    stamp: str,
) -> tuple[tuple[Group, ...], tuple[LeftOut, ...]]:
    """The rows by the arrays that they stand for, and the rows left out; InputError for what can't be right."""
    if not arrays:
        raise InputError("the boat has no array: write its panels as [[array]] into the boat file first")
    names = _names(measured, arrays, array)
    keep, left_out = _kept(measured)
    found = []
    for name in dict.fromkeys(names[i] for i in np.flatnonzero(keep)):
        rows = keep & np.array([n == name for n in names], dtype=bool)
        chosen = tuple(a for a in arrays if not name or a.name == name)
        start, end, day, whole = _times(measured, rows, lon, time_zone, stamp)
        at = np.flatnonzero(rows)
        heading = measured.numbers("heading_deg")[at]
        heading = heading if heading_deg is None else np.where(np.isnan(heading), heading_deg, heading)
        lay = measured.numbers("moored")[at]
        spans = Spans(
            start,
            end,
            _energy(measured, at, end - start),
            measured.numbers("ghi_kwh_m2")[at],
            heading,
            np.where(np.isnan(lay), moored, lay > 0.5),
            measured.numbers("air_c")[at],
            measured.line[at],
            day,
            whole,
        )
        _lies(spans, chosen)
        found.append(Group(chosen, spans))
    return tuple(found), left_out


def nearest(name: str, arrays: Sequence[PanelArray]) -> str:
    """One sentence on an array that the boat file does not have."""
    known = [a.name for a in arrays]
    close = get_close_matches(name.casefold(), [k.casefold() for k in known], 1, 0.5)
    meant = next((k for k in known if close and k.casefold() == close[0]), None)
    hint = f'was "{meant}" meant?' if meant else "there are " + ", ".join(f'"{k}"' for k in known)
    return f'the boat file has no array "{name}": {hint}'


def _names(measured: Measured, arrays: Sequence[PanelArray], array: str | None) -> list[str]:
    """Name of the array of each row, "" for all of them."""
    named = [text.strip() or (array or "") for text in measured.texts("array")]
    exact = {a.name.casefold(): a.name for a in arrays}
    for name, line in zip(named, measured.line, strict=True):
        if name and name.casefold() not in exact:
            raise InputError(f"line {line}: array: {nearest(name, arrays)}")
    if any(named) and not all(named):
        line = next(row for row, name in zip(measured.line, named, strict=True) if not name)
        raise InputError(f"line {line}: array: empty, while other rows name one: write the array's name into every row")
    return [exact[name.casefold()] if name else "" for name in named]


def _kept(measured: Measured) -> tuple[Bools, tuple[LeftOut, ...]]:
    """Rows with an energy, the battery not full, sun measured if others have it; and the others with why."""
    amount = _amount(measured)
    negative = measured.numbers(amount) < 0
    if np.any(negative):
        row = int(np.flatnonzero(negative)[0])
        raise InputError(
            f"line {measured.line[row]}: {amount}: {measured.numbers(amount)[row]:g} is negative: "
            "log what the panels give, not the battery's net flow"
        )
    ghi = measured.numbers("ghi_kwh_m2")
    if np.any(ghi < 0):
        raise InputError(f"line {measured.line[np.flatnonzero(ghi < 0)[0]]}: ghi_kwh_m2: sun can't be negative")
    why: list[tuple[Bools, str]] = [
        (measured.numbers("battery_full") > 0.5, "battery full: the panels were held back"),
        (np.isnan(measured.numbers(amount)), f"no {amount}"),
    ]
    if np.any(np.isfinite(ghi)):
        why.append((np.isnan(ghi), "no ghi_kwh_m2, which other rows have"))
    keep, left_out = np.ones(len(measured), dtype=bool), list(measured.left_out)
    for rows, text in why:
        left_out += [LeftOut(int(line), text) for line in measured.line[rows & keep]]
        keep &= ~rows
    if not np.any(keep):
        raise InputError("no row is left to use: log days on which the battery does not fill up")
    return keep, tuple(left_out)


def _amount(measured: Measured) -> str:
    for name in ("energy_kwh", "power_w"):
        if name in measured:
            return name
    raise InputError("the log has neither energy_kwh nor power_w: log what the panels give by day or hour")


def _energy(measured: Measured, at: Ints, seconds: Floats) -> Floats:
    amount = _amount(measured)
    values = measured.numbers(amount)[at]
    return values if amount == "energy_kwh" else np.asarray(values * seconds / 3.6e6)


def _times(
    measured: Measured, rows: Bools, lon: float, time_zone: str | None, stamp: str
) -> tuple[Floats, Floats, Ints, Bools]:
    """Start and end [s], solar day, whole day or not, of the chosen rows."""
    at = np.flatnonzero(rows)
    if measured.time_s is not None:
        start, end = _steps(measured.time_s, at, measured.texts("array"), stamp)
        day = np.floor(((start + end) / 2 + SOLAR_DAY_S_PER_DEG * lon) / DAY_S).astype(np.int64)
        return start, end, day, np.zeros(len(at), dtype=bool)
    if "date" not in measured:
        raise InputError("the log has neither time nor date: write when each row was measured")
    texts = measured.texts("date")
    days = [date.fromisoformat(texts[i]) for i in at]
    _once(days, measured.line[at])
    ordinal = np.array([(d - date(1970, 1, 1)).days for d in days], dtype=np.int64)
    start = np.array([_midnight_s(d, lon, time_zone) for d in days])
    end = np.array([_midnight_s(d + timedelta(1), lon, time_zone) for d in days])
    return start, end, ordinal, np.ones(len(at), dtype=bool)


def _once(days: Sequence[date], lines: Ints) -> None:
    seen: dict[date, int] = {}
    for day, line in zip(days, lines, strict=True):
        if day in seen:
            raise InputError(
                f"line {line}: date: {day} is also in line {seen[day]} with another figure: one row a day, or give "
                "time instead of date, or name the array of each row"
            )
        seen[day] = int(line)


def _midnight_s(day: date, lon: float, time_zone: str | None) -> float:
    """Start of a civil day; of the solar day at the place where no zone is given."""
    if time_zone is None:
        return datetime.combine(day, time(), UTC).timestamp() - SOLAR_DAY_S_PER_DEG * lon
    return datetime.combine(day, time(), ZoneInfo(time_zone)).timestamp()


def _steps(time_s: Floats, at: Ints, arrays: Sequence[str], stamp: str) -> tuple[Floats, Floats]:
    """Start and end of the rows ``at``: to the next row of the same array, or a usual step where a gap follows.

    Rows that are left out still end the one before them. ``stamp``: whether times are the "start" or the "end" of rows.
    """
    if stamp not in ("start", "end"):
        raise InputError(f'times stand for the "start" or the "end" of a row, not for "{stamp}"')
    mine = np.array([arrays[i] == arrays[at[0]] for i in range(len(time_s))], dtype=bool)
    own = time_s[mine]
    gap = np.diff(own)
    if not np.any(gap > 0):
        raise InputError("one time alone tells no span: log at least a few days, by hour")
    usual = float(np.median(gap[gap > 0]))
    length = np.where((gap > 0) & (gap <= UNEVEN * usual), gap, usual)
    length = np.append(length, usual) if stamp == "start" else np.append(usual, length)
    start = own if stamp == "start" else own - length
    chosen = np.isin(np.flatnonzero(mine), at)
    return start[chosen], (start + length)[chosen]


def _lies(spans: Spans, arrays: Sequence[PanelArray]) -> None:
    """The heading must be known where an array is tilted."""
    unknown = np.isnan(spans.heading_deg)
    for array in arrays:
        moored, under_way = array.moored_tilt_deg != 0, array.tilt_deg != 0
        tilted = np.where(spans.moored, moored, under_way) & unknown
        if np.any(tilted):
            raise InputError(
                f'line {spans.line[np.flatnonzero(tilted)[0]]}: heading_deg: array "{array.name}" is tilted, so the '
                "heading must be known: note it in the log, or give --heading-deg"
            )
