"""Which measurement is worth making next, for a terminal: the answer, then every value with what it leaves in doubt."""

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from voyager.report.odds import title
from voyager.report.tables import plain_table
from voyager.report.text import WIDTH, entry, heading, rendered
from voyager.report.words import MISSING, figure, long_date

if TYPE_CHECKING:
    from rich.console import RenderableType
    from rich.table import Table

Result = Mapping[str, Any]
COLUMNS = (("Days", "effect_days"), ("Wider", "widens_days"), ("After", "after_widens_days"), ("Stops", "shore_stops"),
           ("kWh", "margin_kwh"), ("Warm h", "warm_hours"))  # fmt: skip
NOTE = (
    "Known ±: its standard error; u: the usual one of a value that nobody measured (common practice, no source), "
    "f: that of the boat file. What one standard error more does: Days to the mean arrival, Stops to the stays with a "
    "plug, kWh to the least morning charge above the reserve, Warm h to the hours kept warm. Wider: days that not "
    "knowing it adds to the standard deviation of the arrival; After: the same once it is tested. Every boat meets "
    "the same skies. Illustrative, not for navigation."
)
RANKED = {
    "arrival": "",
    "shore_stops": "No value moves the arrival: locks, daylight and stays set it. Ranked by stays with a plug.",
    "margin": "No value moves the arrival: locks, daylight and stays set it. Ranked by the least charge above the "
    "reserve.",
}
NOTHING = "None: no value is in doubt enough to move this voyage, or each is known as well as its test would tell."


def worth_text(result: Result, width: int = WIDTH, *, styled: bool = False) -> str:
    """The answer for a terminal of ``width`` columns; it reads the same without styles."""
    parts: list[RenderableType] = [*_plain(_opening(result), width)]
    if RANKED[result["ranked_by"]]:
        parts += _plain(RANKED[result["ranked_by"]], width)
    parts += [heading("The measurement worth making next"), *_next(result["next"], width)]
    parts += [heading("What is uncertain, the most telling first"), _table(result), *_plain("", width)]
    parts += _plain(NOTE, width)
    return rendered(parts, width, styled=styled)


def _plain(text: str, width: int, lead: str = "") -> "list[RenderableType]":
    from rich.text import Text

    return [Text(entry(lead, text, width))]


def _opening(result: Result) -> str:
    arrival = result["arrival"]
    if arrival["p50"] is None:
        return f"{title(result)}. Half of the skies or more see no arrival."
    spread = figure(arrival["sd_days"])
    return f"{title(result)}. Half arrive by {long_date(arrival['p50'])}; standard deviation {spread} days."


def _next(best: Result | None, width: int) -> "list[RenderableType]":
    if best is None:
        return _plain(NOTHING, width)
    lines = _plain(_capital(best["text"]) + ".", width)
    for lead, key in (("Test:    ", "test"), ("Command: ", "command"), ("Care:    ", "caution")):
        if best[key]:
            lines += _plain(best[key], width, lead)
    if not best["command"]:
        lines += _plain(f"write what it gives into the boat file, as {best['key']}", width, "Then:    ")
    return lines


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def _table(result: Result) -> "Table":
    from rich.text import Text

    table = plain_table()
    table.padding = (0, 1, 0, 0)
    table.add_column("Value", ratio=1)
    table.add_column("Known", no_wrap=True)
    for name, _ in COLUMNS:
        table.add_column(name, justify="right", no_wrap=True)
    for row in result["values"]:
        known = f"{figure(row['value'])} ± {figure(row['se'])} {'u' if row['se_from'] == 'usual' else 'f'}"
        figures = [MISSING if row[key] is None else figure(row[key]) for _, key in COLUMNS]
        table.add_row(Text(", ".join(filter(None, (_capital(row["name"]), row["unit"])))), known, *map(Text, figures))
    return table
