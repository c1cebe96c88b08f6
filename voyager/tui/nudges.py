"""A value one step up or down. Pure."""

from datetime import date, timedelta
from typing import Any

from voyager.session.sketch.fields import Field, figure, raw
from voyager.session.sketch.numbers import twin
from voyager.session.sketch.state import Row
from voyager.session.typed import tidy


def nudged(field: Field, row: Row, by: int, second: bool = False, shown: float | None = None) -> tuple[str, Any]:
    """The file's key and value ``by`` steps on; ``shown``: what stands in the cell where the file has nothing.

    ValueError where there is no step to make.
    """
    value = raw(row, field.key)
    if field.kind in {"number", "count"}:
        return _figure(field, row, by, second, shown)
    if field.kind == "choice":
        at = field.choices.index(value) if value in field.choices else 0
        return field.key, field.choices[(at + by) % len(field.choices)]
    if field.kind == "bool":
        return field.key, by > 0
    if field.kind == "date" and isinstance(value, date):
        return field.key, value + timedelta(days=by)
    raise ValueError("there is no step to make here: type the value")


def _figure(field: Field, row: Row, by: int, second: bool, shown: float | None) -> tuple[str, Any]:
    other = twin(field.key) if second else None
    key, factor = other or (field.key, 1.0)
    value = figure(row, field.key, second)
    if value is None:
        value = (shown or _number(field.otherwise)) / factor
    step = field.step
    moved = tidy((round(value / step) + by) * step) if field.kind == "number" else value + by
    low, high = field.low / factor, field.high / factor
    if moved > high or moved < low or (field.above and moved <= low):
        raise ValueError(f"{field.label} can go no {'higher' if by > 0 else 'lower'}")
    return key, int(moved) if moved == int(moved) else moved


def _number(text: str) -> float:
    try:
        return float(text)
    except ValueError:
        return 0.0
