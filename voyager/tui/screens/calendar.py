"""A month to pick a day from, by arrows, by mouse, or by typing the date."""

from calendar import monthrange
from collections.abc import Mapping
from datetime import date, timedelta

from textual import events
from textual.app import ComposeResult, RenderResult
from textual.containers import Vertical
from textual.content import Content
from textual.reactive import reactive
from textual.widget import Widget

from voyager.report.words import MONTHS, WEEKDAYS
from voyager.session.typed import date_of
from voyager.tui.actions import bindings
from voyager.tui.screens.card import CardScreen

NO_DATE = ""
Marked = Mapping[date, str]
SIGNS = {"departs": "▸", "arrives": "◂", "today": "•"}


class Month(Widget, can_focus=True):
    """Seven columns of four cells, six weeks, the line in which figures are typed, and what the signs mean.

    ``marked``: days that have a sign behind them, each with a word of ``SIGNS``.
    """

    BINDINGS = bindings("date")
    day: reactive[date] = reactive(date(2027, 1, 1))
    figures: reactive[str] = reactive("")
    reason: reactive[str] = reactive("")

    def __init__(self, day: date, marked: Marked | None = None) -> None:
        super().__init__()
        self.set_reactive(Month.day, day)
        self.marked = marked or {}

    def render(self) -> RenderResult:
        weeks = [self._week(start) for start in self._mondays()]
        head = f"{MONTHS[self.day.month - 1]} {self.day.year}".center(28)
        names = "".join(f" {name[:2]} " for name in WEEKDAYS)
        here = " ".join(filter(None, (self.day.isoformat(), self.marked.get(self.day, ""))))
        foot = self.reason or (f"typed: {self.figures}_" if self.figures else here)
        seen = {word for day, word in self.marked.items() if (day.year, day.month) == (self.day.year, self.day.month)}
        meanings = "  ".join(f"{sign} {word}" for word, sign in SIGNS.items() if word in seen)
        style = "$error" if self.reason else "$text-muted"
        return Content("\n").join([Content.styled(head, "bold"), Content.styled(names, "$text-muted"), *weeks,
                                   Content.styled(foot, style), Content.styled(meanings, "$text-muted")])  # fmt: skip

    def _mondays(self) -> list[date]:
        first = self.day.replace(day=1)
        start = first.toordinal() - first.weekday()
        return [date.fromordinal(max(1, start + 7 * week)) for week in range(6)]

    def _week(self, monday: date) -> Content:
        days = [date.fromordinal(monday.toordinal() + i) for i in range(7)]
        return Content.assemble(*(self._day(day) for day in days))

    def _day(self, day: date) -> tuple[str, str]:
        if day == self.day:
            return f"[{day.day:2d}]", "bold $accent"
        sign = SIGNS.get(self.marked.get(day, ""), " ")
        return (f" {day.day:2d}{sign}", "") if day.month == self.day.month else ("    ", "")

    def action_days(self, by: int) -> None:
        self._go(self.day + timedelta(days=by))

    def action_months(self, by: int) -> None:
        place = self.day.year * 12 + self.day.month - 1 + by
        year, month = divmod(place, 12)
        self._go(date(year, month + 1, min(self.day.day, monthrange(year, month + 1)[1])))

    def _go(self, day: date) -> None:
        self.figures, self.reason = "", ""
        if 1902 <= day.year <= 2198:
            self.day = day

    def action_rub(self) -> None:
        self.figures, self.reason = self.figures[:-1], ""

    def on_key(self, event: events.Key) -> None:
        if event.character and event.character in "0123456789-" and len(self.figures) < 10:
            event.stop()
            self.figures, self.reason = self.figures + event.character, ""

    def action_take(self) -> None:
        try:
            day = date_of(self.figures) if self.figures else self.day
        except ValueError as error:
            self.reason = f"✗ {error}"
            return
        self._leave(day.isoformat())

    def action_none(self) -> None:
        self._leave(NO_DATE)

    def action_drop(self) -> None:
        self._leave(None)

    def _leave(self, value: str | None) -> None:
        screen = self.screen
        if isinstance(screen, CalendarScreen):
            screen.leave(value)

    def on_click(self, event: events.Click) -> None:
        row, column = int(event.y) - 2, int(event.x) // 4
        if 0 <= row < 6 and 0 <= column < 7:
            day = date.fromordinal(self._mondays()[row].toordinal() + column)
            if day.month == self.day.month:
                self._leave(day.isoformat())


class CalendarScreen(CardScreen[str]):
    """Dismissed with an ISO date, with ``""`` for no date where that may be, or with None."""

    def __init__(self, title: str, day: date, may_be_none: bool, marked: Marked | None = None) -> None:
        super().__init__()
        self.heading, self.day, self.may_be_none = title, day, may_be_none
        self.marked = marked

    def compose(self) -> ComposeResult:
        with Vertical(classes="card -month"):
            yield Month(self.day, self.marked)

    def on_mount(self) -> None:
        card = self.query_one(".card")
        card.border_title = self.heading
        card.border_subtitle = "Del: none" if self.may_be_none else "Enter takes"

    def leave(self, value: str | None) -> None:
        """Close, unless no date was asked for where one must be."""
        if value == NO_DATE and not self.may_be_none:
            self.app.bell()
            return
        super().leave(value)
