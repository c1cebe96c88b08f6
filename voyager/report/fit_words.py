"""Numbers of a fit with the digits that their errors leave them."""

from collections.abc import Iterable, Mapping
from math import floor, isfinite, log10
from typing import Any

from voyager.report.words import MISSING, runs

DIGITS = 3
UNIT = "-"
"""How a fit writes the unit of a plain number."""


def decimals(value: float, digits: int) -> int:
    """Decimals that show so many digits of a value."""
    return digits - 1 - floor(log10(abs(value))) if value and isfinite(value) else digits - 1


def figures(*values: float | None, error: float | None = None) -> list[str]:
    """Values alike: with two digits of their ``error``, else three of their own; ``-`` for none."""
    known = [abs(value) for value in values if value is not None and isfinite(value)]
    if error and isfinite(error):
        places = decimals(error, 2)
    else:
        places = decimals(max(known, default=0.0), DIGITS)
    return [_fixed(value, min(max(places, 0), 8)) for value in values]


def _fixed(value: float | None, places: int) -> str:
    if value is None or not isfinite(value):
        return MISSING
    text = f"{value:.{places}f}"
    return text.removeprefix("-") if not text.strip("-0.") else text


def unit(text: str) -> str:
    """A unit to stand behind a number."""
    return "" if text == UNIT else text


def left_out(rows: Iterable[Mapping[str, Any]]) -> list[str]:
    """Why rows were left out, and which: ``battery full: rows 3-5, 9``."""
    by_why: dict[str, list[int]] = {}
    for row in rows:
        by_why.setdefault(str(row["why"]), []).append(row["row"])
    return [f"{why}: {'rows' if len(lines) > 1 else 'row'} {runs(lines)}" for why, lines in by_why.items()]
