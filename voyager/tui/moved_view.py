"""What moved since the plan that is kept to compare with, in the few lines of a strip. No Textual here."""

from collections.abc import Sequence

from voyager.report.moved import moved
from voyager.tui.actions import key_of
from voyager.tui.desk import Desk

Line = tuple[str, str]
MOST_LINES = {False: 2, True: 4}
HEAD, SO_FAR = "Moved: ", "Moved so far: "
BETWEEN, MORE = " · ", " and {} more"


def lines(desk: Desk, width: int, wide: bool) -> list[Line]:
    """Two lines, four where it is wide; none while there is nothing to compare with."""
    if desk.baseline is None or desk.plan is None or desk.plan is desk.baseline:
        return []
    end = f"({key_of('dismiss')} ends comparing)"
    head = SO_FAR if desk.draft else HEAD
    told = [str(row) for row in moved(desk.baseline, desk.plan)]
    if not told:
        return [("plain", f"{head}nothing that is shown {end}")]
    return [("plain", line) for line in packed(told, max(20, width - 3), MOST_LINES[wide], end, head)]


def packed(told: Sequence[str], width: int, most: int, end: str, head: str = HEAD) -> list[str]:
    """Items between dots in at most ``most`` lines, whole items only.

    ``and 3 more`` for those left out, ``end`` at the end.
    """
    rows, left = [head], list(told)
    while left:
        last = len(rows) == most
        ending = f"{MORE.format(len(left))} {end}" if last else ""
        item = left[0] if rows[-1] in (head, "") else BETWEEN + left[0]
        if len(rows[-1]) + len(item) + len(ending) <= width or rows[-1] in (head, ""):
            rows[-1] += item
            left.pop(0)
        elif last:
            return [*rows[:-1], f"{rows[-1]}{MORE.format(len(left))} {end}"[:width]]
        else:
            rows.append("")
    if len(rows[-1]) + 1 + len(end) <= width:
        rows[-1] += f" {end}"
    elif len(rows) < most:
        rows.append(end)
    return [row[:width] for row in rows]
