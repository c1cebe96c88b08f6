"""Every key of one leg as lines of a form: label, value, unit, what stands where nothing is given. Pure."""

from typing import NamedTuple

from voyager.session.sketch.fields import LEG_FIELDS, SECOND, Field, figure, raw
from voyager.session.sketch.numbers import standing
from voyager.session.sketch.reading import words
from voyager.session.sketch.state import Row
from voyager.tui.leg_columns import second as chosen_second
from voyager.tui.units import Units


class Entry(NamedTuple):
    """One line; ``second``: the value is shown and typed in the other usual unit."""

    field: Field
    value: str
    unit: str
    second: bool


def entries(row: Row, units: Units) -> list[Entry]:
    """One line a key: speeds and lengths of way in the units chosen, other sizes in the file's."""
    return [_entry(field, row, units) for field in LEG_FIELDS]


def _entry(field: Field, row: Row, units: Units) -> Entry:
    second = chosen_second(field.key, units)
    if field.kind == "list":
        second = standing(row, field.key) != field.key
        text = words(raw(row, field.key))
    elif field.kind == "number":
        second = second or (field.unit == "m" and standing(row, field.key) != field.key)
        text = words(figure(row, field.key, second)) or words(raw(row, field.key))
    else:
        text = words(raw(row, field.key))
    return Entry(field, text, SECOND.get(field.unit, field.unit) if second else field.unit, second)


def note(field: Field) -> str:
    """What is shown beside an empty value, or says how to type it."""
    return HOW.get(field.kind, "") or (f"if empty: {field.otherwise}" if field.otherwise else "")


HOW = {
    "window": "09:00-17:30; if empty: always",
    "days": "sat sun; if empty: none",
    "spans": "2027-03-05 to 2027-03-09",
    "instant": "2027-03-01 05:40 UTC",
    "date": "2027-03-05; if empty: any",
}
