"""A chain of hours as four numbers: end = min(s + add, cap), lowest = min(s + low_add, low_cap), kWh.

Exact as long as nothing empties the battery: a map is a shift and an upper clamp, and so is every chain of them.
The lowest charge includes the start. Shapes are free: moorings, actions, skies.
"""

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]


@dataclass
class Chain:
    """The four numbers while they grow; ``ceiling_kwh`` is the clamp of every hour."""

    add: Floats
    cap: Floats
    low_add: Floats
    low_cap: Floats
    ceiling_kwh: float

    def append(self, change_kwh: Floats) -> None:
        """Add one hour whose unclamped change is ``change_kwh`` (shape of the chain)."""
        self.add += change_kwh
        self.cap += change_kwh
        np.minimum(self.cap, self.ceiling_kwh, out=self.cap)
        np.minimum(self.low_add, self.add, out=self.low_add)
        np.minimum(self.low_cap, self.cap, out=self.low_cap)

    def at(self, index: Any) -> "Chain":
        """Some of the chains."""
        return Chain(self.add[index], self.cap[index], self.low_add[index], self.low_cap[index], self.ceiling_kwh)

    def end_kwh(self, charge_kwh: Floats | float) -> Floats:
        """Charge after the chain."""
        return np.asarray(np.minimum(charge_kwh + self.add, self.cap))

    def lowest_kwh(self, charge_kwh: Floats | float) -> Floats:
        """Lowest charge from the start to the end of the chain."""
        return np.asarray(np.minimum(charge_kwh + self.low_add, self.low_cap))


def chain(shape: tuple[int, ...], ceiling_kwh: float) -> Chain:
    """The empty chain: nothing has happened yet."""
    zero, full = np.zeros(shape), np.full(shape, ceiling_kwh)
    return Chain(zero, full, zero.copy(), full.copy(), ceiling_kwh)


def beside(first: Chain, second: Chain) -> Chain:
    """Chains (A,n) and others (B,n) as one, (A+B,n)."""
    add, cap, low_add, low_cap = (
        np.concatenate([getattr(first, name), getattr(second, name)]) for name in ("add", "cap", "low_add", "low_cap")
    )
    return Chain(add, cap, low_add, low_cap, first.ceiling_kwh)


def joined(first: Chain, second: Chain) -> Chain:
    """``second`` after ``first``, shapes broadcast."""
    add = first.add + second.add
    cap = np.minimum(first.cap + second.add, second.cap)
    low_add = np.minimum(first.low_add, first.add + second.low_add)
    low_cap = np.minimum(np.minimum(first.low_cap, first.cap + second.low_add), second.low_cap)
    return Chain(add, cap, low_add, low_cap, first.ceiling_kwh)
