"""Bars and charts: glyphs of width one, a mark in the row of its value, nothing that a colour would have to say."""

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from voyager.report.charts import Scale, Span, bar, chart, dates_below, scale


@pytest.mark.parametrize(
    ("share", "text"), [(0, "...."), (0.01, "#..."), (0.5, "##.."), (0.99, "###."), (1, "####")]
)  # fmt: skip
def test_bar(share: float, text: str) -> None:
    assert bar(share, 4) == text


@given(st.floats(0, 1), st.integers(2, 60))
def test_a_bar_keeps_its_width_and_tells_the_ends_apart(share: float, width: int) -> None:
    text = bar(share, width)
    assert len(text) == width
    assert ("#" in text) == (share > 0)
    assert ("." in text) == (share < 1)


@given(st.floats(0, 1e4), st.floats(0, 1e4), st.integers(2, 30))
def test_a_scale_holds_both_ends_in_its_rows(low: float, spread: float, most: int) -> None:
    found = scale(low, low + spread, most)
    assert 1 <= found.rows <= most
    assert found.bottom <= low
    assert low + spread < found.bottom + found.step * found.rows


def test_marks_stand_in_their_rows() -> None:
    """Rows of 10 from 0: 35 in the fourth, 5 in the first, joined between; a dotted row where nothing stands."""
    lines = chart([Span(((5, "o"), (35, "x"))), None], Scale(0, 10, 4, {12: "."}), lambda value: f"{value:g}", "ab")
    assert lines == ["30 x", "20 |", "10 |.", " 0 o", "   ab"]


def test_dates_stand_below_their_columns() -> None:
    days = [(date(2027, 2, 27) + timedelta(n)).isoformat() for n in range(9)]
    line = dates_below(days, 2)
    assert line == "27 Feb  3 Mar   7 Mar"
    assert dates_below(days[:2], 7) == "27 Feb 28 Feb"
