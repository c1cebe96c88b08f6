"""The pane "hours": the day under the cursor, hour by hour."""

from voyager.tui import hours_view, words
from voyager.tui.actions import bindings, key_of
from voyager.tui.hours_view import HoursView
from voyager.tui.packed import hours_of
from voyager.tui.runs import Line, Run
from voyager.tui.widgets.daypane import DayPane

HINT = (
    f"{key_of('hours-back')} {key_of('hours-on')} day · {key_of('hours-up')} {key_of('hours-down')} scroll · "
    f"{key_of('hours-close')} closes"
)


class HoursPane(DayPane):
    """Strips, ribbon and table of one day."""

    BINDINGS = bindings("hours")
    title, hint = "Hours", HINT

    def __init__(self) -> None:
        super().__init__("hours")
        self.view: HoursView | None = None

    def look(self) -> None:
        row, desk = self.row(), self.desk
        plan = None if desk is None else desk.plan
        self.view = None if row is None or plan is None or desk is None else HoursView(
            plan, row, hours_of(row), desk.units
        )  # fmt: skip
        super().look()

    def draw(self, width: int, height: int) -> list[Line]:
        if self.view is None:
            waits = [[Run(text)] for text in words.wrapped("planning …" if self.desk else "", width)]
            return self.over(width) or waits
        return hours_view.draw(self.view, width, height)
