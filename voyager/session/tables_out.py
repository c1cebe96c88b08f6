"""Tables for other programs: as text to paste, and as a CSV file."""

import csv
import io
import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any, Final

Cell = Any
UNITS: Final = {
    "kwh": "kWh", "km": "km", "kmh": "km/h", "w": "W", "h": "h", "c": "°C", "kw": "kW", "deg": "°", "m": "m",
    "nm": "NM", "kn": "kn", "percent": "%", "utc": "UTC", "min": "min",
}  # fmt: skip
DIGITS: Final = 9
SPACES = re.compile(r"[\t\r\n]+")


@dataclass(frozen=True)
class Table:
    """``name``: what it is of, one word; ``headings`` with their units; rows of as many plain values each."""

    name: str
    headings: tuple[str, ...]
    rows: tuple[tuple[Cell, ...], ...]


def heading(key: str) -> str:
    """A key as a heading with its unit: ``charge_low_kwh`` gives ``charge low [kWh]``."""
    name, _, unit = key.rpartition("_")
    if name.endswith("_per"):
        return f"{name.removesuffix('_per').replace('_', ' ')} [a {UNITS.get(unit, unit)}]"
    if "hours" in key.split("_"):
        return f"{key.replace('_', ' ')} [h]"
    return f"{name.replace('_', ' ')} [{UNITS[unit]}]" if name and unit in UNITS else key.replace("_", " ")


def cell(value: Cell) -> str:
    """A value in full: figures to nine digits, nothing for none, lists by ``; ``."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float):
        short = float(f"{value:.{DIGITS}g}")
        return str(int(short)) if short.is_integer() and abs(short) < 1e15 else repr(short)
    if isinstance(value, date):
        return value.isoformat()
    return "; ".join(map(cell, value)) if isinstance(value, list | tuple) else str(value)


def tabbed(table: Table) -> str:
    """Tab-separated lines, the headings first; a tab or line end inside a text becomes a space."""
    lines: list[Sequence[Cell]] = [table.headings, *table.rows]
    return "".join("\t".join(SPACES.sub(" ", cell(one)) for one in line) + "\n" for line in lines)


def comma_separated(table: Table) -> str:
    """As RFC 4180 has it: lines end in CR LF, a text with comma, quote or line end stands in quotes."""
    made = io.StringIO(newline="")
    writer = csv.writer(made, lineterminator="\r\n")
    writer.writerows([cell(one) for one in line] for line in (table.headings, *table.rows))
    return made.getvalue()


def write_table(path: str, table: Table, force: bool = False) -> None:
    """Write it as CSV (UTF-8), whole or not at all. Raises NotSaved; its ``kind`` is "exists" where a file is there."""
    from voyager.files.recent import write_new

    write_new(path, comma_separated(table).encode(), force)
