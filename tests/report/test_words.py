"""Numbers, dates, runs and lists."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from voyager.report.words import between, counted, figure, listed, long_date, number, percent, runs, short_date


@pytest.mark.parametrize(
    ("value", "decimals", "text"),
    [(1.25, 1, "1.2"), (-0.04, 1, "0.0"), (-0.06, 1, "-0.1"), (7, 0, "7"), (None, 1, "-"), (1234.5, 0, "1234")],
)
def test_numbers(value: object, decimals: int, text: str) -> None:
    assert number(value, decimals) == text


def test_dates() -> None:
    """1 March 2027 is a Monday (any calendar)."""
    assert short_date("2027-03-01") == "Mon  1 Mar"
    assert long_date("2028-02-29") == "Tue 29 Feb 2028"


@pytest.mark.parametrize(("numbers", "text"), [([], ""), ([3], "3"), ([2, 1, 3, 5, 7, 8, 3], "1-3, 5, 7-8")])
def test_runs(numbers: list[int], text: str) -> None:
    assert runs(numbers) == text


@given(st.sets(st.integers(0, 200)))
def test_runs_hold_exactly_their_numbers(numbers: set[int]) -> None:
    spans = [list(map(int, part.split("-"))) for part in runs(numbers).split(", ") if part]
    assert {one for span in spans for one in range(span[0], span[-1] + 1)} == numbers


def test_words() -> None:
    assert listed([]) == ""
    assert listed(["a"]) == "a"
    assert listed(["a", "b", "c"]) == "a, b and c"
    assert (counted(1, "night", "nights"), counted(2, "night", "nights")) == ("1 night", "2 nights")
    assert number(math.pi, 3) == "3.142"


@pytest.mark.parametrize(
    ("value", "text"), [(12.6, "12.6"), (61.0, "61"), (1200.0, "1200"), (0.06, "0.06"), (None, "-")]
)
def test_figures_keep_the_digits_they_came_with(value: object, text: str) -> None:
    assert figure(value) == text


@pytest.mark.parametrize(
    ("chance", "text"), [(0.31, "31 %"), (0.004, "0.4 %"), (0.998, "99.8 %"), (1.0, "100 %"), (0, "0 %"), (None, "-")]
)
def test_chances(chance: object, text: str) -> None:
    assert percent(chance) == text


def test_intervals() -> None:
    assert between(0.28, 0.34) == "28-34 %"
    assert between(0.0, 0.004) == "0-0.4 %"
