"""Bands of charge as a strip of cells from empty to full, and the charges at their edges. No Textual here."""

from collections.abc import Sequence

from voyager.tui import words
from voyager.tui.morning import Band, kwh_words
from voyager.tui.runs import Line, Run

FILL = {"go": " ", "back": " ", "stay": "░", "plug": "╌", "step": " "}
EDGE, MARK = "│", "┃"


def cell(kwh: float, ceiling_kwh: float, cells: int) -> int:
    """The cell that a charge falls into."""
    return max(0, min(cells - 1, int(kwh / ceiling_kwh * cells + 1e-9)))


def strip(bands: Sequence[Band], ceiling_kwh: float, cells: int, mark_kwh: float | None) -> Line:
    """``cells`` columns: each band named where there is room, an edge at its start, a mark at the plan's charge."""
    starts = [cell(band.from_kwh, ceiling_kwh, cells) for band in bands]
    mark = None if mark_kwh is None else cell(mark_kwh, ceiling_kwh, cells)
    line: Line = []
    for band, start, end in zip(bands, starts, [*starts[1:], cells], strict=True):
        if end > start:
            line += _band(band, start, end, mark)
    return line


def _band(band: Band, start: int, end: int, mark: int | None) -> Line:
    edge = [Run(EDGE, band.part)] if start else []
    inside = start + len(edge)
    if mark is None or not start <= mark < end:
        return [*edge, Run(_named(band, end - inside), band.part)]
    if mark < inside:
        return [Run(MARK, "mark"), Run(_named(band, end - inside), band.part)]
    left, right = mark - inside, end - mark - 1
    bare = FILL[band.part]
    texts = (_named(band, left), bare * right) if left > right else (bare * left, _named(band, right))
    return [*edge, Run(texts[0], band.part), Run(MARK, "mark"), Run(texts[1], band.part)]


def _named(band: Band, room: int) -> str:
    label = next((label for label in band.labels if len(label) <= room), "")
    label = f" {label} " if label and len(label) + 2 <= room else label
    return label.center(room, FILL[band.part])


def edges(bands: Sequence[Band], ceiling_kwh: float, cells: int) -> str:
    """The charges (kWh) at the edges, each as near below its edge as its neighbours allow."""
    texts = [kwh_words(band.from_kwh) for band in bands[1:]]
    wanted = [cell(band.from_kwh, ceiling_kwh, cells) for band in bands[1:]]
    places = [max(0, at - len(text) // 2) for at, text in zip(wanted, texts, strict=True)]
    return _laid(texts, places, cells)


def _laid(texts: Sequence[str], places: Sequence[int], cells: int) -> str:
    """Texts at their places, pushed right past the one before, then left so that the last one fits."""
    at: list[int] = []
    for place in places:
        at.append(max(place, at[-1] + len(texts[len(at) - 1]) + 1 if at else 0))
    limit = cells
    for index in range(len(at) - 1, -1, -1):
        at[index] = min(at[index], limit - len(texts[index]))
        limit = at[index] - 1
    line = ""
    for text, place in zip(texts, at, strict=True):
        line = line.ljust(max(0, place)) + text
    return line[:cells].ljust(cells)


def scale(capacity_kwh: float, ceiling_kwh: float, cells: int, mark_kwh: float | None) -> Line:
    """Percent of capacity above the strips, the last one the ceiling's, and a pointer to the plan's charge."""
    last = int(100 * ceiling_kwh / capacity_kwh + 1e-9)
    ticks = [*range(0, last - 9, 20), last]
    at = [cell(percent * capacity_kwh / 100, ceiling_kwh, cells) for percent in ticks]
    text = _laid([f"{percent}%" for percent in ticks], at, cells)
    if mark_kwh is None:
        return [Run(text, "muted")]
    mark = cell(mark_kwh, ceiling_kwh, cells)
    pointer = f"▼{words.percent_words(mark_kwh, capacity_kwh)}"
    start = min(mark, cells - len(pointer))
    pointer = pointer if start == mark else "▼".rjust(mark - start + 1)
    clear = _cleared(text, start, start + len(pointer))
    return [Run(clear[:start], "muted"), Run(pointer, "accent"), Run(clear[start + len(pointer) :], "muted")]


def _cleared(text: str, start: int, end: int) -> str:
    """Text without any tick that would touch these columns."""
    kept = [(at, word) for at, word in _words(text) if at > end or at + len(word) < start]
    line = ""
    for at, word in kept:
        line = line.ljust(at) + word
    return line.ljust(len(text))


def _words(text: str) -> list[tuple[int, str]]:
    found, at = [], 0
    for word in text.split():
        at = text.index(word, at)
        found.append((at, word))
        at += len(word)
    return found
