"""The pane "how sure": the odds of the plan on the desk."""

from voyager.tui import sure_view, words
from voyager.tui.actions import bindings, key_of
from voyager.tui.desk import Desk
from voyager.tui.runs import Line, Run
from voyager.tui.widgets.sheet import Sheet


class SurePane(Sheet):
    """Arrival, shore, held, reserve, warmth, and the band of charge."""

    BINDINGS = bindings("sure")

    def __init__(self) -> None:
        super().__init__("sure")
        self.desk: Desk | None = None

    def show(self, desk: Desk) -> None:
        """Take over what the desk holds."""
        self.desk = desk
        self.border_title = f" How sure{desk.former_words}: {key_of('sure-close')} closes "
        self.redraw()

    def draw(self, width: int, height: int) -> list[Line]:
        if self.desk is None or self.desk.plan is None or self.desk.plan["odds"] is None:
            return [[Run(text)] for text in words.wrapped(self.desk.odds_note if self.desk else "", width)]
        return sure_view.draw(self.desk.plan, width, height, self.app.no_color, self.desk.units)
