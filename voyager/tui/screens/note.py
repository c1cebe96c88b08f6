"""One line of the log, typed: what was understood stands below it as it will stand in the log."""

from collections.abc import Callable, Mapping
from datetime import datetime
from itertools import count
from time import monotonic
from typing import Any

from textual import events, on
from textual.app import ComposeResult
from textual.containers import Vertical
from textual.widgets import Input

from voyager.session.log_line import as_line
from voyager.tui import log_now, log_view
from voyager.tui.actions import bindings, key_of
from voyager.tui.desk import Desk
from voyager.tui.messages import Asked, Typing
from voyager.tui.screens.card import CardScreen
from voyager.tui.widgets.lines import Lines
from voyager.tui.widgets.title import WHEEL

ROOM = "voyager.session.log_page"
UNDERSTOOD, KEEP = "note:understood", "note:keep:"
SLOW_S, TURN_S = 0.5, 0.25
LOW = 20
"""On fewer lines no room is kept for what is not there."""
NUMBERS = count(1)
Row = Mapping[str, Any]
HOW = (
    "In any order; what you leave out stays unknown; without a time it is now. Energies in kWh since the last reading, "
    "air in °C, a remark after a colon."
)
EMPTY = "time, place, charge …"
NOTHING = "type what you know, or leave"


class NoteField(Input):
    """The line."""

    BINDINGS = bindings("note")

    def action_take(self) -> None:
        self._screen().take()

    def action_drop(self) -> None:
        self._screen().drop()

    def _screen(self) -> "NoteScreen":
        screen = self.screen
        if not isinstance(screen, NoteScreen):
            raise TypeError("a NoteField lives on a NoteScreen")
        return screen


class NoteScreen(CardScreen[str]):
    """A new entry, or ``row`` anew; ``text``: what stands in the line at first. Dismissed with what is half typed.

    Nothing is written here: the app is asked to keep what was typed, and leaves the line once it stands in the log.
    Without a time it is that of the last key, so that what is kept is what was shown.
    """

    def __init__(
        self, desk: Desk, clock: Callable[[], datetime], row: Row | None = None, text: str | None = None
    ) -> None:
        super().__init__()
        self.desk, self.clock, self.row = desk, clock, row
        self.now = clock()
        self.example = log_view.example(log_view.places(desk.sketch.legs))
        self.began = "" if row is None else as_line(row)
        self.text = self.began if text is None else text
        self.found: Row = {}
        self.why = ""
        self.sent, self.on_way, self.since, self.turns = "", "", 0.0, 0

    def compose(self) -> ComposeResult:
        with Vertical(classes="card -note"):
            yield NoteField(self.text, compact=True, select_on_focus=False, placeholder=EMPTY)
            yield Lines(id="note-row")
            yield Lines(id="note-told")

    def on_mount(self) -> None:
        self.set_interval(TURN_S, self._turn)
        self._entitle()
        self._ask()
        self._say()

    def on_resize(self, event: events.Resize) -> None:
        """A low terminal shows the sentences rather than an empty row."""
        self.query_one(".card").set_class(event.size.height < LOW, "-low")

    @property
    def field(self) -> NoteField:
        """The line."""
        return self.query_one(NoteField)

    def _entitle(self) -> None:
        card = self.query_one(".card")
        card.border_title = (
            "Note a reading"
            if self.row is None
            else f"Change the entry of {' '.join(log_view.moment(self.row, True).split())}"
        )
        turning = self.sent and monotonic() - self.since >= SLOW_S
        wheel = f"{WHEEL[self.turns % len(WHEEL)]} into the log … " if turning else ""
        card.border_subtitle = f"{wheel}{key_of('note-take')} keeps it, {key_of('note-drop')} leaves"

    def _turn(self) -> None:
        if self.sent:
            self.turns += 1
            self._entitle()

    # while it is typed

    @on(Input.Changed)
    def _changed(self, event: Input.Changed) -> None:
        event.stop()
        if event.value == self.text:
            return
        self.text, self.why, self.now = event.value, "", self.clock()
        if self.text.strip() and self.text != self.began:
            self.post_message(Typing({"pane": "log", "row": self.row, "text": self.text}))
        else:
            self.post_message(Typing(None))
        self._ask()
        if not self.text.strip():
            self._say()

    def _ask(self) -> None:
        given = self.desk.path, self.desk.sketch.documents(), self.text, self.now, self.row
        self.post_message(Asked(UNDERSTOOD, f"{ROOM}:understood", *given))

    def understood(self, found: Row) -> None:
        """What the line says, as far as it was typed then."""
        self.found = found
        self._say()

    def refused(self, why: str) -> None:
        """It can't be kept: the sentence in place, the text stays."""
        self.sent = ""
        self._entitle()
        self.unread(why)

    def unread(self, why: str) -> None:
        """The log can't be read: likewise; what is on its way there stays so."""
        self.why = why
        self._say()

    def _say(self) -> None:
        if self.is_mounted:
            typed = bool(self.text.strip())
            self.query_one("#note-row", Lines).show(self._row() if typed else [])
            self.query_one("#note-told", Lines).show(self._told(typed))

    def _row(self) -> list[tuple[str, str]]:
        """The entry as the log will show it, and what of it has no column there."""
        row, units = self.found.get("row"), self.desk.units
        if row is None:
            return []
        width = max(40, self.query_one("#note-row").size.width)
        table = [("title", log_view.head(width, units).rstrip()), ("plain", log_view.line(row, width, units).rstrip())]
        return [*table, *log_view.about(row, units)[1:-1]]

    def _told(self, typed: bool) -> list[tuple[str, str]]:
        why = self.why or (self.found.get("why") if typed else None) or self.found.get("refusal")
        lines = [("alarm", f"✗ {text}") for text in (why or "").splitlines()]
        lines += [("caution", f"! {note}") for note in self.found.get("notes", ()) if typed]
        if not typed or why:
            lines += [("plain", f"Such as: {self.example}")]
        if not typed:
            lines += [("plain", HOW)]
        return [*lines, *(("plain", text) for text in self._known())]

    def _known(self) -> list[str]:
        """What there is to go by: the log's last entry, and the plan."""
        if self.row is not None:
            return []
        last = self.found.get("last")
        noted = f"Last noted: {log_view.title(last, self.desk.units)}." if last else ""
        known = (noted, log_now.planned(self.desk.plan, self._moment(), self.desk.units))
        return [text for text in known if text]

    def _moment(self) -> datetime:
        """The time that is typed, else now: what the plan has for it can be held against the reading."""
        row = self.found.get("row") if self.text.strip() else None
        return self.now if row is None else datetime.fromisoformat(row["time_utc"])

    # keeping and leaving

    def take(self) -> None:
        """Have it kept."""
        if self.sent:
            return
        if not self.text.strip():
            self.refused(NOTHING)
            return
        self.sent, self.on_way, self.since = f"{KEEP}{next(NUMBERS)}", self.text, monotonic()
        given = self.desk.path, self.desk.sketch.documents(), self.text, self.now, self.row
        self.post_message(Asked(self.sent, f"{ROOM}:kept", *given))

    def waits_for(self, name: str) -> bool:
        """Whether it is this line that was to be kept."""
        return self.sent == name

    def drop(self) -> None:
        """Leave; a new reading half typed is offered when the next one is noted."""
        self.leave(None)

    def leave(self, value: str | None) -> None:
        """Close with ``value``, else with what is not yet on its way to the log."""
        super().leave(value if value is not None else self.added() if self.sent else self.text)

    def added(self) -> str:
        """What stands in the line otherwise than it was sent."""
        return "" if self.text == self.on_way else self.text
