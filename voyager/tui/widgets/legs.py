"""The legs as a table; the fixed speed and the nights to stay are changed by typing over them."""

from collections.abc import Callable, Mapping
from typing import Any, NamedTuple

from rich.text import Text
from textual import events
from textual.app import ComposeResult
from textual.cache import LRUCache
from textual.containers import Container
from textual.coordinate import Coordinate
from textual.widgets import DataTable, Input, Static
from textual.widgets.data_table import RowKey

from voyager.tui import typed, words
from voyager.tui.actions import bindings
from voyager.tui.desk import Desk
from voyager.tui.messages import Edited, Pointed

Row = Mapping[str, Any]


class Column(NamedTuple):
    """A heading, its least width (0: shares what is left), and the cell's text from a leg and the battery's kWh."""

    heading: str
    width: int
    cell: Callable[[Row, float], str]
    left: bool = False


COLUMNS = (
    Column("From", 0, lambda leg, _: leg["from"], left=True),
    Column("To", 0, lambda leg, _: leg["to"], left=True),
    Column("Water", 5, lambda leg, _: leg["water"], left=True),
    Column("km", 4, lambda leg, _: words.figure(leg["distance_km"])),
    Column("Locks", 5, lambda leg, _: str(leg.get("locks") or "")),
    Column("km/h", 4, lambda leg, _: words.speed_words(leg)),
    Column("h", 3, lambda leg, _: words.figure(leg.get("hours"))),
    Column("kWh", 3, lambda leg, _: words.figure(leg.get("energy_kwh"))),
    Column("Day", 3, lambda leg, _: words.leg_days(leg)),
    Column("End", 3, lambda leg, full: words.percent_words(leg.get("charge_end_kwh"), full)),
    Column("Shore", 5, lambda leg, _: "plug" if leg.get("needs_shore") else ""),
    Column("Stay", 4, lambda leg, _: str(leg.get("nights") or "")),
)
SPEED, STAY = 5, 11
READ: Mapping[int, tuple[str, Callable[[str], float | int | None]]] = {
    SPEED: ("speed_kmh", typed.speed_kmh),
    STAY: ("nights", typed.nights),
}


class LegTable(DataTable[Text], inherit_bindings=False):
    """The table itself: figures typed on it begin a change of the cell under the cursor."""

    BINDINGS = bindings("legs")

    def on_key(self, event: events.Key) -> None:
        if event.is_printable and event.character and event.character in "0123456789.,":
            event.stop()
            self.sheet.begin(event.character)

    def action_edit(self) -> None:
        self.sheet.begin(None)

    def action_clear(self) -> None:
        self.sheet.take("")

    @property
    def sheet(self) -> "LegSheet":
        parent = self.parent
        if not isinstance(parent, LegSheet):
            raise TypeError("a LegTable lives in a LegSheet")
        return parent

    def replace_cell(self, at: Coordinate, value: Text) -> None:
        """Put one cell, drawing its row alone again (``update_cell`` draws the whole table)."""
        row, column = self.coordinate_to_cell_key(at)
        self._data[row][column] = value
        _forget(self._cell_render_cache, row)
        _forget(self._row_render_cache, row)
        self._row_renderable_cache.discard((self._update_count, at.row))
        self._line_cache.clear()
        self.refresh_row(at.row)


def _forget(cache: LRUCache[Any, Any], row: RowKey) -> None:
    for key in list(cache.keys()):
        if key[0] == row:
            cache.discard(key)


class Cell(Input):
    """The one field that is laid over a cell while it is typed into."""

    BINDINGS = bindings("cell")

    def action_finish(self, step: int) -> None:
        self._sheet().finish(step)

    def action_drop(self) -> None:
        self._sheet().drop()

    def on_blur(self) -> None:
        self._sheet().left()

    def _sheet(self) -> "LegSheet":
        parent = self.parent
        if not isinstance(parent, LegSheet):
            raise TypeError("a Cell lives in a LegSheet")
        return parent


class LegSheet(Container):
    """Table, field and the reason why what was typed can't be taken."""

    def __init__(self) -> None:
        super().__init__(id="legs")
        self.desk: Desk | None = None
        self.rows: list[Row] = []
        self.full_kwh = 0.0
        self.widths: tuple[int, ...] = ()
        self.at: Coordinate | None = None

    def compose(self) -> ComposeResult:
        table = LegTable(id="leg-table", cell_padding=0, cursor_type="cell", zebra_stripes=False)
        yield table
        yield Cell(id="cell", compact=True, select_on_focus=False)
        yield Static(id="reason", markup=False)

    @property
    def table(self) -> LegTable:
        return self.query_one(LegTable)

    @property
    def cell(self) -> Cell:
        return self.query_one(Cell)

    def show(self, desk: Desk) -> None:
        """Replace the legs; only cells that differ are drawn again, unless the columns must change."""
        self.desk, rows, before = desk, desk.leg_rows(), self.rows
        grown = len(rows) != len(before) or desk.capacity_kwh != self.full_kwh
        self.rows, self.full_kwh = list(rows), desk.capacity_kwh
        if grown or (self.size.width and self._widths() != self.widths):
            top = self.table.scroll_offset.y
            self._rebuild()
            self.call_after_refresh(self.table.scroll_to, y=top, animate=False, force=True)
            return
        for index, row in enumerate(self.rows):
            if row == before[index]:
                continue
            for place, text in enumerate(self._texts(row)):
                at = Coordinate(index, place)
                if self.table.get_cell_at(at) != text:
                    self.table.replace_cell(at, text)

    def on_resize(self) -> None:
        if self.size.width and self._widths() != self.widths:
            self._rebuild()
        self.call_after_refresh(self._place)

    def _rebuild(self) -> None:
        table, cursor = self.table, self.table.cursor_coordinate
        first, self.widths = not table.columns, self._widths()
        table.clear(columns=True)
        for column, width in zip(COLUMNS, self.widths, strict=True):
            table.add_column(self._heading(column, width), width=width)
        for row in self.rows:
            table.add_row(*self._texts(row))
        table.move_cursor(row=cursor.row, column=SPEED if first else cursor.column, animate=False)
        self.call_after_refresh(self._place)

    def _heading(self, column: Column, width: int) -> Text:
        return Text(column.heading if column.left else f"{column.heading:>{width - 1}}")

    def _widths(self) -> tuple[int, ...]:
        """Columns of figures as wide as their widest; the places' names share the rest. The last one is the gap."""
        needs = [self._need(column) if column.width else 0 for column in COLUMNS]
        rest = max(16, self.size.width - 1 - sum(need + 1 for need in needs if need) - 1)
        shares = iter((rest - rest // 2, rest // 2))
        return tuple(need + 1 if need else next(shares) for need in needs)

    def _need(self, column: Column) -> int:
        return max([column.width, *(len(column.cell(row, self.full_kwh)) for row in self.rows)])

    def _texts(self, row: Row) -> list[Text]:
        return [self._text(column, row, width - 1) for column, width in zip(COLUMNS, self.widths, strict=True)]

    def _text(self, column: Column, row: Row, room: int) -> Text:
        text = words.cut(column.cell(row, self.full_kwh), room)
        style = "bold" if text.startswith("=") or column.heading == "Stay" else ""
        return Text(f"{text:<{room}} " if column.left else f"{text:>{room}} ", style=style, no_wrap=True)

    def stand(self, index: int) -> None:
        """Put the cursor on a leg without a word about it."""
        self.table.move_cursor(row=index, animate=False)

    def on_data_table_cell_highlighted(self, event: DataTable.CellHighlighted) -> None:
        event.stop()
        if self.rows and self.has_focus_within:
            self.post_message(Pointed("leg", event.coordinate.row))

    def on_data_table_cell_selected(self, event: DataTable.CellSelected) -> None:
        event.stop()
        self.begin(None)

    def begin(self, text: str | None) -> None:
        """Lay the field over the cell, with ``text`` or what stands there."""
        at = self.table.cursor_coordinate
        if not self.rows or not self.table.is_valid_coordinate(at):
            return
        if at.column not in READ:
            at = Coordinate(at.row, SPEED)
            self.table.move_cursor(row=at.row, column=at.column, animate=False)
        self.at, cell = at, self.cell
        cell.value = self._own(at) if text is None else text
        cell.cursor_position = len(cell.value)
        self._say("")
        self._place()
        cell.display = True
        self.screen.set_focus(cell, scroll_visible=False)

    def _own(self, at: Coordinate) -> str:
        leg = self.rows[at.row]
        if at.column == STAY:
            return str(leg.get("nights") or "")
        return words.figure(leg.get("speed_kmh")) if leg.get("fixed_speed") else ""

    def _place(self) -> None:
        if self.at is None:
            return
        region, scroll = self.table._get_cell_region(self.at), self.table.scroll_offset
        x, y = region.x - int(scroll.x), region.y - int(scroll.y)
        x = max(0, min(x, self.size.width - 8))
        self.cell.styles.offset = (x, y)
        below = y + 1 if y + 1 < self.size.height else y - 1
        self.query_one("#reason").styles.offset = (max(0, min(x, self.size.width - 48)), below)

    def finish(self, step: int) -> None:
        """Take what was typed and go ``step`` legs down, or stay with the reason why not."""
        at = self.at
        if at is None or not self.take(self.cell.value):
            return
        self._close()
        self.table.move_cursor(row=at.row + step, column=at.column, animate=False)

    def drop(self) -> None:
        """Leave the cell as it was."""
        self._close()

    def left(self) -> None:
        """The focus was taken away: take what was typed if it can be, drop it otherwise."""
        if self.at is not None and self.app.screen is self.screen:
            try:
                self._read(self.cell.value, self.at)
            except ValueError:
                self._close(focus=False)
            else:
                self.take(self.cell.value)
                self._close(focus=False)

    def take(self, text: str) -> bool:
        """Whether ``text`` can stand in the cell; if so the wish is sent."""
        at = self.at or self.table.cursor_coordinate
        if at.column not in READ or not self.rows:
            self.app.bell()
            return False
        try:
            value = self._read(text, at)
        except ValueError as error:
            self._say(f"✗ must be {error}")
            return False
        if self.desk is not None:
            sketch, key = self.desk.sketch, READ[at.column][0]
            legs = [row.put(key, value or None) if n == at.row else row for n, row in enumerate(sketch.legs)]
            what = "speed" if key == "speed_kmh" else "nights"
            self.post_message(Edited(sketch.with_rows("legs", legs), f"{what} of leg {at.row + 1}"))
        return True

    def _read(self, text: str, at: Coordinate) -> float | int | None:
        return READ[at.column][1](text)

    def _say(self, reason: str) -> None:
        said = self.query_one("#reason", Static)
        said.update(reason)
        said.display = bool(reason)
        self.cell.set_class(bool(reason), "-wrong")

    def _close(self, focus: bool = True) -> None:
        self.at = None
        self._say("")
        if focus:
            self.screen.set_focus(self.table, scroll_visible=False)
        self.cell.display = False
