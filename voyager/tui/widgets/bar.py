"""A charge as a bar of cells: solid by background colour, its edge in eighths, the day's lowest and floor marked."""

from collections.abc import Callable

from rich.segment import Segment
from rich.style import Style

EDGES = " ▏▎▍▌▋▊▉"


def bar(
    charge: int | None, low: int | None, floor: int | None, cells: int, full: Style, rest: Style, mono: bool
) -> list[Segment]:
    """``cells`` segments for 0 to 100 percent; ``full`` has the bar's colour as its foreground.

    ``│`` stands where the day was lowest, ``╎`` at the floor; without colour the bar itself is drawn with ``█``.
    """
    eighths = round((charge or 0) * cells * 8 / 100)
    solid = Style(color=rest.color, bgcolor=full.color) + Style(bold=True)
    draw = _mono(full) if mono else _coloured(full, rest, solid)
    marks = {} if charge is None else {_cell(floor, cells): "╎", _cell(low, cells): "│"}
    segments = [draw(min(8, max(0, eighths - 8 * at))) for at in range(cells)]
    for at, mark in marks.items():
        if at is not None:
            inside = eighths >= 8 * at + 8 and not mono
            segments[at] = Segment(mark, solid if inside else full if mono else rest)
    return segments


def _cell(percent: int | None, cells: int) -> int | None:
    return None if percent is None else min(cells - 1, int(percent * cells / 100))


def _coloured(full: Style, rest: Style, solid: Style) -> Callable[[int], Segment]:
    edge = full + Style(bgcolor=rest.bgcolor)
    return lambda part: Segment(" ", solid) if part == 8 else Segment(EDGES[part], edge if part else rest)


def _mono(full: Style) -> Callable[[int], Segment]:
    return lambda part: Segment("█" if part == 8 else EDGES[part] if part else "·", full)
