"""Edits of the form of values: each makes another sketch, or raises ValueError with the reason. No Textual here."""

from collections.abc import Callable
from typing import Any

from voyager.session.sketch import boat
from voyager.session.sketch.state import Sketch
from voyager.session.value_nudge import nudged
from voyager.session.value_read import read
from voyager.tui.values_rows import ValueRow


def typed(sketch: Sketch, row: ValueRow, text: str) -> Sketch:
    """With what was typed on a row; text left as it stood changes nothing, however it was rounded for the screen."""
    if row.field is None or text.strip() == row.text:
        return sketch
    return _put(sketch, row, _asked(read, row.field, text, row.value, row.scale))


def stepped(sketch: Sketch, row: ValueRow, steps: int) -> Sketch:
    """With the value so many steps on."""
    if row.field is None:
        return sketch
    return _put(sketch, row, _asked(nudged, row.field, row.value, steps, row.scale))


def cleared(sketch: Sketch, row: ValueRow) -> Sketch:
    """With the default in its place."""
    if row.field is not None and row.field["needed"]:
        raise ValueError("This must be given: the file can't do without it.")
    return sketch if row.field is None or not row.own else _put(sketch, row, None)


def without(sketch: Sketch, row: ValueRow) -> Sketch:
    """Without the array, heater or comfort step that the row belongs to."""
    if not row.part:
        raise ValueError("Only arrays, heaters and comfort steps can be taken out.")
    return boat.remove(sketch, row.part)


def _asked(call: Callable[..., Any], *arguments: Any) -> Any:
    try:
        return call(*arguments)
    except ValueError as error:
        raise ValueError(f"must be {error}") from None


def _put(sketch: Sketch, row: ValueRow, value: Any) -> Sketch:
    if row.field is None or value == row.value:
        return sketch
    if row.field["file"] == "voyage":
        return sketch.put_top(row.field["key"], value)
    if row.path[-1] == "":
        return boat.rename_step(sketch, str(row.value), str(value))
    return boat.put(sketch, row.path, value)
