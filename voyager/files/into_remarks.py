"""Remarks of fits in a boat file: what was measured when, at the end of the line that it gave."""

import re
from collections.abc import Mapping
from contextlib import suppress
from typing import Any

import tomli
import tomlrt

from voyager.errors import InputError
from voyager.files.into_place import ERRORS, named, place_of
from voyager.files.lines import Path, line_of, locate, value_at
from voyager.files.printable import printable, shown
from voyager.files.save_rows import same
from voyager.files.save_text import newer

OWN = re.compile(r"\d{4}-\d{2}-\d{2}, voyager fit ")
"""How a remark of an earlier fit begins; any other comment is the owner's."""


Remarked = tuple[str, tuple[Path, ...]]


def remarked(text: str, remarks: Mapping[Path, str], before: Mapping[str, Any]) -> Remarked:
    """``text`` with each remark at the end of the line of its key, and the keys that no remark could be put to.

    An earlier remark gives way; the owner's comment moves to a line above, with the value in ``before`` that it was
    about. Where a line takes no comment (a table within a list), the remark stands above it and names the key.
    """
    failed = []
    for path, remark in remarks.items():
        data, told = tomli.loads(text), printable(remark)
        ways = (_beside(text, path, told, before), _above(text, path, f"# {named(data, path)}: ", told))
        made = next((one for one in ways if one is not None and _reads_as(one, data, text)), None)
        if made is None:
            failed.append(path)
        else:
            text = made
    return text, tuple(failed)


def _reads_as(made: str, data: Mapping[str, Any], text: str) -> bool:
    try:
        return same(tomli.loads(made), data) and not newer(made, text)
    except ValueError:
        return False


def _beside(text: str, path: Path, remark: str, before: Mapping[str, Any]) -> str | None:
    try:
        document = tomlrt.loads(text)
        table, key = _table(document, path[:-1]), path[-1]
        comment = table.comments.get(key)
        if comment and not OWN.match(comment):
            kept = (
                f"before, {shown(value_at(before, path))}: {comment}" if value_at(before, path) is not None else comment
            )
            table.leading_block[key] = (*table.leading_block.get(key, ()), kept)
        table.comments[key] = remark
        return str(document.render())
    except Exception:  # the library is young: whatever it trips over, the remark goes above
        return None


def _table(document: Any, path: Path) -> Any:
    for part in path:
        document = document[part]
    return document


def with_remarks(
    text: str, data: Mapping[str, Any], before: Mapping[str, Any], remarks: Mapping[str, str]
) -> tuple[str, tuple[str, ...]]:
    """``text``, which reads as ``data`` and held ``before``, with each remark by dotted path, and notes on those that
    found no place; an earlier fit's remark is taken from a value that is no longer that fit's."""
    placed: dict[Path, str] = {}
    for key, remark in remarks.items():
        table, _, rest = key.partition(".")
        with suppress(InputError):
            placed[(table, rest) if table == ERRORS else place_of(data, key, "")] = remark
    text, failed = remarked(text, placed, before)
    text = withdrawn(text, before, placed)
    return text, tuple(f"{named(data, at)} takes no comment where it stands" for at in failed)


def withdrawn(text: str, before: Mapping[str, Any], kept: Mapping[Path, str]) -> str:
    """``text`` without the remarks of fits beside values that read otherwise in ``before``; those ``kept`` stay."""
    try:
        document, data = tomlrt.loads(text), tomli.loads(text)
        for way in _tables(data):
            table = _table(document, way)
            for key in [key for key, comment in table.comments.items() if comment and OWN.match(comment)]:
                was = value_at(before, _earlier_place(data, before, way))
                if (*way, key) not in kept and not (was and key in was and same(was[key], value_at(data, (*way, key)))):
                    del table.comments[key]
        made = str(document.render())
    except Exception:  # the library is young: whatever it trips over, the remarks stay
        return text
    return made if _reads_as(made, data, text) else text


def _tables(data: Mapping[str, Any]) -> list[Path]:
    """Paths of the tables that fits write into."""
    named_tables = [(key,) for key, one in data.items() if isinstance(one, Mapping)]
    rows = [(key, at) for key, one in data.items() if isinstance(one, list) for at, row in enumerate(one)
            if isinstance(row, Mapping)]  # fmt: skip
    return [*named_tables, *rows]


def _earlier_place(data: Mapping[str, Any], before: Mapping[str, Any], way: Path) -> Path:
    """Where a table stood before: rows are the same by their names."""
    if len(way) == 1:
        return way
    rows = before.get(str(way[0]))
    names = [row.get("name") if isinstance(row, Mapping) else None for row in rows] if isinstance(rows, list) else []
    name = value_at(data, (*way, "name"))
    return (way[0], names.index(name) if name in names else len(names))


def _above(text: str, path: Path, own: str, remark: str) -> str:
    """The remark on a line of its own that begins with ``own``, in place of an earlier one for the same key."""
    lines = text.split("\n")
    row = line_of(locate(text), path) - 1
    indent = lines[row][: len(lines[row]) - len(lines[row].lstrip())]
    first = row
    while first and lines[first - 1].lstrip().startswith("#"):
        first -= 1
    kept = [line for line in lines[first:row] if not _earlier(line.lstrip(), own)]
    return "\n".join([*lines[:first], *kept, f"{indent}{own}{remark}", *lines[row:]])


def _earlier(line: str, own: str) -> bool:
    return line.startswith(own) and bool(OWN.match(line.removeprefix(own)))
