"""Keyed integers against published vectors of the cipher and a plain-Python one; the normal table against scipy."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose, assert_array_equal

from voyager.sky import keyed
from voyager.sky.keyed import UNIT, normal, normal_units, uniform, words

WORD = 1 << 64
PI = (
    0x243F6A8885A308D3,
    0x13198A2E03707344,
    0xA4093822299F31D0,
    0x082EFA98EC4E6C89,
    0x452821E638D01377,
    0xBE5466CF34E90C6C,
)
KNOWN_ANSWERS = [
    (
        (0, 0, 0, 0),
        (0, 0),
        (0x16554D9ECA36314C, 0xDB20FE9D672D0FDC, 0xD7E772CEE186176B, 0x7E68B68AEC7BA23B),
    ),
    (
        (WORD - 1,) * 4,
        (WORD - 1,) * 2,
        (0x87B092C3013FE90B, 0x438C3C67BE8D0224, 0x9CC7D7C69CD777B6, 0xA09CAEBF594F0BA0),
    ),
    (
        PI[:4],
        PI[4:],
        (0xA528F45403E61D95, 0x38C72DBD566E9788, 0xA5A1610E72FD18B5, 0x57BD43B5E52B7FE6),
    ),
]
"""Philox4x64-10 in the file kat_vectors of Random123 (Salmon, Moraes, Dror & Shaw 2011, SC11): from memory, digits of
pi in the third."""


def philox(counter, key):
    """Philox4x64-10 in whole numbers, after the paper's figure: two products a round, key bumped by Weyl steps."""
    a, b, c, d = counter
    low_key, high_key = key
    for _ in range(10):
        first, second = 0xD2E7470EE14C6C93 * a, 0xCA5A826395121157 * c
        a, b, c, d = (second >> 64) ^ b ^ low_key, second % WORD, (first >> 64) ^ d ^ high_key, first % WORD
        low_key, high_key = (low_key + 0x9E3779B97F4A7C15) % WORD, (high_key + 0xBB67AE8584CAA73B) % WORD
    return a, b, c, d


@pytest.mark.parametrize(("counter", "key", "expected"), KNOWN_ANSWERS)
def test_known_answers(counter, key, expected):
    """The plain cipher gives the published vectors, and so does the one underneath ``words``."""
    assert philox(counter, key) == expected
    number = sum(word << (64 * i) for i, word in enumerate(counter)) - 1
    generator = np.random.Philox(key=keyed._limbs(key[0] + (key[1] << 64), 2), counter=keyed._limbs(number, 4))
    assert tuple(int(word) for word in generator.random_raw(4)) == expected


@given(st.integers(-5, 1 << 70), st.integers(1, 800_000), st.integers(0, 3))
def test_a_block_belongs_to_seed_member_day_and_stream(seed, day, stream):
    drawn = words(seed, 3, day, 2, stream)
    for row, member in [(0, 0), (1, 2)]:
        expected = philox((member, day + row, stream, 0), (seed % WORD, (seed >> 64) % WORD))
        assert tuple(int(word) for word in drawn[row, member]) == expected


def test_more_days_and_members_leave_the_others_alone():
    assert_array_equal(words(4, 9, 100, 8)[3:, :5], words(4, 5, 103, 5))


def test_uniform_is_exact():
    raw = np.array([0, WORD - 1, WORD // 2, 3 << 11], dtype=np.uint64)
    assert_array_equal(uniform(raw), [0.0, 1 - 2.0**-53, 0.5, 3 * 2.0**-53])


def tail_word(probability, negative=False):
    """The integer whose deviate stands at a tail probability (its 31 bits, the sign bit below them)."""
    tail = int(probability * (1 << 32))
    return np.uint64((tail << 33) | (int(negative) << 32))


@pytest.mark.parametrize("probability", [0.4999, 0.3, 0.1587, 0.1, 0.01, 1e-3, 2.45e-4, 2e-4, 1e-5, 1e-6])
def test_table_against_scipy(probability):
    """Within 1e-3 of the exact quantile to 3.3 deviations, within 0.02 beyond (straight lines)."""
    special = pytest.importorskip("scipy.special")
    exact = -special.ndtri(probability)
    near = 1e-3 if probability > 5e-4 else 0.02
    assert normal(tail_word(probability)) == pytest.approx(exact, abs=near)
    assert normal(tail_word(probability, negative=True)) == -normal(tail_word(probability))


def test_tails_reach_beyond_five_and_rise():
    tail = np.unique(np.geomspace(1, (1 << 31) - 1, 20_000).astype(np.uint64))
    value = normal_units(tail << np.uint64(33))
    assert (np.diff(value) <= 0).all()
    assert 50_000 < normal_units(np.array([0], dtype=np.uint64))[0] < 55_000
    assert value[-1] <= 1


def test_moments_and_shape_of_many():
    """A million deviates: mean, variance and fourth moment of the standard normal within four standard errors."""
    stats = pytest.importorskip("scipy.stats")
    z = normal(words(1, 500, 700_000, 500)).ravel()
    n = z.size
    assert abs(z.mean()) < 4 / np.sqrt(n)
    assert abs(z.var() - 1) < 4 * np.sqrt(2 / n)
    assert abs((z**4).mean() - 3) < 4 * np.sqrt(96 / n)
    assert stats.kstest(z[::7], "norm").pvalue > 1e-3
    assert_array_equal(np.rint(z * UNIT), normal_units(words(1, 500, 700_000, 500)).ravel())


def test_the_four_of_a_block_and_neighbours_are_independent():
    z = normal(words(2, 400, 730_000, 400))
    flat = np.corrcoef(z.reshape(-1, 4).T)
    assert_allclose(flat, np.eye(4), atol=4 / 400)
    for a, b in [(z[1:], z[:-1]), (z[:, 1:], z[:, :-1])]:
        assert abs((a * b).mean()) < 4 / np.sqrt(a.size)
    other = normal(words(2, 400, 730_000, 400, stream=1))
    assert abs((z * other).mean()) < 4 / np.sqrt(z.size)
