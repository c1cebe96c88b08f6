"""Parts of days lived before, taken again where all that they were made of is the same to the last digit."""

from collections.abc import Callable, Hashable, Sequence
from typing import Generic, TypeVar

import numpy as np
from numpy.typing import NDArray

T = TypeVar("T")
Values = NDArray[np.generic]


class Lived(Generic[T]):
    """Results by place, the last of each with the arrays from which it was made; ``most`` places at the most."""

    def __init__(self, most: int) -> None:
        self.most = most
        self.rows: dict[Hashable, tuple[tuple[Values, ...], T]] = {}

    def again(self, place: Hashable, given: Sequence[Values], make: Callable[[], T]) -> T:
        """The result at a place: the one before if it was made of the same arrays, else made now."""
        found = self.rows.pop(place, None)
        if found is None or not _same(found[0], given):
            found = tuple(np.array(one) for one in given), make()
        self.rows[place] = found
        if len(self.rows) > self.most:
            del self.rows[next(iter(self.rows))]
        return found[1]


def _same(was: Sequence[Values], now: Sequence[Values]) -> bool:
    return len(was) == len(now) and all(np.array_equal(a, b) for a, b in zip(was, now, strict=True))
