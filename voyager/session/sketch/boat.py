"""Edits of the boat file's data in a sketch: values by their path, arrays, heaters and comfort steps. Pure and light.

A path is a tuple of keys and, in lists of tables, numbers from 0: ``("battery", "capacity_kwh")``,
``("array", 0, "tilt_deg")``, ``("comfort", "ample", "otherwise_c")``.
"""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any, Final

from voyager.session.sketch.state import Sketch

Path = tuple[str | int, ...]
NEW: Final[Mapping[str, Mapping[str, Any]]] = {
    "array": {"panel_wp": 100},
    "heater": {"max_w": 500},
    "comfort": {"hours_c": {"18:00-22:00": 15}},
}
NAMES: Final = {"array": "array", "heater": "heater", "comfort": "step"}


def at(sketch: Sketch, path: Path) -> Any:
    """The value at a path, None where nothing stands."""
    value: Any = sketch.boat
    for part in path:
        try:
            value = value[part]
        except (KeyError, IndexError, TypeError):
            return None
    return value


def put(sketch: Sketch, path: Path, value: Any) -> Sketch:
    """With one value changed, or taken away where it is None; a table that is not there is made.

    Raises ValueError where the path leads through something that is no table.
    """
    try:
        return replace(sketch, boat=_put(sketch.boat, path, value))
    except TypeError:
        raise ValueError(f"there is no table for {'.'.join(map(str, path))} in the boat file") from None


def _put(table: Any, path: Path, value: Any) -> Any:
    part, rest = path[0], path[1:]
    if isinstance(table, list) and isinstance(part, int) and 0 <= part < len(table):
        inner = _put(table[part], rest, value) if rest else value
        return [*table[:part], *([] if inner is None else [inner]), *table[part + 1 :]]
    if not isinstance(table, Mapping) or isinstance(part, int):
        raise TypeError
    if value is None and part not in table:
        return table
    inner = _put(table.get(part, {}), rest, value) if rest else value
    return {key: one for key, one in {**table, part: inner}.items() if one is not None}


def parts(sketch: Sketch, kind: str) -> list[tuple[Path, str]]:
    """Path and name of every ``array``, ``heater`` or ``comfort`` step there is."""
    found = sketch.boat.get(kind)
    if isinstance(found, Mapping):
        return [((kind, name), str(name)) for name, one in found.items() if isinstance(one, Mapping)]
    rows: Sequence[Any] = found if isinstance(found, list) else ()
    tables = [(number, row) for number, row in enumerate(rows) if isinstance(row, Mapping)]
    return [((kind, number), str(row.get("name") or number + 1)) for number, row in tables]


def add(sketch: Sketch, kind: str) -> tuple[Sketch, Path]:
    """With one more, last, under a name of its own, and its path."""
    names = {name for _, name in parts(sketch, kind)}
    name = next(f"{NAMES[kind]} {number}" for number in range(len(names) + 1, 2 * len(names) + 3)
                if f"{NAMES[kind]} {number}" not in names)  # fmt: skip
    if kind == "comfort":
        return put(sketch, (kind, name), dict(NEW[kind])), (kind, name)
    rows = [*(sketch.boat.get(kind) or ()), {"name": name, **NEW[kind]}]
    return replace(sketch, boat={**sketch.boat, kind: rows}), (kind, len(rows) - 1)


def remove(sketch: Sketch, path: Path) -> Sketch:
    """Without one array, heater or comfort step.

    Raises ValueError for the last array, and for the comfort step that the voyage asks for.
    """
    kind, which = path[0], path[1]
    left = len(parts(sketch, str(kind)))
    if kind == "array" and left == 1:
        raise ValueError("a boat needs one array at least")
    if kind == "comfort" and sketch.top.get("comfort") == which:
        raise ValueError(f"the voyage asks for the comfort {which}; choose another first")
    return replace(sketch, boat={**put(sketch, path, None).boat} if left > 1 else _without(sketch.boat, str(kind)))


def _without(boat: Mapping[str, Any], kind: str) -> dict[str, Any]:
    return {key: value for key, value in boat.items() if key != kind}


def rename_step(sketch: Sketch, old: str, new: str) -> Sketch:
    """A comfort step under another name, in its place in the ladder; the voyage's own choice follows.

    Raises ValueError where there is one of that name.
    """
    ladder = sketch.boat.get("comfort") or {}
    if new == "off":
        raise ValueError("the step off always exists (frost guard only); give yours another name")
    if new != old and new in ladder:
        raise ValueError(f"there is a step {new} already")
    made = replace(sketch, boat={**sketch.boat, "comfort": {new if k == old else k: v for k, v in ladder.items()}})
    return made.put_top("comfort", new) if sketch.top.get("comfort") == old else made
