"""Departures compared: a table, arrival against departure as a chart, and when it is too late to leave."""

from collections.abc import Mapping, Sequence
from datetime import date, timedelta
from typing import TYPE_CHECKING, Any

from voyager.report.charts import Span, chart, dates_below, scale
from voyager.report.odds import title
from voyager.report.tables import plain_table
from voyager.report.text import WIDTH, entry, heading, rendered
from voyager.report.words import MISSING, between, counted, figure, long_date, percent, short_date

if TYPE_CHECKING:
    from rich.console import RenderableType
    from rich.table import Table

Result = Mapping[str, Any]
COLUMNS = ("Departs", "Half by", "9 in 10 by", "In time", "95 %", "Stops", "Warm", "Reserve")
NOTE = (
    "Half by, 9 in 10 by: arrival in half and in nine in ten of the skies. In time: the chance, and its 95 % interval. "
    "Stops: mean stays with a plug. Warm: share of the hours asked. Reserve: chance of falling below it. "
    "Every departure meets the same skies. Illustrative, not for navigation."
)
CHART_ROWS, CHART_COLUMNS = 16, 70


def depart_text(result: Result, width: int = WIDTH, *, styled: bool = False) -> str:
    """The comparison for a terminal of ``width`` columns; it reads the same without styles."""
    departures = result["departures"]
    skies = f" {title(result)}." if result.get("members") else ""
    parts: list[RenderableType] = [*_plain(entry("", _opening(departures) + skies, width))]
    parts += [heading("Departures"), _table(departures), *_plain(entry("", NOTE, width))]
    lines = _chart(result)
    if lines:
        parts += [heading(f"Arrival against departure (o half, x nine in ten{_by_glyph(result)})"), *_plain(*lines)]
    parts += [heading("When is it too late to leave?"), *_plain(entry("", too_late(result), width))]
    return rendered(parts, width, styled=styled)


def _plain(*lines: str) -> "list[RenderableType]":
    from rich.text import Text

    return [Text(line) for line in lines]


def _opening(departures: Sequence[Result]) -> str:
    days = [date.fromisoformat(one["departs"]) for one in departures]
    if len(days) < 2:
        return f"{counted(len(days), 'departure', 'departures')} compared."
    every = (days[1] - days[0]).days
    step = "every day" if every == 1 else f"every {counted(every, 'day', 'days')}"
    span = f"from {long_date(departures[0]['departs'])} to {long_date(departures[-1]['departs'])}"
    return f"{len(days)} departures compared, {span}, {step}."


def _table(departures: Sequence[Result]) -> "Table":
    table = plain_table()
    table.padding = (0, 1, 0, 0)
    for name in COLUMNS:
        table.add_column(name, justify="left" if name in COLUMNS[:3] else "right", no_wrap=True)
    for one in departures:
        table.add_row(*_cells(one))
    return table


def _cells(one: Result) -> tuple[str, ...]:
    dates = [short_date(day) if day else MISSING for day in (one["departs"], one["arrival_p50"], one["arrival_p90"])]
    in_time = one["in_time"]
    chance = (percent(in_time["chance"]), between(in_time["low"], in_time["high"])) if in_time else (MISSING, "")
    return (*dates, *chance, figure(one["shore_stops_mean"]), percent(one["warm_share"]), percent(one["below_reserve"]))


def _by_glyph(result: Result) -> str:
    return ", - asked for" if result["by"] else ""


def _chart(result: Result) -> list[str]:
    """Dates of arrival up, departures along; empty where no departure arrives."""
    departures = result["departures"]
    spans = [_span(one) for one in departures]
    days = [day for span in spans if span for day, _ in span.marks]
    if not days:
        return []
    by = float(date.fromisoformat(result["by"]).toordinal()) if result["by"] else None
    rules = {by: "-"} if by is not None and min(days) <= by <= max(days) else {}
    each = max(min(CHART_COLUMNS // len(spans), 7), 1)
    upright = scale(0, max(days) - min(days), CHART_ROWS, {value - min(days): glyph for value, glyph in rules.items()})
    shifted = [span and Span(tuple((day - min(days), glyph) for day, glyph in span.marks)) for span in spans]
    foot = dates_below((one["departs"] for one in departures), each)
    return chart(shifted, upright, lambda day: short_date(_iso(day + min(days))), foot, each)


def _span(one: Result) -> Span | None:
    glyphs = (("arrival_p50", "o"), ("arrival_p90", "x"))
    marks = tuple((float(date.fromisoformat(one[key]).toordinal()), glyph) for key, glyph in glyphs if one[key])
    return Span(marks) if marks else None


def _iso(ordinal: float) -> str:
    return (date.min + timedelta(int(ordinal) - 1)).isoformat()


def too_late(result: Result) -> str:
    """The sentence that answers it."""
    by, sure, latest = result["by"], percent(result["sure"]), result["latest"]
    if not by:
        return "No date of arrival is asked for: give one with --by, and this answers by when to leave."
    aim = f"in time for {long_date(by)} with a chance of at least {sure}"
    dates = [one["departs"] for one in result["departures"]]
    if latest is None:
        return f"None of these departures is {aim}: leave earlier, arrive later, or take more shore power."
    later = [day for day in dates if day > latest]
    if not later:
        return f"Not yet on the last of these dates: {long_date(latest)} is still {aim}."
    return f"{long_date(latest)} is the last of these departures {aim}; {long_date(later[0])} is too late."
