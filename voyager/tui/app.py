"""The app: what the user does on the desk, by keys, mouse and palette."""

import os
from contextlib import suppress
from datetime import date
from typing import ClassVar

from voyager.errors import InputError, VoyagerError
from voyager.tui import themes
from voyager.tui.actions import bindings
from voyager.tui.desk import CHOICE_NAMES
from voyager.tui.habits import HabitsApp
from voyager.tui.messages import Chosen
from voyager.tui.screens.voyage import WIDE_FROM
from voyager.tui.words import NEEDS_BY
from voyager.tui.worker import PlanWorker

STYLES = ("base", "choices", "board", "days", "legs", "places", "sheets", "map", "cards", "values", "files", "small")
ASCII, YES, NO = "VOYAGER_ASCII", ("1", "true", "yes", "on"), ("0", "false", "no", "off")
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

    async def _page(self, title: str, lines: list[tuple[str, str]]) -> None:
        from voyager.tui.screens.page import PageScreen

        await self.push_screen(PageScreen(title, lines))


def run(path: str | None = None, worker: PlanWorker | None = None, ascii: bool = False) -> int:
    """Open the screens on a voyage file (the demo when None); 0, or InputError with what is wrong in the file.

    ``ascii``: with ASCII signs alone, whatever the settings say.
    """
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
        keys = _own_keys()
        app = VoyagerApp(path, worker, themes.theme_name(lightness, environ), late)
        app.take_keys(*keys)
        app.prefer({**settings, "ascii": _plain(ascii, settings["ascii"])})
        app.expect_first(ticket)
        fault = app.run()
    finally:
        worker.stop()
    if fault is not None:
        raise InputError(fault)
    if app.fault is not None:
        raise VoyagerError(app.fault)
    return app.return_code or 0


def _own_keys() -> tuple[dict[str, tuple[str, ...]], list[str], str]:
    """The sound lines of the key file, named everywhere from now on; what is wrong in the others; the file."""
    from voyager.session.keys import load_keys

    found, file, trouble = load_keys()
    if not found:
        return {}, [trouble] if trouble else [], file
    from voyager.tui.actions import take_own_keys
    from voyager.tui.keymap import checked

    own, faults = checked(found)
    take_own_keys(own)
    return own, faults, file


def _plain(option: bool, setting: bool) -> bool:
    """Whether to draw with ASCII signs alone: the option, else VOYAGER_ASCII, else the setting."""
    word = os.environ.get(ASCII, "").strip().lower()
    return option or word in YES or (setting and word not in NO)


def _check_terminal() -> None:
    import sys

    if os.environ.get("TERM", "") in {"dumb", "unknown"}:
        raise InputError("voyager open needs a terminal that can place text, and TERM=dumb can't: use voyager plan")
    if not all(stream.isatty() for stream in (sys.stdin, sys.stdout, sys.stderr)):
        raise InputError("voyager open needs a terminal with no stream redirected: use voyager plan in a pipe")
