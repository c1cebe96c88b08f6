"""The pane "log": the entries of the voyage's log, noted, changed, taken out and brought back, imported."""

import os
from collections.abc import Mapping
from time import monotonic
from typing import Any

from textual.app import ComposeResult
from textual.containers import Container

from voyager.tui import log_view
from voyager.tui.actions import key_of
from voyager.tui.desk import Desk
from voyager.tui.messages import Asked, Logged, Noting
from voyager.tui.widgets.lines import Lines
from voyager.tui.widgets.log_list import LogList
from voyager.tui.widgets.title import WHEEL

NAME = "log"
ROOM = "voyager.session.log_page"
PAGE, REMOVE, BACK, IMPORT = (f"{NAME}:{what}" for what in ("page", "remove", "back", "import"))
SLOW_S, TURN_S = 0.5, 0.25
AMOUNTS, METERS = "amounts", "meters"
LOST = "the planner's process ended before the log answered; close this and open it again"
COLUMNS = "a CSV with time and what else is known, or a GPX track with times"
HINT = (
    f"{key_of('note')} notes · {key_of('log-edit')} changes · {key_of('log-import')} imports · "
    f"{key_of('log-close')} closes"
)
Row = Mapping[str, Any]


class LogPane(Container):
    """``rows``: the entries as the log has them; ``gone``: numbers of those on their way out; ``former``: what was
    taken out or changed, to be brought back, the last one last; ``moving``: entries on their way out or back, by
    question. Every change is asked for and read again."""

    def __init__(self) -> None:
        super().__init__(id=NAME)
        self.desk: Desk | None = None
        self._forget()
        self.turns, self.count = 0, 0

    def _forget(self) -> None:
        self.rows: list[Row] | None = None
        self.gone: set[int] = set()
        self.former: list[Row] = []
        self.asked_of: Any = None
        self.refusal: str | None = None
        self.why, self.told = "", ""
        self.wanted: int | None = None
        self.busy: dict[str, float] = {}
        self.moving: dict[str, Row] = {}

    def compose(self) -> ComposeResult:
        yield LogList(self)
        yield Lines(id="log-foot")

    def on_mount(self) -> None:
        self.clock = self.set_interval(TURN_S, self._turn, pause=True)

    @property
    def table(self) -> LogList:
        """The table."""
        return self.query_one(LogList)

    # what is shown

    def show(self, desk: Desk) -> None:
        """Take over what the desk holds; of another voyage nothing stays."""
        former, self.desk = self.desk, desk
        if former is not None and former.path != desk.path:
            self._forget()
            self.table.take([], desk.units)
        self._want()
        self._fill()

    def lost(self) -> None:
        """The process that was asked ended: what it did is not known, so all can be asked of it again."""
        if not self.busy:
            return
        self.former += [row for name, row in self.moving.items() if name.startswith(BACK)]
        self.busy.clear()
        self.moving.clear()
        self.gone.clear()
        self.why, self.told = LOST, ""
        self._fill()

    def on_show(self) -> None:
        """Read again what may have been noted elsewhere meanwhile."""
        self.asked_of = None
        self._want()

    def logged(self) -> None:
        """The log holds other entries: ask anew."""
        self.asked_of = None
        self._want()

    def _want(self) -> None:
        desk = self.desk
        if desk is not None and desk.opened is not None and self.display and self.asked_of is not desk.sketch:
            self.asked_of = desk.sketch
            self._ask(PAGE, "page", desk.path, desk.sketch.documents())

    def _ask(self, name: str, function: str, *arguments: Any) -> None:
        self.busy[name] = monotonic()
        self.clock.resume()
        self.post_message(Asked(name, f"{ROOM}:{function}", *arguments))

    def _once(self, what: str) -> str:
        """A name of its own: of questions of one name only the newest is answered, and each change is to be made."""
        self.count += 1
        return f"{what}:{self.count}"

    def _turn(self) -> None:
        self.turns += 1
        self._entitle()
        if not self.busy:
            self.clock.pause()

    def _entitle(self) -> None:
        slow = any(monotonic() - since >= SLOW_S for since in self.busy.values())
        self.border_title = f" Log{f' {WHEEL[self.turns % len(WHEEL)]}' if slow else ''}: {HINT} "

    def _fill(self, ident: int | None = None) -> None:
        self._entitle()
        units = None if self.desk is None else self.desk.units
        if units is not None:
            self.table.take([row for row in self.rows or () if row["ident"] not in self.gone], units, ident)

    def said(self) -> list[tuple[str, str]]:
        """What stands in the place of entries where there are none."""
        if self.why:
            return [(f"✗ {self.why}", "lead")]
        if self.rows is None:
            return [("reading the log …", "plain")]
        places = () if self.desk is None else log_view.places(self.desk.sketch.legs)
        how = f"{key_of('note')} notes a reading, such as: {log_view.example(places)}"
        bring = f"{key_of('log-import')} brings in {COLUMNS}."
        return [
            ("No entries yet.", "lead"),
            *([(f"✗ {self.refusal}", "care")] if self.refusal else [(how, "plain"), (bring, "plain")]),
        ]

    def heed(self) -> None:
        """The foot: what was done or why not, and all of the entry under the cursor."""
        lines = [("alarm", f"✗ {self.why}")] if self.why and self.table.rows else []
        lines += [("title", self.told)] if self.told else []
        if (row := self.table.row) is not None and self.desk is not None:
            lines += log_view.foot(row, self.table.size.width - 2, self.desk.units)
        foot = self.query_one("#log-foot", Lines)
        foot.show(lines)
        foot.display = bool(lines)

    def page(self) -> list[tuple[str, str]]:
        """All of the entry under the cursor."""
        row = self.table.row
        return [] if row is None or self.desk is None else log_view.about(row, self.desk.units)

    # answers

    def answer(self, name: str, body: Any) -> None:
        """The log was read, or changed as it was asked for."""
        known = self.busy.pop(name, None) is not None
        self.moving.pop(name, None)
        if name == PAGE:
            self._read(body)
            return
        if not known:
            return
        if name.startswith(REMOVE):
            self.gone.discard(body["entry"]["ident"])
        elif name.startswith(BACK):
            self.wanted = body["ident"]
        elif name.startswith(IMPORT):
            self.call_later(self._report, body)
        self.why = ""
        self.post_message(Logged())

    def _read(self, body: Row) -> None:
        self.rows, self.refusal, self.why = list(body["entries"]), body["refusal"], ""
        ident, self.wanted = self.wanted, None
        self._fill(ident)

    def refused(self, name: str, why: str) -> None:
        """It can't be: the sentence in place, and the log as it stands."""
        known = self.busy.pop(name, None) is not None
        if name.startswith(IMPORT):
            from voyager.tui.screens.page import PageScreen

            lines = [("alarm", f"✗ {line}") for line in why.splitlines()]
            self.app.push_screen(PageScreen("Not imported", lines))
            return
        if not known:
            return
        self._stays(name)
        self.why, self.told = " ".join(why.splitlines()), ""
        if name == PAGE:
            self.rows = None
        self._fill()

    def _stays(self, name: str) -> None:
        """What was refused can be asked for again, and what was not taken out need not be brought back."""
        row = self.moving.pop(name, None)
        if row is None:
            return
        if name.startswith(BACK):
            self.former.append(row)
            return
        self.former = [one for one in self.former if one is not row]
        self.gone.discard(row["ident"])

    def kept(self, entry: Row, former: Row | None) -> None:
        """An entry was noted, or changed from what it was."""
        self.wanted, self.told, self.why = entry["ident"], "Noted." if self.display else "", ""
        if former is not None:
            self.former.append(former)
            self.told = f"Changed; {key_of('undo')} brings it back as it was."

    async def _report(self, body: Row) -> None:
        """What an import came to."""
        from voyager.report.log_text import done_text
        from voyager.tui.screens.page import PageScreen

        lines = [("plain", line) for line in done_text(body, 76).splitlines()]
        await self.app.push_screen(PageScreen("Imported", lines))

    # what the user does

    def edit(self) -> None:
        """Have the entry under the cursor typed anew; where there is none, a first one."""
        if not self._refuses():
            self.post_message(Noting(self.table.row))

    def _refuses(self) -> bool:
        """Whether this voyage can have no log: that is said then."""
        if self.refusal:
            self.why = self.refusal
            self.heed()
        return bool(self.refusal)

    def take_out(self) -> None:
        """Take the entry under the cursor out."""
        row, desk = self.table.row, self.desk
        if row is None or desk is None or self._refuses():
            return
        self.former.append(row)
        self.gone.add(row["ident"])
        self.why, self.told = "", f"Taken out: {log_view.title(row, desk.units)}; {key_of('undo')} brings it back."
        name = self._once(REMOVE)
        self.moving[name] = row
        self._ask(name, "removed", desk.path, desk.sketch.documents(), row["ident"])
        self._fill()

    def back(self) -> bool:
        """Bring the last entry taken out or changed back; False where there is none."""
        if not self.former or self.desk is None:
            return False
        row = self.former.pop()
        self.why, self.told = "", f"Brought back: {log_view.title(row, self.desk.units)}"
        name = self._once(BACK)
        self.moving[name] = row
        self._ask(name, "restored", self.desk.path, dict(row))
        self.heed()
        return True

    async def bring(self) -> None:
        """Choose a file of readings."""
        from voyager.session.recent import folder_of
        from voyager.tui.screens.measured import ReadingsScreen

        if self.desk is not None and not self._refuses():
            screen = ReadingsScreen("Readings into the log", folder_of(self.desk.path), told=COLUMNS)
            await self.app.push_screen(screen, self._chosen)

    async def _chosen(self, file: str | None) -> None:
        """Of a CSV ask what its energies are."""
        from voyager.tui.screens.ask import AskScreen

        if file is None or file.lower().endswith(".gpx"):
            self._import(file, None if file is None else AMOUNTS)
            return
        lines = [("title", f"If {os.path.basename(file)} has energies, what are they?")]
        options = [(AMOUNTS, "what flowed since the row before"), (METERS, "readings of meters that count up")]
        await self.app.push_screen(AskScreen("Import", lines, options), lambda taken: self._import(file, taken))

    def _import(self, file: str | None, energies: str | None) -> None:
        desk = self.desk
        if file is not None and energies is not None and desk is not None:
            given = desk.path, desk.sketch.documents(), file, energies == METERS
            self._ask(self._once(IMPORT), "imported", *given)

    def resume(self, where: Row) -> None:
        """Open the line again that was being typed when the last session ended.

        The screen calls this: a message of the pane's would go no farther up than to it.
        """
        self.app.post_message(Noting(where.get("row"), str(where.get("text", ""))))
