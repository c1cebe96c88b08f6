"""JSON Schema of the two files, for editors that complete and underline TOML."""

from typing import Any, Literal

from voyager.files.boat_model import BoatFile
from voyager.files.kinds import Table
from voyager.files.units import own_unit, twin
from voyager.files.voyage_model import VoyageFile

DIALECT = "https://json-schema.org/draft/2020-12/schema"
DEFAULTS = {"day_starts": "08:00", "travel": "daylight"}
EITHER: dict[str, tuple[str, str]] = {
    "HullTable": ("coefficient_w_per_mps3", "trial"),
    "ForecastTable": ("oktas", "ghi_kwh_m2"),
}
"""Tables in which exactly one of two keys stands."""
LEAST_ROWS = {"trial": 3, "capacity_by_c": 2, "cop_by_c": 2, "efficiency_by_load": 2}
LIMITS = ("minimum", "maximum", "exclusiveMinimum", "exclusiveMaximum", "default")


def schema(kind: Literal["boat", "voyage"]) -> dict[str, Any]:
    """The schema (draft 2020-12) of a boat file or a voyage file; dates and instants are texts in it.

    It holds each key to its kind and range; what two keys or two files have to do with each other is for ``check``.
    """
    model: type[Table] = BoatFile if kind == "boat" else VoyageFile
    made = model.model_json_schema(by_alias=True)
    tables = [(kind, made), *made.get("$defs", {}).items()]
    for name, table in tables:
        _finish(name, table)
    return {"$schema": DIALECT, **made}


def _finish(name: str, table: dict[str, Any]) -> None:
    keys = table["properties"]
    for key, own in list(keys.items()):
        keys[key] = own = _without_null(own)
        own.pop("title", None)
        if key in DEFAULTS:
            own["default"] = DEFAULTS[key]
        if key in LEAST_ROWS:
            own["minItems"] = LEAST_ROWS[key]
        if other := twin(key):
            _add_twin(table, key, other)
    if name in EITHER:
        table["oneOf"] = [{"required": [key]} for key in EITHER[name]]
    if "comfort" in keys and name == "boat":
        keys["comfort"]["propertyNames"] = {"not": {"const": "off"}}


def _without_null(own: dict[str, Any]) -> dict[str, Any]:
    """TOML has no null: a key that may be absent has only its own kind."""
    kinds = [kind for kind in own.get("anyOf", []) if kind != {"type": "null"}]
    result = {key: value for key, value in own.items() if not (key == "default" and value is None)}
    if len(kinds) == 1:
        del result["anyOf"]
        result = kinds[0] | result
    return result


def _add_twin(table: dict[str, Any], key: str, other: str) -> None:
    unit = own_unit(other)
    factor = unit[1] if unit else 1.0
    table["properties"][other] = _scaled(table["properties"][key], factor)
    rules = table.setdefault("allOf", [])
    rules.append({"not": {"required": [key, other]}})
    if key in table.get("required", []):
        table["required"].remove(key)
        rules.append({"anyOf": [{"required": [key]}, {"required": [other]}]})


def _scaled(own: dict[str, Any], factor: float) -> dict[str, Any]:
    scaled = dict(own)
    for limit in LIMITS:
        if isinstance(scaled.get(limit), int | float):
            scaled[limit] = round(scaled[limit] / factor, 6)
    if "items" in scaled:
        scaled["items"] = _scaled(scaled["items"], factor)
    return scaled
