"""The first screen: legs, days, details, totals and cautions of one voyage. It shows; the app decides."""

from typing import Any

from textual.app import ComposeResult
from textual.containers import Container, VerticalScroll
from textual.screen import Screen
from textual.widgets import Footer

from voyager.tui import details, words
from voyager.tui.desk import Desk
from voyager.tui.messages import Pointed
from voyager.tui.widgets.choices import ChoiceStrip
from voyager.tui.widgets.days import DayList
from voyager.tui.widgets.legs import LegSheet, LegTable
from voyager.tui.widgets.lines import Lines
from voyager.tui.widgets.title import TitleLine

WIDE_FROM = 110


class VoyageScreen(Screen[None]):
    """Beside each other from 110 columns on, below each other else; the pane in use has the larger part."""

    AUTO_FOCUS = "#leg-table"

    def __init__(self, desk: Desk) -> None:
        super().__init__()
        self.desk = desk
        self.pointed = ("leg", 0)
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
        self.set_class(desk.provisional, "-former")
        self._titles()
        self._about()

    def _days(self) -> list[Any]:
        return list((self.desk.plan or {}).get("days", []))

    def _show_name(self, desk: Desk) -> None:
        if desk.shown is not None:
            self.line.name_text = f"{desk.shown['voyage']['name']} · {desk.shown['boat']['name']}"

    def _titles(self) -> None:
        former = " (former plan)" if self.desk.provisional else ""
        waits = "" if self._days() else (": planning …" if self.desk.shown else ": reading …")
        self.query_one("#legs").border_title = f" Legs{former}: type over km/h or Stay "
        self.query_one("#days").border_title = f" Days{former}{waits or ': charge at their end, kWh in, out'} "

    def _banner(self) -> list[tuple[str, str]]:
        if self.desk.trouble is not None:
            return [("alarm", f"✗ {line}") for line in self.desk.trouble.splitlines()] + [
                ("plain", "The former plan is shown; u takes the last change back.")
            ]
        return details.short_lines(self.desk.plan) if self.desk.plan is not None else []

    def _totals(self) -> list[tuple[str, str]]:
        if self.desk.plan is None:
            return [("plain", "reading the voyage …" if self.desk.shown is None else "planning …"), ("plain", "")]
        cautions = details.caution_line(self.desk.plan)
        room = (self.size.width - 3) * (1 if self.size.width < WIDE_FROM else 2)
        return [("title", details.total_line(self.desk.plan)), ("caution", words.cut(f"! {cautions}", room))]

    def on_pointed(self, message: Pointed) -> None:
        message.stop()
        self.pointed = (message.what, message.index)
        self._about()

    def on_resize(self) -> None:
        self.query_one("#totals", Lines).show(self._totals())
        self._about()

    def on_descendant_focus(self) -> None:
        focused = self.focused
        self.set_class(isinstance(focused, DayList), "-days-first")
        if isinstance(focused, LegTable) and self.pointed[0] != "leg":
            self.pointed = ("leg", focused.cursor_row)
            self._about()

    def about(self, full: bool) -> list[tuple[str, str]]:
        """What is to be said about the leg or day under the cursor."""
        what, index = self.pointed
        if what == "day" and index < len(self._days()) and self.desk.plan is not None:
            return details.day_lines(self.desk.plan, index, full)
        rows = self.desk.leg_rows()
        if self.desk.shown is None or index >= len(rows):
            return []
        return details.leg_lines({**self.desk.shown, "legs": rows}, index, full)

    def _about(self) -> None:
        if not self.is_mounted:
            return
        self.query_one("#about-lines", Lines).show(self.about(full=self.size.width >= WIDE_FROM))
        self.query_one(DayList).link(self._linked())

    def _linked(self) -> frozenset[int]:
        what, index = self.pointed
        legs = (self.desk.plan or {}).get("legs", [])
        if what != "leg" or index >= len(legs) or legs[index].get("started_day") is None:
            return frozenset()
        last = legs[index].get("day") or legs[index]["started_day"]
        return frozenset(range(legs[index]["started_day"], last + 1))
