"""The log as text: one line an entry with its note below, and what an edit or an import came to."""

from collections.abc import Callable, Mapping, Sequence
from typing import TYPE_CHECKING, Any

from voyager.report.text import WIDTH, entry, heading, rendered
from voyager.report.words import MISSING, counted, number, runs, short_date

if TYPE_CHECKING:
    from rich.console import RenderableType

Row = Mapping[str, Any]
GAP = "  "
WIDE = 104
NARROWEST_PLACE, WIDEST_PLACE = 8, 28
HINT = "No entries yet. Note a reading like this, or bring a file with --import FILE:"
EXAMPLE = 'voyager log VOYAGE --add "14:00 km 20 61% sun 3.2 in 17 out 4: note"'
"""On a line of its own, to be copied."""
NOTE = "Charge in kWh; energies in kWh since the entry before that has the same; air in °C."
Column = tuple[str, Callable[[Row], str], bool]


def _value(key: str, decimals: int = 1) -> Callable[[Row], str]:
    return lambda row: "" if row[key] is None else number(row[key], decimals)


COLUMNS: tuple[Column, ...] = (
    ("No", lambda row: str(row["ident"]), False),
    ("Time", lambda row: when(row), False),
    ("Place", lambda row: place(row), False),
    ("km", _value("km"), False),
    ("%", _value("charge_percent", 0), False),
    ("Charge", _value("charge_kwh"), False),
    ("Sun", _value("solar_kwh"), False),
    ("Plug", _value("shore_kwh"), False),
    ("Motor", _value("propulsion_kwh"), True),
    ("Heat", _value("heating_kwh"), True),
    ("Hotel", _value("hotel_kwh"), True),
    ("In", _value("inside_c"), False),
    ("Out", _value("outside_c"), False),
)
LEFT = ("Time", "Place")
MORE = {"Motor": "motor", "Heat": "heat", "Hotel": "hotel"}


def when(row: Row) -> str:
    """``Tue  2 Mar 14:00`` by the voyage's clock, with the year or UTC where that alone is known."""
    text = row["time_local"] or row["time_utc"]
    return f"{short_date(text[:10])} {text[11:16]}" + ("" if row["time_local"] else " UTC")


def place(row: Row) -> str:
    """The place, else the position."""
    if row["place"]:
        return str(row["place"])
    return "" if row["lat"] is None or row["km"] is not None else f"{row['lat']:.3f}, {row['lon']:.3f}"


def log_text(result: Row, shown: int, width: int = WIDTH, *, styled: bool = False) -> str:
    """The last ``shown`` entries, and planned against actual where it is in the result."""
    entries: Sequence[Row] = result["entries"]
    if not entries:
        return "\n".join([entry("", HINT, width), "", entry("  ", EXAMPLE, width)]) + "\n"
    last = entries[max(0, len(entries) - shown) :]
    parts: list[RenderableType] = _plain([entry("", _opening(result, len(last)), width)])
    parts += _plain(["", *table_lines(last, width), "", entry("", NOTE, width)])
    if result.get("notes"):
        parts += [heading("Planned against actual"), *_plain(entry("", text, width) for text in result["notes"])]
    text = rendered(parts, width, styled=styled)
    if result.get("actual"):
        from voyager.report.actual_text import actual_text

        text += "\n" + actual_text(result["actual"], width, styled=styled)
    return text


def _opening(result: Row, shown: int) -> str:
    count = len(result["entries"])
    what = f"{result['file']}: {counted(count, 'entry', 'entries')}"
    return what if shown == count else f"{what}, the last {shown} here; --entries shows all"


def _plain(lines: "Any") -> "list[RenderableType]":
    from rich.text import Text

    return [Text(line) for line in lines]


def table_lines(entries: Sequence[Row], width: int = WIDTH) -> list[str]:
    """Headings, a rule, and each entry with what has no column, and its note, below it."""
    columns = [column for column in COLUMNS if width >= WIDE or not column[2]]
    columns = [column for column in columns if column[0] in ("No", "Time") or any(column[1](row) for row in entries)]
    cells = [[name for name, _, _ in columns], *([cell(row) for _, cell, _ in columns] for row in entries)]
    widths = _widths([name for name, _, _ in columns], cells, width)
    lines = [_line([name for name, _, _ in columns], row, widths) for row in cells]
    hidden = [column for column in COLUMNS if column not in columns]
    out = [lines[0], "─" * (sum(widths) + len(GAP) * (len(widths) - 1))]
    for row, line in zip(entries, lines[1:], strict=True):
        below = [f"{MORE[name]} {text}" for name, cell, _ in hidden if name in MORE and (text := cell(row))]
        out += [line, *_below(widths[0], [", ".join(below), row["note"]], width)]
    return out


def _below(indent: int, texts: Sequence[str], width: int) -> list[str]:
    lead = " " * (indent + len(GAP))
    return [line for text in texts if text for line in entry(lead, text, width).splitlines()]


def _widths(names: Sequence[str], cells: Sequence[Sequence[str]], width: int) -> list[int]:
    """As wide as the longest cell; the place gives way."""
    from rich.cells import cell_len

    widths = [max(map(cell_len, column)) for column in zip(*cells, strict=True)]
    if "Place" in names:
        at = names.index("Place")
        over = sum(widths) + len(GAP) * (len(widths) - 1) - width
        widths[at] = min(
            max(widths[at] - max(over, 0), NARROWEST_PLACE), max(widths[at], NARROWEST_PLACE), WIDEST_PLACE
        )
    return widths


def _line(names: Sequence[str], cells: Sequence[str], widths: Sequence[int]) -> str:
    from rich.cells import cell_len, set_cell_size

    out = []
    for name, cell, wide in zip(names, cells, widths, strict=True):
        text = cell if cell_len(cell) <= wide else set_cell_size(cell, wide - 1) + "…"
        blanks = " " * (wide - cell_len(text))
        out.append(text + blanks if name in LEFT else blanks + text)
    return GAP.join(out).rstrip()


def done_text(result: Row, width: int = WIDTH) -> str:
    """What an entry looks like that was noted, changed or removed; what an import brought."""
    lines = _imported(result, width) if result["done"] == "imported" else _edited(result, width)
    return "\n".join([*lines, *(entry("note: ", text, width) for text in result["notes"])]) + "\n"


def _edited(result: Row, width: int) -> list[str]:
    return [*table_lines([result["entry"]], width), "", f"Entry {result['entry']['ident']} {result['done']}."]


def _imported(result: Row, width: int) -> list[str]:
    rows = "point" if result["kind"] == "gpx" else "row"
    added = counted(result["added"], "entry", "entries")
    span = f", from {_moment(result['first_utc'])} to {_moment(result['last_utc'])} UTC" if result["added"] else ""
    lines = [entry("", f"{result['file']}: {added} of {counted(result['rows'], rows, rows + 's')}{span}.", width)]
    reasons: dict[str, list[int]] = {}
    for one in result["left_out"]:
        reasons.setdefault(one["why"], []).append(one["row"])
    lines += [entry(f"  {rows} ", f"{runs(numbers)}: {why}", width) for why, numbers in reasons.items()]
    return lines


def _moment(utc: str | None) -> str:
    return f"{' '.join(short_date(utc[:10]).split())} {utc[11:16]}" if utc else MISSING
