"""A plot in text: lines in dots, points as signs of their own, told apart without colour. Every glyph is one wide."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from math import ceil, floor, isfinite, log10
from textwrap import wrap
from typing import Any, Final

Plot = Mapping[str, Any]
Cell = tuple[int, int]
POINTS: Final = "o×+*□◇▵#"
PLAIN_POINTS: Final = "ox+*#@%&"
DOTS: Final = ((0x01, 0x02, 0x04, 0x40), (0x08, 0x10, 0x20, 0x80))
"""The bit of a braille dot by its column and row within the cell (Unicode 15, block Braille Patterns)."""
BLANK: Final = 0x2800
STRIDES: Final = ((1, 1), (6, 3), (2, 1), (9, 6))
"""Dots of a line: so many steps, of which the first so many are drawn; whole, dashed, dotted, long dashes."""
BAND_STRIDE: Final = (4, 1)
PLAIN_LINES: Final = ".-=~"
PLAIN_BAND: Final = ":"
LEAST_HEIGHT: Final = 8
MOST_PLACES: Final = 6
LEAST_ROOM: Final = 1e-12
STEPS: Final = (1.0, 2.0, 5.0, 10.0)


@dataclass(frozen=True)
class Axis:
    """From ``low`` to ``high`` in ``dots`` dots; ``ticks`` are round values in between, a round ``step`` apart."""

    low: float
    high: float
    dots: int
    step: float

    @property
    def ticks(self) -> tuple[float, ...]:
        """Multiples of the step."""
        first, last = ceil(self.low / self.step - 1e-9), floor(self.high / self.step + 1e-9)
        return tuple(number * self.step for number in range(first, last + 1))

    def dot(self, value: float) -> int:
        """The dot in which a value lies."""
        return min(max(int((value - self.low) / (self.high - self.low) * self.dots), 0), self.dots - 1)

    def label(self, value: float) -> str:
        """A tick's text, as exact as the ticks' step asks for."""
        places = max(0, -floor(log10(self.step) + 1e-9))
        if places > MOST_PLACES:
            return f"{value:.2g}"
        return f"{value:.{places}f}" if round(value, places) else "0"


def axis(values: Iterable[float], dots: int, most_ticks: int) -> Axis:
    """An axis that holds the values with a little room, ticked in steps of 1, 2 or 5."""
    known = [value for value in values if isfinite(value)] or [0.0]
    low, high = min(known), max(known)
    room = (high - low) * 0.03 or abs(high) * 0.1 or 1.0
    room = max(room, LEAST_ROOM)
    low, high = (0.0 if 0 <= low < 0.15 * high else low - room), high + room
    return Axis(low, high, dots, _round_step((high - low) / max(most_ticks, 2)))


def _round_step(rough: float) -> float:
    power = 10.0 ** floor(log10(rough))
    return next((factor * power for factor in STEPS if factor * power >= rough * (1 - 1e-9)), 10 * power)


def plot_lines(plot: Plot, width: int, height: int, ascii: bool = False) -> list[str]:
    """The plot in ``height`` lines of at most ``width`` columns: title, frame with ticks, labels, what is what."""
    legend = _legend(plot["series"], width, ascii)
    rows = max(height - len(legend) - 4, LEAST_HEIGHT - 4)
    upright = axis(_all(plot["series"], "y", "y2"), rows * 4, max(rows // 3, 2))
    labels = {(rows * 4 - 1 - upright.dot(tick)) // 4: upright.label(tick) for tick in upright.ticks}
    lead = max((len(text) for text in labels.values()), default=1)
    columns = max(width - lead - 2, 10)
    across = axis(_all(plot["series"], "x"), columns * 2, max(columns // 12, 2))
    cells = _drawn(plot["series"], across, upright, ascii)
    side = "|" if ascii else "│"
    body = [
        f"{labels.get(row, ''):>{lead}} {side}"
        + "".join(cells.get((column, row), " ") for column in range(columns)).rstrip()
        for row in range(rows)
    ]
    foot = _foot(across, columns, lead, ascii)
    title = f"{plot['title']}: {plot['y_label']}"
    return [title[:width], *body, *foot, f"{plot['x_label']:>{lead + 2 + columns}}"[:width], *legend]


def _all(series: Sequence[Plot], *names: str) -> Iterator[float]:
    for one in series:
        for name in names:
            yield from one.get(name) or ()


def _foot(across: Axis, columns: int, lead: int, ascii: bool) -> list[str]:
    corner, level, tick = ("+", "-", "+") if ascii else ("└", "─", "┬")
    rule, below = [level] * columns, ""
    for value in across.ticks:
        column, text = across.dot(value) // 2, across.label(value)
        start = max(column - len(text) // 2, 0)
        if start + len(text) > columns or (below and start <= len(below)):
            continue
        rule[column] = tick
        below = below.ljust(start) + text
    return [" " * (lead + 1) + corner + "".join(rule), " " * (lead + 2) + below]


def _drawn(series: Sequence[Plot], across: Axis, upright: Axis, ascii: bool) -> dict[Cell, str]:
    """Glyphs by cell, bands below lines below points."""
    cells: dict[Cell, str] = {}
    dots: dict[Cell, int] = {}
    for one, _ in _numbered(series, "band"):
        for edge in (one["y"], one["y2"] or ()):
            _line(dots, cells, one["x"], edge, BAND_STRIDE, PLAIN_BAND if ascii else "", across, upright)
    for one, number in _numbered(series, "line"):
        plain = PLAIN_LINES[number % len(PLAIN_LINES)] if ascii else ""
        _line(dots, cells, one["x"], one["y"], STRIDES[number % len(STRIDES)], plain, across, upright)
    if not ascii:
        cells |= {cell: chr(BLANK + bits) for cell, bits in dots.items()}
    for one, number in _numbered(series, "points"):
        sign = _sign(number, ascii)
        for x, y in _finite(one["x"], one["y"]):
            cells[across.dot(x) // 2, (upright.dots - 1 - upright.dot(y)) // 4] = sign
    return cells


def _numbered(series: Sequence[Plot], kind: str) -> Iterator[tuple[Plot, int]]:
    chosen = [one for one in series if one["kind"] == kind]
    yield from ((one, number) for number, one in enumerate(chosen))


def _sign(number: int, ascii: bool) -> str:
    signs = PLAIN_POINTS if ascii else POINTS
    return signs[number % len(signs)]


def _finite(xs: Sequence[float], ys: Sequence[float]) -> Iterator[tuple[float, float]]:
    yield from ((x, y) for x, y in zip(xs, ys, strict=False) if isfinite(x) and isfinite(y))


def _line(
    dots: dict[Cell, int],
    cells: dict[Cell, str],
    xs: Sequence[float],
    ys: Sequence[float],
    stride: tuple[int, int],
    plain: str,
    across: Axis,
    upright: Axis,
) -> None:
    """Dots along a line; with ``plain`` that sign for every cell it meets."""
    whole, drawn = stride
    for step, (x, y) in enumerate(_path(xs, ys, across, upright)):
        cell = (x // 2, y // 4)
        if plain:
            cells[cell] = plain
        elif step % whole < drawn:
            dots[cell] = dots.get(cell, 0) | DOTS[x % 2][y % 4]


def _path(xs: Sequence[float], ys: Sequence[float], across: Axis, upright: Axis) -> Iterator[Cell]:
    """Every dot between the points, each once, y counted downwards."""
    before: Cell | None = None
    for x, y in _finite(xs, ys):
        here = (across.dot(x), upright.dots - 1 - upright.dot(y))
        if before is None:
            yield here
        else:
            many = max(abs(here[0] - before[0]), abs(here[1] - before[1]))
            for step in range(1, many + 1):
                share = step / many
                yield round(before[0] + (here[0] - before[0]) * share), round(before[1] + (here[1] - before[1]) * share)
        before = here


def _legend(series: Sequence[Plot], width: int, ascii: bool) -> list[str]:
    """What each sign stands for; dots of a line are shown as they are drawn."""
    texts = []
    for kind in ("points", "line", "band"):
        for one, number in _numbered(series, kind):
            texts.append(f"{_sample(kind, number, ascii)} {one['name']}".replace(" ", "\u00a0"))
    return [line.replace("\u00a0", " ") for line in wrap("   ".join(texts), width, break_long_words=False)]


def _sample(kind: str, number: int, ascii: bool) -> str:
    if kind == "points":
        return _sign(number, ascii)
    if ascii:
        return (PLAIN_BAND if kind == "band" else PLAIN_LINES[number % len(PLAIN_LINES)]) * 3
    whole, drawn = BAND_STRIDE if kind == "band" else STRIDES[number % len(STRIDES)]
    bits = [sum(DOTS[side][1] for side in (0, 1) if (2 * place + side) % whole < drawn) for place in range(6)]
    return "".join(chr(BLANK + one) for one in bits).rstrip(chr(BLANK))
