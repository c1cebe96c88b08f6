"""Plots in text: where a point stands, that series are told apart without colour, and that nothing is lost or wide."""

from collections.abc import Sequence
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from rich.cells import cell_len

from tests.report.fit_samples import HEAT
from voyager.report.plot_text import PLAIN_LINES, PLAIN_POINTS, POINTS, axis, plot_lines

PLOT = HEAT["plot"]
Numbers = Sequence[float]


def plot(*series: tuple[str, str, Numbers, Numbers]) -> dict[str, Any]:
    rows = [{"name": name, "kind": kind, "x": list(x), "y": list(y), "y2": None} for name, kind, x, y in series]
    return {"title": "T", "x_label": "x, s", "y_label": "y, m", "series": rows}


@pytest.mark.parametrize(("width", "height"), [(40, 10), (80, 20), (120, 30)])
@pytest.mark.parametrize("ascii", [False, True])
def test_size_and_glyphs(width: int, height: int, ascii: bool) -> None:
    lines = plot_lines(PLOT, width, height, ascii)
    assert len(lines) == height
    assert max(map(cell_len, lines)) <= width
    assert all(cell_len(sign) == 1 for line in lines for sign in line)
    assert not ascii or "".join(lines).replace("°", "").isascii()


def test_points_stand_where_they_belong() -> None:
    """Corners in the corners: 0, 0 down left, 10, 10 up right."""
    lines = plot_lines(plot(("a", "points", [0, 10], [0, 10])), 60, 16)
    body = [line.partition("│")[2] for line in lines[1:12]]
    rows = [row for row, line in enumerate(body) if "o" in line]
    assert rows == [0, len(body) - 1]
    assert body[-1].index("o") == 0
    assert body[0].index("o") >= 50


def test_ticks_are_round_and_stand_by_their_value() -> None:
    upright = axis([0.0, 9.7], 40, 5)
    assert upright.ticks == (0.0, 2.0, 4.0, 6.0, 8.0)
    fine = axis([0.11, 0.19], 40, 5)
    assert [fine.label(tick) for tick in fine.ticks] == ["0.12", "0.14", "0.16", "0.18"]
    assert upright.dot(9.7) < 40


def test_series_have_signs_of_their_own() -> None:
    many = [(f"p{n}", "points", [n], [n]) for n in range(4)] + [(f"l{n}", "line", [0, 3], [n, 3]) for n in range(3)]
    for ascii, signs in ((False, POINTS), (True, PLAIN_POINTS)):
        text = "\n".join(plot_lines(plot(*many), 80, 24, ascii))
        legend = text.splitlines()[-1]
        assert [f"{sign} p{n}" in legend for n, sign in enumerate(signs[:4])] == [True] * 4
        samples = [part.split(" ")[0] for part in legend.split("   ") if part.split(" ")[1].startswith("l")]
        assert len(set(samples)) == 3
    assert all(f"{sign * 3} l{n}" in legend for n, sign in enumerate(PLAIN_LINES[:3]))


def test_a_point_hides_the_line_below_it() -> None:
    lines = plot_lines(plot(("l", "line", [0, 1], [0, 1]), ("p", "points", [0.5], [0.5])), 50, 14)
    assert sum(line.count("o") for line in lines[1:9]) == 1


@pytest.mark.parametrize("values", [[5.0], [5.0, 5.0], [float("nan"), 2.0], []])
def test_few_and_equal_values(values: list[float]) -> None:
    lines = plot_lines(plot(("p", "points", list(range(len(values))), values)), 60, 14)
    assert sum("o" in line for line in lines[1:9]) == (1 if values else 0)


@settings(max_examples=40, deadline=None)
@given(st.lists(st.floats(-1e9, 1e9), min_size=1, max_size=20), st.integers(30, 130), st.integers(8, 40))
def test_any_numbers_make_a_plot(values: list[float], width: int, height: int) -> None:
    lines = plot_lines(plot(("l", "line", values, values), ("p", "points", values, values)), width, height)
    assert max(map(cell_len, lines)) <= width
