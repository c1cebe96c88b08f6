"""What measurements have to say beside values of the boat: kept with the sketch until they reach its file. Pure.

``Sketch.remarks`` has, by dotted path (arrays by their name, standard errors as ``standard_error.PATH``), the value
that the remark is about and its text: a value that was changed since has its remark no more.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from typing import Any

from voyager.session.sketch import boat
from voyager.session.sketch.state import Sketch

VALUE, TEXT = "value", "text"


def fitted(sketch: Sketch, puts: Iterable[Sequence[Any]], remarks: Mapping[str, str]) -> Sketch:
    """With measured values: ``puts`` are pairs of path and value (None takes one away), ``remarks`` by dotted path.

    Raises ValueError where a path leads through something that is no table.
    """
    for path, value in puts:
        sketch = _without_empty(boat.put(sketch, tuple(path), value), tuple(path))
    told = {name: {VALUE: boat.at(sketch, path_of(sketch.boat, name)), TEXT: text} for name, text in remarks.items()}
    return replace(sketch, remarks={**sketch.remarks, **told})


def _without_empty(sketch: Sketch, path: boat.Path) -> Sketch:
    """A table that lost its last value goes too."""
    return boat.put(sketch, path[:-1], None) if len(path) > 1 and boat.at(sketch, path[:-1]) == {} else sketch


def standing(sketch: Sketch) -> dict[str, str]:
    """The remarks whose value still stands, as the boat file is to have them."""
    return {
        name: str(told[TEXT])
        for name, told in sketch.remarks.items()
        if told[VALUE] is not None and boat.at(sketch, path_of(sketch.boat, name)) == told[VALUE]
    }


def path_of(data: Mapping[str, Any], name: str) -> boat.Path:
    """Where a dotted path leads in a boat's data; an array or heater that is not there leads nowhere."""
    table, _, rest = name.partition(".")
    if table == "standard_error":
        return (table, rest)
    rows = data.get(table)
    if not isinstance(rows, list):
        return (table, *rest.split("."))
    row, _, last = rest.rpartition(".")
    names = [one.get("name") if isinstance(one, Mapping) else None for one in rows]
    return (table, names.index(row) if row in names else len(rows), last)
