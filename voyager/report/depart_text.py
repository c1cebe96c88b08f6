"""Departures compared: a table, arrival against departure as a chart, and when it is too late to leave."""

from collections.abc import Mapping, Sequence
from datetime import date, timedelta
from math import ceil
from typing import TYPE_CHECKING, Any

from voyager.report.charts import Scale, Span, chart, dates_below, scale
from voyager.report.odds import title
from voyager.report.tables import plain_table
from voyager.report.text import WIDTH, entry, heading, rendered
from voyager.report.words import MISSING, between, counted, figure, long_date, percent, short_date

if TYPE_CHECKING:
    from rich.console import RenderableType
    from rich.table import Table

Result = Mapping[str, Any]
DATES, IN_TIME, OTHERS = ("Departs", "Half by", "9 in 10 by"), ("In time", "95 %"), ("Stops", "Warm", "Reserve")
NOTE = "Half by, 9 in 10 by: arrival in half and in nine in ten of the skies."
IN_TIME_NOTE = " In time: the chance, and its 95 % interval."
OTHERS_NOTE = (
    " Stops: mean stays with a plug. Warm: share of the hours asked. Reserve: chance of falling below it. "
    "Every departure meets the same skies. Illustrative, not for navigation."
)
CHART_ROWS, CHART_COLUMNS = 16, 70


def depart_text(result: Result, width: int = WIDTH, *, styled: bool = False) -> str:
    """The comparison for a terminal of ``width`` columns; it reads the same without styles."""
    departures = result["departures"]
    skies = f" {title(result)}." if result.get("members") else ""
    parts: list[RenderableType] = [*_plain(entry("", _opening(departures) + skies, width))]
    parts += [heading("Departures"), _table(result), *_plain(entry("", _note(result), width))]
    parts += _chart(result, width)
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


def _note(result: Result) -> str:
    return NOTE + (IN_TIME_NOTE if result["by"] else "") + OTHERS_NOTE


def _table(result: Result) -> "Table":
    table = plain_table()
    table.padding = (0, 1, 0, 0)
    for name in (*DATES, *(IN_TIME if result["by"] else ()), *OTHERS):
        table.add_column(name, justify="left" if name in DATES else "right", no_wrap=True)
    for one in result["departures"]:
        table.add_row(*_cells(one, bool(result["by"])))
    return table


def _cells(one: Result, asked: bool) -> tuple[str, ...]:
    dates = [short_date(day) if day else MISSING for day in (one["departs"], one["arrival_p50"], one["arrival_p90"])]
    stops = figure(round(one["shore_stops_mean"], 2))
    others = (stops, percent(one["warm_share"]), percent(one["below_reserve"]))
    return (*dates, *(_in_time(one["in_time"]) if asked else ()), *others)


def _in_time(told: Result | None) -> tuple[str, str]:
    return (percent(told["chance"]), between(told["low"], told["high"])) if told else (MISSING, "")


def _legend(upright: Scale) -> str:
    rows = "" if upright.step == 1 else f"; rows of {upright.step:g} days from their date"
    return f"(o half, x nine in ten, * both{', - asked for' if upright.rules else ''}{rows})"


def _chart(result: Result, width: int) -> "list[RenderableType]":
    """Dates of arrival up, departures along; empty where no departure arrives."""
    departures = result["departures"]
    spans = [_span(one) for one in departures]
    days = [day for span in spans if span for day, _ in span.marks]
    if not days:
        return []
    upright = _upright(min(days), max(days), result["by"])
    each = max(min(CHART_COLUMNS // len(spans), 7), 1)
    foot = dates_below((one["departs"] for one in departures), each)
    lines = chart([_both(span, upright) for span in spans], upright, lambda day: short_date(_iso(day)), foot, each)
    title = entry("", f"Arrival against departure {_legend(upright)}", width)
    return [heading(title), *_plain(*lines)]


def _upright(first: float, last: float, by: str | None) -> Scale:
    """Rows of whole days; where the date asked for is among them its row ends with it: what is late stands above."""
    step = scale(0, last - first, CHART_ROWS - 1).step
    asked = float(date.fromisoformat(by).toordinal()) if by else first - 1
    within = first <= asked <= last
    bottom = asked + 1 - ceil((asked + 1 - first) / step) * step if within else first
    return Scale(bottom, step, int((last - bottom) // step) + 1, {asked: "-"} if within else {})


def _span(one: Result) -> Span | None:
    glyphs = (("arrival_p50", "o"), ("arrival_p90", "x"))
    marks = tuple((float(date.fromisoformat(one[key]).toordinal()), glyph) for key, glyph in glyphs if one[key])
    return Span(marks) if marks else None


def _both(span: Span | None, upright: Scale) -> Span | None:
    """One mark where both fall into one row, which could show but one of them."""
    if span is None or len({upright.row(day) for day, _ in span.marks}) == len(span.marks):
        return span
    return Span(((span.marks[0][0], "*"),))


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
