"""The keys of both files as a form needs them: kind, limits, default, choices. Taken from the files' schema."""

from collections.abc import Iterator, Mapping
from typing import Any, Literal

from voyager.files.schema import schema
from voyager.files.units import own_unit, twin

Kind = Literal["boat", "voyage"]
Schema = Mapping[str, Any]
LEFT_OUT = {"format", "boat", "place", "leg", "forecast", "standard_error"}


def key_fields() -> list[dict[str, Any]]:
    """Every key of the voyage's top table and of the boat file, in the files' order.

    ``file``, ``table`` (empty at the top), ``rows`` ("" one table, "list" of tables, "named" tables), ``key``, ``kind``
    (number, integer, date, clock, choice, window, text, bool, hourly, curve, hours), ``least``, ``most`` (None: open),
    ``above``, ``below`` (the limit itself is out), ``default`` (None: none), ``needed``, ``choices``, ``columns`` (of
    a curve: the limits of each), ``rows_least``, ``help``, ``twin`` (the same in the other usual unit, else None).
    """
    return [field for kind in ("voyage", "boat") for field in _fields_of(kind)]


def _fields_of(kind: Kind) -> Iterator[dict[str, Any]]:
    made = schema(kind)
    tables = {key: _table(own) for key, own in made["properties"].items() if key not in LEFT_OUT}
    yield from _table_fields(kind, ("", ""), made, {key for key, (table, _) in tables.items() if not table})
    for key, (table, rows) in tables.items():
        if table:
            inner = made["$defs"][table]
            yield from _table_fields(kind, (key, rows), inner, set(inner["properties"]))


def _table(own: Schema) -> tuple[str, str]:
    for where, rows in ((own, ""), (own.get("items", {}), "list"), (own.get("additionalProperties", {}), "named")):
        if "$ref" in where:
            return where["$ref"].removeprefix("#/$defs/"), rows
    return "", ""


def _table_fields(kind: Kind, at: tuple[str, str], made: Schema, keys: set[str]) -> Iterator[dict[str, Any]]:
    for key, own in made["properties"].items():
        if key in keys and own_unit(key) is None:
            field = {"file": kind, "table": at[0], "rows": at[1], **_field(key, own), "needed": _needed(key, made)}
            yield {**field, "twin": _twin(field, made)}


def _needed(key: str, made: Schema) -> bool:
    either = {"anyOf": [{"required": [key]}, {"required": [twin(key)]}]}
    return key in made.get("required", ()) or either in made.get("allOf", ())


def _twin(field: Schema, made: Schema) -> dict[str, Any] | None:
    other = twin(field["key"])
    unit = own_unit(other) if other in made["properties"] and other else None
    return None if unit is None else {**field, **_field(str(other), made["properties"][other]), "factor": unit[1]}


def _field(key: str, own: Schema) -> dict[str, Any]:
    kind = _kind(own)
    default = own.get("default")
    if kind == "hourly" and isinstance(default, list):
        default = default[0]
    return {
        "key": key,
        "kind": kind,
        **_limits(own["anyOf"][0] if kind == "hourly" else own),
        "default": default,
        "choices": list(own.get("enum", ())),
        "columns": [_limits(column) for column in own.get("items", {}).get("prefixItems", ())],
        "rows_least": own.get("minItems", 1),
        "help": own.get("description", ""),
    }


def _limits(own: Schema) -> dict[str, Any]:
    above, below = "exclusiveMinimum" in own, "exclusiveMaximum" in own
    least = own.get("exclusiveMinimum", own.get("minimum"))
    most = own.get("exclusiveMaximum", own.get("maximum"))
    return {"least": least, "most": most, "above": above, "below": below}


def _kind(own: Schema) -> str:
    if "anyOf" in own:
        return "window" if {"const": "daylight"} in own["anyOf"] else "hourly"
    if "enum" in own:
        return "choice"
    if own["type"] == "string":
        return "date" if own.get("format") == "date" else "clock" if "pattern" in own else "text"
    plain: str = own["type"]
    return {"boolean": "bool", "array": "curve", "object": "hours"}.get(plain, plain)
