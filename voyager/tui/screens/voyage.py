"""The first screen: legs, days, details, totals and cautions of one voyage. It shows; the app decides."""

from typing import Any

from textual.app import ComposeResult
from textual.containers import Container, VerticalScroll
from textual.screen import Screen
from textual.widget import Widget
from textual.widgets import Footer

from voyager.tui import details, sure_view, words
from voyager.tui.actions import key_of
from voyager.tui.desk import Desk
from voyager.tui.messages import Closed, Pointed, Stepped
from voyager.tui.morning import page_lines
from voyager.tui.widgets.choices import ChoiceStrip
from voyager.tui.widgets.days import DayList
from voyager.tui.widgets.legs import Cell, LegSheet, LegTable
from voyager.tui.widgets.lines import Lines
from voyager.tui.widgets.morning import MorningPane
from voyager.tui.widgets.sheet import Sheet
from voyager.tui.widgets.sure import SurePane
from voyager.tui.widgets.title import TitleLine
from voyager.tui.worker import MEMBERS

WIDE_FROM = 110
PANES = ("morning", "sure")
NO_ODDS = f"The plan under one sky is shown, without odds; {key_of('stop')} plans on."
PROVISIONAL = f"Provisional, under one sky: {MEMBERS:,} skies are being computed."


class VoyageScreen(Screen[None]):
    """Beside each other from 110 columns on, below each other else; the pane in use has the larger part."""

    AUTO_FOCUS = "#leg-table"

    def __init__(self, desk: Desk) -> None:
        super().__init__()
        self.desk = desk
        self.pointed = ("leg", 0)
        self.before: Widget | None = None
        self.line = TitleLine(id="title")

    def compose(self) -> ComposeResult:
        yield self.line
        yield ChoiceStrip(id="choices")
        yield Lines(id="banner")
        with Container(id="board"):
            yield LegSheet()
            yield DayList()
            with VerticalScroll(id="about", can_focus=False):
                yield Lines(id="about-lines")
            yield MorningPane()
            yield SurePane()
        yield Lines(id="totals")
        yield Footer(show_command_palette=False)

    def on_mount(self) -> None:
        self.show(self.desk)

    def show(self, desk: Desk) -> None:
        """Take over what the desk holds."""
        self.desk = desk
        self._show_name(desk)
        self.query_one(ChoiceStrip).show(desk)
        full = float((desk.shown or {}).get("boat", {}).get("capacity_kwh") or 0.0)
        self.query_one(LegSheet).show(desk.leg_rows(), full)
        self.query_one(DayList).show([words.day_row(day, full) for day in self._days()])
        self.query_one("#banner", Lines).show(self._banner())
        self.query_one("#banner").display = bool(self._banner())
        self.query_one("#totals", Lines).show(self._totals())
        self.set_class(desk.former, "-former")
        self._titles()
        self.query_one(MorningPane).show(desk)
        self.query_one(SurePane).show(desk)
        self._about(moved=False)

    def _days(self) -> list[Any]:
        return list((self.desk.plan or {}).get("days", []))

    def _show_name(self, desk: Desk) -> None:
        if desk.shown is not None:
            self.line.name_text = f"{desk.shown['voyage']['name']} · {desk.shown['boat']['name']}"

    def _titles(self) -> None:
        former = self.desk.former_words
        waits = "" if self._days() else (": planning …" if self.desk.shown else ": reading …")
        self.query_one("#legs").border_title = f" Legs{former}: type over km/h or Stay "
        self.query_one("#days").border_title = f" Days{former}{waits or ': charge at their end, kWh in, out'} "

    def _banner(self) -> list[tuple[str, str]]:
        if self.desk.trouble is not None:
            shown = "The former plan is shown; u takes the last change back." if self.desk.former else NO_ODDS
            return [*(("alarm", f"✗ {line}") for line in self.desk.trouble.splitlines()), ("plain", shown)]
        return details.short_lines(self.desk.plan) if self.desk.plan is not None else []

    def _totals(self) -> list[tuple[str, str]]:
        if self.desk.plan is None:
            return [("plain", "reading the voyage …" if self.desk.shown is None else "planning …"), ("plain", "")]
        cautions = details.caution_line(self.desk.plan)
        room = (self.size.width - 3) * (1 if self.size.width < WIDE_FROM else 2)
        total = ("title", details.total_line(self.desk.plan))
        return [total, *self._odds(), ("caution", words.cut(f"! {cautions}", room))]

    def _odds(self) -> list[tuple[str, str]]:
        """How sure it is in one line, or that this is not yet known."""
        odds = (self.desk.plan or {}).get("odds")
        if odds is not None:
            return [("plain", sure_view.line(odds, self.size.width - 3))]
        return [("plain", PROVISIONAL)] if self.desk.draft and self.desk.ticket else []

    def on_pointed(self, message: Pointed) -> None:
        message.stop()
        if message.what == "leg" and not isinstance(self.focused, LegTable | Cell):
            return
        self.pointed = (message.what, message.index)
        self._follow()
        self._about()

    def _follow(self) -> None:
        """The morning card goes with the cursor: the day, or the day on which the leg begins."""
        what, index = self.pointed
        rows = self._days() if what == "day" else (self.desk.plan or {}).get("legs", [])
        day = rows[index]["day" if what == "day" else "started_day"] if index < len(rows) else None
        if day is not None:
            self.query_one(MorningPane).point(day)

    def on_stepped(self, message: Stepped) -> None:
        message.stop()
        index = next((at for at, day in enumerate(self._days()) if day["day"] == message.day), None)
        if index is not None:
            self.pointed = ("day", index)
            self.query_one(DayList).stand(index)
            self._about()

    def on_closed(self, message: Closed) -> None:
        message.stop()
        for name in PANES:
            if self.has_class(f"-{name}"):
                self.toggle(name)

    def toggle(self, name: str) -> None:
        """Open one pane in the place of the other, or close it and go back to where the cursor was."""
        opening = not self.has_class(f"-{name}")
        if opening and not isinstance(self.focused, Sheet):
            self.before = self.focused
        for one in PANES:
            self.set_class(opening and one == name, f"-{one}")
        self.set_class(opening, "-open")
        self.app.stylesheet.update(self)
        pane: Widget = self.query_one(f"#{name}", Sheet)
        self.set_focus(pane if opening else self.before or self.query_one(LegTable), scroll_visible=False)

    def on_resize(self) -> None:
        self.query_one("#totals", Lines).show(self._totals())
        self._about(moved=False)

    def on_descendant_focus(self) -> None:
        focused = self.focused
        self.set_class(isinstance(focused, DayList), "-days-first")
        if isinstance(focused, LegTable) and self.pointed[0] != "leg":
            self.pointed = ("leg", focused.cursor_row)
            self._about()

    def about(self, full: bool) -> list[tuple[str, str]]:
        """What is to be said about the leg or day under the cursor."""
        view = self.query_one(MorningPane).view if full and self.has_class("-morning") else None
        if view is not None and view.berth is not None and self.desk.plan is not None:
            return page_lines(view.berth, view.ceiling_kwh)
        what, index = self.pointed
        if what == "day" and index < len(self._days()) and self.desk.plan is not None:
            return details.day_lines(self.desk.plan, index, full)
        rows = self.desk.leg_rows()
        if self.desk.shown is None or index >= len(rows):
            return []
        return details.leg_lines({**self.desk.shown, "legs": rows}, index, full)

    def _about(self, moved: bool = True) -> None:
        if not self.is_mounted:
            return
        self.query_one("#about-lines", Lines).show(self.about(full=self.size.width >= WIDE_FROM))
        self.query_one(DayList).link(self._linked(), reveal=moved)

    def _linked(self) -> frozenset[int]:
        what, index = self.pointed
        legs = (self.desk.plan or {}).get("legs", [])
        if what != "leg" or index >= len(legs) or legs[index].get("started_day") is None:
            return frozenset()
        last = legs[index].get("day") or legs[index]["started_day"]
        return frozenset(range(legs[index]["started_day"], last + 1))
