"""The pane "this morning": the card of one day and berth, stepped through by keys or mouse."""

from voyager.tui.actions import bindings, key_of
from voyager.tui.desk import Desk
from voyager.tui.messages import Stepped
from voyager.tui.morning import BerthKey, page_lines
from voyager.tui.morning_pick import view
from voyager.tui.morning_view import MorningView, draw
from voyager.tui.runs import Line, Run
from voyager.tui.widgets.sheet import Sheet

HINT = (
    f"{key_of('morning-back')} {key_of('morning-on')} day · {key_of('morning-up')} {key_of('morning-down')} berth · "
    f"{key_of('morning-read')} reads all · {key_of('morning-close')} closes"
)


class MorningPane(Sheet):
    """Its day is that of the list of days as long as the plan has one; its berth the plan's until another is picked."""

    BINDINGS = bindings("morning")

    def __init__(self) -> None:
        super().__init__("morning")
        self.desk: Desk | None = None
        self.day = 1
        self.picked: BerthKey | None = None
        self.view: MorningView | None = None

    def show(self, desk: Desk) -> None:
        """Take over what the desk holds; day and berth stay."""
        self.desk = desk
        self.border_title = f" This morning{desk.former_words}: {HINT} "
        self._look()

    def point(self, what: str, index: int) -> None:
        """Go with the cursor: its day, or the day on which its leg begins."""
        desk = self.desk
        rows = [] if desk is None or desk.plan is None else desk.plan["days"] if what == "day" else desk.leg_rows()
        day = rows[index].get("day" if what == "day" else "started_day") if index < len(rows) else None
        if day is not None:
            self.stand(day)

    def page(self) -> list[tuple[str, str]]:
        """Every band of the berth shown, in full."""
        view = self.view
        return [] if view is None or view.berth is None else page_lines(view.berth, view.ceiling_kwh)

    def stand(self, day: int) -> None:
        """Show another day, at the plan's own berth."""
        if day != self.day:
            self.day, self.picked = day, None
            self._look()

    def _look(self) -> None:
        self.view = None if self.desk is None else view(self.desk, self.day, self.picked)
        self.redraw()

    def draw(self, width: int, height: int) -> list[Line]:
        if self.view is None:
            return [[Run("" if self.desk is None else self.desk.odds_note)]]
        return draw(self.view, width, height)

    def action_day(self, by: int) -> None:
        """Another morning of the plan or of its card."""
        days = [] if self.desk is None else self.desk.mornings()
        later = [day for day in days if (day > self.day if by > 0 else day < self.day)]
        if later:
            self.stand(min(later) if by > 0 else max(later))
            self.post_message(Stepped(self.day))

    def action_berth(self, index: int) -> None:
        """One of the day's berths."""
        if self.view is not None and 0 <= index < len(self.view.berths):
            self.picked = self.view.berths[index].key
            self._look()

    def action_other(self, by: int) -> None:
        """The next berth along the way, or the one before."""
        if self.view is not None and self.view.berths:
            at = self.view.at
            self.action_berth(0 if at is None else at + by)
