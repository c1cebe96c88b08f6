"""The first screen: legs, days, details, totals and cautions of one voyage. It shows; the app decides."""

from collections.abc import Callable
from datetime import date
from typing import Any

from textual.app import ComposeResult
from textual.containers import Container, VerticalScroll
from textual.screen import Screen
from textual.widget import Widget

from voyager.tui import banner, past
from voyager.tui.desk import Desk
from voyager.tui.messages import Closed, Pointed, Stepped
from voyager.tui.panes import PANES
from voyager.tui.widgets.choices import ChoiceStrip
from voyager.tui.widgets.days import DayList
from voyager.tui.widgets.foot import Foot
from voyager.tui.widgets.legs import SPEED, LegSheet, LegTable
from voyager.tui.widgets.lines import Lines
from voyager.tui.widgets.title import TitleLine

WIDE_FROM = 110


class VoyageScreen(Screen[None]):
    """Beside each other from 110 columns on, below each other else; the pane in use has the larger part.

    ``opened`` is the name of the pane that is open; panes are made when they are first opened. ``holds`` says whether
    painting is to wait.
    """

    AUTO_FOCUS = "#leg-table"

    def __init__(self, desk: Desk) -> None:
        super().__init__()
        self.desk = desk
        self.pointed = ("leg", 0)
        self.before: Widget | None = None
        self.opened: str | None = None
        self.panes: dict[str, Any] = {}
        self.line = TitleLine(id="title")
        self.holds: Callable[[], bool] = lambda: False

    def compose(self) -> ComposeResult:
        yield self.line
        yield ChoiceStrip(id="choices")
        yield Lines(id="banner")
        with Container(id="board"):
            yield LegSheet()
            yield DayList()
            with VerticalScroll(id="about", can_focus=False):
                yield Lines(id="about-lines")
        yield Lines(id="moved")
        yield Lines(id="totals")
        yield Foot()

    def on_mount(self) -> None:
        self.app.theme_changed_signal.subscribe(self, lambda _: self._titles())
        self.show(self.desk)

    def show(self, desk: Desk) -> None:
        """Take over what the desk holds."""
        former, self.desk = self.desk, desk
        if not self.is_mounted:
            return
        self.line.take(desk)
        self.query_one(ChoiceStrip).show(desk)
        self.query_one(LegSheet).show(desk)
        if desk.plan is not former.plan or not self.query_one(DayList).rows:
            self._list(former)
        self._say()
        self._titles()
        if self.opened is not None:
            self.panes[self.opened].show(desk)
        self._about(moved=False)

    def _list(self, former: Desk) -> None:
        """The days; where others are past than before the cursor goes to its old date, on the way ahead if it can."""
        was, rows = former.days, self._days()
        days = self.query_one(DayList)
        days.show(past.day_rows(rows, self.desk.capacity_kwh))
        if [day["date"] for day in was if past.is_past(day)] == [day["date"] for day in rows if past.is_past(day)]:
            return
        date = was[days.cursor]["date"] if days.cursor < len(was) else ""
        ahead = [at for at, day in enumerate(rows) if not past.is_past(day)]
        index = next((at for at in ahead if rows[at]["date"] == date), ahead[0] if ahead else 0)
        days.stand(index)
        if self.pointed[0] == "day":
            self.pointed = ("day", index)
            self._point()

    def afresh(self) -> None:
        """Another voyage is to be shown: its legs from the first on, and where letters are keys."""
        self.query_one(LegTable).stand(0, SPEED)

    def _say(self) -> None:
        """The lines above and below the board."""
        lines = banner.lines(self.desk)
        self.query_one("#banner", Lines).show(lines)
        self.query_one("#banner").display = bool(lines)
        self.query_one("#banner").set_class(all(kind == "title" for kind, _ in lines), "-calm")
        moved = banner.moved(self.desk, self.size.width, self.size.width >= WIDE_FROM)
        self.query_one("#moved", Lines).show(moved)
        self.query_one("#moved").display = bool(moved)
        self.query_one("#totals").set_class(bool(moved), "-under")
        self.query_one("#totals", Lines).show(banner.totals(self.desk, self.size.width, self.size.width >= WIDE_FROM))

    def _days(self) -> list[Any]:
        return list(self.desk.days)

    def _titles(self) -> None:
        """Of the lists and the open pane, in the colour of a warning while the plan is a former one.

        A class would say the same, at the price of styling all that is within anew.
        """
        colour = self.app.theme_variables["warning"] if self.desk.former else None
        for widget in (self.query_one("#legs"), self.query_one("#days"), *self.panes.values()):
            widget.styles.border_title_color = colour
        former = self.desk.former_words
        waits = "" if self._days() else f": {banner.waiting(self.desk)}"
        self.query_one("#board").set_class(bool(self.desk.faults), "-broken")
        self.query_one(LegSheet).entitle(former)
        self.query_one("#days").border_title = f" Days{former}{waits or ': charge, kWh −out +in'} "

    def _on_timer_update(self) -> None:
        """Paint once for a key and all that comes of it, not for each part."""
        if not self.holds():
            super()._on_timer_update()

    def paint(self) -> None:
        """Paint what has changed, now rather than at the next turn of the clock."""
        if self.is_running and self.is_current:
            super()._on_timer_update()

    # the cursor

    def on_pointed(self, message: Pointed) -> None:
        message.stop()
        self.pointed = (message.what, message.index)
        if message.what == "leg" and not self.query_one(LegSheet).has_focus_within:
            self.query_one(LegSheet).stand(message.index)
        elif message.what == "day" and self.focused is not self.query_one(DayList):
            self.query_one(DayList).stand(message.index)
        self._point()
        self._about()

    def _point(self) -> None:
        """The pane that is open goes with the cursor."""
        if self.opened is not None and hasattr(self.panes[self.opened], "point"):
            self.panes[self.opened].point(*self.pointed)

    def on_stepped(self, message: Stepped) -> None:
        message.stop()
        index = next((at for at, day in enumerate(self._days()) if day["day"] == message.day), None)
        if index is not None:
            self.pointed = ("day", index)
            self.query_one(DayList).stand(index)
            self._about()

    def day_index(self) -> int:
        """Index of the day under the cursor, -1 where a leg is."""
        return self.pointed[1] if self.pointed[0] == "day" else -1

    def stand_on_day(self, index: int) -> None:
        """Go to a day: in the list, or in the pane that is open."""
        self.pointed = ("day", index)
        self.query_one(DayList).stand(index)
        if self.opened is None:
            self.set_focus(self.query_one(DayList), scroll_visible=False)
        self._point()
        self._about()

    # panes

    async def on_closed(self, message: Closed) -> None:
        message.stop()
        if self.opened is not None:
            await self.toggle(self.opened)

    async def toggle(self, name: str) -> None:
        """Open one pane in the place of another, or close it and go back to where the cursor was."""
        opening = self.opened != name
        if opening and not PANES[name].there:
            self.app.bell()
            return
        pane = await self._made(name)
        if opening and (self.opened is None or not self.panes[self.opened].has_focus_within):
            self.before = self.focused
        self.opened = name if opening else None
        for one, widget in self.panes.items():
            widget.set_class(one == self.opened, "-shown")
        self.set_class(opening, "-open")
        self.app.stylesheet.update(self)
        if opening:
            pane.show(self.desk)
            self._titles()
            self._point()
        self._focus_on(pane if opening else self.before)

    def enlarge(self) -> bool:
        """Let the open pane have the whole board, or its part again; False where none is open."""
        if self.opened is not None:
            self.toggle_class("-whole")
            self.app.stylesheet.update(self)
        return self.opened is not None

    async def forecast(self, today: date) -> None:
        """Ask for a forecast on the morning card, which is opened at today's day where it is not."""
        opening = self.opened != "morning"
        if opening:
            await self.toggle("morning")
        self.panes["morning"].ask_forecast(today if opening else None)

    async def _made(self, name: str) -> Any:
        if name not in self.panes:
            pane = PANES[name].make()
            pane.add_class("pane")
            await self.query_one("#board").mount(pane)
            self.panes[name] = pane
        return self.panes[name]

    def _focus_on(self, widget: Widget | None) -> None:
        """The widget or the first within it that takes the focus; the legs where none does."""
        inside = [] if widget is None else [widget, *widget.query("*")]
        first = next((one for one in inside if one.is_attached and one.focusable), self.query_one(LegTable))
        self.set_focus(first, scroll_visible=False)

    def answer(self, name: str, body: Any) -> None:
        """Hand an answer of the worker to the pane that asked, under ``pane`` or ``pane:what``."""
        pane = self.panes.get(name.partition(":")[0])
        if pane is not None:
            pane.answer(name, body)

    def progress(self, name: str, share: float, text: str) -> None:
        """Hand on how far what a pane asked for is."""
        pane = self.panes.get(name.partition(":")[0])
        if pane is not None:
            pane.progress(name, share, text)

    def refused(self, name: str, why: str) -> None:
        """Likewise why there is none."""
        pane = self.panes.get(name.partition(":")[0])
        if pane is not None and hasattr(pane, "refused"):
            pane.refused(name, why)
        else:
            self.app.notify(why, timeout=4, markup=False)

    def lost(self) -> None:
        """Tell the panes that wait for answers that there will be none."""
        for pane in self.panes.values():
            if hasattr(pane, "lost"):
                pane.lost()

    def logged(self) -> None:
        """Tell the panes that stand on the log that it holds other entries."""
        for pane in self.panes.values():
            if hasattr(pane, "logged"):
                pane.logged()

    def resume(self, where: Any) -> None:
        """Open the cell again that was being typed into: ``row`` (identity), ``key``, ``text``; ``pane`` if in one."""
        if where.get("pane") in PANES:
            self.call_later(self._resume_in, where)
            return
        sheet = self.query_one(LegSheet)
        if hasattr(sheet, "resume"):
            sheet.resume(where)

    async def _resume_in(self, where: Any) -> None:
        if self.opened != where["pane"]:
            await self.toggle(where["pane"])
        self.panes[where["pane"]].resume(where)

    def on_resize(self) -> None:
        self.set_class(isinstance(self.focused, DayList) and self.size.width < WIDE_FROM, "-days-first")
        self._say()
        self._about(moved=False)

    def on_descendant_focus(self) -> None:
        focused = self.focused
        self.set_class(isinstance(focused, DayList) and self.size.width < WIDE_FROM, "-days-first")
        if isinstance(focused, LegTable) and self.pointed[0] != "leg":
            self.pointed = ("leg", focused.cursor_row)
            self._about()

    # the leg or day under the cursor

    def about(self, full: bool) -> list[tuple[str, str]]:
        """What is to be said about it; a pane that is open may have a page of its own."""
        page = getattr(self.panes.get(self.opened or ""), "page", None) if full else None
        own = None if page is None else page()
        if own:
            return list(own)
        from voyager.tui import details

        what, index = self.pointed
        days = self._days()
        if what == "day" and index < len(days) and self.desk.plan is not None:
            if past.is_past(days[index]):
                return past.day_lines(self.desk.plan, days[index], self.desk.units)
            gone = len(days) - len(self.desk.plan["days"])
            return details.day_lines(self.desk.plan, index - gone, full, self.desk.units)
        rows = self.desk.leg_rows()
        if self.desk.shown is None or index >= len(rows):
            return []
        return details.leg_lines({**self.desk.shown, "legs": rows}, index, full, self.desk.units)

    def _about(self, moved: bool = True) -> None:
        if not self.is_mounted:
            return
        self.query_one("#about-lines", Lines).show(self.about(full=self.size.width >= WIDE_FROM))
        self.query_one(DayList).link(self._linked(), reveal=moved)

    def _linked(self) -> frozenset[int]:
        what, index = self.pointed
        rows = self.desk.leg_rows()
        if what != "leg" or index >= len(rows) or rows[index].get("started_day") is None:
            return frozenset()
        last = rows[index].get("day") or rows[index]["started_day"]
        return frozenset(range(rows[index]["started_day"], last + 1))
