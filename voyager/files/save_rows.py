"""Which row of a file a changed row was: rows have no names of their own, comments must stay with them all the same."""

from collections.abc import Hashable, Mapping, Sequence
from datetime import date, datetime, time
from difflib import SequenceMatcher
from itertools import zip_longest
from typing import Any

Row = Mapping[str, Any]
NAMES = ("name", "date")
ENDS = ("from", "to")
LEAST_ALIKE = 0.5
MOST_PAIRS = 60_000
"""Rows left over are compared each with each; beyond so many pairs only with those nearby."""
NEARBY = 30


def same(a: object, b: object) -> bool:
    """Whether two TOML values are one: 24 is 24.0, but true is not 1, and no date is a text."""
    if isinstance(a, Mapping) and isinstance(b, Mapping):
        return a.keys() == b.keys() and all(same(a[key], b[key]) for key in a)
    if isinstance(a, list | tuple) and isinstance(b, list | tuple):
        return len(a) == len(b) and all(map(same, a, b))
    if isinstance(a, bool) or isinstance(b, bool):
        return a is b
    if isinstance(a, int | float) and isinstance(b, int | float):
        return a == b or (a != a and b != b)
    return type(a) is type(b) and a == b


def frozen(value: object) -> Hashable:
    """A value to compare and count by; alike where ``same``."""
    if isinstance(value, Mapping):
        return frozenset((key, frozen(item)) for key, item in value.items())
    if isinstance(value, list | tuple):
        return tuple(map(frozen, value))
    if isinstance(value, str | bool | date | time):
        offset = value.tzinfo is None if isinstance(value, datetime) else None
        return type(value).__name__, value, offset
    return "nan" if value != value else value if isinstance(value, int | float) else repr(value)


def origins(old: Sequence[Row], new: Sequence[Row]) -> list[int | None]:
    """For each new row the number of the old row that it was, None for one that is new. No old row twice."""
    found = _Origins(old, new)
    found.by_content()
    found.by_name()
    found.by_likeness()
    found.by_place()
    return found.origin


class _Origins:
    """Rows unchanged, then rows that kept their name, then those most alike, then those between the same neighbours."""

    def __init__(self, old: Sequence[Row], new: Sequence[Row]) -> None:
        self.old, self.new = old, new
        self.origin: list[int | None] = [None] * len(new)
        self.left = dict.fromkeys(range(len(old)))

    def pair(self, fresh: int, was: int) -> None:
        if self.origin[fresh] is None and was in self.left:
            self.origin[fresh] = was
            del self.left[was]

    def open(self) -> list[int]:
        return [number for number, was in enumerate(self.origin) if was is None]

    def by_content(self) -> None:
        old, new = list(map(frozen, self.old)), list(map(frozen, self.new))
        for was, fresh, size in SequenceMatcher(None, old, new, autojunk=False).get_matching_blocks():
            for step in range(size):
                self.pair(fresh + step, was + step)
        places: dict[Hashable, list[int]] = {}
        for was in self.left:
            places.setdefault(old[was], []).append(was)
        for fresh in self.open():
            if places.get(new[fresh]):
                self.pair(fresh, places[new[fresh]].pop(0))
        self.first_of_doubles(new)

    def first_of_doubles(self, new: Sequence[Hashable]) -> None:
        """Of rows that are alike the first is the old one: a copy goes below what it was made of."""
        alike: dict[Hashable, list[int]] = {}
        for number, row in enumerate(new):
            alike.setdefault(row, []).append(number)
        for numbers in alike.values():
            found = [was for number in numbers if (was := self.origin[number]) is not None]
            for number, was in zip_longest(numbers, found):
                self.origin[number] = was

    def by_name(self) -> None:
        names: dict[Hashable, list[int]] = {}
        for was in self.left:
            names.setdefault(_name(self.old[was]), []).append(was)
        for fresh in self.open():
            name = _name(self.new[fresh])
            if name is not None and names.get(name):
                self.pair(fresh, names[name].pop(0))

    def by_likeness(self) -> None:
        fresh, left = self.open(), list(self.left)
        reach = NEARBY if len(fresh) * len(left) > MOST_PAIRS else len(self.old) + len(self.new)
        scored = [
            (-_likeness(self.old[was], self.new[number]), abs(was - number), number, was)
            for number in fresh
            for was in left
            if abs(was - number) <= reach
        ]
        for score, _, number, was in sorted(scored):
            if -score >= LEAST_ALIKE:
                self.pair(number, was)

    def by_place(self) -> None:
        for fresh in self.open():
            before = self.origin[fresh - 1] if fresh else -1
            after = self.origin[fresh + 1] if fresh + 1 < len(self.new) else len(self.old)
            if before is not None and after is not None and after - before == 2:
                self.pair(fresh, before + 1)


def _name(row: Row) -> Hashable:
    for key in NAMES:
        if key in row:
            return key, frozen(row[key])
    return tuple(frozen(row.get(key)) for key in ENDS) if any(key in row for key in ENDS) else None


def _likeness(old: Row, new: Row) -> float:
    """Share of equal values, 0 to 1; a leg turned round is as good as one with the same ends."""
    size = len(old) + len(new)
    if not size:
        return 1.0
    equal = sum(1 for key, value in new.items() if key in old and same(old[key], value))
    if all(key in old and key in new for key in ENDS) and (old["from"], old["to"]) == (new["to"], new["from"]):
        equal += 2
    return min(1.0, 2 * equal / size)
