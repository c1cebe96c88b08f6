"""Remarks of fits in a boat file: what was measured when, at the end of the line that it gave."""

import re
from collections.abc import Mapping
from typing import Any

import tomli
import tomlrt

from voyager.files.lines import line_of, locate
from voyager.files.printable import printable, shown
from voyager.files.save_rows import same
from voyager.files.save_text import newer

Path = tuple[str | int, ...]
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


def value_at(data: Any, path: Path) -> Any:
    """What stands at a path, None where nothing does."""
    for part in path:
        try:
            data = data[part]
        except (KeyError, IndexError, TypeError):
            return None
    return data


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


def named(data: Mapping[str, Any], path: Path) -> str:
    """A path as it is told: rows by their names."""
    name = path[0]
    rows = data.get(name) if isinstance(name, str) else None
    return ".".join(str(rows[part]["name"]) if rows and isinstance(part, int) else str(part) for part in path)
