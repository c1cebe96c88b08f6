"""What is typed for a key of a leg or place, read into the file's value; ValueError has the reason in one sentence."""

import re
from collections.abc import Callable
from datetime import UTC, date, datetime
from typing import Any

from voyager.session.sketch.fields import SECOND, Field
from voyager.session.sketch.numbers import plain, twin
from voyager.session.sketch.positions import parse_position, position_words
from voyager.session.typed import choice_of, clean, date_of, number_of, tidy, unit_of, window_of, yes_or_no

DAYS = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")


def read(field: Field, text: str, second: bool = False) -> tuple[str, Any]:
    """The file's key and value for a text; None as value for an empty one. ``second``: bare figures are in the
    other usual unit (knots, NM, feet), which the key then ends in.
    """
    bare = clean(text)
    if not bare:
        return field.key, None
    if field.kind in {"number", "list"}:
        return _measured(field, bare, second)
    return field.key, READERS[field.kind](field, bare)


def _measured(field: Field, text: str, second: bool) -> tuple[str, Any]:
    parts = re.split(r"[; ]+|,(?=\s)", text) if field.kind == "list" else [text]
    found = [_figure(field, part.strip(" ,"), second) for part in parts if part.strip(" ,")]
    if not found:
        raise ValueError(f"kilometres such as {_example(field)}")
    key = found[0][0]
    return key, [value for _, value in found] if field.kind == "list" else found[0][1]


def _figure(field: Field, text: str, second: bool) -> tuple[str, float]:
    found = number_of(text)
    value, typed = found or (0.0, "")
    unit = unit_of(typed, (field.unit, SECOND.get(field.unit, "")))
    if found is None or (typed and unit is None):
        raise ValueError(f"a figure{_in(field, second)} such as {_example(field)}")
    value = tidy(value)
    other = twin(field.key) if (second if unit is None else unit != field.unit) else None
    _limits(field, tidy(value * other[1]) if other else value, second)
    return (other[0] if other else field.key), (int(value) if value == int(value) and "." not in text else value)


def _limits(field: Field, value: float, second: bool) -> None:
    if (field.low < value if field.above else field.low <= value) and value <= field.high:
        return
    other = twin(field.key) if second else None
    low, high = (tidy(end / other[1]) if other else end for end in (field.low, field.high))
    start = f"above {low:g} and up to" if field.above else f"from {low:g} to"
    raise ValueError(f"a figure {start} {high:.6g}{_in(field, second, '')}")


def _in(field: Field, second: bool, word: str = " in") -> str:
    unit = SECOND.get(field.unit, field.unit) if second else field.unit
    return f"{word} {unit}" if unit else ""


def _example(field: Field) -> str:
    return {"km": "12.5", "km/h": "6.5, or 3.5 kn", "%": "15"}.get(field.unit, "2.5")


def _name(_: Field, text: str) -> str:
    if len(text) > 200:
        raise ValueError("a name of at most 200 letters")
    return text


def _count(field: Field, text: str) -> int:
    if not re.fullmatch(r"\d{1,6}", text, re.A) or int(text) > field.high:
        raise ValueError(f"a whole number from 0 to {field.high:g}")
    return int(text)


def _window(_: Field, text: str) -> list[str]:
    return window_of(text)


def _days(_: Field, text: str) -> list[str]:
    found = [part.lower()[:3] for part in re.split(r"[,; ]+", text) if part]
    if not found or any(part not in DAYS for part in found):
        raise ValueError("days of the week as mon tue sun")
    return [day for day in DAYS if day in found]


def _spans(_: Field, text: str) -> list[list[date]]:
    found = []
    for part in re.split(r"\s*[,;]\s*", text.strip(" ,;")):
        ends = re.findall(r"\d{4}-\d{1,2}-\d{1,2}", part)
        if len(ends) not in (1, 2) or re.sub(r"\d{4}-\d{1,2}-\d{1,2}|to|[-–\s]", "", part):
            raise ValueError("spans of dates as 2027-03-05 to 2027-03-09")
        first, last = date_of(ends[0]), date_of(ends[-1])
        if last < first:
            raise ValueError(f"the earlier date first: {last} to {first} may be meant")
        found.append([first, last])
    return found


def _instant(_: Field, text: str) -> datetime:
    try:
        moment = datetime.fromisoformat(re.sub(r" *(utc|z)$", "+00:00", text, flags=re.I))
    except ValueError:
        raise ValueError("a date and time as 2027-03-01 05:40 UTC, or with its offset as +01:00") from None
    if moment.tzinfo is None:
        raise ValueError(f"with its offset, as {moment:%Y-%m-%d %H:%M} UTC or +01:00")
    date_of(moment.date().isoformat())
    return moment


def _position(_: Field, text: str) -> list[float]:
    return list(parse_position(text))


READERS: dict[str, Callable[[Field, str], Any]] = {
    "name": _name, "choice": lambda field, text: choice_of(field.choices, text), "count": _count,
    "bool": lambda _, text: yes_or_no(text), "window": _window, "days": _days,
    "spans": _spans, "instant": _instant, "position": _position, "date": lambda _, text: date_of(text),
}  # fmt: skip


def words(value: Any) -> str:
    """A value of a file as it would be typed; read again it is the same."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, datetime):
        utc = value.tzinfo is not None and not value.utcoffset()
        return f"{value.astimezone(UTC):%Y-%m-%d %H:%M} UTC" if utc and not value.second else value.isoformat(" ")
    figure = plain(value)
    if figure is not None:
        return f"{figure:.10g}"
    if isinstance(value, list | tuple):
        return _listed(value)
    return str(value)


def _listed(value: list[Any] | tuple[Any, ...]) -> str:
    if value and all(isinstance(item, list | tuple) for item in value):
        return ", ".join(" to ".join(map(words, item)) for item in value)
    if len(value) == 2 and all(isinstance(item, str) and ":" in item for item in value):
        return "-".join(value)
    return " ".join(map(words, value))


def text_of(field: Field, value: Any) -> str:
    """As ``words``, a position as latitude and longitude."""
    if field.kind == "position" and isinstance(value, list | tuple) and len(value) == 2:
        pair = [plain(item) for item in value]
        return position_words((pair[0], pair[1])) if pair[0] is not None and pair[1] is not None else words(value)
    return words(value)
