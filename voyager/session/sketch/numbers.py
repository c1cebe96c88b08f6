"""Figures of rows that may be broken or written in the other of two usual units."""

from collections.abc import Mapping
from math import isfinite
from typing import Any

from voyager.session.sketch.state import Row
from voyager.session.typed import tidy

KM_PER_NM = 1.852
"""A nautical mile is 1852 m exactly, a knot one an hour. As in ``files.units``, too late for the first paint."""
M_PER_FT = 0.3048
OTHER_UNIT = {"_kmh": ("_kn", KM_PER_NM), "_km": ("_nm", KM_PER_NM), "_m": ("_ft", M_PER_FT)}
"""Own ending: the other usual one, and how many of the own make one of the other."""


def twin(key: str) -> tuple[str, float] | None:
    """``("distance_nm", 1.852)`` for ``distance_km`` and ``("distance_km", 1/1.852)`` for it; None without a second."""
    for own, (other, factor) in OTHER_UNIT.items():
        if key.endswith(own):
            return key.removesuffix(own) + other, factor
        if key.endswith(other):
            return key.removesuffix(other) + own, 1.0 / factor
    return None


def plain(value: Any) -> float | None:
    """The value as a finite number, else None; true and false are no numbers, nor is one beyond any measure."""
    if isinstance(value, bool) or not isinstance(value, int | float):
        return None
    try:
        return float(value) if isfinite(value) else None
    except OverflowError:
        return None


def number(values: Mapping[str, Any] | Row, key: str) -> float | None:
    """The figure at a key, from its other unit if it stands in that one; None where there is none to be read."""
    own = plain(values.get(key))
    other = twin(key)
    if own is not None or other is None:
        return own
    given = plain(values.get(other[0]))
    return None if given is None else tidy(given * other[1])


def numbers(values: Mapping[str, Any] | Row, key: str) -> list[float] | None:
    """As ``number`` for a list of figures; None where the list is missing or holds anything else."""
    for name, factor in ((key, 1.0), twin(key) or (key, 1.0)):
        given = values.get(name)
        if isinstance(given, list | tuple):
            found = [plain(item) for item in given]
            return None if None in found else [tidy(item * factor) for item in found if item is not None]
    return None


def standing(values: Mapping[str, Any] | Row, key: str) -> str:
    """The key under which a figure stands: ``distance_nm`` where the row has that one."""
    other = twin(key)
    return other[0] if other and values.get(other[0]) is not None and values.get(key) is None else key


def put_number(row: Row, key: str, value: float | list[float] | None) -> Row:
    """With a figure in the unit of ``key`` put under the key that stands there already."""
    name = standing(row, key)
    if name == key or value is None:
        return row.put(name, value)
    factor = (twin(name) or (key, 1.0))[1]
    scaled = [tidy(item * factor) for item in value] if isinstance(value, list) else tidy(value * factor)
    return row.put(name, scaled)


def put_typed(row: Row, key: str, value: Any) -> Row:
    """With the value at ``key`` as typed; the same in another unit is taken away."""
    other = twin(key)
    return (row.put(other[0], None) if other and other[0] in row.values else row).put(key, value)
