"""Dates typed as texts, put as the file writes its dates."""

import re
from collections.abc import Mapping
from datetime import date, datetime
from typing import Any

from voyager.files.save_rows import origins, same

DATE_KEYS = frozenset({"departs", "by", "earliest", "latest", "date", "closed"})
INSTANT_KEYS = frozenset({"high_water"})
_DATE = re.compile(r"\d{4}-\d{2}-\d{2}")
_INSTANT = re.compile(r"\d{4}-\d{2}-\d{2}[Tt ]\d{2}:\d{2}(:\d{2}(\.\d+)?)?([Zz]|[+-]\d{2}:\d{2})?")


def dated(new: Any, old: Any, key: str = "") -> Any:
    """``new`` with texts that tell a date turned into TOML dates, but where ``old`` has a text at that place.

    A text in any place where ``old`` has a date is turned too. What tells no date stays as it is.
    """
    if isinstance(new, Mapping):
        before = old if isinstance(old, Mapping) else {}
        return {name: dated(value, before.get(name), name) for name, value in new.items()}
    if isinstance(new, list | tuple):
        items = old if isinstance(old, list) else []
        return [dated(value, was, key) for value, was in zip(new, _earlier(new, items), strict=True)]
    if not isinstance(new, str) or isinstance(old, str):
        return new
    if isinstance(old, date) or key in DATE_KEYS or key in INSTANT_KEYS:
        return _read(new)
    return new


def _earlier(new: list[Any] | tuple[Any, ...], old: list[Any]) -> list[Any]:
    """What each item was before."""
    if all(isinstance(item, Mapping) for item in [*new, *old]):
        return [None if was is None else old[was] for was in origins(old, list(new))]
    beside = [old[number] if number < len(old) else None for number in range(len(new))]
    return [next((was for was in old if same(was, item)), near) for item, near in zip(new, beside, strict=True)]


def _read(text: str) -> Any:
    try:
        if _DATE.fullmatch(text):
            return date.fromisoformat(text)
        if _INSTANT.fullmatch(text):
            return datetime.fromisoformat(text)
    except ValueError:
        pass
    return text
