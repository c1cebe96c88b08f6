"""Every key of the voyage and its boat as a field of a form: label, unit, limits, step, group. Plain values only.

``fields`` makes them of the file models, which is slow to load; ``known_fields`` reads them as they were packaged.
"""

import json
from importlib.resources import files
from typing import Any

from voyager.quantities import UNITS, suffix
from voyager.session.field_words import (
    CAUTIONS,
    CLOCK_STEP_MIN,
    GROUPS,
    LABELS,
    OTHERWISE,
    OWN_STEPS,
    SIGNS,
    STEPS,
    TABLES,
)

Field = dict[str, Any]


TABLE = "fields.json"


def known_fields() -> list[Field]:
    """As ``fields``, from the packaged table: a millisecond. A test holds the table to the models."""
    made: list[Field] = json.loads(files("voyager.session").joinpath("data", TABLE).read_text("utf-8"))
    return made


def fields() -> list[Field]:
    """The fields group by group, as ``files.fields.key_fields`` has them and with these besides.

    ``label``, ``unit`` (empty: none), ``step`` of one nudge (minutes on a clock), ``group``, ``caution`` (empty: none),
    ``otherwise`` (what holds where nothing stands and there is no ``default``). Loads the file models.
    """
    from voyager.files.fields import key_fields

    made = [_worded(field) for field in key_fields()]
    return sorted(made, key=lambda field: _place(field["group"], field["key"]))


def _worded(field: Field) -> Field:
    made, twin = _words(field), field["twin"]
    if twin is not None:
        back = {"key": made["key"], "unit": made["unit"], "factor": 1.0 / twin["factor"]}
        made["twin"] = {**_words(twin, field["key"]), "twin": back}
    return made


def _words(field: Field, own_key: str | None = None) -> Field:
    """``own_key``: what a key in the other unit is called in the tables of words."""
    name = own_key or field["key"]
    return {
        **field,
        "label": LABELS.get(name) or _plain_label(name),
        "unit": "" if field["kind"] == "curve" else _unit(field["key"]),
        "step": _step(field),
        "group": _group(field),
        "otherwise": "" if field["default"] is not None or field["needed"] else _of(OTHERWISE, field, name),
        "caution": _of(CAUTIONS, field, name),
    }


def _of(table: dict[str, str], field: Field, name: str) -> str:
    own = table.get(f"{field['table']}.{name}")
    shared = "" if any(key.endswith(f".{name}") for key in table) else table.get(name, "")
    return own if own is not None else shared


def _plain_label(key: str) -> str:
    ending = suffix(key)
    words = key.removesuffix(f"_{ending}") if ending else key
    return words.replace("_", " ").capitalize()


def _unit(key: str) -> str:
    if key == "heating_reserve_nights":
        return "nights"
    unit = UNITS.get(suffix(key) or "", "ft" if key.endswith("_ft") else "")
    return SIGNS.get(unit, unit)


def _step(field: Field) -> float:
    if field["kind"] in {"clock", "window"}:
        return CLOCK_STEP_MIN
    key = field["key"]
    own = OWN_STEPS.get(f"{field['table']}.{key}", OWN_STEPS.get(key))
    return own if own is not None else STEPS.get(suffix(key) or key.rpartition("_")[2], 1)


def _group(field: Field) -> str:
    if field["file"] == "boat":
        return TABLES[field["table"]]
    return next((name for name, keys in GROUPS.items() if field["key"] in keys), next(iter(GROUPS)))


def _place(group: str, key: str) -> tuple[int, int]:
    groups = [*GROUPS, *TABLES.values()]
    keys = GROUPS.get(group, ())
    return groups.index(group), keys.index(key) if key in keys else 0
