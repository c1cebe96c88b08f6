"""Typed text read into values of the files; ValueError says what it must be. Pure and light; no file is touched."""

import re
from collections.abc import Callable, Mapping
from typing import Any, Final

from voyager.session.typed import (
    DAY_MIN,
    choice_of,
    clean,
    clock_text,
    date_of,
    minutes_of,
    neat,
    number_of,
    unit_of,
    window_of,
    yes_or_no,
)
from voyager.session.value_text import Field, Scale, figure, is_number, limits_text, plain_scale, same, within

LONGEST_TEXT: Final = 200


def read(field: Field, text: str, now: Any = None, scale: Scale | None = None) -> Any:
    """Typed text as a value of the file; None for empty text. ``now``: what stands there, which a date takes after.

    Raises ValueError: what it must be, to be read after "must be".
    """
    bare = clean(text)
    if not bare:
        if field["needed"]:
            raise ValueError("given; the file can't do without it")
        return None
    readers: Mapping[str, Callable[[], Any]] = {
        "number": lambda: _number(field, bare, scale), "integer": lambda: _whole(field, bare),
        "date": lambda: _date(bare, now), "clock": lambda: clock_text(minutes_of(bare, DAY_MIN - 1)),
        "window": lambda: _window(bare), "choice": lambda: choice_of(field["choices"], bare),
        "bool": lambda: yes_or_no(bare), "hourly": lambda: _hourly(field, bare),
        "curve": lambda: _curve(field, bare), "hours": lambda: _hours(bare),
    }  # fmt: skip
    return readers.get(field["kind"], lambda: _text(bare))()


def _number(field: Field, text: str, scale: Scale | None) -> float | int:
    used = scale or plain_scale(field)
    found = number_of(text)
    example = f"a number{f' in {used.unit}' if used.unit else ''}"
    if found is None:
        raise ValueError(f"{example}: {limits_text(field, used)}")
    return within(field, neat(_in_own_unit(field, *found, used)), used)


def _in_own_unit(field: Field, value: float, unit: str, used: Scale) -> float:
    twin = field.get("twin") or {"unit": "", "factor": 1.0}
    meant = unit_of(unit, (used.unit, field["unit"], twin["unit"]))
    if not unit or meant == used.unit:
        return used.own(value)
    if meant is not None:
        return value if meant == field["unit"] else value * float(twin["factor"])
    known = dict.fromkeys(name for name in (used.unit, field["unit"], twin["unit"]) if name)
    raise ValueError(f"a number in {' or '.join(known)}" if known else "a number without a unit")


def _whole(field: Field, text: str) -> int:
    if not re.fullmatch(r"[+\-]?\d{1,9}", text, re.ASCII):
        raise ValueError(f"a whole number: {limits_text(field)}")
    return int(within(field, int(text)))


def _date(text: str, now: Any) -> Any:
    value = date_of(text)
    return value.isoformat() if isinstance(now, str) else value


def _window(text: str) -> Any:
    if "daylight".startswith(text.lower()):
        return "daylight"
    try:
        return window_of(text)
    except ValueError as error:
        raise ValueError(f"daylight, or {error}") from None


def _text(text: str) -> str:
    if len(text) > LONGEST_TEXT or not text.isprintable():
        raise ValueError(f"a text of up to {LONGEST_TEXT} letters")
    return text


def _toml(text: str) -> Any:
    from tomllib import TOMLDecodeError, loads

    try:
        return loads(f"x = {text}")["x"] if "\n" not in text else None
    except TOMLDecodeError:
        return None


def _hourly(field: Field, text: str) -> Any:
    if number_of(text):
        return _number(field, text, None)
    value = _toml(text if text.startswith("[") else f"[{', '.join(text.replace(',', ' ').split())}]")
    if not isinstance(value, list) or not all(map(is_number, value)):
        raise ValueError("a number, or 24 numbers for the hours from midnight: [0, 0, …]")
    if len(value) != 24:
        raise ValueError(f"a number, or 24 numbers for the hours from midnight, not {len(value)}")
    return [within(field, one) for one in value]


def _curve(field: Field, text: str) -> Any:
    value, columns = _toml(text), field["columns"]
    rows = value if isinstance(value, list) else []
    if not rows or not all(_is_row(row, len(columns)) for row in rows):
        raise ValueError(f"rows of {len(columns)} numbers, [[0, 0.9], [20, 1.0]]: {field['help']}")
    if len(rows) < field["rows_least"]:
        raise ValueError(f"{field['rows_least']} rows or more, not {len(rows)}")
    for number, row in enumerate(rows, 1):
        for one, column in zip(row, columns, strict=True):
            try:
                within(column, one, Scale("", same, same))
            except ValueError as error:
                raise ValueError(f"in row {number} {error}, not {figure(one)}") from None
    return rows


def _is_row(row: Any, columns: int) -> bool:
    return isinstance(row, list) and len(row) == columns and all(map(is_number, row))


def _hours(text: str) -> Any:
    value = _toml(text if text.startswith("{") else f"{{ {text} }}")
    if not isinstance(value, dict) or not all(map(is_number, value.values())):
        raise ValueError('setpoints by hours, "06:30-08:30" = 14, "18:00-22:00" = 15')
    return {_span(key): within({"least": -10, "most": 35, "above": False, "below": False, "unit": "°C"}, one)
            for key, one in value.items()}  # fmt: skip


def _span(text: str) -> str:
    ends = re.split(r"\s*[-–]\s*", text.strip())
    try:
        minutes = [minutes_of(end, DAY_MIN) for end in ends]
    except ValueError:
        minutes = []
    if len(minutes) != 2 or minutes[0] == minutes[1]:
        raise ValueError(f'a span of hours as "06:30-08:30", not "{text}"')
    return "-".join(map(clock_text, minutes))
