"""One key of a boat or voyage document found by its path, read, set, added to or scaled."""

import re
from collections.abc import Iterable, Mapping, Sequence
from copy import deepcopy
from datetime import date, datetime, timedelta
from typing import Any

from voyager.errors import InputError
from voyager.files.boat_model import BoatFile
from voyager.files.kinds import Table
from voyager.files.printable import proposal, shown
from voyager.files.read import inner, keys_of
from voyager.files.sentences import unknown_key
from voyager.files.units import own_unit, twin
from voyager.files.voyage_model import VoyageFile

KeyPath = Sequence[str]
VOYAGE = "voyage"
FIXED = frozenset({"format", "boat", "place", "leg", "forecast", "standard_error"})
"""Keys that a change does not reach: those of other files, and rows of the voyage."""
INSTEAD = (("coefficient_w_per_mps3", "trial"), ("cop", "cop_by_c"), ("efficiency", "efficiency_by_load"))
"""Keys of which the one holds in place of the other."""
PLAIN = re.compile(r"[^\s.,=+*\"'\[\]{}][^.,=\"'\[\]{}]*")


def changed_documents(
    documents: Mapping[str, Any], settings: Iterable[tuple[KeyPath, str, Any]]
) -> dict[str, Any]:
    """A copy of ``{"voyage", "boat"}`` with (path, sign, value) made one after another. Raises InputError."""
    made = deepcopy(dict(documents))
    for path, sign, value in settings:
        table, model = _table(path, made, make=True)
        _set(table, model, path, sign, value)
    return made


def value_of(documents: Mapping[str, Any], path: KeyPath) -> Any:
    """What holds for a key: as written (in the key's own unit), else its default, else None. Raises InputError."""
    table, model = _table(path, documents, make=False)
    _own(model, path)
    return _standing(table, model, path[-1])


def key_text(path: KeyPath) -> str:
    """The path as a change names it, names in quotes where they need them."""
    return ".".join(part if PLAIN.fullmatch(part) else f"'{part}'" if '"' in part else f'"{part}"' for part in path)


def _table(path: KeyPath, documents: Mapping[str, Any], *, make: bool) -> tuple[dict[str, Any], type[Table]]:
    """The table of a key and its model."""
    if path[0] == VOYAGE:
        if len(path) != 2:
            raise InputError(f"{key_text(path)} is no key of the voyage's top table; only those can be changed here")
        return documents["voyage"], VoyageFile
    boat = documents["boat"]
    held = inner(BoatFile, path[0])
    if held is None:
        if len(path) > 1 or path[0] not in _known(BoatFile):
            raise InputError(_no_table(path))
        return boat, BoatFile
    kind, model = held
    rest = path[1:]
    if len(rest) != (1 if kind == "table" else 2):
        raise InputError(_depth(path, kind))
    if kind == "table":
        held_table: dict[str, Any] = boat.setdefault(path[0], {}) if make else boat.get(path[0], {})
        return held_table, model
    return _row(boat, path), model


def _row(boat: Mapping[str, Any], path: KeyPath) -> dict[str, Any]:
    rows = boat.get(path[0], {})
    named = {row.get("name"): row for row in rows} if isinstance(rows, list) else rows
    if path[1] not in named:
        there = ", ".join(map(shown, named)) or "none"
        near = proposal(path[1], named)
        raise InputError(f"there is no {path[0]} {shown(path[1])}{near or f'; there is {there}'}")
    row: dict[str, Any] = named[path[1]]
    return row


def _no_table(path: KeyPath) -> str:
    """The sentence for a path that begins with no table of the boat file."""
    if len(path) == 1 and path[0] in _known(VoyageFile):
        return f"{path[0]} is a key of the voyage; write {VOYAGE}.{path[0]}"
    homes = [f"{table}.{path[-1]}" for table in _tables("table") if path[-1] in keys_of(_model(table))]
    homes += [f"{table}.NAME.{path[-1]}" for table in _tables("rows", "named") if path[-1] in keys_of(_model(table))]
    if len(path) == 1 and homes:
        return f"{path[0]} needs its table before it; write {' or '.join(homes)}"
    known = [*_tables("table", "rows", "named"), VOYAGE]
    return f"unknown key {key_text(path)}{proposal(path[0], known) or '; keys begin with ' + ', '.join(known)}"


def _depth(path: KeyPath, kind: str) -> str:
    """The sentence for a path with too few or too many parts."""
    right = f"{path[0]}.KEY" if kind == "table" else f"{path[0]}.NAME.KEY"
    dots = "" if len(path) < 4 or kind == "table" else "; a name with a dot in it stands in quotes"
    return f"{key_text(path)} is no key; write it as {right}{dots}"


def _tables(*kinds: str) -> list[str]:
    return [key for key in keys_of(BoatFile) if (held := inner(BoatFile, key)) and held[0] in kinds]


def _model(table: str) -> type[Table]:
    held = inner(BoatFile, table)
    return BoatFile if held is None else held[1]


def _known(model: type[Table]) -> list[str]:
    """Keys of a table that a change may set."""
    return [key for key in keys_of(model) if key not in FIXED and inner(model, key) is None]


def _own(model: type[Table], path: KeyPath) -> tuple[str, float]:
    """The key in the file's own unit and the factor to it. Raises InputError where there is no such key."""
    known, key = _known(model), path[-1]
    if key in known:
        return key, 1.0
    unit = own_unit(key)
    if unit is not None and unit[0] in known:
        return unit
    if key in FIXED:
        raise InputError(f"{key_text(path)} cannot be changed here")
    raise InputError(f"{key_text(path)}: {unknown_key(key, known, ())}")


def _set(table: dict[str, Any], model: type[Table], path: KeyPath, sign: str, value: Any) -> None:
    own, _ = _own(model, path)
    key, names = path[-1], {name for name in (own, twin(own)) if name}
    instead = [two for pair in INSTEAD for one, two in (pair, pair[::-1]) if one == own and two in keys_of(model)]
    if sign != "=":
        for other in instead:
            if other in table and not names & set(table):
                here = key_text([*path[:-1], other])
                raise InputError(f"{here} stands in the file in place of {key}; change that, or write {key}=VALUE")
        value = _moved(_standing(table, model, key), sign, value, key_text(path))
    for name in (*names, *instead):
        table.pop(name, None)
    table[key] = value


def _standing(table: Mapping[str, Any], model: type[Table], key: str) -> Any:
    """What a table holds for a key, in the unit of that key; its default where nothing stands, which may be None."""
    unit = own_unit(key) if key not in keys_of(model) else None
    own, factor = (key, 1.0) if unit is None else unit
    if key in table:
        return table[key]
    other = twin(own) if key == own else own
    if other in table and other is not None:
        change = own_unit(other)
        return _times(table[other], 1 / factor if change is None else change[1])
    field = model.model_fields[keys_of(model)[own]]
    default = None if field.is_required() else field.default
    return _times(default, 1 / factor) if factor != 1 else deepcopy(default)


def _times(value: Any, factor: float) -> Any:
    return value * factor if _is_number(value) else value


def _is_number(value: object) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool)


def _moved(value: Any, sign: str, amount: Any, key: str) -> Any:
    """A number, each hour of a list, each setpoint, or the second of each pair of a curve, added to or scaled."""
    if value is None:
        raise InputError(f"{key} has no value that {sign} could change; write {key}=VALUE")
    if type(value) is date and sign == "+=" and isinstance(amount, int):
        return _later(value, amount, key)
    if not _is_number(amount):
        raise InputError(f"{key}{sign} needs a number behind it, not {shown(amount)}")
    if _is_number(value):
        return _reckoned(value, sign, amount, key)
    if isinstance(value, Mapping):
        return {name: _moved(one, sign, amount, key) for name, one in value.items()}
    if isinstance(value, list | tuple):
        pairs = all(isinstance(one, list | tuple) and len(one) == 2 for one in value)
        return [[one[0], _moved(one[1], sign, amount, key)] if pairs else _moved(one, sign, amount, key)
                for one in value]  # fmt: skip
    what = "a date" if isinstance(value, date | datetime) else shown(value)
    raise InputError(f"{key} is {what}, no number that {sign} could change; write {key}=VALUE")


def _reckoned(value: float, sign: str, amount: float, key: str) -> float:
    try:
        found = float(f"{value + amount if sign == '+=' else value * amount:.12g}")
    except OverflowError:
        raise InputError(f"{key}{sign} makes far too large a number") from None
    return int(found) if isinstance(value, int) and found.is_integer() else found


def _later(day: date, days: int, key: str) -> date:
    try:
        return day + timedelta(days)
    except OverflowError:
        raise InputError(f"{key}+={days} leaves the calendar") from None
