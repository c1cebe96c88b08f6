"""Numbers drawn by key: integers of (seed, member, calendar date), the same on any machine and for any departure.

The Philox-4x64 counter cipher of Salmon, Moraes, Dror & Shaw 2011 (Random123, SC11) as numpy ships it, raw integers
only: numpy promises those, and promises no normals. One block of four integers belongs to a member and a date.
"""

from functools import cache
from statistics import NormalDist

import numpy as np
from numpy.typing import NDArray

Words = NDArray[np.uint64]

UNIT = 10_000
"""Steps of the normal table in one standard deviation."""
_MASK = (1 << 64) - 1
_HALF_BITS = 11
_CELLS = 1 << _HALF_BITS
_PART_BITS = 16
_OUTERMOST = 2.0**-25
"""Probability at which the table ends instead of at 0, a score of 5.4."""


def words(seed: int, members: int, first_day: int, days: int, stream: int = 0) -> Words:
    """Integers (days, members, 4) of consecutive days from ``first_day``, a proleptic ordinal (``date.toordinal``).

    The key is the seed (128 bits of it), the counter (member, day, stream): any other number of members or days
    gives the same integers where both exist. Streams are independent of each other.
    """
    blocks = np.empty((days, members * 4), dtype=np.uint64)
    key = _limbs(seed, 2)
    for row in range(days):
        blocks[row] = _block(key, first_day + row, stream, members * 4)
    return blocks.reshape(days, members, 4)


def _block(key: Words, day: int, stream: int, count: int) -> Words:
    """``count`` integers from counter (0, day, stream, 0) on; numpy steps its counter before each block of four."""
    from numpy.random import Philox

    start = (((stream & _MASK) << 128) | ((day & _MASK) << 64)) - 1
    return Philox(key=key, counter=_limbs(start, 4)).random_raw(count)


def _limbs(number: int, count: int) -> Words:
    """A whole number, also a negative one, as ``count`` integers of 64 bits, the lowest first."""
    return np.array([(number >> (64 * i)) & _MASK for i in range(count)], dtype=np.uint64)


def uniform(raw: Words) -> NDArray[np.float64]:
    """Numbers in [0, 1) of raw integers, any shape: their upper 53 bits, exact."""
    return np.asarray((raw >> np.uint64(11)) * 2.0**-53)


def normal_units(raw: Words) -> NDArray[np.int64]:
    """Standard normal deviates of raw integers, any shape, in integers of 1/``UNIT``; at most 5.4 either way.

    By inversion: one bit is the sign, 31 the probability of the tail, read from the table on a straight line.
    """
    tail = (raw >> np.uint64(33)).astype(np.int64)
    coarse = tail >> 20
    deep = coarse == 0
    cell = np.where(deep, (tail >> 9) + _CELLS + 1, coarse)
    part = np.where(deep, (tail & 511) << 7, (tail >> 4) & 0xFFFF)
    table = _table()
    low = table[cell]
    value = ((low << _PART_BITS) + (table[cell + 1] - low) * part + (1 << (_PART_BITS - 1))) >> _PART_BITS
    negative = ((raw >> np.uint64(32)) & np.uint64(1)).astype(bool)
    return np.asarray(np.where(negative, -value, value))


def normal(raw: Words) -> NDArray[np.float64]:
    """Standard normal deviates of raw integers, any shape, whole multiples of 1e-4."""
    return np.asarray(normal_units(raw) / UNIT)


@cache
def _table() -> NDArray[np.int64]:
    """Scores (2·2049,) in 1/``UNIT`` at which the upper tail is i/4096, and in its outermost cell i/2048 of that."""
    inverse = NormalDist().inv_cdf
    coarse = [i / (2 * _CELLS) for i in range(1, _CELLS + 1)]
    deep = [i / (2 * _CELLS**2) for i in range(1, _CELLS + 1)]
    chances = [_OUTERMOST, *coarse, _OUTERMOST, *deep]
    return np.array([round(-inverse(chance) * UNIT) for chance in chances], dtype=np.int64)
