"""The pane "this evening": how to lie, raise and heat, and what tomorrow needs."""

from voyager.tui import evening_view, words
from voyager.tui.actions import bindings, key_of
from voyager.tui.evening_view import EveningView
from voyager.tui.packed import evening_of
from voyager.tui.runs import Line, Run
from voyager.tui.widgets.daypane import DayPane

HINT = (
    f"{key_of('evening-back')} {key_of('evening-on')} day · {key_of('evening-up')} {key_of('evening-down')} scroll · "
    f"{key_of('evening-close')} closes"
)


class EveningPane(DayPane):
    """The card of the evening of one day."""

    BINDINGS = bindings("evening")
    title, hint = "This evening", HINT

    def __init__(self) -> None:
        super().__init__("evening")
        self.view: EveningView | None = None

    def look(self) -> None:
        row, desk = self.row(), self.desk
        plan = None if desk is None else desk.plan
        self.view = None if row is None or plan is None or desk is None else EveningView(
            plan, row, evening_of(plan, row["day"]), desk.units
        )  # fmt: skip
        super().look()

    def draw(self, width: int, height: int) -> list[Line]:
        if self.view is None:
            waits = [[Run(text)] for text in words.wrapped("planning …" if self.desk else "", width)]
            return self.over(width) or waits
        return evening_view.draw(self.view, width, height)
