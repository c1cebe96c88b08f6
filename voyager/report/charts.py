"""Bars and charts in plain ASCII, each glyph one column wide; they need no colour to be read."""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from math import ceil

from voyager.report.words import MONTHS

FULL, EMPTY, BETWEEN, RULE = "#", ".", "|", "."
STEPS = (1, 2, 3, 4, 5)


def bar(share: float, width: int = 20) -> str:
    """``share`` of ``width`` filled: full only where nothing is left, empty only where nothing is there."""
    filled = round(share * width)
    filled = max(filled, 1) if share > 0 else 0
    filled = min(filled, width - 1) if share < 1 else width
    return FULL * filled + EMPTY * (width - filled)


@dataclass(frozen=True)
class Span:
    """One column of a chart: values with the glyph that marks each, joined from the lowest to the highest."""

    marks: tuple[tuple[float, str], ...]


@dataclass(frozen=True)
class Scale:
    """Rows of ``step`` from ``bottom`` up; ``rules`` are values whose row is dotted, each with its own glyph."""

    bottom: float
    step: float
    rows: int
    rules: Mapping[float, str] = field(default_factory=dict)

    def row(self, value: float) -> int:
        """The row, from 0 at the bottom, in which a value lies; values outside lie in the outermost."""
        return min(max(int((value - self.bottom) // self.step), 0), self.rows - 1)


def scale(low: float, high: float, most: int, rules: Mapping[float, str] | None = None) -> Scale:
    """Rows of a round step, ``most`` at most, that hold ``low`` to ``high``."""
    power = 1
    while True:
        for factor in STEPS:
            step = factor * power
            bottom = low // step * step
            rows = int((high - bottom) // step) + 1
            if rows <= most:
                return Scale(bottom, step, rows, rules or {})
        power *= 10


def chart(
    spans: Sequence[Span | None], upright: Scale, label: Callable[[float], str], foot: str, each: int = 1
) -> list[str]:
    """Lines from the highest row down, each after its label, then the ``foot`` below the columns, ``each`` wide."""
    labels = [label(upright.bottom + upright.step * row) for row in range(upright.rows)]
    lead = max(map(len, labels))
    lines = []
    for row in reversed(range(upright.rows)):
        rule = next((glyph for value, glyph in upright.rules.items() if upright.row(value) == row), " ")
        cells = (_glyph(span, upright, row, rule).center(each, rule) for span in spans)
        lines.append(f"{labels[row]:>{lead}} {''.join(cells)}".rstrip())
    return [*lines, " " * (lead + 1) + foot.rstrip()]


def _glyph(span: Span | None, upright: Scale, row: int, empty: str) -> str:
    if span is None:
        return empty
    for value, glyph in span.marks:
        if upright.row(value) == row:
            return glyph
    rows = [upright.row(value) for value, _ in span.marks]
    return BETWEEN if min(rows) < row < max(rows) else empty


def dates_below(dates: Iterable[str], each: int) -> str:
    """ISO dates as ``1 Mar`` below columns ``each`` wide; where they have no room, as many as have it, evenly."""
    texts = [_day_month(iso) for iso in dates]
    every = max(ceil(7 / each), 1)
    line = ""
    for place in range(0, len(texts), every):
        line = line.ljust(place * each) + texts[place]
    return line


def _day_month(iso: str) -> str:
    day = date.fromisoformat(iso)
    return f"{day.day} {MONTHS[day.month - 1]}"
