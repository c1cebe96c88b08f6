"""Lines made of runs: text, the part of the drawing it is, and what a click on it asks for. No Textual here."""

from collections.abc import Sequence
from itertools import zip_longest
from typing import NamedTuple


class Run(NamedTuple):
    """``part`` names the ink; ``does`` an action of the pane, empty for none."""

    text: str
    part: str = "plain"
    does: str = ""


Line = list[Run]


def length(line: Sequence[Run]) -> int:
    """Columns that a line takes."""
    return sum(len(run.text) for run in line)


def beside(left: Sequence[Line], right: Sequence[Line], width: int) -> list[Line]:
    """Two columns of lines, the left one ``width`` wide."""
    nothing: Line = []
    rows = zip_longest(left, right, fillvalue=nothing)
    return [[*one, Run(" " * max(0, width - length(one))), *other] for one, other in rows]
