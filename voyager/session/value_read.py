"""Typed text read into values of the files; ValueError says what it must be. Pure and light; no file is touched."""

import re
from collections.abc import Callable, Mapping
from datetime import date
from typing import Any, Final

from voyager.session.value_text import Field, Scale, figure, is_number, limits_text, plain_scale, same, tidy, within

NUMBER: Final = re.compile(r"([+\-−]?(?:\d+(?:[.,]\d*)?|[.,]\d+))\s*([^\d\s,.].*|)", re.ASCII)
CLOCK: Final = re.compile(r"(\d{1,2})(?::?(\d{2}))?", re.ASCII)
DATE: Final = re.compile(r"(\d{4})-(\d{1,2})-(\d{1,2})", re.ASCII)
FIRST_YEAR, LAST_YEAR = 1950, 2100
LONGEST_TEXT: Final = 200
YES, NO = ("yes", "true", "on"), ("no", "false", "off")
DAY_MIN: Final = 24 * 60


def read(field: Field, text: str, now: Any = None, scale: Scale | None = None) -> Any:
    """Typed text as a value of the file; None for empty text. ``now``: what stands there, which a date takes after.

    Raises ValueError: what it must be, to be read after "must be".
    """
    bare = text.strip()
    if not bare:
        if field["needed"]:
            raise ValueError("given; the file can't do without it")
        return None
    readers: Mapping[str, Callable[[], Any]] = {
        "number": lambda: _number(field, bare, scale), "integer": lambda: _whole(field, bare),
        "date": lambda: _date(bare, now), "clock": lambda: _clock(bare), "window": lambda: _window(bare),
        "choice": lambda: _choice(field, bare), "bool": lambda: _bool(bare), "hourly": lambda: _hourly(field, bare),
        "curve": lambda: _curve(field, bare), "hours": lambda: _hours(bare),
    }  # fmt: skip
    return readers.get(field["kind"], lambda: _text(bare))()


def _number(field: Field, text: str, scale: Scale | None) -> float | int:
    used = scale or plain_scale(field)
    match = NUMBER.fullmatch(text)
    example = f"a number{f' in {used.unit}' if used.unit else ''}"
    if match is None:
        raise ValueError(f"{example}: {limits_text(field, used)}")
    value = float(match[1].replace(",", ".").replace("−", "-"))
    own = _in_own_unit(field, value, match[2].strip(), used)
    return within(field, tidy(own), used)


def _in_own_unit(field: Field, value: float, unit: str, used: Scale) -> float:
    if not unit or _alike(unit, used.unit):
        return used.own(value)
    if _alike(unit, field["unit"]):
        return value
    twin = field.get("twin") or {}
    if twin and _alike(unit, twin["unit"]):
        return value * float(twin["factor"])
    known = dict.fromkeys(name for name in (used.unit, field["unit"], twin.get("unit")) if name)
    raise ValueError(f"a number in {' or '.join(known)}" if known else "a number without a unit")


def _alike(one: str, other: str) -> bool:
    short = str.maketrans("²³", "23", "/ °")
    return bool(other) and one.lower().translate(short) == other.lower().translate(short)


def _whole(field: Field, text: str) -> int:
    if not re.fullmatch(r"[+\-]?\d{1,9}", text, re.ASCII):
        raise ValueError(f"a whole number: {limits_text(field)}")
    return int(within(field, int(text)))


def _date(text: str, now: Any) -> Any:
    match = DATE.fullmatch(text)
    if match is None:
        raise ValueError("a date as 2027-03-05")
    try:
        value = date(*map(int, match.groups()))
    except ValueError:
        raise ValueError(f"a date that exists, as 2027-03-05; {text} does not") from None
    if not FIRST_YEAR <= value.year <= LAST_YEAR:
        raise ValueError(f"a date in the years {FIRST_YEAR} to {LAST_YEAR}")
    return value.isoformat() if isinstance(now, str) else value


def minutes_of(text: str, last: int) -> int:
    """Minutes since midnight of a clock time of at most ``last``. Raises ValueError."""
    match = CLOCK.fullmatch(text)
    minutes = int(match[1]) * 60 + int(match[2] or 0) if match else DAY_MIN + 1
    if match is None or int(match[2] or 0) > 59 or minutes > last:
        raise ValueError("a clock time as 08:30")
    return minutes


def clock_text(minutes: int) -> str:
    """``08:30``."""
    return f"{minutes // 60:02}:{minutes % 60:02}"


def _clock(text: str) -> str:
    return clock_text(minutes_of(text, DAY_MIN - 1))


def _window(text: str) -> Any:
    if len(text) >= 1 and "daylight".startswith(text.lower()):
        return "daylight"
    ends = re.split(r"\s*(?:-|–|to|,|\s)\s*", text.strip("[] ").replace('"', ""))
    if len(ends) != 2:
        raise ValueError("daylight, or two clock times as 08:30-17:00")
    opens, shuts = (minutes_of(end, DAY_MIN) for end in ends)
    if opens >= shuts:
        raise ValueError("a window that ends after it begins, as 08:30-17:00")
    return [clock_text(opens), clock_text(shuts)]


def _choice(field: Field, text: str) -> str:
    choices: list[str] = list(field["choices"])
    fits = [one for one in choices if one == text] or [one for one in choices if one.startswith(text.lower())]
    if len(fits) != 1:
        raise ValueError(f"one of {', '.join(choices)}")
    return fits[0]


def _bool(text: str) -> bool:
    for words, value in ((YES, True), (NO, False)):
        if any(len(text) >= (2 if word in {"on", "off"} else 1) and word.startswith(text.lower()) for word in words):
            return value
    raise ValueError("yes or no")


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
    if NUMBER.fullmatch(text):
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
