"""Edits: into the history and the journal, and planned at once; taken back and made again without limit."""

import os
from collections.abc import Mapping
from dataclasses import replace
from datetime import datetime
from typing import TYPE_CHECKING, Any

from voyager.report.words import counted
from voyager.session.sketch.history import History, taken_up
from voyager.tui.actions import key_of
from voyager.tui.desk import Desk
from voyager.tui.messages import Edited, Typing
from voyager.tui.planning import PlanningApp

if TYPE_CHECKING:
    from voyager.session.sketch.journal import Journal

TAKE_UP, LATER, DROP, KEEP = "take them up", "leave them for later", "drop them", "keep them"


def left_words(offer: Mapping[str, Any]) -> str:
    """What a session that did not end left, and when, on the clock of this machine."""
    told = [counted(offer["edits"], "unsaved edit", "unsaved edits")] if offer["edits"] else []
    told += [f"{counted(offer['undone'], 'edit', 'edits')} taken back"] if offer["undone"] else []
    told += ["a text half typed"] if offer["typing"] is not None else []
    when = datetime.fromisoformat(offer["when"]).astimezone()
    return f"{', '.join(told)}, left at {when:%H:%M on %Y-%m-%d} by a session that did not end."


class EditingApp(PlanningApp, inherit_bindings=False):
    """``journal``: every edit on disk at once, None before the files were read."""

    journal: "Journal | None" = None

    # opening

    async def _take_opened(self, body: Mapping[str, Any]) -> None:
        """The files were read: show them, and offer edits that a session before this one left."""
        offer, first = body.get("journal"), self.desk.opened is None
        self.desk = self.desk.read(body)
        if offer is None:
            self._begin()
        self.show()
        if offer is not None:
            await self._offer(offer)
        elif first and body.get("waiting"):
            self.tell(f"Edits of {os.path.basename(body['waiting'][0])} wait to be taken up: {key_of('open')} opens it")

    def _begin(self) -> None:
        from voyager.session.sketch.journal import Journal

        self.journal = Journal.begin(self.desk.path, self.desk.history.saved.documents())

    async def _offer(self, offer: Mapping[str, Any]) -> None:
        from voyager.tui.screens.ask import AskScreen

        lines = [("title", left_words(offer))]
        if not offer["base_matches"]:
            lines.append(("caution", "! The files were changed since; the edits stand on what was there before."))
        options = [(TAKE_UP, "with their undo and redo"), (LATER, "they will be offered again"), (DROP, "for good")]

        async def taken(choice: str | None) -> None:
            if choice == TAKE_UP:
                self._take_up(offer)
            elif choice == DROP:
                await self._drop(offer)
            else:
                self._begin()

        await self.push_screen(AskScreen("Unsaved edits", lines, options), taken)

    async def _drop(self, offer: Mapping[str, Any]) -> None:
        """A key typed before the question was there must not be enough to lose them: ask again."""
        from voyager.tui.screens.ask import AskScreen

        async def taken(choice: str | None) -> None:
            from voyager.session.sketch.journal import forget

            if choice != DROP:
                await self._offer(offer)
                return
            forget(offer)
            self._begin()

        options = [(KEEP, ""), (DROP, "for good")]
        await self.push_screen(AskScreen("Drop the unsaved edits?", [("title", left_words(offer))], options), taken)

    def _take_up(self, offer: Mapping[str, Any]) -> None:
        from voyager.session.sketch.journal import Journal, restored

        base = self.desk.sketch
        self.journal = Journal.resume(self.desk.path, offer, base)
        self._heed()
        self._put(taken_up(base, *restored(offer, base)))
        if offer.get("typing"):
            self.first.resume(offer["typing"])

    # edits

    def on_edited(self, message: Edited) -> None:
        self.take(self.desk.edited(message.sketch, message.label))

    def take(self, desk: Desk) -> None:
        """Take an edit of the desk over, journal and plan it; nothing where nothing was changed."""
        before, after = self.desk.history, desk.history
        if after is before or self.desk.opened is None:
            return
        if self.journal is not None:
            self.journal.edit(before.now, after.now, after.taken[-1].label)
            self._heed()
        self.desk = desk
        self.plan()

    def on_typing(self, message: Typing) -> None:
        self.typing(message.where)

    def typing(self, where: Mapping[str, Any] | None) -> None:
        """Keep what stands half typed: ``row`` (identity), ``key``, ``text``; None once it was taken or left."""
        if self.journal is not None:
            self.journal.typing(where)
            self._heed()

    def _heed(self) -> None:
        """Tell, once, where edits can't be kept on disk."""
        news = None if self.journal is None else self.journal.news()
        if news:
            self.warn(news)

    def action_undo(self) -> None:
        history = self.desk.history
        if len(history.taken) == 1:
            self.tell("Nothing to take back")
            return
        self.tell(f"Taken back: {history.taken[-1].label}")
        self._put(history.undo())
        if self.journal is not None:
            self.journal.undo(self.desk.sketch)
            self._heed()

    def action_redo(self) -> None:
        history = self.desk.history
        if not history.back:
            self.tell("Nothing to make again")
            return
        self.tell(f"Made again: {history.back[0].label}")
        self._put(history.redo())
        if self.journal is not None:
            self.journal.redo(self.desk.sketch)
            self._heed()

    def _put(self, history: History) -> None:
        kept = self.desk.baseline or self.desk.finished
        self.desk = replace(self.desk, history=history, baseline=kept)
        self.plan()

    def action_dismiss(self) -> None:
        """Compare with the former plan no more."""
        if self.desk.baseline is None:
            self.tell("no former plan is kept to compare with")
        else:
            self.change(baseline=None)
