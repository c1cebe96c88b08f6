"""The top line: which voyage and boat, and what the planner is doing."""

from typing import TYPE_CHECKING

from textual.app import RenderResult
from textual.content import Content
from textual.reactive import reactive
from textual.widget import Widget

if TYPE_CHECKING:
    from datetime import date

    from voyager.tui.desk import Desk

UNSAVED = " * unsaved"
ENOUGH = (80, 24)
WHEEL = "|/-\\"
BAR_CELLS = 8
WAITS = "from here …"


def _begins(desk: "Desk", today: "date") -> str:
    from voyager.tui.past import begins

    return begins(desk.plan, today.isoformat()) or WAITS


class TitleLine(Widget):
    """Name at the left, status at the right; a bar only while work takes longer than a moment."""

    name_text: reactive[str] = reactive("voyager")
    unsaved: reactive[bool] = reactive(False)
    begins: reactive[str] = reactive("")
    status: reactive[str] = reactive("")
    share: reactive[float | None] = reactive(None)
    turn: reactive[int] = reactive(0)

    def take(self, desk: "Desk") -> None:
        """Name the voyage; say whether there is something to save."""
        if desk.opened is not None:
            self.name_text, self.unsaved = desk.name, desk.unsaved
            self.begins = _begins(desk, self.app.today()) if desk.onward else ""  # type: ignore[attr-defined]

    def render(self) -> RenderResult:
        right = self._right()
        mark = UNSAVED if self.unsaved else ""
        mark = f" · {self.begins}{mark}" if self.begins else mark
        room = max(0, self.size.width - len(right) - len(mark) - 3)
        name = self.name_text if len(self.name_text) <= room else self.name_text[: max(0, room - 1)] + "…"
        gap = " " * max(1, self.size.width - 2 - len(name) - len(mark) - len(right))
        says = ((" " + name, "bold"), (mark, "bold $accent"))
        return Content.assemble(*says, gap, (right, "$accent" if self.share is not None else ""), " ")

    def _right(self) -> str:
        if self.share is None:
            small = self.app.size.width < ENOUGH[0] or self.app.size.height < ENOUGH[1]
            return f"{self.status} · {ENOUGH[0]}x{ENOUGH[1]} shows more" if small else self.status
        done = round(min(1.0, max(0.0, self.share)) * BAR_CELLS)
        bar = "━" * done + "╌" * (BAR_CELLS - done)
        room = max(0, self.size.width // 2 - BAR_CELLS - 8)
        return f"{WHEEL[self.turn % len(WHEEL)]} {self.status[:room]} {bar} {self.share * 100:3.0f}%"
