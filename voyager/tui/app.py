"""The app: what the user does on the desk, by keys, mouse and palette."""

from contextlib import suppress
from datetime import date
from typing import ClassVar

from textual import events

from voyager.tui.actions import bindings
from voyager.tui.desk import CHOICE_NAMES
from voyager.tui.habits import HabitsApp
from voyager.tui.messages import Chosen
from voyager.tui.screens.voyage import WIDE_FROM
from voyager.tui.words import NEEDS_BY

STYLES = ("base", "choices", "board", "days", "legs", "places", "sheets", "map", "cards", "values", "actual",
          "fits", "log", "files", "small")  # fmt: skip
WIDTHS = [(0, "-narrow"), (WIDE_FROM, "-wide")]
HEIGHTS = [(0, "-flat"), (18, "-low"), (24, "-tall")]


class VoyagerApp(HabitsApp, inherit_bindings=False):
    """Ends with None, or with the sentences that say why the voyage can't be opened."""

    CSS_PATH: ClassVar[list[str]] = [f"styles/{name}.tcss" for name in STYLES]  # type: ignore[assignment]
    BINDINGS: ClassVar = bindings("app")
    HORIZONTAL_BREAKPOINTS = WIDTHS
    VERTICAL_BREAKPOINTS = HEIGHTS
    TITLE = "voyager"
    ENABLE_COMMAND_PALETTE = True
    COMMAND_PALETTE_BINDING = "ctrl+p"

    told_of_focus = False

    def on_app_blur(self, event: events.AppBlur) -> None:
        """The driver for browsers begins with one of its own: the legs would never have the keyboard."""
        if self.is_web and not self.told_of_focus:
            event.prevent_default()
        self.told_of_focus = True

    async def on_chosen(self, message: Chosen) -> None:
        await self.action_choose(message.key)

    async def action_choose(self, key: str) -> None:
        """Open the list or calendar of a choice."""
        if self.desk.shown is None:
            self.bell()
        elif key in {"departs", "by"}:
            await self._pick_date(key)
        else:
            from voyager.tui.screens.pick import PickScreen

            value = self.desk.value(key)
            screen = PickScreen(CHOICE_NAMES[key], self.desk.options(key), None if value is None else str(value))
            await self.push_screen(screen, lambda taken: self._picked(key, taken))

    async def _pick_date(self, key: str, aim: str | None = None) -> None:
        from voyager.tui.screens.calendar import CalendarScreen

        heading = f"{CHOICE_NAMES[key]}" if aim is None else f"{aim} needs: By"
        none = key == "by" and aim is None and self.desk.value("aim") not in NEEDS_BY
        screen = CalendarScreen(heading, self._date_near(key), none, self._marked())
        await self.push_screen(screen, lambda taken: self._dated(key, taken, aim))

    def _marked(self) -> dict[date, str]:
        """Today, departure and arrival for the calendar; of two on one day the later named."""
        days: dict[date, str] = {self.today(): "today"}
        arrives = (self.desk.plan or {}).get("arrives")
        for word, value in (("arrives", arrives), ("departs", self.desk.value("departs"))):
            with suppress(ValueError):
                days[date.fromisoformat(str(value))] = word
        return days

    def _date_near(self, key: str) -> date:
        """Where the calendar opens: the date itself, else that of arrival or departure, else today."""
        for value in (self.desk.value(key), (self.desk.plan or {}).get("arrives"), self.desk.value("departs")):
            with suppress(ValueError):
                return date.fromisoformat(str(value))
        return self.today()

    async def _picked(self, key: str, taken: str | None) -> None:
        if taken is None:
            return
        if key == "aim" and taken in NEEDS_BY and self.desk.value("by") is None:
            await self._pick_date("by", taken)
            return
        self.take(self.desk.choose(key, taken))

    def _dated(self, key: str, taken: str | None, aim: str | None) -> None:
        if taken is None:
            return
        if aim is None:
            self.take(self.desk.choose(key, taken or None))
        else:
            self.take(self.desk.choose("aim", aim, {key: taken or None}))

    def action_shift(self, days: int) -> None:
        if self.desk.shown is not None:
            self.take(self.desk.shifted(days))

    async def action_pane(self, name: str) -> None:
        """Open a pane, or close it."""
        await self.first.toggle(name)

    async def action_forecast(self) -> None:
        """Enter the cloud of the day whose morning is shown, of the first that is not past where none is."""
        await self.first.forecast(self.today())

    def action_need(self) -> None:
        """To the next day that takes shore power or is not held."""
        from voyager.tui.needs import NONE, needs, next_need

        days = self.desk.days
        index = next_need(days, self.first.day_index())
        if index is None:
            self.tell(NONE if days else "There is no plan yet")
            return
        self.first.stand_on_day(index)
        self.tell(f"Day {days[index]['day']} {needs(days[index])}")

    def action_whole(self) -> None:
        """Give the open pane the whole board, or its part again."""
        if not self.first.enlarge():
            self.tell("No pane is open")

    async def action_details(self) -> None:
        await self._page("Details", self.first.about(full=True))

    async def action_cautions(self) -> None:
        from voyager.tui.details import caution_page

        await self._page("Cautions", caution_page(self.desk.plan or {}))

    async def _page(self, title: str, lines: list[tuple[str, str]]) -> None:
        from voyager.tui.screens.page import PageScreen

        await self.push_screen(PageScreen(title, lines))
