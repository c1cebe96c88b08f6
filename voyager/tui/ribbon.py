"""The charge through a day as a filled ribbon, its lowest point and the floor marked. No Textual here."""

from collections.abc import Sequence

from voyager.tui.runs import Line, Run

LOWER = " ▁▂▃▄▅▆▇█"
LOWEST, FLOOR = "▾", "╌"


def draw(
    charges: Sequence[float], floors: Sequence[float], capacity_kwh: float, cells: int, rows: int, label: int
) -> list[Line]:
    """``rows`` lines from full to empty, ``cells`` columns for each hour; the axis stands in ``label`` columns."""
    ticks = {0: "100%", rows // 2: f"{round(100 * (rows - rows // 2) / rows)}%", rows - 1: "0%"}
    ticks = ticks if rows > 3 else {0: "100%", rows - 1: "0%"}
    eighths = [_eighth(kwh, capacity_kwh, rows) for kwh in charges]
    ground = [_eighth(kwh, capacity_kwh, rows) for kwh in floors]
    low = charges.index(min(charges)) if charges else -1
    lines = []
    for row in range(rows):
        bottom = 8 * (rows - 1 - row)
        line: Line = [Run(f"{ticks.get(row, ''):>{label - 1}}┤", "muted")]
        for hour, (full, floor) in enumerate(zip(eighths, ground, strict=True)):
            _add(line, *_cell(full, floor, bottom, hour == low), cells)
        lines.append(line)
    return lines


def _eighth(kwh: float, capacity_kwh: float, rows: int) -> int:
    return max(0, min(8 * rows, round(8 * rows * kwh / capacity_kwh))) if capacity_kwh > 0 else 0


def _cell(full: int, floor: int, bottom: int, lowest: bool) -> tuple[str, str]:
    """What covers the eighths ``bottom`` to ``bottom + 8`` of one hour."""
    if lowest and _above(full) == bottom:
        return LOWEST, "mark"
    if bottom <= floor < bottom + 8 and floor:
        return (FLOOR, "mid") if full >= bottom + 8 else (FLOOR, "low")
    if full <= bottom:
        return " ", "plain"
    return LOWER[min(8, full - bottom)], "bar"


def _above(full: int) -> int:
    """The bottom of the first cell above what is filled."""
    return -(-full // 8) * 8


def _add(line: Line, text: str, part: str, cells: int) -> None:
    if line[-1].part == part:
        line[-1] = Run(line[-1].text + text * cells, part)
    else:
        line.append(Run(text * cells, part))
