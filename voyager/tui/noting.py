"""Readings noted from anywhere; what comes of them; the plan that the first of them keeps."""

from collections.abc import Mapping
from functools import partial
from typing import Any, NamedTuple

from voyager.tui import log_view
from voyager.tui.actions import key_of
from voyager.tui.messages import Asked, Logged, Noting
from voyager.tui.screens.note import KEEP, UNDERSTOOD, NoteScreen
from voyager.tui.tables import TablesApp

ROOM = "voyager.session.log_page"
COUNT, PLAN = "note:plans", "note:plan"
OPEN, LEAVE, STAY = "open the line", "leave", "go on"
Row = Mapping[str, Any]


class Sent(NamedTuple):
    """A line on its way to the log of a voyage; ``row``: the entry that it changes."""

    voyage: str
    text: str
    row: Row | None


class NotingApp(TablesApp, inherit_bindings=False):
    """``halves``: new readings that were left half typed, by voyage; ``sent``: lines on their way to the log, by
    question; ``plan_due``: the voyage whose log keeps no plan yet."""

    plan_due = ""

    def on_mount(self) -> None:
        self.sent: dict[str, Sent] = {}
        self.halves: dict[str, str] = {}

    async def action_note(self) -> None:
        """Note a reading."""
        await self._note(None, None)

    async def on_noting(self, message: Noting) -> None:
        await self._note(message.row, message.text)

    async def _note(self, row: Row | None, text: str | None) -> None:
        if self.desk.opened is None:
            self.bell()
        elif self._line() is None:
            given = text if text is not None else self._half() if row is None else None
            await self.push_screen(NoteScreen(self.desk, self.now, row, given), partial(self._left, row))

    def _left(self, row: Row | None, text: str | None) -> None:
        """A line was left: what of a new one is half typed is kept, and offered again."""
        if row is None:
            self.halves[self.desk.path] = text or ""
        self.typing(None)

    def typing(self, where: Row | None) -> None:
        """Keep what stands half typed; where nothing else does, a reading that waits to be noted."""
        half = self._half()
        super().typing({"pane": "log", "row": None, "text": half} if where is None and half.strip() else where)

    def plan(self) -> None:
        """Every edit is planned: in the journal it comes after what is half typed, and would end it."""
        super().plan()
        self._again_half()

    def _journal_anew(self, moved: bool) -> None:
        super()._journal_anew(moved)
        self._again_half()

    def _again_half(self) -> None:
        if self._half().strip() and self._line() is None:
            self.typing(None)

    async def action_quit(self) -> None:
        """Leave; what is half typed of a reading is not lost without a word."""
        leave = super().action_quit
        if not self._half().strip():
            await leave()
            return
        from voyager.tui.screens.ask import AskScreen

        async def taken(choice: str | None) -> None:
            if choice == OPEN:
                await self._note(None, None)
            elif choice == LEAVE:
                await leave()

        lines = [("title", f"A reading is half typed and not in the log: {self._half()}")]
        options = [(OPEN, "to note it"), (LEAVE, "it is lost"), (STAY, "with this voyage")]
        await self.push_screen(AskScreen("Leave", lines, options), taken)

    def _half(self) -> str:
        """A new reading of this voyage that was left half typed."""
        return self.halves.get(self.desk.path, "")

    def on_asked(self, message: Asked) -> None:
        """A line goes on its way to the log: what it says, should it come back."""
        if message.name.startswith(KEEP):
            voyage, _, text, _, row = message.arguments
            self.sent[message.name] = Sent(voyage, text, row)

    def action_undo(self) -> None:
        """In the log its own changes are taken back first, then those of the voyage."""
        pane = self.first.panes.get("log")
        if pane is None or not pane.has_focus_within or not pane.back():
            super().action_undo()

    def _line(self) -> NoteScreen | None:
        """The line that is being typed."""
        return next((screen for screen in self.screen_stack if isinstance(screen, NoteScreen)), None)

    # what came of it

    def _take_answer(self, body: tuple[str, Any]) -> None:
        name, found = body
        line = self._line()
        if name == UNDERSTOOD:
            if line is not None:
                line.understood(found)
        elif name.startswith(KEEP):
            self._kept(name, found)
        elif name == COUNT:
            self.plan_due = found["voyage"] if found["entries"] and not found["plans"] else ""
            self._keep_plan()
        elif name != PLAN:
            super()._take_answer(body)

    def _take_refused(self, body: tuple[str, str]) -> None:
        name, why = body
        line = self._line()
        if name.startswith(KEEP):
            self._not_kept(name, why)
        elif name == UNDERSTOOD:
            if line is not None:
                line.unread(why)
        elif name == PLAN:
            self.tell(f"✗ The plan was not kept in the log: {why}")
        elif name != COUNT:
            super()._take_refused(body)

    def _kept(self, name: str, found: Row) -> None:
        sent = self.sent.pop(name, None)
        voyage, row = ("", None) if sent is None else (sent.voyage, sent.row)
        line = self._line()
        if line is not None and line.waits_for(name):
            line.leave(line.added())
        pane = self.first.panes.get("log") if voyage == self.desk.path else None
        if pane is not None:
            pane.kept(found["entry"], row)
        lines = [f"! {note}" for note in found["notes"]]
        if pane is None or not pane.display:
            did = "Noted" if row is None else "Changed"
            lines.insert(0, f"{did}: {log_view.title(found['entry'], self.desk.units)}")
        if lines:
            self.tell("\n".join(lines))
        self.post_message(Logged())

    def _not_kept(self, name: str, why: str) -> None:
        voyage, text, row = self.sent.pop(name, Sent("", "", None))
        line = self._line()
        if line is not None and line.waits_for(name):
            line.refused(why)
            return
        again = ""
        if row is None:
            self.halves[voyage], again = text, f" {key_of('note')} opens the line again."
        self.warn(f"✗ Not noted: {why}{again}")

    def _take_lost(self, body: Any) -> None:
        super()._take_lost(body)
        for name in list(self.sent):
            self._not_kept(name, "the planner's process ended; Enter tries again")

    # the plan that the days are held against

    def on_logged(self, _: Logged) -> None:
        """The first entry keeps the plan that is shown, once that is finished."""
        self.worker.ask(COUNT, f"{ROOM}:plans", (self.desk.path,))

    def show(self) -> None:
        super().show()
        line = self._line()
        if line is not None:
            line.desk = self.desk
        self._keep_plan()

    def _keep_plan(self) -> None:
        desk = self.desk
        finished = desk.plan is not None and desk.plan is desk.finished and not (desk.former or desk.ticket)
        if self.plan_due == desk.path and finished and not desk.onward and desk.plan is not None:
            self.plan_due = ""
            self.worker.ask(PLAN, f"{ROOM}:keep_shown", (desk.path, desk.plan["days"], self.now()))
