"""Into the files and out of the app: nothing is lost without a word."""

import os
from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import Any

from textual import work

from voyager.errors import InputError
from voyager.session.sketch.state import Sketch
from voyager.tui.editing import EditingApp

OVER, AGAIN, OTHER, STAY = "write over", "write it again", "another name", "go on"
SAVE, LEAVE = "save", "leave unsaved"
WRITTEN_OVER = ("changed-outside", "exists")
"""Refusals that say so of something that can be written over."""
BOAT_STAYS = "The boat file stays where it is; the voyage names it from its new place."
BOAT_COPIED = "The boat file stays as it is; a copy of it goes beside the voyage."
BOAT_TOO = "The boat was changed: a copy with the changes is written beside it, the old file stays as it is."
Then = Callable[[], None]


class SavingApp(EditingApp, inherit_bindings=False):
    """Saves in a thread; asks before anything unsaved is left."""

    saving = False
    opening: str | None = None

    # into the files

    def action_save(self) -> None:
        self.save()

    def save(self, *, to: str | None = None, force: bool = False, then: Then | None = None) -> None:
        """Write the sketch into its files, or under another name (``to``); ``then`` go on with something else."""
        if self.desk.opened is None or self.saving:
            return
        if to is None and not force and not self.desk.unsaved:
            self.tell("Nothing to save: the files hold all of it")
            return
        self.saving = True
        self._save(to, force, then)

    @work(thread=True, exit_on_error=False)
    def _save(self, to: str | None, force: bool, then: Then | None) -> None:
        from voyager.session.sketch.remarks import standing
        from voyager.session.sketch.save import save

        desk, sketch = self.desk, self.desk.sketch
        try:
            told = standing(sketch)
            done = save(desk.path, sketch.documents(), desk.stamp, to=to, force=force, remarks=told)
        except InputError as error:
            self.call_later(self._not_saved, error, to, then)
        except Exception as error:
            fault = InputError(f"Not saved, by a fault of this program: {type(error).__name__}: {error}")
            self.call_later(self._not_saved, fault, to, then)
        else:
            if to is not None:
                self.remember(str(done["path"]))
            self.call_later(self._saved, done, sketch, then)

    def remember(self, path: str) -> None:
        """A voyage that is one of the recent ones from now on; called in a thread."""

    def _saved(self, done: Mapping[str, Any], sketch: Sketch, then: Then | None) -> None:
        self.saving = False
        history, path = self.desk.history.written(sketch).moved(done["top"]), str(done["path"])
        moved = path != self.desk.path
        answered = self.desk.plan_sketch
        if answered is not None:
            answered = replace(answered, top={**answered.top, **done["top"]})
        self.change(history=history, stamp=done["stamp"], path=path, plan_sketch=answered)
        self._journal_anew(moved)
        if moved and self.desk.onward:
            self.plan()
        names = ", ".join(os.path.basename(path) for path in done["written"])
        notes = (note[:1].upper() + note[1:] for note in done.get("notes", ()))
        self.tell("\n".join([f"Saved: {names}." if names else "Saved.", *notes]))
        if then is not None:
            then()

    def _journal_anew(self, moved: bool) -> None:
        """The journal begins again, with what was edited while the files were being written."""
        if moved:
            self._drop_journal()
            self._begin()
        history = self.desk.history
        if self.journal is not None:
            self.journal.saved()
            if history.unsaved:
                self.journal.edit(history.saved, history.now, history.taken[-1].label)

    async def _not_saved(self, error: InputError, to: str | None, then: Then | None) -> None:
        """The file holds something else, or can't be written: over it, elsewhere, or not at all."""
        from voyager.tui.screens.ask import AskScreen

        self.saving = False
        there = os.path.exists(to or self.desk.path)
        again = (OVER, "what stands there is lost") if there else (AGAIN, "under its old name")
        over = [again] if getattr(error, "kind", "") in WRITTEN_OVER else []
        stays = "that file stays as it is" if there else "or in another folder"
        options = [*over, (OTHER, stays), (STAY, "nothing is written")]

        async def taken(choice: str | None) -> None:
            if choice in {OVER, AGAIN}:
                self.save(to=to, force=True, then=then)
            elif choice == OTHER:
                await self.save_as(then)

        await self.push_screen(AskScreen("Not saved", [("alarm", f"✗ {error}")], options), taken)

    async def action_save_as(self) -> None:
        await self.save_as()

    async def save_as(self, then: Then | None = None) -> None:
        """Ask for a name and save under it."""
        from voyager.session.recent import folder_of, proposed
        from voyager.tui.screens.files import WriteScreen

        if self.desk.opened is None:
            self.bell()
            return
        base = folder_of(self.desk.path, to_write=True)
        told = BOAT_TOO if self.desk.boat_changed else BOAT_STAYS if self._boat_writable() else BOAT_COPIED
        screen = WriteScreen("Save under another name", base, proposed(self.desk.path), ".toml", told)
        await self.push_screen(screen, lambda name: self.save(to=name, then=then) if name else None)

    def _boat_writable(self) -> bool:
        return bool((self.desk.opened or {}).get("writable", {}).get("boat", True))

    # another voyage

    async def action_open(self) -> None:
        """Choose a voyage and open it in place of this one."""
        from voyager.session.recent import folder_of, recent
        from voyager.tui.screens.files import FileScreen

        async def named(name: str | None) -> None:
            if name:
                await self.reopen(name)

        here = os.path.abspath(self.desk.path)
        late = [path for path in recent() if path != here]
        await self.push_screen(FileScreen("Open a voyage", folder_of(here), late=late), named)

    async def reopen(self, path: str) -> None:
        """Read another voyage in place of this one, once nothing unsaved stands in the way."""

        def read() -> None:
            self.opening = path
            self.worker.open(path)

        await self._part(read)

    async def _take_opened(self, body: Mapping[str, Any]) -> None:
        if self.opening is not None:
            self._drop_journal()
            self.worker.cancel()
            self.desk, self.opening = replace(self.desk, path=self.opening, ticket=0), None
            self.first.afresh()
        await super()._take_opened(body)
        if not self.desk.ticket:
            self.plan()

    async def _take_unopened(self, body: str) -> None:
        """A first voyage that can't be read ends the app with its sentences; of a later one they are told."""
        if self.desk.opened is None:
            self.exit(body)
            return
        from voyager.tui.screens.ask import AskScreen

        self.opening = None
        lines = [("alarm", f"✗ {line}") for line in body.splitlines()]
        await self.push_screen(AskScreen("Not opened", lines, [(STAY, "with this voyage")]))

    # out

    async def action_quit(self) -> None:
        """Leave; first ask where something would be lost."""
        await self._part(self._leave)

    async def _part(self, then: Then) -> None:
        """Go on with ``then`` once the edits are saved or given up."""
        if not self.desk.unsaved:
            then()
            return
        from voyager.tui.screens.ask import AskScreen

        lines = [("title", "There are edits that are not saved.")]
        options = [(SAVE, "and leave"), (LEAVE, "the edits are lost"), (STAY, "with this voyage")]

        def taken(choice: str | None) -> None:
            if choice == SAVE:
                self.save(then=then)
            elif choice == LEAVE:
                then()

        await self.push_screen(AskScreen("Leave", lines, options), taken)

    def _leave(self) -> None:
        self._drop_journal()
        self.exit()

    def _drop_journal(self) -> None:
        """What was not saved was left by choice."""
        if self.journal is not None:
            self.journal.close(clean=True)
            self.journal = None

    def on_unmount(self) -> None:
        """Ended from outside: what is not saved will be offered at the next start."""
        if self.journal is not None:
            self.journal.close(clean=False)
