"""The P10-P90 band of a figure over the days, P50 in it, as rows of cells. No Textual here."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from voyager.report.words import short_date
from voyager.tui.runs import Line, Run

Row = Mapping[str, Any]
LOWER = " ▁▂▃▄▅▆▇█"
AXIS = 5
WIDEST = 6
LEGEND = (Run("▒", "band"), Run(" P10–P90  ", "muted"), Run("━", "mid"), Run(" P50  ", "muted"),
          Run("╌", "low"), Run(" floor", "muted"))  # fmt: skip


@dataclass(frozen=True)
class Scale:
    """What is drawn: ``key`` with ``{}`` for the percentile, its value at the top, words at top, middle and bottom."""

    key: str
    top: float
    ticks: tuple[str, str, str]


def charge_scale(capacity_kwh: float) -> Scale:
    """Charge next morning in percent."""
    return Scale("charge_end_p{}_kwh", capacity_kwh, ("100%", " 50%", "  0%"))


def draw(
    days: Sequence[Row], scale: Scale, floors: Mapping[int, float], width: int, rows: int, mono: bool
) -> list[Line]:
    """``rows`` lines from the top to nought, and one of dates below; a day takes the same columns everywhere.

    Without colours (``mono``) a cell belongs to the band whole or not at all.
    """
    columns = _columns(days, floors, scale, width - AXIS, rows * 8)
    ticks = dict(zip((0, rows // 2, rows - 1), scale.ticks, strict=True))
    axis = [Run(f"{ticks.get(row, ''):>4}┤", "muted") for row in range(rows)]
    lines = [[axis[row], *_row(columns, 8 * (rows - 1 - row), mono)] for row in range(rows)]
    return [*lines, _dates(days, width - AXIS)]


Column = tuple[int, int, int, int | None]


def _columns(
    days: Sequence[Row], floors: Mapping[int, float], scale: Scale, width: int, eighths: int
) -> list[Column]:
    """Low, high, middle and floor in eighths of a cell, one a column."""
    found: list[Column] = []
    for at in _spread(len(days), width):
        day = days[at]
        low, mid, high = (_eighth(day[scale.key.format(p)], scale.top, eighths) for p in (10, 50, 90))
        floor = floors.get(day["day"])
        found.append((low, max(high, low + 1), mid, None if floor is None else _eighth(floor, scale.top, eighths)))
    return found


def _spread(days: int, width: int) -> list[int]:
    """Which day stands in each column."""
    if days > width:
        return [column * days // width for column in range(width)]
    each = min(WIDEST, width // days)
    return [day for day in range(days) for _ in range(each)]


def _eighth(value: float, top: float, eighths: int) -> int:
    return max(0, min(eighths - 1, round(value / top * eighths))) if top > 0 else 0


def _row(columns: Sequence[Column], bottom: int, mono: bool) -> Line:
    line: Line = []
    for column in columns:
        text, part = _cell(column, bottom)
        if mono and part.startswith("band"):
            text = "▒"
        if line and line[-1].part == part:
            line[-1] = Run(line[-1].text + text, part)
        else:
            line.append(Run(text, part))
    return line


def _cell(column: Column, bottom: int) -> tuple[str, str]:
    """What stands in the cell that covers the eighths ``bottom`` to ``bottom + 8``."""
    low, high, mid, floor = column
    if bottom <= mid < bottom + 8:
        return "━", "mid"
    if high <= bottom or low >= bottom + 8:
        return ("╌", "low") if floor is not None and bottom <= floor < bottom + 8 else (" ", "plain")
    if high < bottom + 8:
        return LOWER[high - max(bottom, low) if low > bottom else high - bottom], "bandedge"
    return _foot(low - bottom)


def _foot(eighths: int) -> tuple[str, str]:
    """The lowest cell of the band: whole, its upper half, or none (no sign fills the upper eighths)."""
    return ("▒", "band") if eighths < 3 else ("▀", "bandedge") if eighths < 7 else (" ", "plain")


def _dates(days: Sequence[Row], width: int) -> Line:
    """The dates that fit, the first one always."""
    spread, line = _spread(len(days), width), " " * AXIS
    for column, at in enumerate(spread):
        text = " ".join(short_date(days[at]["date"]).split()[1:])
        first = column == 0 or spread[column - 1] != at
        if first and AXIS + column >= len(line) + (1 if column else 0) and column + len(text) <= width:
            line = line.ljust(AXIS + column) + text
    return [Run(line, "muted")]
