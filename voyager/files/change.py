"""Changes to try on a voyage and its boat: ``KEY=VALUE``, ``KEY+=VALUE``, ``KEY*=VALUE``, several joined by commas.

KEY is the path in the boat file, an array, heater or comfort step by its name (``array.roof.moored_tilt_deg``), or
``voyage.`` and a key of the voyage's top table; ``mass_kg=`` and ``price=`` say what the change weighs and costs. A
name that holds a dot, comma, equals sign or quote stands in quotes: ``array."roof, port".tilt_deg``. VALUE is written
as in the file; a single word, a date and a clock time need no quotes.
"""

import math
import os
import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import tomli

from voyager.errors import InputError, Problems
from voyager.files.change_set import changed_documents, key_text, value_of
from voyager.files.printable import shown
from voyager.files.voyage_file import Loaded, load_voyage

__all__ = ["Change", "Setting", "apply", "key_text", "load_changed", "parse_change", "parse_key", "value_of"]
ASIDE = ("mass_kg", "price")
SIGNS = ("+", "*")
NUMBER = re.compile(r"[+-]?(\d+\.?\d*|\.\d+)([eE][+-]?\d+)?")
BEFORE_QUOTE = " .,=[{:"
EXAMPLE = "battery.capacity_kwh=40"


@dataclass(frozen=True)
class Setting:
    """One key set (``=``), added to (``+=``) or scaled (``*=``); ``path`` as ``parse_key`` gives it."""

    path: tuple[str, ...]
    sign: str
    value: Any


@dataclass(frozen=True)
class Change:
    """One change as it was written, what it sets in order, and what it weighs (kg) and costs; None where not said."""

    text: str
    sets: tuple[Setting, ...]
    mass_kg: float | None = None
    price: float | None = None


def parse_change(text: str) -> Change:
    """Read a change; whether its keys exist is seen when it is applied. Raises InputError, one sentence."""
    sets, aside = list[Setting](), dict[str, float]()
    for part in _split(text, ",", text):
        setting = _setting(part.strip(), text)
        name = setting.path[0]
        if len(setting.path) > 1 or name not in ASIDE:
            sets.append(setting)
        elif name in aside:
            raise InputError(f"in the change {shown(text)}: {name} stands twice; write one sum")
        else:
            aside[name] = _amount(setting, text)
    return Change(text, tuple(sets), aside.get("mass_kg"), aside.get("price"))


def apply(change: Change, documents: Mapping[str, Any]) -> dict[str, Any]:
    """``{"voyage", "boat"}`` with the change made; what is passed in stays as it is.

    Raises InputError for a key, array, heater or step that is not there (the nearest is proposed), and for adding to
    or scaling what is no number. Values are not checked: ``load_changed`` holds them to all that files must fulfil.
    """
    try:
        return changed_documents(documents, [(one.path, one.sign, one.value) for one in change.sets])
    except InputError as error:
        raise InputError(f"in the change {shown(change.text)}: {error}") from None


def load_changed(path: str | os.PathLike[str], change: Change, documents: Mapping[str, Any] | None = None) -> Loaded:
    """The voyage and vessel of a file with the change made, checked as if the files said so.

    ``documents`` as in ``files.examine``, the files' own if not given. Raises Problems for faults of the files
    themselves, InputError as ``apply`` and for what the change makes of them, in one sentence.
    """
    held = pair_of(path) if documents is None else documents
    made = apply(change, held)
    try:
        return load_voyage(path, documents=made)
    except Problems as error:
        said = "; ".join(map(str, error.problems))
        raise InputError(f"the change {shown(change.text)} cannot be: {said}") from None


def pair_of(path: str | os.PathLike[str]) -> dict[str, Any]:
    """``{"voyage", "boat"}`` of the files, which must be sound. Raises Problems."""
    from voyager.files.sketch_read import read_pair

    load_voyage(path)
    return dict(read_pair(os.fspath(path)).documents)


def parse_key(text: str, whole: str | None = None) -> tuple[str, ...]:
    """``array."roof, port".tilt_deg`` as (array, "roof, port", tilt_deg). Raises InputError for an empty part."""
    said = text if whole is None else whole
    parts = tuple(_unquoted(part.strip()) for part in _split(text, ".", said))
    if not all(parts):
        raise InputError(f"in the change {shown(said)}: {shown(text)} is no key; write it like {EXAMPLE}")
    return parts


def _setting(part: str, whole: str) -> Setting:
    key, *rest = _split(part, "=", whole)
    if not rest:
        raise InputError(f"in the change {shown(whole)}: {shown(part)} has no equals sign; write it like {EXAMPLE}")
    sign = f"{key[-1]}=" if key.endswith(SIGNS) else "="
    return Setting(parse_key(key.removesuffix(sign[:-1]).strip(), whole), sign, _value("=".join(rest).strip(), whole))


def _value(text: str, whole: str) -> Any:
    if not text:
        raise InputError(f"in the change {shown(whole)}: a value is missing behind the equals sign")
    if NUMBER.fullmatch(text) and not re.fullmatch(r"[+-]?(0|[1-9]\d*)", text):
        return float(text)
    try:
        data = tomli.loads(f"v = {text}")
    except (ValueError, RecursionError):
        if text[0] in "[{\"'":
            raise InputError(f"in the change {shown(whole)}: {shown(text)} is not written as in a file") from None
        return text
    if len(data) != 1:
        raise InputError(f"in the change {shown(whole)}: a value must stand on one line")
    return data["v"]


def _amount(setting: Setting, whole: str) -> float:
    value, name = setting.value, setting.path[0]
    if setting.sign != "=":
        raise InputError(f"in the change {shown(whole)}: write {name}=NUMBER; there is nothing that it could add to")
    if isinstance(value, bool) or not isinstance(value, int | float) or not math.isfinite(value):
        raise InputError(f"in the change {shown(whole)}: {name} must be a number, is {shown(value)}")
    return float(value)


def _split(text: str, mark: str, whole: str) -> list[str]:
    """Parts between the marks that stand outside quotes and brackets; a quote opens at the start of a name or value."""
    parts, depth, quote, before = [""], 0, "", " "
    for sign in text:
        if quote:
            quote = "" if sign == quote else quote
        elif sign in "\"'" and before in BEFORE_QUOTE:
            quote = sign
        else:
            depth += (sign in "[{") - (sign in "]}")
        if sign == mark and not quote and depth <= 0:
            parts.append("")
        else:
            parts[-1] += sign
        before = sign
    if quote:
        raise InputError(f"in the change {shown(whole)}: a quote is not closed")
    return parts


def _unquoted(part: str) -> str:
    return part[1:-1] if len(part) > 1 and part[0] == part[-1] and part[0] in "\"'" else part
