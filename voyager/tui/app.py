"""The app: wishes in, plans from the worker out, screens in between."""

import os
from dataclasses import replace
from datetime import date
from typing import TYPE_CHECKING, Any, ClassVar

from textual import events
from textual.app import App, SystemCommand
from textual.screen import Screen
from textual.theme import Theme

from voyager.errors import InputError
from voyager.tui import themes
from voyager.tui.actions import ACTIONS, bindings
from voyager.tui.desk import CHOICE_NAMES, Desk
from voyager.tui.inorder import KeyGate, ReplySieve
from voyager.tui.messages import Chosen, Reported, Wished
from voyager.tui.screens.voyage import WIDE_FROM, VoyageScreen
from voyager.tui.words import NEEDS_BY
from voyager.tui.worker import PlanWorker

if TYPE_CHECKING:
    from collections.abc import Iterable

STYLES = ("base", "choices", "board", "days", "legs", "sheets", "cards")
IDLE = "not for navigation"
WIDTHS = [(0, "-narrow"), (WIDE_FROM, "-wide")]
SLOW_S = 0.5
TURN_S = 0.25
LATE_REPLY_S = 3.0


class VoyagerApp(App[str], inherit_bindings=False):
    """Ends with None, or with the sentences that say why the voyage can't be opened."""

    CSS_PATH: ClassVar[list[str]] = [f"styles/{name}.tcss" for name in STYLES]  # type: ignore[assignment]
    BINDINGS: ClassVar = bindings("app")
    HORIZONTAL_BREAKPOINTS = WIDTHS
    TITLE = "voyager"
    ENABLE_COMMAND_PALETTE = True
    COMMAND_PALETTE_BINDING = "ctrl+p"

    def __init__(self, path: str, worker: PlanWorker, theme: str = "voyager-dark", reply_late: bool = False) -> None:
        self.set_reactive(App.theme, theme)
        super().__init__()
        self.desk = Desk(path)
        self.worker = worker
        self.first = VoyageScreen(self.desk)
        self.gate = KeyGate(self, super().on_event)
        self.sieve = ReplySieve(reply_late)

    @property
    def available_themes(self) -> dict[str, Theme]:
        """Ours are known before a theme is first asked for, which Textual does while it is being made."""
        return {**super().available_themes, **themes.OURS}

    def get_default_screen(self) -> Screen[None]:
        return self.first

    def on_mount(self) -> None:
        self.set_interval(TURN_S, self._turn)
        if self.sieve.armed:
            self.set_timer(LATE_REPLY_S, lambda: setattr(self.sieve, "armed", False))

    def _hear(self, kind: str, ticket: int, body: Any) -> None:
        """Called in the listening thread; posting is safe from there."""
        self.post_message(Reported(kind, ticket, body))

    def on_unmount(self) -> None:
        self.gate.close()

    async def on_event(self, event: events.Event) -> None:
        if not isinstance(event, events.Key | events.Paste) or event.is_forwarded:
            await super().on_event(event)
        elif isinstance(event, events.Paste) or not self.sieve.drops(event.key, event.character):
            self.gate.put(event)

    # what the worker says

    def on_reported(self, message: Reported) -> None:
        """Take one report; those of plans no longer wanted have been left out by the worker."""
        if self.first.is_running:
            getattr(self, f"_take_{message.kind}")(message.ticket, message.body)

    def _take_outline(self, _: int, body: Any) -> None:
        self.desk = replace(self.desk, outline=body)
        self._show()

    def _take_plan(self, _: int, body: Any) -> None:
        outline = self.desk.outline or body
        self.desk = replace(self.desk, plan=body, outline=outline, ticket=0, trouble=None, draft=False)
        self._show()

    def _take_draft(self, ticket: int, body: Any) -> None:
        """The plan under one sky: shown at once, while the odds are being computed under the same ticket."""
        outline = self.desk.outline or body
        self.desk = replace(self.desk, plan=body, outline=outline, draft=True, trouble=None)
        self._show()

    def _take_progress(self, _: int, body: tuple[float, str]) -> None:
        line = self.first.line
        if line.share is not None:
            line.share, line.status = body

    def _take_problem(self, ticket: int, body: str) -> None:
        if self.desk.plan is None and not self.desk.history.now.values:
            self.exit(body)
            return
        self._trouble(body)

    def _take_fault(self, ticket: int, body: str) -> None:
        if ticket or self.desk.outline is not None:
            self._trouble(f"The planner stopped on a fault of its own: {body}.{self._where()}")

    def _take_lost(self, _: int, __: Any) -> None:
        self._trouble(f"The planner's process ended; the next change starts it again.{self._where()}")

    def _where(self) -> str:
        return "" if self.worker.log is None else f" Its log: {self.worker.log}"

    def _trouble(self, text: str) -> None:
        self.desk = replace(self.desk, ticket=0, trouble=text)
        self._show()

    # planning

    def plan(self) -> None:
        """Ask for a plan of the wishes as they stand."""
        ticket = self.worker.plan(self.desk.path, self.desk.history.now.changes())
        self.desk = replace(self.desk, ticket=ticket, trouble=None, draft=False)
        self._show()
        self._expect(ticket)

    def expect_first(self, ticket: int) -> None:
        """A plan was asked for before the app ran."""
        self.desk = replace(self.desk, ticket=ticket)
        self.first.desk = self.desk

    def on_ready(self) -> None:
        """The screen stands: from now on the worker is heard."""
        self.worker.listen(self._hear)
        if self.desk.ticket:
            self._expect(self.desk.ticket)

    def _expect(self, ticket: int) -> None:
        self.set_timer(SLOW_S, lambda: self._slow(ticket))

    def _slow(self, ticket: int) -> None:
        line = self.first.line
        if self.desk.ticket == ticket and line.share is None:
            line.share, line.status = 0.0, "odds" if self.desk.draft else "planning"

    def _turn(self) -> None:
        line = self.first.line
        if line.share is not None:
            line.turn += 1

    def _show(self) -> None:
        line = self.first.line
        if not self.desk.ticket:
            line.share, line.status = None, IDLE
        elif line.share is None:
            line.status = "provisional: odds …" if self.desk.draft else "planning …"
        self.first.show(self.desk)

    def _take_desk(self, desk: Desk) -> None:
        """Plan anew if the wishes differ."""
        if desk.history.now != self.desk.history.now:
            self.desk = desk
            self.plan()

    # what the user does

    def on_wished(self, message: Wished) -> None:
        self._take_desk(self.desk.wish_leg(message.number, message.name, message.value))

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

        arrives = (self.desk.plan or {}).get("arrives")
        start = self.desk.value(key) or arrives or self.desk.value("departs")
        heading = f"{CHOICE_NAMES[key]}" if aim is None else f"{aim} needs: By"
        none = key == "by" and aim is None and self.desk.value("aim") not in NEEDS_BY
        screen = CalendarScreen(heading, date.fromisoformat(str(start)), none)
        await self.push_screen(screen, lambda taken: self._dated(key, taken, aim))

    async def _picked(self, key: str, taken: str | None) -> None:
        if taken is None:
            return
        if key == "aim" and taken in NEEDS_BY and self.desk.value("by") is None:
            await self._pick_date("by", taken)
            return
        self._take_desk(self.desk.wish(key, taken, CHOICE_NAMES[key].lower()))

    def _dated(self, key: str, taken: str | None, aim: str | None) -> None:
        if taken is None:
            return
        desk = self.desk.wish(key, taken or None, CHOICE_NAMES[key].lower())
        self._take_desk(desk if aim is None else desk.wish("aim", aim, "aim"))

    def action_shift(self, days: int) -> None:
        if self.desk.shown is not None:
            self._take_desk(self.desk.shifted(days))

    def action_undo(self) -> None:
        self._step(self.desk.history.undo(), "nothing to take back", self.desk.history.taken[-1].label)

    def action_redo(self) -> None:
        back = self.desk.history.back
        self._step(self.desk.history.redo(), "nothing to make again", back[0].label if back else "")

    def _step(self, history: Any, otherwise: str, label: str) -> None:
        if history == self.desk.history:
            self.notify(otherwise, timeout=2)
            return
        verb = "Taken back" if len(history.taken) < len(self.desk.history.taken) else "Made again"
        self.notify(f"{verb}: {label}", timeout=2)
        self._take_desk(replace(self.desk, history=history))

    def action_stop(self) -> None:
        """Stop planning, what is shown stays, marked as what it is; or plan on after that."""
        if self.desk.ticket:
            self.worker.cancel()
            self._trouble("Planning was stopped.")
        elif self.desk.trouble is not None:
            self.plan()

    def action_pane(self, name: str) -> None:
        """Open a pane, or close it."""
        self.first.toggle(name)

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

    def action_look(self) -> None:
        if self.no_color:
            self.notify("NO_COLOR is set: no colours are used", timeout=2)
        else:
            self.theme = themes.next_look(self.theme)

    def get_system_commands(self, screen: Screen[Any]) -> "Iterable[SystemCommand]":
        """The command palette finds the same actions."""
        for action in ACTIONS:
            if action.scope == "app" and action.id != "palette":
                yield SystemCommand(action.label, action.help, self._command(action.do))

    def _command(self, do: str) -> Any:
        return lambda: self.run_action(do)


def run(path: str | None = None, worker: PlanWorker | None = None) -> int:
    """Open the screens on a voyage file (the demo when None); 0, or InputError with what is wrong in the file."""
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
        worker.outline(path)
        ticket = worker.plan(path, {})
        asked = os.environ.get(themes.SETTING)
        lightness, late = (None, False) if asked else ask_lightness()
        app = VoyagerApp(path, worker, themes.theme_name(lightness, os.environ), late)
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
