"""Sketches, and what an edit changes in one, as plain values that JSON can hold; dates are tagged."""

from collections.abc import Mapping
from dataclasses import replace
from datetime import date, datetime, time
from typing import Any

from voyager.session.sketch.state import ROWS, Row, Sketch

Json = dict[str, Any]
TAG = "$"
TOP, BOAT, REMARKS = TABLES = "top", "boat", "remarks"
TAGS: dict[str, type[date] | type[datetime] | type[time]] = {"$instant": datetime, "$date": date, "$time": time}
TABLE = "$table"


def encoded(value: Any) -> Any:
    """A value of a file for JSON."""
    if isinstance(value, Mapping):
        if any(str(key).startswith(TAG) for key in value):
            return {TABLE: [[key, encoded(item)] for key, item in value.items()]}
        return {key: encoded(item) for key, item in value.items()}
    if isinstance(value, list | tuple):
        return [encoded(item) for item in value]
    for tag, kind in TAGS.items():
        if isinstance(value, kind):
            return {tag: value.isoformat()}
    return value


def decoded(value: Any) -> Any:
    """The inverse of ``encoded``."""
    if isinstance(value, list):
        return [decoded(item) for item in value]
    if not isinstance(value, dict):
        return value
    if len(value) == 1:
        (tag, inner), *_ = value.items()
        if tag in TAGS:
            return TAGS[tag].fromisoformat(inner)
        if tag == TABLE:
            return {key: decoded(item) for key, item in inner}
    return {key: decoded(item) for key, item in value.items()}


def sketch_out(sketch: Sketch) -> Json:
    """A whole sketch."""
    rows = {name: [[row.ident, encoded(row.values)] for row in getattr(sketch, name)] for name in ROWS.values()}
    tables = {name: encoded(getattr(sketch, name)) for name in TABLES}
    return {**tables, "next": sketch.next_ident, **rows}


def sketch_in(data: Mapping[str, Any]) -> Sketch:
    """The inverse of ``sketch_out``; a journal of an earlier version knows of no remarks."""
    rows = {name: tuple(_row(ident, values) for ident, values in data[name]) for name in ROWS.values()}
    top, boat, remarks = (_table(data.get(name, {})) if name == REMARKS else _table(data[name]) for name in TABLES)
    return Sketch(top=top, boat=boat, next_ident=data["next"], remarks=remarks, **rows)


def delta(before: Sketch, after: Sketch) -> Json:
    """What has to be told to make ``after`` of ``before``: tables by key, rows by identity, orders that change."""
    told: Json = {"next": after.next_ident}
    for name in TABLES:
        if change := _table_delta(getattr(before, name), getattr(after, name)):
            told[name] = change
    for name in ROWS.values():
        if change := _rows_delta(getattr(before, name), getattr(after, name)):
            told[name] = change
    return told if _same(applied(before, told), after) else {"whole": sketch_out(after)}


def applied(before: Sketch, told: Mapping[str, Any]) -> Sketch:
    """The sketch that ``delta`` was told of."""
    if "whole" in told:
        return sketch_in(told["whole"])
    changes: dict[str, Any] = {"next_ident": told["next"]}
    for name in TABLES:
        if name in told:
            changes[name] = _table_applied(getattr(before, name), told[name])
    for name in ROWS.values():
        if name in told:
            changes[name] = _rows_applied(getattr(before, name), told[name])
    return replace(before, **changes)


def _alike(a: Any, b: Any) -> bool:
    """Stricter than ==: true is not 1, 24 is not 24.0, and the order of keys counts (it is the comfort ladder's)."""
    return a is b or repr(a) == repr(b)


def _same(one: Sketch, other: Sketch) -> bool:
    """As ``_alike``, part by part: rows that both share cost nothing."""
    tables = ((getattr(one, name), getattr(other, name)) for name in TABLES)
    if one.next_ident != other.next_ident or not all(_alike(*pair) for pair in tables):
        return False
    pairs = [(getattr(one, name), getattr(other, name)) for name in ROWS.values()]
    return all(len(a) == len(b) and all(map(_alike, a, b)) for a, b in pairs)


def _table_delta(before: Mapping[str, Any], after: Mapping[str, Any]) -> Json:
    if before is after:
        return {}
    new = {key: encoded(v) for key, v in after.items() if key not in before or not _alike(before[key], v)}
    told: Json = {"put": [[key, value] for key, value in new.items()]} if new else {}
    if list(before) != list(after):
        told["keys"] = list(after)
    return told


def _table_applied(before: Mapping[str, Any], told: Mapping[str, Any]) -> Mapping[str, Any]:
    put = {key: decoded(value) for key, value in told.get("put", ())}
    return {key: put[key] if key in put else before[key] for key in told.get("keys", list(before))}


def _rows_delta(before: tuple[Row, ...], after: tuple[Row, ...]) -> Json:
    if before is after:
        return {}
    known = {row.ident: row for row in before}
    new = [row for row in after if row.ident not in known or not _alike(known[row.ident], row)]
    told: Json = {"put": [[row.ident, encoded(row.values)] for row in new]} if new else {}
    order = [row.ident for row in after]
    if order != [row.ident for row in before]:
        told["order"] = order
    return told


def _rows_applied(before: tuple[Row, ...], told: Mapping[str, Any]) -> tuple[Row, ...]:
    known = {row.ident: row for row in before}
    known |= {ident: _row(ident, values) for ident, values in told.get("put", ())}
    return tuple(known[ident] for ident in told.get("order", [row.ident for row in before]))


def _row(ident: int, values: Any) -> Row:
    return Row(ident, _table(values))


def _table(told: Any) -> dict[str, Any]:
    found = decoded(told)
    if not isinstance(found, dict):
        raise TypeError(f"a table is wanted, is {type(found).__name__}")
    return found
