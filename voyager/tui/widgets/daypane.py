"""A pane that stands on one day of the plan and goes with the cursor."""

from typing import Any

from voyager.tui.desk import Desk
from voyager.tui.messages import Stepped
from voyager.tui.past import is_past, sheet
from voyager.tui.runs import Line
from voyager.tui.widgets.sheet import Sheet


class DayPane(Sheet):
    """Its day is that of the list of days as long as the plan has one."""

    title = ""
    hint = ""

    def __init__(self, id: str) -> None:
        super().__init__(id)
        self.desk: Desk | None = None
        self.day = 1

    def show(self, desk: Desk) -> None:
        """Take over what the desk holds; the day stays."""
        self.desk = desk
        self.border_title = f" {self.title}{desk.former_words}: {self.hint} "
        self.look()

    def look(self) -> None:
        """Take anew what is to be shown."""
        self.redraw()

    def point(self, what: str, index: int) -> None:
        """Go with the cursor: its day, or the day on which its leg begins."""
        desk = self.desk
        rows = [] if desk is None or desk.plan is None else desk.days if what == "day" else desk.leg_rows()
        day = rows[index].get("day" if what == "day" else "started_day") if index < len(rows) else None
        if day is not None:
            self.stand(day)

    def stand(self, day: int) -> None:
        """Show another day."""
        if day != self.day:
            self.day = day
            self.look()

    def row(self) -> Any:
        """The plan's row of the day, None where it has none."""
        plan = None if self.desk is None else self.desk.plan
        return next((day for day in (plan or {"days": []})["days"] if day["day"] == self.day), None)

    def over(self, width: int) -> list[Line]:
        """What is drawn of a day that is over; nothing of one ahead."""
        desk = self.desk
        days = () if desk is None else desk.days
        day = next((day for day in days if day["day"] == self.day and is_past(day)), None)
        return [] if day is None or desk is None or desk.plan is None else sheet(desk.plan, day, width, desk.units)

    def numbers(self) -> list[int]:
        """Days that can be stood on."""
        return [] if self.desk is None else [day["day"] for day in self.desk.days]

    def action_day(self, by: int) -> None:
        """The day before or after."""
        later = [day for day in self.numbers() if (day > self.day if by > 0 else day < self.day)]
        if later:
            self.stand(min(later) if by > 0 else max(later))
            self.post_message(Stepped(self.day))
