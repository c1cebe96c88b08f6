"""Charge planned and logged over the days, and the split of each day's difference below it. No Textual here.

A day takes the same columns in both; where not all of them have room those about the one pointed at are drawn.
"""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from itertools import groupby
from typing import Any

from voyager.report.words import MONTHS
from voyager.tui import words
from voyager.tui.runs import Line, Run, length

Row = Mapping[str, Any]
AXIS = 6
LEAST, MOST = 3, 16
PARTS = {"sky": "S", "hull": "H", "cabin": "C", "hotel": "O", "habit": "B"}
MARK, UNTOLD, POINTER = "◆", "?", "▴"
BRAILLE = 0x2800
DOTS = ((0x01, 0x08), (0x02, 0x10), (0x04, 0x20), (0x40, 0x80))
STEPS = (0.05, 0.1, 0.15, 0.2, 0.25, 0.3, 0.4, 0.5)
SUMS_FROM = 5


@dataclass(frozen=True)
class Span:
    """The days drawn: ``first`` of all, ``each`` columns wide; ``at`` is the one pointed at, counted from all."""

    days: Sequence[Row]
    first: int
    each: int
    at: int

    def does(self, column: int) -> str:
        """What a click on a day does."""
        return f"stand({self.first + column})"


def span(days: Sequence[Row], at: int, width: int) -> Span:
    """As many days as there is room for, the one pointed at among them."""
    room = max(1, width - AXIS - 1)
    each = max(LEAST, min(MOST, room // max(1, len(days))))
    count = max(1, min(len(days), room // each))
    first = max(0, min(at - count // 2, len(days) - count))
    return Span(days[first : first + count], first, each, at)


# charge


def charge(shown: Span, capacity_kwh: float, rows: int) -> list[Line]:
    """``rows`` lines from full to empty: what was planned as a line, what was logged as marks."""
    columns = len(shown.days) * shown.each + 1
    line = _Dots(columns, rows)
    marks: dict[tuple[int, int], str] = {}
    for number, day in enumerate(shown.days):
        _plan(line, day, number * shown.each, shown.each, capacity_kwh)
        for share, kwh in _readings(day):
            column = min(columns - 1, round((number + share) * shown.each))
            marks[column, _row(kwh, capacity_kwh, rows)] = MARK
    ticks = {0: "100%", rows // 2: "50%", rows - 1: "0%"} if rows > 2 else {0: "100%"}
    return [
        [Run(f"{ticks.get(row, ''):>{AXIS - 1}}┤", "muted"), *_cells(shown, line.cells[row], marks, row)]
        for row in range(rows)
    ]


class _Dots:
    """Cells of eight dots each, two wide and four high."""

    def __init__(self, columns: int, rows: int) -> None:
        self.cells = [[0] * columns for _ in range(rows)]

    def put(self, x: int, y: int) -> None:
        """One dot, from the upper left."""
        column, row = x // 2, y // 4
        if 0 <= row < len(self.cells) and 0 <= column < len(self.cells[row]):
            self.cells[row][column] |= DOTS[y % 4][x % 2]


def _plan(line: _Dots, day: Row, column: int, each: int, capacity_kwh: float) -> None:
    planned = day["planned"]
    if planned is None or capacity_kwh <= 0:
        return
    begins, ends = planned["charge_start_kwh"], planned["charge_end_kwh"]
    high = 4 * len(line.cells) - 1
    for step in range(2 * each + 1):
        kwh = begins + (ends - begins) * step / (2 * each)
        line.put(2 * column + step, round((1 - min(1.0, max(0.0, kwh / capacity_kwh))) * high))


def _readings(day: Row) -> list[tuple[float, float]]:
    """Share of the day at which its charges were read, and what they were, kWh."""
    found = []
    for edge, key in (("from_utc", "charge_start_kwh"), ("to_utc", "charge_end_kwh")):
        kwh = day["actual"][key]
        if kwh is not None and day[edge] is not None:
            since = datetime.fromisoformat(day[edge]) - datetime.fromisoformat(day["starts_utc"])
            found.append((min(1.0, max(0.0, since.total_seconds() / 3600 / day["length_h"])), kwh))
    return found


def _row(kwh: float, capacity_kwh: float, rows: int) -> int:
    share = kwh / capacity_kwh if capacity_kwh > 0 else 0.0
    return round((1 - min(1.0, max(0.0, share))) * (4 * rows - 1)) // 4


def _cells(shown: Span, dots: Sequence[int], marks: Mapping[tuple[int, int], str], row: int) -> Line:
    line: Line = []
    for column, mask in enumerate(dots):
        mark = marks.get((column, row))
        text, part = (mark, "logged") if mark else (chr(BRAILLE + mask) if mask else " ", "planned")
        does = shown.does(min(len(shown.days) - 1, column // shown.each))
        if line and line[-1].part == part and line[-1].does == does:
            line[-1] = Run(line[-1].text + text, part, does)
        else:
            line.append(Run(text, part, does))
    return line


def dates(shown: Span) -> Line:
    """The day of the month under each day, with its month where there is room; a pointer at the one pointed at."""
    line: Line = [Run(" " * AXIS, "muted")]
    for number, day in enumerate(shown.days):
        when = date.fromisoformat(day["date"])
        month = number == 0 or when.day == 1 or shown.each >= 7
        text = f"{when.day} {MONTHS[when.month - 1]}" if month and shown.each >= 7 else str(when.day)
        on = shown.first + number == shown.at
        text = f"{POINTER}{text}" if on else f" {text}"
        line.append(Run(f"{text:<{shown.each}}"[: shown.each], "chosen" if on else "muted", shown.does(number)))
    return line


# the split


def bars(shown: Span, days: Sequence[Row], rows: int) -> list[Line]:
    """``rows`` lines and the one between above and below: kWh more than planned above it, less below, by part.

    A row is the same kWh on both sides and for all ``days``, its columns are shares of it: parts fill the rows from
    the middle outwards, each from the left. A day that cannot be split has a ``?``.
    """
    step, above, below = scale(days, rows)
    stacks = [_stack(day, step, shown.each - 1) for day in shown.days]
    levels = {row: _level(shown, stacks, row, step) for row in range(-below, above + 1) if row}
    return [levels[row] if row else _zero(shown) for row in range(above, -below - 1, -1)]


def scale(days: Sequence[Row], rows: int) -> tuple[float, int, int]:
    """kWh a row, rows above and below: the finest round step with which the largest sums have room."""
    up, down = (max((_sum(day, sign) for day in days), default=0.0) for sign in (1, -1))
    size = 1.0
    while True:
        for step in (one * size for one in STEPS):
            above, below = (max(1, math.ceil(most / step - 1e-9)) for most in (up, down))
            if above + below <= rows:
                spare = rows - above - below
                return (step, above + spare, below) if up >= down else (step, above, below + spare)
        size *= 10


def _sum(day: Row, sign: int) -> float:
    return sum(max(0.0, sign * (day[f"{name}_kwh"] or 0.0)) for name in PARTS)


def _stack(day: Row, step: float, wide: int) -> dict[int, str]:
    """The parts in cells of ``step / wide`` kWh, counted outwards: 1, 2, … above, -1, -2, … below."""
    found: dict[int, str] = {}
    for sign in (1, -1):
        gone = 0.0
        for name in PARTS:
            value = max(0.0, sign * (day[f"{name}_kwh"] or 0.0))
            first, last = (round(at / step * wide) for at in (gone, gone + value))
            found.update({sign * (cell + 1): name for cell in range(first, last)})
            gone += value
    return found


def _level(shown: Span, stacks: Sequence[Mapping[int, str]], row: int, step: float) -> Line:
    text = signed(row * step, 2 if step < 0.1 else 1)
    line: Line = [Run(f"{text:>{AXIS - 1}}┤", "muted")]
    wide, sign = shown.each - 1, 1 if row > 0 else -1
    for number, stack in enumerate(stacks):
        first = (abs(row) - 1) * wide + 1
        names = [stack.get(sign * cell, "") for cell in range(first, first + wide)]
        does = shown.does(number)
        for name, group in groupby(names):
            many = len(list(group))
            line.append(Run(PARTS[name] * many if name else " " * many, name or "plain", does))
        line.append(Run(" ", "plain", does))
    return line


def _zero(shown: Span) -> Line:
    line: Line = [Run(f"{'kWh 0':>{AXIS - 1}}┼", "muted")]
    for number, day in enumerate(shown.days):
        sign = "─" if day["difference_kwh"] is not None else UNTOLD
        line.append(Run(f"{sign * (shown.each - 1)}─", "muted", shown.does(number)))
    return line


def sums(shown: Span) -> list[Line]:
    """Each day's difference, where there is room for it."""
    if shown.each < SUMS_FROM:
        return []
    texts = [f"{signed(day['difference_kwh'], 1):<{shown.each}}" for day in shown.days]
    figures = [Run(text, "bold", shown.does(at)) for at, text in enumerate(texts)]
    return [[Run(f"{'sum':>{AXIS - 1}} ", "muted"), *figures]]


def signed(value: float | None, decimals: int = 2) -> str:
    """``+0.40``, ``−0.40``, ``0.00``; a dash where there is none."""
    if value is None:
        return words.NONE
    text = f"{abs(value):.{decimals}f}"
    return text if not float(text) else f"{'+' if value > 0 else '−'}{text}"


def legend(width: int) -> list[Line]:
    """What letters, line and marks mean, in as many lines as it takes."""
    items = [[Run(letter * 2, name), Run(f" {name}")] for name, letter in PARTS.items()]
    items += [[Run("⠒⠒", "planned"), Run(" planned")], [Run(MARK, "logged"), Run(" logged")]]
    lines: list[Line] = [[]]
    for item in items:
        gap = [Run("  ")] if lines[-1] else []
        if length([*lines[-1], *gap, *item]) > width:
            lines.append([])
            gap = []
        lines[-1] += [*gap, *item]
    return lines
