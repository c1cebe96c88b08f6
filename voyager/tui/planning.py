"""What the worker says and is asked: plans of the sketch as it stands, each better than the one before."""

import gc
from dataclasses import replace
from inspect import isawaitable
from typing import Any

from voyager.tui.actions import key_of
from voyager.tui.deskapp import DeskApp
from voyager.tui.messages import Asked, Left, Logged, Reported

IDLE = "not for navigation"
SLOW_S = 0.5
TURN_S = 0.25
ONWARD, LOG = "onward", "log"
WHERE = "voyager.session.onward:onward"
NO_LOG = f"This voyage has no log yet to plan on from: {key_of('note')} notes a reading of its place and charge."


class PlanningApp(DeskApp, inherit_bindings=False):
    """Takes reports by their kind; those of plans no longer wanted are left out. ``onward_of``: the voyage of which it
    was asked where it goes on by its log."""

    onward_of = ""

    def on_mount(self) -> None:
        self.set_interval(TURN_S, self._turn)

    def on_ready(self) -> None:
        """The screen stands: from now on the worker is heard, and what is no longer used is collected."""
        if not gc.isenabled():
            gc.freeze()
            gc.enable()
        self.worker.listen(self._hear)
        if self.desk.ticket:
            self._expect(self.desk.ticket)

    def _hear(self, kind: str, ticket: int, body: Any) -> None:
        """Called in the listening thread; posting is safe from there."""
        self.post_message(Reported(kind, ticket, body))

    async def on_reported(self, message: Reported) -> None:
        """Take one report."""
        beside = message.kind in {"opened", "unopened", "answer", "refused", "share", "lost"}
        if self.first.is_running and (beside or message.ticket == self.desk.ticket):
            taken = getattr(self, f"_take_{message.kind}")(message.body)
            if isawaitable(taken):
                await taken

    # reports

    def _take_faults(self, body: Any) -> None:
        """The sketch is broken: nothing was planned."""
        self.change(ticket=0, faults=tuple(body), trouble=None)

    def _take_draft(self, body: Any) -> None:
        """A plan at once, while a better one is being computed under the same ticket."""
        self.change(plan=body, plan_sketch=self.desk.sketch, draft=True, trouble=None, faults=())

    _take_better = _take_draft

    def _take_plan(self, body: Any) -> None:
        sketch = self.desk.sketch
        self.change(plan=body, finished=body, plan_sketch=sketch, draft=False, ticket=0, trouble=None, faults=())

    def _take_progress(self, body: tuple[float, str]) -> None:
        line = self.first.line
        if line.share is not None:
            line.share, line.status = body

    def _take_problem(self, body: str) -> None:
        self._trouble(body)

    def _take_fault(self, body: str) -> None:
        self._trouble(f"The planner stopped on a fault of its own: {body}.{self._where()}")

    def _take_lost(self, _: Any) -> None:
        self.first.lost()
        self._trouble(f"The planner's process ended; the next change starts it again.{self._where()}")

    def _take_answer(self, body: tuple[str, Any]) -> None:
        if body[0] == ONWARD:
            self._go_on(body[1])
        else:
            self.first.answer(*body)

    def _take_refused(self, body: tuple[str, str]) -> None:
        if body[0] == ONWARD:
            self._stay(body[1])
        else:
            self.first.refused(*body)

    def _take_share(self, body: tuple[str, float, str]) -> None:
        self.first.progress(*body)

    def _where(self) -> str:
        return "" if self.worker.log is None else f" Its log: {self.worker.log}"

    def _trouble(self, text: str) -> None:
        self.change(ticket=0, trouble=text)

    # asking

    def plan(self) -> None:
        """Ask for plans of the sketch as it stands."""
        start = LOG if self.desk.onward else None
        ticket = self.worker.plan(self.desk.path, self.desk.sketch.documents(), start)
        self.change(ticket=ticket, trouble=None, draft=self.desk.draft and not self.desk.former)
        self._expect(ticket)

    def action_onward(self) -> None:
        """Plan on from the log's last reading, or the whole voyage again."""
        if self.desk.opened is None:
            self.bell()
        elif self.desk.onward:
            self._turn_to(False)
        else:
            self.onward_of = self.desk.path
            self.worker.ask(ONWARD, WHERE, (self.desk.path, self.desk.sketch.documents()))

    def _go_on(self, found: Any) -> None:
        """The log was read: ``found`` is where the boat is, None where no log is kept."""
        if found is None:
            self._stay(NO_LOG)
        elif not self.desk.onward and self.onward_of == self.desk.path:
            self._turn_to(True)

    def _stay(self, why: str) -> None:
        """There is no going on from the log: the sentence, and what is shown stays."""
        if self.onward_of != self.desk.path:
            return
        if self.desk.ticket:
            self.warn(f"✗ {why}")
        else:
            self.change(trouble=why)

    def _turn_to(self, onward: bool) -> None:
        """A plan that begins elsewhere has nothing in common with the last one to compare."""
        self.desk = replace(self.desk, onward=onward, baseline=None, finished=None)
        self.plan()

    def on_logged(self, _: Logged) -> None:
        """New readings: what stands on the log is made anew."""
        self.first.logged()
        if self.desk.onward:
            self.plan()

    def expect_first(self, ticket: int) -> None:
        """A plan of the files as they are was asked for before the app ran."""
        self.desk = replace(self.desk, ticket=ticket)
        self.first.desk = self.desk

    def on_asked(self, message: Asked) -> None:
        ask = self.worker.watch if message.watch else self.worker.ask
        ask(message.name, message.function, message.arguments)

    def on_left(self, message: Left) -> None:
        self.worker.leave(message.name)

    def action_stop(self) -> None:
        """Stop planning, what is shown stays, marked as what it is; or plan on after that."""
        if self.desk.ticket:
            self.worker.cancel()
            self._trouble(f"Planning was stopped. {key_of('stop')} plans on.")
        elif self.desk.trouble is not None:
            self.plan()

    # the line that says what is being done

    def show(self) -> None:
        """Show the desk, and at the top what is under way."""
        line = self.first.line
        if not self.desk.ticket:
            line.share, line.status = None, IDLE
        elif line.share is None:
            line.status = "provisional: odds …" if self.desk.draft else "planning …"
        super().show()

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
