"""What the app stands on: the desk, the worker, the first screen, and keys kept in their order."""

import os
import traceback
from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, date, datetime
from time import monotonic
from typing import Any

from textual import events
from textual.app import App
from textual.screen import Screen
from textual.theme import Theme

from voyager.tui import themes
from voyager.tui.desk import Desk
from voyager.tui.inorder import KeyGate, ReplySieve
from voyager.tui.messages import Told
from voyager.tui.screens.voyage import VoyageScreen
from voyager.tui.worker import PlanWorker

DEBUG = "VOYAGER_DEBUG"
KEPT = "Edits that were not saved are offered at the next start."
LATE_REPLY_S = 3.0
NOTICE_S = 2.5
WARNING_S = 10.0


class DeskApp(App[str], inherit_bindings=False):
    """Holds the desk and shows it; what changes it is in the classes above. ``fault``: the sentence it ended on;
    ``today`` and ``now``: the one place where date and time are asked for."""

    fault: str | None = None
    warning = ""
    warned_until = 0.0

    def __init__(
        self,
        path: str,
        worker: PlanWorker,
        theme: str = "voyager-dark",
        reply_late: bool = False,
        today: Callable[[], date] = date.today,
        now: Callable[[], datetime] = lambda: datetime.now(UTC),
    ) -> None:
        self.set_reactive(App.theme, theme)
        super().__init__()
        self.desk = Desk(path)
        self.worker = worker
        self.today, self.now = today, now
        self.first = VoyageScreen(self.desk)
        self.gate = KeyGate(self, super().on_event, lambda: self.first.call_later(self.first.paint))
        self.first.holds = lambda: self.gate.holds
        self.sieve = ReplySieve(reply_late)

    @property
    def available_themes(self) -> dict[str, Theme]:
        """Ours are known before a theme is first asked for, which Textual does while it is being made."""
        return {**super().available_themes, **themes.OURS}

    def get_default_screen(self) -> Screen[None]:
        return self.first

    def on_mount(self) -> None:
        if self.sieve.armed:
            self.set_timer(LATE_REPLY_S, lambda: setattr(self.sieve, "armed", False))

    def on_unmount(self) -> None:
        self.gate.close()

    async def on_event(self, event: events.Event) -> None:
        if not isinstance(event, events.Key | events.Paste) or event.is_forwarded:
            await super().on_event(event)
        elif isinstance(event, events.Paste) or not self.sieve.drops(event.key, event.character):
            self.gate.put(event)

    def _fatal_error(self) -> None:
        """A fault of the program's own: its trace goes to the log, and one sentence is left for the terminal."""
        if os.environ.get(DEBUG):
            super()._fatal_error()
            return
        error = self._exception
        self.fault = f"The screens stopped on a fault of their own: {type(error).__name__}: {error}. {KEPT}"
        if self.worker.log is not None and error is not None:
            self.worker.note("".join(traceback.format_exception(error)))
            self.fault += f" The log: {self.worker.log}"
        self._close_messages_no_wait()

    def change(self, **values: Any) -> None:
        """Put other values on the desk and show it."""
        self.desk = replace(self.desk, **values)
        self.show()

    def show(self) -> None:
        """Show the desk as it stands."""
        self.first.show(self.desk)

    def tell(self, text: str) -> None:
        """A short notice, in the place of the one before: a key held down must not cover the screen."""
        self.clear_notifications()
        if monotonic() < self.warned_until:
            self.notify(self.warning, timeout=self.warned_until - monotonic(), severity="warning", markup=False)
        self.notify(text, timeout=NOTICE_S, markup=False)

    def warn(self, text: str) -> None:
        """A notice that stays a while, whatever else is told."""
        self.warning, self.warned_until = text, monotonic() + WARNING_S
        self.notify(text, timeout=WARNING_S, severity="warning", markup=False)

    def on_told(self, message: Told) -> None:
        self.tell(message.text)
