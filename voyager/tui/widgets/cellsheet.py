"""A table whose cells are typed over in place: table, field, and the reason why what was typed can't be taken."""

from collections.abc import Mapping
from typing import Any

from textual import events, on
from textual.app import ComposeResult
from textual.containers import Container
from textual.widgets import Input, Static

from voyager.tui.messages import Told, Typing
from voyager.tui.widgets.cell import Cell
from voyager.tui.widgets.cellgrid import CellGrid

REASON_WIDTH = 56
LEAST_FIELD = 9


class Offer(ValueError):
    """What was typed can be taken when it is taken once more; the text says what will then be done."""


class CellSheet(Container):
    """What a cell holds and takes is said by the class that fills it: ``writable``, ``own``, ``commit`` and so on."""

    def __init__(self, id: str, grid: CellGrid) -> None:
        super().__init__(id=id, classes="cells")
        self.grid, self.cell = grid, Cell()
        self.reason = Static(markup=False, classes="reason")
        self.note = Static(markup=False, classes="note")
        self.at: tuple[int, int] | None = None
        self.said = ""
        self.cell_of: Mapping[str, Any] | None = None

    def compose(self) -> ComposeResult:
        yield self.grid
        yield self.note
        yield self.cell
        yield self.reason

    # what the filling class says

    def writable(self, row: int, column: int) -> bool:
        """Whether a cell can be typed over."""
        return False

    def typed(self, row: int, column: int) -> str:
        """What begins a change: ``text`` any letter or figure, ``figure`` figures only."""
        return "text"

    def own(self, row: int, column: int) -> str:
        """What stands in a cell, as it would be typed."""
        return ""

    def commit(self, row: int, column: int, text: str, firm: bool = False) -> None:
        """Take a text into a cell; ValueError has the reason why it can't be. ``firm``: nothing will be asked again."""

    def hint(self, row: int, column: int, text: str) -> str:
        """A word on what is being typed."""
        return ""

    def where(self, row: int, column: int) -> Mapping[str, Any] | None:
        """``row`` (identity) and ``key`` of a cell, for the journal."""
        return None

    def step(self, row: int, column: int, by: int) -> None:
        """Change a cell by ``by`` steps."""
        self.app.bell()

    # typing

    def key(self, event: events.Key) -> bool:
        """Whether a key typed on the table begins a change."""
        sign = event.character if event.is_printable else None
        if not sign or not self.begins(sign):
            return False
        self.begin(sign)
        return True

    def begins(self, sign: str | None) -> bool:
        """Whether a sign would begin a change of the cell under the cursor, and so is no key of anything else."""
        row, column = self.grid.cursor_coordinate
        if not sign or not self.grid.rows or not self.writable(row, column):
            return False
        return sign in "0123456789.," if self.typed(row, column) == "figure" else sign.isalnum()

    def begin(self, text: str | None) -> None:
        """Lay the field over the cell under the cursor, with ``text`` or what stands there."""
        row, column = self.grid.cursor_coordinate
        if not self.grid.rows or not self.writable(row, column):
            self.app.bell()
            return
        self.at, self.cell_of = (row, column), self.where(row, column)
        self.say("")
        self.cell.value = self.own(row, column) if text is None else text
        self.cell.cursor_position = len(self.cell.value)
        self.place()
        self.cell.display = True
        self.screen.set_focus(self.cell, scroll_visible=False)
        self._heed()

    def _heed(self) -> None:
        """Keep what stands half typed, and say a word on it."""
        if self.at is not None:
            self.say(self.hint(*self.at, self.cell.value), wrong=False)
            where = self.where(*self.at)
            if where is not None:
                self.post_message(Typing({**where, "text": self.cell.value}))

    @on(Input.Changed)
    def _changed(self, event: Input.Changed) -> None:
        event.stop()
        self._heed()

    def settle(self) -> None:
        """Put the field away where its row has gone or another stands in its place."""
        if self.at is not None and (self.at[0] >= len(self.grid.rows) or self.where(*self.at) != self.cell_of):
            self.close()

    def place(self) -> None:
        """Put the field and the reason where the cell is."""
        if self.at is None:
            return
        region, corner = self.grid.cell_region(*self.at), self.grid.region.offset - self.content_region.offset
        x, y = region.x + corner.x, region.y + corner.y
        width = min(max(region.width, LEAST_FIELD, len(self.cell.value) + 2), max(LEAST_FIELD, self.size.width - 2))
        x = max(0, min(x, self.size.width - width))
        self.cell.styles.offset, self.cell.styles.width = (x, y), width
        below = y + 1 if y + 1 < self.size.height else y - 1
        self.reason.styles.offset = (max(0, min(x, self.size.width - REASON_WIDTH)), below)

    def on_resize(self) -> None:
        self.call_after_refresh(self.place)

    def finish(self, rows: int, columns: int) -> None:
        """Take what was typed and go on, or stay with the reason why not."""
        at = self.at
        if at is None or not self.take(self.cell.value):
            return
        self.close()
        column = self.beside(*at, columns)
        self.grid.move_cursor(at[0] + rows, at[1] if column is None else column)

    def beside(self, row: int, column: int, by: int) -> int | None:
        """The next column to that side that can be typed over."""
        place = column + by
        while by and 0 <= place < len(self.grid.columns):
            if self.writable(row, place):
                return place
            place += by
        return None

    def drop(self) -> None:
        """Leave the cell as it was."""
        self.close()

    def left(self) -> None:
        """The focus was taken away: take what was typed if it can be, say why it was dropped otherwise."""
        if self.at is None or self.app.screen is not self.screen:
            return
        at, text = self.at, self.cell.value
        self.close(focus=False)
        if text != self.own(*at):
            try:
                self.commit(*at, text, firm=True)
            except ValueError as error:
                self.post_message(Told(f'"{text}" was left out: it must be {error}'))

    def take(self, text: str) -> bool:
        """Whether ``text`` can stand in the cell that is open, or under the cursor."""
        row, column = self.at or self.grid.cursor_coordinate
        if not self.grid.rows or not self.writable(row, column):
            self.app.bell()
            return False
        try:
            if self.at is None or text != self.own(row, column):
                self.commit(row, column, text)
        except Offer as offer:
            self.say(str(offer), wrong=False)
            return False
        except ValueError as error:
            self.say(f"✗ must be {error}")
            return False
        return True

    def say(self, reason: str, wrong: bool = True) -> None:
        """Show a reason or a word beside the cell, nothing where empty."""
        self.said = reason
        self.reason.update(reason)
        self.reason.display = bool(reason)
        self.reason.set_class(wrong, "-wrong")
        self.cell.set_class(bool(reason) and wrong, "-wrong")

    def close(self, focus: bool = True) -> None:
        """Put the field away."""
        if self.at is not None and self.cell_of is not None:
            self.post_message(Typing(None))
        self.at = self.cell_of = None
        self.say("")
        if focus:
            self.screen.set_focus(self.grid, scroll_visible=False)
        self.cell.display = False

    def tell(self, text: str) -> None:
        """A line under the table, none where empty."""
        self.note.update(text)
        self.note.display = bool(text)

    @on(CellGrid.Laid)
    def _laid(self, event: CellGrid.Laid) -> None:
        event.stop()
        self.place()

    @on(CellGrid.Opened)
    def _opened(self, event: CellGrid.Opened) -> None:
        event.stop()
        self.begin(None)
