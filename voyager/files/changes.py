"""Wishes from outside the file: departure, sky, aim, comfort, a leg's fixed speed and nights."""

from collections.abc import Mapping
from copy import deepcopy
from dataclasses import replace
from typing import Any

from voyager.errors import InputError
from voyager.files.lines import Path
from voyager.files.printable import shown
from voyager.files.toml import Document

TOP = ("departs", "sky", "aim", "by", "comfort")
IN_LEG = ("speed_kmh", "nights")


def changed(document: Document, changes: Mapping[str, object] | None) -> tuple[Document, frozenset[Path]]:
    """The document with the changes and the paths that they set.

    ``changes``: keys ``departs``, ``sky``, ``aim``, ``by``, ``comfort`` and ``legs``, {number from 1:
    {"speed_kmh": x, "nights": n}}; None takes a key away. Raises InputError for any other key or leg.
    """
    if not changes:
        return document, frozenset()
    data, asked = deepcopy(document.data), set[Path]()
    for key, value in changes.items():
        if key == "legs" and isinstance(value, Mapping):
            for number, wishes in value.items():
                asked |= _change_leg(data, number, wishes)
        elif key in TOP:
            _set(data, key, value)
            asked.add((key,))
        else:
            raise InputError(f"{shown(key)} cannot be changed here; known are {', '.join(TOP)} and legs")
    bad = {path: problem for path, problem in document.bad.items() if path not in asked}
    return replace(document, data=data, bad=bad), frozenset(asked)


def _set(table: dict[str, Any], key: str, value: object) -> None:
    if value is None:
        table.pop(key, None)
    else:
        table[key] = value


def _change_leg(data: dict[str, Any], number: object, wishes: object) -> set[Path]:
    legs = data.get("leg")
    count = len(legs) if isinstance(legs, list) else 0
    if not isinstance(number, int) or not 1 <= number <= count or not isinstance(legs, list):
        raise InputError(f"there is no leg {shown(number)}; the voyage has {count}")
    if not isinstance(wishes, Mapping) or not set(wishes) <= set(IN_LEG):
        raise InputError(f"of leg {number} only {' and '.join(IN_LEG)} can be changed here")
    leg = legs[number - 1]
    if not isinstance(leg, dict):
        return set()
    for key, value in wishes.items():
        if key == "speed_kmh":
            leg.pop("speed_kn", None)
        _set(leg, key, value)
    return {("leg", number - 1, str(key)) for key in wishes}
