"""What one process keeps between one plan and the next, handed down from the session: nothing below it is global.

Everything is kept under all that it was made from, so that a plan is the same with it and without it; the oldest of
each kind is let go.
"""

from collections import OrderedDict
from collections.abc import Callable, Hashable
from typing import Any, TypeVar

T = TypeVar("T")
MOST = 6


class Kept:
    """A few results of each kind by key, the last used kept longest."""

    def __init__(self, most: int = MOST) -> None:
        self.most = most
        self.by_kind: dict[str, OrderedDict[Hashable, Any]] = {}

    def made(self, kind: str, key: Hashable, make: Callable[[], T], fits: Callable[[T], bool] | None = None) -> T:
        """The result of ``kind`` under ``key``; made where there is none, or none that ``fits``."""
        rows = self.by_kind.setdefault(kind, OrderedDict())
        found = rows.get(key)
        if found is None or (fits is not None and not fits(found)):
            found = rows[key] = make()
        rows.move_to_end(key)
        while len(rows) > self.most:
            rows.popitem(last=False)
        return found

    def swap(self, kind: str, key: Hashable, make: Callable[[T | None], T]) -> T:
        """What is made from the result made before of its ``kind`` and ``key``, in whose place it is kept."""
        rows = self.by_kind.setdefault(kind, OrderedDict())
        found: T = make(rows.get(key))
        rows[key] = found
        return found

    def clear(self) -> None:
        """Let go of everything."""
        self.by_kind.clear()
