"""The pane "this morning": the card of one day and berth, stepped through by keys or mouse; its day's forecast."""

import datetime
from typing import Any

from voyager.session.sketch.edits import put_forecast
from voyager.tui import morning_now
from voyager.tui.actions import bindings, key_of
from voyager.tui.messages import Asked, Edited, Told
from voyager.tui.morning import BerthKey, page_lines
from voyager.tui.morning_pick import view
from voyager.tui.morning_view import MorningView, draw
from voyager.tui.runs import Line, Run
from voyager.tui.widgets.daypane import DayPane

HINT = (
    f"{key_of('morning-back')} {key_of('morning-on')} day · {key_of('morning-up')} {key_of('morning-down')} berth · "
    f"{key_of('forecast')} cloud · {key_of('morning-read')} all · {key_of('morning-close')} closes"
)
LEFT = "voyager.session.morning:left"


class MorningPane(DayPane):
    """Its day is that of the list of days as long as the plan has one; its berth the plan's until another is picked."""

    BINDINGS = bindings("morning")
    title, hint = "This morning", HINT

    def __init__(self) -> None:
        super().__init__("morning")
        self.picked: BerthKey | None = None
        self.view: MorningView | None = None
        self.left: Any = None
        self.asked: tuple[Any, ...] = ()
        self.asked_of: Any = None

    def page(self) -> list[tuple[str, str]]:
        """Every band of the berth shown, in full."""
        shown = self.view
        return [] if shown is None or shown.berth is None else page_lines(shown.berth, shown.ceiling_kwh)

    def stand(self, day: int) -> None:
        """Show another day, at the plan's own berth."""
        if day != self.day:
            self.picked = None
        super().stand(day)

    def numbers(self) -> list[int]:
        return [] if self.desk is None else self.desk.mornings()

    def look(self) -> None:
        self._want()
        gone = self.desk is None or bool(self.over(0))
        self.view = None if gone or self.desk is None else view(self.desk, self.day, self.picked, self.left)
        super().look()

    def draw(self, width: int, height: int) -> list[Line]:
        if self.view is None:
            return self.over(width) or [[Run("" if self.desk is None else self.desk.odds_note)]]
        return draw(self.view, width, height)

    # what is left if it turns out worse

    def _want(self) -> None:
        """Ask for the fallback and the point of no return of the day shown, once for each plan."""
        row = self.row()
        if self.desk is None or row is None:
            self.left = None
            return
        wanted = row["day"], row["date"], row["charge_start_kwh"]
        if self.asked_of is self.desk.plan and self.asked == wanted:
            return
        if self.asked != wanted:
            self.left = None
        self.asked_of, self.asked = self.desk.plan, wanted
        self.post_message(Asked("morning", LEFT, *wanted))

    def answer(self, name: str, body: Any) -> None:
        """The fallback and the point of no return that were asked for."""
        if name == "morning" and body is not None and body["day"] == self.day:
            self.left = body
            self.look()

    def refused(self, name: str, why: str) -> None:
        """They can't be had: the card stands without them."""

    # the forecast

    @property
    def date(self) -> str | None:
        """The day shown, ISO."""
        return None if self.view is None else self.view.date

    def ask_forecast(self, today: datetime.date | None) -> None:
        """Have the cloud of the day picked; ``today``: of the first day that is not past by then."""
        from voyager.tui.screens.pick import PickScreen

        if today is not None and self.desk is not None and self.desk.plan is not None:
            self.stand(morning_now.first_not_past(self.desk.plan["days"], today) or self.day)
        if self.over(0):
            self.post_message(Told("this day is over"))
            return
        if self.date is None or self.desk is None:
            self.app.bell()
            return
        day = self.date
        row = morning_now.forecast_row(self.desk.sketch, day) or {}
        value = str(row["oktas"]) if row.get("oktas") is not None else None
        screen = PickScreen(morning_now.heading(day), morning_now.options(), value)
        self.app.push_screen(screen, lambda taken: self._forecast(day, taken))

    def _forecast(self, day: str, taken: str | None) -> None:
        if taken is not None:
            self._put(day, None if taken == morning_now.NONE else int(taken))

    def _put(self, day: str, eighths: int | None) -> None:
        if self.desk is None:
            return
        sketch: Any = self.desk.sketch
        for key in ("oktas", "ghi_kwh_m2") if eighths is None else ("oktas",):
            sketch = put_forecast(sketch, day, key, eighths)
        self.post_message(Edited(sketch, f"forecast of {day}"))

    def action_unforecast(self) -> None:
        """Take the forecast of the day shown out."""
        if self.desk is None or self.date is None or morning_now.forecast_row(self.desk.sketch, self.date) is None:
            self.post_message(Told("no forecast is in for this day"))
            return
        self._put(self.date, None)

    # the berths

    def action_berth(self, index: int) -> None:
        """One of the day's berths."""
        if self.view is not None and 0 <= index < len(self.view.berths):
            self.picked = self.view.berths[index].key
            self.look()

    def action_other(self, by: int) -> None:
        """The next berth along the way, or the one before."""
        if self.view is not None and self.view.berths:
            at = self.view.at
            self.action_berth(0 if at is None else at + by)
