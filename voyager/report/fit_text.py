"""A fit as text: what was found and how surely, what follows, a plot, what was left out, what to heed."""

from collections.abc import Iterable, Mapping
from typing import TYPE_CHECKING, Any

from voyager.report.fit_words import figures, left_out, unit
from voyager.report.plot_text import plot_lines
from voyager.report.tables import WIDE, plain_table
from voyager.report.text import WIDTH, entry, heading, rendered
from voyager.report.words import counted

if TYPE_CHECKING:
    from rich.console import RenderableType
    from rich.table import Table

Result = Mapping[str, Any]
PLOT_HEIGHT = 20
NAMES = {
    "heat": "Heater test",
    "trial": "Speed trial",
    "panels": "Panel log",
    "model": "Model test",
    "roll": "Roll test",
}
ERRORS = (
    "±: standard error. 95 %: the interval that holds the true value in 95 of 100 such tests, if the model is right."
)


def fit_text(result: Result, width: int = WIDTH, styled: bool = False, ascii: bool = False) -> str:
    """Everything of a ``fit`` object at a width of columns; ``ascii``: the plot in ASCII signs alone."""
    parts: list[RenderableType] = [*_plain(_opening(result, width)), heading("Found")]
    parts += [_parameters(result, width), *_plain([entry("", ERRORS, width)])]
    if result["derived"]:
        parts += [heading("What follows"), _derived(result["derived"])]
    title, *plot = plot_lines(result["plot"], width, PLOT_HEIGHT, ascii)
    parts += [heading(title), *_plain(plot)]
    lists = (("Left out", left_out(result["left_out"])), ("Notes", result["notes"]), ("Heed", result["caution_texts"]))
    for name, lines in lists:
        if lines:
            parts += [heading(name), *_plain(entry("  - ", str(line), width) for line in lines)]
    return rendered(parts, width, styled=styled)


def _opening(result: Result, width: int) -> list[str]:
    rms, of = figures(result["residual"]["rms"])[0], unit(result["residual"]["unit"])
    told = [
        f"{NAMES.get(result['kind'], result['kind'])}, {result['file']}",
        f"{result['used']} of {counted(result['rows'], 'row', 'rows')} used",
        f"Model: {result['model']}; what it leaves unexplained: {rms} {of}".rstrip() + " (root mean square)",
    ]
    return [entry("", line, width) for line in told]


def _parameters(result: Result, width: int) -> "Table":
    table = plain_table()
    table.padding = (0, 1, 0, 0)
    wide = width >= WIDE
    for name in ("", "Value", "±", "95 %", "Unit", *(["Boat file"] if wide else [])):
        table.add_column(
            name, justify="right" if name in ("Value", "±") else "left", no_wrap=name in ("Value", "±", "95 %")
        )
    for one in result["parameters"]:
        value, error, low, high = figures(one["value"], one["se"], one["low"], one["high"], error=one["se"])
        table.add_row(
            one["name"], value, error, f"{low} to {high}", unit(one["unit"]), *([one["key"] or ""] if wide else [])
        )
    return table


def _derived(rows: Iterable[Result]) -> "Table":
    table = plain_table()
    table.padding, table.show_header = (0, 1, 0, 0), False
    for justify in ("left", "right", "left", "left"):
        table.add_column("", justify=justify, no_wrap=justify == "right")
    for one in rows:
        value, error = figures(one["value"], one["se"], error=one["se"])
        table.add_row(one["name"], value, "" if one["se"] is None else f"± {error}", unit(one["unit"]))
    return table


def _plain(lines: Iterable[str]) -> "list[RenderableType]":
    from rich.text import Text

    return [Text(line) for line in lines]


def difference_text(lines: Iterable[str], styled: bool = False, width: int = WIDTH) -> str:
    """A unified difference, the lines that go and come also told by colour where there is any."""
    from rich.text import Text

    styles = {"-": "red", "+": "green", "@": "cyan"}
    return rendered([Text(line, style=styles.get(line[:1], "")) for line in lines], max(width, 400), styled=styled)
