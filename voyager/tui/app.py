"""The app: what the user does on the desk, by keys, mouse and palette."""

import os
from contextlib import suppress
from datetime import date
from typing import TYPE_CHECKING, Any, ClassVar

from textual.app import SystemCommand
from textual.screen import Screen

from voyager.errors import InputError
from voyager.tui import themes
from voyager.tui.actions import ACTIONS, bindings
from voyager.tui.desk import CHOICE_NAMES
from voyager.tui.messages import Chosen
from voyager.tui.preferring import PreferringApp
from voyager.tui.screens.voyage import WIDE_FROM
from voyager.tui.words import NEEDS_BY
from voyager.tui.worker import PlanWorker

if TYPE_CHECKING:
    from collections.abc import Iterable

STYLES = ("base", "choices", "board", "days", "legs", "places", "sheets", "map", "cards", "values")
WIDTHS = [(0, "-narrow"), (WIDE_FROM, "-wide")]


class VoyagerApp(PreferringApp, inherit_bindings=False):
    """Ends with None, or with the sentences that say why the voyage can't be opened."""

    CSS_PATH: ClassVar[list[str]] = [f"styles/{name}.tcss" for name in STYLES]  # type: ignore[assignment]
    BINDINGS: ClassVar = bindings("app")
    HORIZONTAL_BREAKPOINTS = WIDTHS
    TITLE = "voyager"
    ENABLE_COMMAND_PALETTE = True
    COMMAND_PALETTE_BINDING = "ctrl+p"

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
        screen = CalendarScreen(heading, self._date_near(key), none)
        await self.push_screen(screen, lambda taken: self._dated(key, taken, aim))

    def _date_near(self, key: str) -> date:
        """Where the calendar opens: the date itself, else that of arrival or departure, else today."""
        for value in (self.desk.value(key), (self.desk.plan or {}).get("arrives"), self.desk.value("departs")):
            with suppress(ValueError):
                return date.fromisoformat(str(value))
        return date.today()

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
        self.take(self.desk.choose(key, taken or None))
        if aim is not None:
            self.take(self.desk.choose("aim", aim))

    def action_shift(self, days: int) -> None:
        if self.desk.shown is not None:
            self.take(self.desk.shifted(days))

    async def action_pane(self, name: str) -> None:
        """Open a pane, or close it."""
        await self.first.toggle(name)

    async def action_forecast(self) -> None:
        """Enter the cloud of the day whose morning is shown, of the first that is not past where none is."""
        await self.first.forecast()

    async def action_details(self) -> None:
        await self._page("Details", self.first.about(full=True))

    async def action_cautions(self) -> None:
        from voyager.tui.details import caution_page

        await self._page("Cautions", caution_page(self.desk.plan or {}))

    async def action_help(self) -> None:
        from voyager.tui.screens.page import help_lines

        await self._page("Help", help_lines())

    async def _page(self, title: str, lines: list[tuple[str, str]]) -> None:
        from voyager.tui.screens.page import PageScreen

        await self.push_screen(PageScreen(title, lines))

    def get_system_commands(self, screen: Screen[Any]) -> "Iterable[SystemCommand]":
        """The command palette finds the same actions."""
        for action in ACTIONS:
            if action.scope == "app" and action.id != "palette":
                yield SystemCommand(action.label, action.help, self._command(action.do))

    def _command(self, do: str) -> Any:
        return lambda: self.run_action(do)


def run(path: str | None = None, worker: PlanWorker | None = None) -> int:
    """Open the screens on a voyage file (the demo when None); 0, or InputError with what is wrong in the file."""
    from voyager.session.settings import load
    from voyager.tui.background import ask_lightness
    from voyager.tui.parent import watch
    from voyager.tui.worker import state_folder

    if not watch():
        _check_terminal()
    if path is None:
        from voyager.session.demo import demo_path

        path = demo_path()
    if worker is None:
        folder = state_folder()
        worker = PlanWorker(log=None if folder is None else folder / "planner.log")
    worker.start()
    try:
        worker.open(path)
        ticket = worker.plan(path, None)
        settings = load()
        environ = themes.preferred(settings["look"], os.environ)
        lightness, late = (None, False) if environ.get(themes.SETTING) else ask_lightness()
        app = VoyagerApp(path, worker, themes.theme_name(lightness, environ), late)
        app.prefer(settings)
        app.expect_first(ticket)
        fault = app.run()
    finally:
        worker.stop()
    if fault is not None:
        raise InputError(fault)
    return app.return_code or 0


def _check_terminal() -> None:
    import sys

    if os.environ.get("TERM", "") in {"dumb", "unknown"}:
        raise InputError("voyager open needs a terminal that can place text, and TERM=dumb can't: use voyager plan")
    if not all(stream.isatty() for stream in (sys.stdin, sys.stdout, sys.stderr)):
        raise InputError("voyager open needs a terminal with no stream redirected: use voyager plan in a pipe")
