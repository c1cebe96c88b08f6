"""The form of all values as rows: what stands, what holds in its place, what is wrong. No Textual here."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from voyager.session.sketch.boat import Path, at, parts
from voyager.session.sketch.state import Sketch
from voyager.session.value_text import Scale, text_of
from voyager.tui import words
from voyager.tui.leg_rows import comforts
from voyager.tui.units import Units

Field = Mapping[str, Any]
Fault = Mapping[str, Any]
ROOM = 13
"""Columns of a short value."""
SINGULAR = {"nights": "night", "days": "day"}
SPARE = {"array": "an array", "heater": "a heater", "comfort": "a comfort step"}


@dataclass(frozen=True)
class ValueRow:
    """A heading (``field`` None, ``adds`` empty), a value, or the line that adds one more of ``adds``.

    ``path`` in the voyage's top table or in the boat, ``part`` that of the array, heater or step it belongs to.
    """

    title: str
    group: str = ""
    field: Field | None = None
    path: Path = ()
    part: Path = ()
    value: Any = None
    adds: str = ""
    faults: tuple[str, ...] = ()
    scale: Scale | None = None

    @property
    def heading(self) -> bool:
        """Whether the cursor passes it over."""
        return self.field is None and not self.adds

    @property
    def own(self) -> bool:
        """Whether the file says it, not a default."""
        return self.value is not None

    @property
    def text(self) -> str:
        """The value as it may be typed over; empty where only a default holds."""
        return "" if self.field is None else text_of(self.field, self.value, self.scale)

    @property
    def shown(self) -> str:
        """The value, or what holds in its place."""
        if self.field is None:
            return ""
        if self.own:
            return self.text
        default = self.field["default"]
        return text_of(self.field, default, self.scale) or self.field["otherwise"] or words.NONE

    @property
    def unit(self) -> str:
        """The unit in which it is shown."""
        if self.field is None or (not self.own and self.field["default"] is None):
            return ""
        unit = self.scale.unit if self.scale else str(self.field["unit"])
        return SINGULAR.get(unit, unit) if self.shown == "1" else unit

    @property
    def long(self) -> bool:
        """Whether it takes the room of unit and limits too."""
        return len(self.shown) > ROOM

    @property
    def name(self) -> str:
        """For undo: ``battery: capacity``."""
        return f"{self.group}: {self.title}".lower() if self.group else self.title.lower()


def value_rows(fields: Sequence[Field], sketch: Sketch, units: Units, faults: Sequence[Fault]) -> list[ValueRow]:
    """Every key there is, group by group; arrays, heaters and comfort steps one group each."""
    rows: list[ValueRow] = []
    for group in dict.fromkeys(one["group"] for one in fields):
        inner = [one for one in fields if one["group"] == group]
        rows += _repeated(group, inner, sketch, units) if inner[0]["rows"] else _once(group, inner, sketch, units)
    return [_with_faults(row, faults) for row in rows]


def _once(group: str, fields: Sequence[Field], sketch: Sketch, units: Units) -> Iterator[ValueRow]:
    yield ValueRow(group)
    for one in fields:
        yield _row(group, one, (one["table"],) if one["table"] else (), sketch, units)


def _repeated(group: str, fields: Sequence[Field], sketch: Sketch, units: Units) -> Iterator[ValueRow]:
    table = str(fields[0]["table"])
    for part, name in parts(sketch, table):
        title = f"{group}: {name}"
        yield ValueRow(title)
        if table == "comfort":
            yield ValueRow("Name", title, STEP_NAME, (*part, ""), part, name)
        for one in fields:
            yield _row(title, one, part, sketch, units)
    yield ValueRow(f"+ {SPARE[table]}", group, adds=table)


STEP_NAME: Field = {
    "file": "boat", "table": "comfort", "rows": "named", "key": "", "kind": "text", "least": None, "most": None,
    "above": False, "below": False, "default": None, "choices": [], "columns": [], "rows_least": 1, "label": "Name",
    "help": "name of the step; their order is the ladder, warmest first", "needed": True, "twin": None, "unit": "",
    "step": 1, "group": "Comfort", "caution": "", "otherwise": "",
}  # fmt: skip


def _row(group: str, one: Field, part: Path, sketch: Sketch, units: Units) -> ValueRow:
    used = one
    if one["twin"] and _stands(one["twin"], part, sketch) is not None and _stands(one, part, sketch) is None:
        used = one["twin"]
    if one["file"] == "voyage" and one["key"] == "comfort":
        used = {**one, "kind": "choice", "choices": list(comforts(sketch.boat))}
    scale = units.scale(used["unit"]) if used["kind"] == "number" and used is one else None
    whole = part if len(part) > 1 else ()
    return ValueRow(one["label"], group, used, (*part, used["key"]), whole, _stands(used, part, sketch), scale=scale)


def _stands(one: Field, part: Path, sketch: Sketch) -> Any:
    return sketch.top.get(one["key"]) if one["file"] == "voyage" else at(sketch, (*part, one["key"]))


def _with_faults(row: ValueRow, faults: Sequence[Fault]) -> ValueRow:
    if row.field is None:
        return row
    where = {"voyage": ("top",), "boat": ("boat",)}[row.field["file"]]
    told = tuple(
        str(one.get("what") or one["text"]) for one in faults
        if one["row"] in where and row.path and tuple(one.get("path", ()))[: len(row.path)] == row.path
    )  # fmt: skip
    return replace(row, faults=told) if told else row
