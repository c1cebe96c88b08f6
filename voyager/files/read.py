"""Holds a document's data to a model: every fault as a sentence, and what is sound kept for further checks."""

from collections.abc import Iterator
from typing import Any, TypeVar, get_args, get_origin

from pydantic import ValidationError
from pydantic_core import ErrorDetails

from voyager.files.faults import Faults
from voyager.files.kinds import Table
from voyager.files.lines import Path, value_at
from voyager.files.sentences import empty_row, missing_key, sentence, unknown_key
from voyager.files.sketched import row_name
from voyager.files.units import converted, own_unit

M = TypeVar("M", bound=Table)


def keys_of(model: type[Table]) -> dict[str, str]:
    """Key in the file to name of the field."""
    return {info.alias or name: name for name, info in model.model_fields.items()}


def inner(model: type[Table], key: str) -> tuple[str, type[Table]] | None:
    """("table" | "rows" | "named", model) for a key that holds tables."""
    name = keys_of(model).get(key)
    if name is None:
        return None
    annotation = model.model_fields[name].annotation
    for candidate in (annotation, *get_args(annotation)):
        if isinstance(candidate, type) and issubclass(candidate, Table):
            kind = {list: "rows", dict: "named"}.get(get_origin(annotation) or Table, "table")
            return kind, candidate
    return None


def read(model: type[M], faults: Faults) -> M:
    """The document as ``model``; a field with a fault (told to ``faults``) is None, or its default's absence.

    The result may be used for further checks only, unless ``faults`` has stayed empty.
    """
    raw = own_units(model, faults.document.data, (), faults)
    try:
        sound = model.model_validate(raw)
        if not faults.bad:
            return sound
    except ValidationError as error:
        for detail in error.errors(include_url=False):
            _tell(model, detail, faults)
    return _salvage(model, raw, (), faults.bad)


def own_units(model: type[Table], raw: Any, path: Path, faults: Faults) -> Any:
    """The raw table with each ``_nm``, ``_kn`` and ``_ft`` key turned into its own unit."""
    if not isinstance(raw, dict):
        return raw
    keys, result = keys_of(model), {}
    for key, value in raw.items():
        unit = None if key in keys else own_unit(key)
        if unit is None or unit[0] not in keys:
            result[key] = _inner_units(model, key, value, (*path, key), faults)
        elif unit[0] in raw:
            faults.add((*path, key), f"{unit[0]} stands here too; give one of them")
            faults.bad.add((*path, unit[0]))
        else:
            result[unit[0]] = converted(value, unit[1])
            faults.renamed[(*path, unit[0])] = key
    return result


def _inner_units(model: type[Table], key: str, value: Any, path: Path, faults: Faults) -> Any:
    held = inner(model, key)
    if held is None:
        return value
    kind, table = held
    if kind == "rows" and isinstance(value, list):
        return [own_units(table, row, (*path, number), faults) for number, row in enumerate(value)]
    if kind == "named" and isinstance(value, dict):
        return {name: own_units(table, row, (*path, name), faults) for name, row in value.items()}
    return own_units(table, value, path, faults) if kind == "table" else value


def _model_at(model: type[Table], path: Path) -> type[Table]:
    """The model of the table at ``path``."""
    for part in path:
        held = inner(model, part) if isinstance(part, str) else None
        model = held[1] if held else model
    return model


def _as_written(path: Path, faults: Faults) -> Path:
    """``path`` without the parts that only the reader made, as the 24 hours of a single number."""
    written = faults.written(path)
    for count in range(1, len(path) + 1):
        if not isinstance(value_at(faults.document.data, written[:count]), list | dict):
            return path[:count]
    return path


def _tell(model: type[Table], error: ErrorDetails, faults: Faults) -> None:
    path = _as_written(tuple(error["loc"]), faults) if error["type"] != "missing" else tuple(error["loc"])
    empty = error["type"] == "missing" and _is_empty_row(path[:-1], faults)
    path = path[:-1] if empty else path
    if any(path[:count] in faults.bad for count in range(1, len(path) + 1)):
        return
    row = row_name(value_at(faults.document.data, path[:2])) if len(path) > 2 and isinstance(path[1], int) else ""
    faults.bad.add(path)
    if empty:
        text = empty_row(_needed(_model_at(model, path)))
    elif error["type"] == "extra_forbidden":
        text = unknown_key(str(path[-1]), list(keys_of(_model_at(model, path[:-1]))), _everywhere(model))
    elif error["type"] == "missing" and isinstance(path[-1], str):
        table = _model_at(model, path[:-1])
        info = table.model_fields[keys_of(table)[path[-1]]]
        text = missing_key(path[-1], info.description or "")
    else:
        key = next(str(part) for part in reversed(faults.written(path)) if isinstance(part, str))
        text = sentence(error, value_at(faults.document.data, faults.written(path)), key)
    faults.add(path, text, row=row)


def _needed(model: type[Table]) -> list[str]:
    return [key for key, name in keys_of(model).items() if model.model_fields[name].is_required()]


def _is_empty_row(path: Path, faults: Faults) -> bool:
    return bool(path) and isinstance(path[-1], int) and value_at(faults.document.data, path) == {}


def _everywhere(model: type[Table], where: str = "in the top table") -> Iterator[tuple[str, str]]:
    """(where, key) of every table of a kind of file."""
    for key in keys_of(model):
        yield where, key
    for key in keys_of(model):
        if held := inner(model, key):
            kind, table = held
            place = {"table": f"under [{key}]", "rows": f"under [[{key}]]", "named": f"under [{key}.NAME]"}[kind]
            yield from _everywhere(table, place)


def _salvage(model: type[M], raw: Any, path: Path, bad: set[Path]) -> M:
    """An instance from what is sound; None stands for what is not."""
    made = model.model_construct()
    for key, name in keys_of(model).items():
        value = _salvaged(model, raw, key, name, (*path, key), bad)
        if value is not _DEFAULT:
            object.__setattr__(made, name, value)
        elif name not in made.__dict__:
            object.__setattr__(made, name, None)
    return made


_DEFAULT = object()


def _salvaged(model: type[Table], raw: Any, key: str, name: str, path: Path, bad: set[Path]) -> Any:
    held = inner(model, key)
    if path in bad or not isinstance(raw, dict):
        return [] if held and held[0] == "rows" else {} if held and held[0] == "named" else None
    if key not in raw:
        return _DEFAULT
    value = raw[key]
    if held:
        return _salvaged_tables(*held, value, path, bad)
    if any(fault[: len(path)] == path for fault in bad):
        return None
    probe = model.model_construct()
    model.__pydantic_validator__.validate_assignment(probe, name, value)
    return getattr(probe, name)


def _salvaged_tables(kind: str, table: type[Table], value: Any, path: Path, bad: set[Path]) -> Any:
    if kind == "rows":
        return [_salvage(table, row, (*path, number), bad) for number, row in enumerate(value)]
    if kind == "named":
        return {name: _salvage(table, row, (*path, name), bad) for name, row in value.items()}
    return _salvage(table, value, path, bad)
