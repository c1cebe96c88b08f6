"""Rows out of a spreadsheet and into one: all of them or none."""

import csv
import io
from collections.abc import Iterable, Sequence
from typing import Any

from voyager.session.sketch.fields import LEG_BY_KEY, Field
from voyager.session.sketch.numbers import put_typed, twin
from voyager.session.sketch.places import add_place
from voyager.session.sketch.reading import read, words
from voyager.session.sketch.state import Row, Sketch

PLAIN = ("from", "to", "water", "distance_km", "locks", "speed_kmh", "nights")
HEADINGS = {
    "from": "from", "start": "from", "to": "to", "end": "to", "water": "water", "km": "distance_km",
    "nm": "distance_nm", "distance": "distance_km", "locks": "locks", "km/h": "speed_kmh", "kmh": "speed_kmh",
    "kn": "speed_kn", "speed": "speed_kmh", "stay": "nights", "nights": "nights", "current": "current_kmh",
    "limit": "limit_kmh", "depth": "depth_m", "width": "width_m", "headroom": "headroom_m", "shade": "shade_percent",
}  # fmt: skip
LEFT_OUT = ("h", "kwh", "day", "shore", "end %", "end charge", "")
"""Headings of figures that a plan gives, and of nothing."""
UNITS = {"km": "km", "nm": "nm", "km/h": "kmh", "kmh": "kmh", "kn": "kn", "m": "m", "ft": "ft", "%": "percent"}
NESTED = ("via", "tide")


def paste_rows(sketch: Sketch, index: int, text: str) -> Sketch:
    """With the rows of a text as legs below leg ``index`` (-1: before all); places not yet known are added, without
    position. Cells lie between tabs, semicolons or commas; a first row may name the columns. ValueError names the
    first bad cell by row and column, and nothing is taken.
    """
    grid = _grid(text)
    columns = _columns(grid[0])
    body = grid if columns is None else grid[1:]
    if not body:
        raise ValueError("there is a row of headings and nothing below it")
    first = 1 if columns is None else 2
    rows = [_row(columns or list(PLAIN), cells, number) for number, cells in enumerate(body, first)]
    made, new = sketch, []
    for values in rows:
        made, row = made.fresh(values)
        new.append(row)
        for key in ("from", "to"):
            if values.get(key) and not any(place.get("name") == values[key] for place in made.places):
                made = add_place(made, values[key])
    return made.with_rows("legs", [*made.legs[: index + 1], *new, *made.legs[index + 1 :]])


def _grid(text: str) -> list[list[str]]:
    lines = text.replace("\r\n", "\n").replace("\r", "\n").strip("\n")
    if not lines.strip():
        raise ValueError("there is nothing to paste")
    mark = next((sign for sign in "\t;," if sign in lines), "\t")
    try:
        rows = list(csv.reader(io.StringIO(lines), delimiter=mark, strict=True))
    except csv.Error:
        raise ValueError("the rows can't be told apart: a quotation mark stands alone in them") from None
    return [[cell.strip() for cell in row] for row in rows if any(cell.strip() for cell in row)]


def _columns(cells: Sequence[str]) -> list[str] | None:
    """The file's keys of a row of headings ("" to leave out), None where it is a row of values."""
    known = [_key(cell) for cell in cells]
    names = [key for key in known if key]
    if not {"from", "to"} <= set(names):
        return None
    for number, (cell, key) in enumerate(zip(cells, known, strict=True), 1):
        if key is None:
            raise ValueError(f'row 1, column {number}: the heading "{cell}" is not known')
    twice = next((key for key in names if names.count(key) > 1), None)
    if twice:
        raise ValueError(f"row 1: two columns are {twice}")
    return [key or "" for key in known]


def _key(heading: str) -> str | None:
    """``limit_kn`` for "Limit (kn)", "limit kn" or "limit_kn"; "" to leave out, None if unknown."""
    text = " ".join(heading.lower().replace("(", " ").replace(")", " ").replace("[", " ").replace("]", " ").split())
    if text in LEFT_OUT:
        return ""
    base, _, unit = text.rpartition(" ")
    for name in (text, text.replace(" ", "_")):
        if name in HEADINGS or _field(name) or name in NESTED:
            return HEADINGS.get(name, name)
    if unit in UNITS:
        own = HEADINGS.get(base, f"{base.replace(' ', '_')}_{UNITS[unit]}")
        other = twin(own)
        for name in (own, other[0] if other else own):
            if name.endswith(f"_{UNITS[unit]}") and _field(name):
                return name
    return None


def _field(key: str) -> tuple[Field, bool] | None:
    """The field of a key, and whether the key is in its other unit."""
    other = twin(key)
    if key in LEG_BY_KEY:
        return LEG_BY_KEY[key], False
    return (LEG_BY_KEY[other[0]], True) if other and other[0] in LEG_BY_KEY else None


def _row(columns: Sequence[str], cells: Sequence[str], number: int) -> dict[str, Any]:
    if len(cells) > len(columns) and any(cells[len(columns) :]):
        raise ValueError(f"row {number} has {len(cells)} cells, {len(columns)} columns are known")
    row = Row(0, {})
    for place, (column, cell) in enumerate(zip(columns, cells, strict=False), 1):
        if column and cell:
            row = _with_cell(row, column, cell, f"row {number}, column {place} ({column})")
    for key in ("from", "to"):
        if not row.get(key):
            raise ValueError(f"row {number}: {key} is missing")
    return dict(row.values)


def _with_cell(row: Row, column: str, cell: str, where: str) -> Row:
    try:
        if column in NESTED:
            return row.put(column, _nested(column, cell))
        found = _field(column)
        if found is None:
            raise ValueError("a known column")
        key, value = read(found[0], cell, found[1])
    except ValueError as error:
        raise ValueError(f'{where}: "{cell}" must be {error}') from None
    if key.startswith("tide."):
        return row.put("tide", {**(row.get("tide") or {}), key.removeprefix("tide."): value})
    if row.get((twin(key) or ("",))[0]) is not None:
        raise ValueError(f"{where}: it stands in its other unit too; give one of them")
    return put_typed(row, key, value)


def _nested(column: str, cell: str) -> Any:
    """Points and tides as the file writes them."""
    import tomli

    try:
        value = tomli.loads(f"x = {cell}")["x"]
    except (tomli.TOMLDecodeError, RecursionError):
        raise ValueError("as the voyage file writes it") from None
    if not isinstance(value, list if column == "via" else dict):
        raise ValueError("points as [[lat, lon], …]" if column == "via" else "{ high_water = …, flood_kmh = … }")
    return value


def copy_rows(sketch: Sketch, indexes: Iterable[int]) -> str:
    """Legs as rows between tabs under the file's keys: a spreadsheet takes them, and ``paste_rows`` gives them back."""
    rows = [sketch.legs[index] for index in indexes]
    used = {key for row in rows for key in row.values}
    known = [key for field in LEG_BY_KEY for key in (field, (twin(field) or (field,))[0]) if key in used]
    columns = list(dict.fromkeys([*known, *(key for key in NESTED if key in used)]))
    out = io.StringIO()
    writer = csv.writer(out, delimiter="\t", lineterminator="\n")
    writer.writerow(columns)
    writer.writerows([[_cell(key, row.get(key)) for key in columns] for row in rows])
    return out.getvalue()


def _cell(key: str, value: Any) -> str:
    if key not in NESTED or value is None:
        return words(value)
    if isinstance(value, dict):
        return "{ " + ", ".join(f"{name} = {_toml(item)}" for name, item in value.items()) + " }"
    return _toml(value)


def _toml(value: Any) -> str:
    if isinstance(value, list | tuple):
        return "[" + ", ".join(map(_toml, value)) + "]"
    if isinstance(value, bool | int | float):
        return str(value).lower() if isinstance(value, bool) else repr(value)
    return f'"{value}"' if isinstance(value, str) else value.isoformat()
