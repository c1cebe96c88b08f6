"""Intervals against a published table, digits against the rule, quantiles against their definition."""

from math import sqrt

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from voyager.planner.estimates import (
    chance_told,
    decimals,
    mean_se,
    quantiles,
    rank,
    shown,
    shown_chance,
    shown_se,
    wilson,
)


@pytest.mark.parametrize(
    ("count", "members", "low", "high", "digits"),
    [(81, 263, 0.2553, 0.3662, 4), (15, 148, 0.0624, 0.1605, 4), (10, 14, 0.45350, 0.88279, 5)],
)
def test_wilson_against_newcombe(count: int, members: int, low: float, high: float, digits: int) -> None:
    """Newcombe 1998, Statistics in Medicine 17:857, method 3, table I; the third, with more digits, takes z as 1.96."""
    found = wilson(count, members, 1.96)
    assert (round(found[0], digits), round(found[1], digits)) == (low, high)


@given(st.integers(1, 3000), st.data())
def test_the_interval_solves_the_score_equation(members: int, data: st.DataObject) -> None:
    """At both ends the share lies 1.96 of the end's own standard errors away (Wilson 1927)."""
    count = data.draw(st.integers(0, members))
    low, high = wilson(count, members)
    assert 0 <= low <= count / members <= high <= 1
    for end in (low, high):
        if 0 < end < 1:
            assert abs(count / members - end) / sqrt(end * (1 - end) / members) == pytest.approx(1.95996, rel=1e-4)


@given(st.integers(1, 500), st.data())
def test_the_interval_of_the_others_is_its_mirror(members: int, data: st.DataObject) -> None:
    count = data.draw(st.integers(0, members))
    low, high = wilson(count, members)
    assert wilson(members - count, members) == pytest.approx((1 - high, 1 - low), abs=1e-12)


@pytest.mark.parametrize(
    ("chance", "members", "text"),
    [(0.1234, 1000, 0.12), (0.1234, 10_000, 0.123), (0.0042, 1000, 0.004), (0.9958, 1000, 0.996), (1.0, 9, 1.0)],
)
def test_digits_of_a_chance(chance: float, members: int, text: float) -> None:
    assert shown_chance(chance, members) == text


def test_a_chance_with_its_interval() -> None:
    """310 of 1000: 0.31 ± 1.96·√(0.31·0.69/1000) = 0.281 to 0.339, the score interval within 0.001 of it."""
    assert chance_told(310, 1000) == {"chance": 0.31, "low": 0.28, "high": 0.34}


@pytest.mark.parametrize(
    ("se", "digits"),
    [(0.1, 1), (0.02, 2), (0.049, 2), (0.051, 1), (0.5, 1), (0.51, 0), (5, 0), (6, -1), (0, 3), (None, 0)],
)
def test_the_last_digit_is_not_below_a_fifth_of_the_error(se: float | None, digits: int) -> None:
    assert decimals(se) == digits


@given(st.floats(1e-2, 1e4))
def test_the_unit_is_the_smallest_power_of_ten_allowed(se: float) -> None:
    unit = 10.0 ** -decimals(se)
    assert unit >= se / 5 * (1 - 1e-6)
    assert unit / 10 < se / 5 * (1 + 1e-6)


def test_values_and_errors_as_shown() -> None:
    assert shown(12.6449, 0.1) == 12.6
    assert shown(1234.0, 60.0) == 1200.0
    assert str(shown(-0.004, 0.1)) == "0.0"
    assert (shown_se(0.0987), shown_se(123.0), shown_se(0.0), shown_se(None)) == (0.099, 120.0, 0.0, None)


def test_mean_and_its_error() -> None:
    """1, 2, 3, 4: mean 2.5, variance 5/3, so the error is √(5/12)."""
    assert mean_se(np.array([1.0, 2, 3, 4])) == pytest.approx((2.5, sqrt(5 / 12)))
    assert mean_se(np.array([7.0])) == (7.0, None)


def test_quantiles_of_a_thousand_even_values() -> None:
    """Ranks 100, 500, 900 of 0.1 … 100.0; error of the middle half of 2·√250 ranks: 1.6, so whole numbers."""
    assert quantiles(np.arange(1, 1001) / 10) == [10.0, 50.0, 90.0]
    assert quantiles(np.arange(1, 1001) / 1000) == [0.1, 0.5, 0.9]


def test_quantiles_are_not_rounded_beyond_the_highest_value() -> None:
    """Half of ten at 900, half at the end of the route: hundreds, and 1100 would lie beyond the end."""
    assert quantiles(np.repeat([900.0, 1066.9], 5)) == [900.0, 900.0, 1000.0]
    assert quantiles(np.array([1066.9])) == [1066.0] * 3


def test_quantiles_without_spread_keep_their_digits() -> None:
    assert quantiles(np.full(40, 78.123)) == [78.123] * 3
    assert quantiles(np.array([])) == [None] * 3
    assert quantiles(np.array([12.4])) == [12.0] * 3


@given(st.lists(st.floats(0, 100), min_size=1, max_size=60))
def test_quantiles_keep_their_order(values: list[float]) -> None:
    found = quantiles(np.array(values))
    assert found == sorted(found, key=lambda value: value or 0.0)
    assert max(value or 0.0 for value in found) <= max(values)


@given(st.integers(1, 99), st.integers(1, 400))
def test_the_rank_is_the_least_that_reaches_the_share(percent: int, members: int) -> None:
    place = rank(percent, members)
    assert (place + 1) * 100 >= percent * members
    assert place == 0 or place * 100 < percent * members


def test_the_error_of_a_quantile_agrees_with_many_samples() -> None:
    """Woodruff's error, on average over samples of a uniform variable, within a tenth of √(p(1-p)/n) (density 1)."""
    from voyager.planner.estimates import _quantile_se

    samples = np.random.default_rng(11).random((300, 900))
    found = np.mean([_quantile_se(np.sort(one), 0.1) for one in samples])
    assert found == pytest.approx(sqrt(0.1 * 0.9 / 900), rel=0.1)
