"""A document that is still being edited: plain data without a file's lines, its faults named by their row."""

from collections.abc import Iterator, Mapping
from typing import Any

from voyager.files.lines import Path
from voyager.files.printable import printable
from voyager.files.toml import Document, dotted


def sketched(kind: str, file: str, data: Mapping[str, Any]) -> Document:
    """The data of a "voyage" or a "boat" as a document; ``file`` is where it is kept, for what stands beside it."""
    positions = {path: (order, 0) for order, path in enumerate(_paths(dict(data), ()))}
    return Document(file, dict(data), positions, sketched=kind)


def _paths(value: object, path: Path) -> Iterator[Path]:
    """Every key and row, each before what it holds."""
    yield path
    parts: Iterator[tuple[str | int, object]] = iter(())
    if isinstance(value, Mapping):
        parts = iter(value.items())
    elif isinstance(value, list | tuple):
        parts = iter(enumerate(value))
    for part, inner in parts:
        yield from _paths(inner, (*path, part))


def standing(document: Document, path: Path) -> tuple[str, str]:
    """("leg 3 (A to B)", "distance_km"): the row of a key, and the key within it."""
    if len(path) < 2 or not isinstance(path[1], int) or isinstance(path[0], int):
        return document.sketched, dotted(path)
    rows = document.data.get(path[0])
    row = rows[path[1]] if isinstance(rows, list | tuple) and path[1] < len(rows) else None
    name = printable(row_name(row))
    where = f"{path[0]} {path[1] + 1}" + (f" ({name})" if name else "")
    return where, dotted(path[2:])


def row_name(row: object) -> str:
    """`A to B` or the name of a row, as far as it can be read."""
    if not isinstance(row, Mapping):
        return ""
    ends = [name if isinstance(name := row.get(key), str) and name else "?" for key in ("from", "to")]
    if ends != ["?", "?"]:
        return " to ".join(ends)
    return row["name"] if isinstance(row.get("name"), str) else ""
