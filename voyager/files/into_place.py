"""Where the dotted paths of fits lead in a boat file. Light: nothing is checked here."""

from collections.abc import Mapping
from typing import Any

from voyager.errors import InputError
from voyager.files.lines import Path
from voyager.files.printable import printable, proposal

ERRORS = "standard_error"
ROWS = ("array", "heater")


def place_of(data: Mapping[str, Any], key: str, path: str) -> Path:
    """Where a dotted path leads; the middle of ``array.NAME.KEY`` is a name, whatever signs are in it.

    Raises InputError where there is no such row.
    """
    table, _, rest = key.partition(".")
    if table not in ROWS:
        return (table, *rest.split("."))
    name, _, last = rest.rpartition(".")
    names = [str(row.get("name")) for row in data.get(table, ())]
    if name not in names:
        there = ", ".join(names) or "none"
        hint = proposal(name, names) or f"; there are {there}"
        raise InputError(f'{printable(path)} has no {table} "{printable(name)}"{printable(hint)}')
    return (table, names.index(name), last)


def named(data: Mapping[str, Any], path: Path) -> str:
    """A path as it is told: rows by their names."""
    name = path[0]
    rows = data.get(name) if isinstance(name, str) else None
    return ".".join(str(rows[part]["name"]) if rows and isinstance(part, int) else str(part) for part in path)
