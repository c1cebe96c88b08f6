"""A table of cells with a cursor, drawn for the lines in view alone: five hundred rows cost no more than twenty."""

from collections.abc import Sequence
from typing import ClassVar, NamedTuple

from rich.segment import Segment
from rich.style import Style
from textual import events
from textual.geometry import Region, Size
from textual.message import Message
from textual.scroll_view import ScrollView
from textual.strip import Strip

from voyager.tui.actions import bindings
from voyager.tui.words import cut, padded

PARTS = ("cursor", "blurred", "header", "gutter", "mark", "alarm", "strong", "quiet", "cursor-row")
KEPT_STRIPS = 4000


class GridColumn(NamedTuple):
    """A heading and a width in columns of the terminal, the gap behind it included. ``fixed`` ones never scroll."""

    heading: str
    width: int
    left: bool = False
    fixed: bool = False


class GridRow(NamedTuple):
    """One row's texts; ``gutter`` stands before it, ``alarm``: something is wrong with it.

    ``strong`` and ``quiet``: numbers of the columns drawn so.
    """

    cells: tuple[str, ...]
    gutter: str = ""
    alarm: bool = False
    strong: frozenset[int] = frozenset()
    quiet: frozenset[int] = frozenset()


class CellGrid(ScrollView, can_focus=True, inherit_bindings=False):
    """Columns that do not fit come into view with the cursor; ``‹`` and ``›`` in the heading say there are more."""

    BINDINGS = bindings("grid")
    COMPONENT_CLASSES: ClassVar[set[str]] = {f"grid--{part}" for part in PARTS}

    class Moved(Message):
        """The cursor stands on another cell."""

    class Laid(Message):
        """The table has another size."""

    class Opened(Message):
        """The cell under the cursor is to be changed."""

    def __init__(self, id: str) -> None:
        super().__init__(id=id)
        self.columns: tuple[GridColumn, ...] = ()
        self.rows: list[GridRow] = []
        self.edge = 0
        self.row, self.column, self.first = 0, 0, 0
        self.held: int | None = None
        self.drawn: dict[tuple[object, ...], Strip] = {}

    # what is shown

    def show(self, columns: Sequence[GridColumn], rows: Sequence[GridRow], edge: int) -> None:
        """Replace everything; the cursor stays where it is if it can."""
        if tuple(columns) != self.columns or edge != self.edge:
            self.columns, self.edge = tuple(columns), edge
            self.drawn.clear()
            self.refresh()
        former, self.rows = self.rows, list(rows)
        self.row = max(0, min(self.row, len(rows) - 1))
        self.column = max(0, min(self.column, len(columns) - 1))
        if len(former) != len(rows):
            self.held = None
            self.virtual_size = Size(self.scrollable_content_region.width, len(rows) + 1)
            self.refresh(layout=True)
        else:
            self._redraw(*(n for n, row in enumerate(self.rows) if row is not former[n] and row != former[n]))
        self._fit()

    @property
    def cursor_row(self) -> int:
        """The row under the cursor, from 0."""
        return self.row

    @property
    def cursor_coordinate(self) -> tuple[int, int]:
        """Row and column under the cursor, from 0."""
        return self.row, self.column

    @property
    def marked(self) -> range:
        """The rows marked, or the one under the cursor."""
        ends = (self.row, self.row if self.held is None else self.held)
        return range(min(ends), max(ends) + 1) if self.rows else range(0)

    def on_resize(self) -> None:
        self.virtual_size = Size(self.scrollable_content_region.width, len(self.rows) + 1)
        self.drawn.clear()
        self._fit()
        self._reveal()
        self.post_message(self.Laid())

    def notify_style_update(self) -> None:
        self.drawn.clear()
        super().notify_style_update()

    def _redraw(self, *places: int) -> None:
        top, height = int(self.scroll_offset.y), self.size.height
        seen = [place + 1 - top for place in places if 1 <= place + 1 - top < height]
        if seen:
            self.refresh(*(Region(0, y, self.size.width, 1) for y in seen))

    # the cursor

    def stand(self, row: int | None = None, column: int | None = None) -> None:
        """Put the cursor on a cell without a word about it."""
        marked, before = self.marked, self.column
        self.row = max(0, min(self.row if row is None else row, len(self.rows) - 1))
        self.column = max(0, min(self.column if column is None else column, len(self.columns) - 1))
        self._fit()
        self._reveal()
        self._redraw(*marked, *self.marked)
        if self.column != before:
            self.refresh_bindings()

    def move_cursor(self, row: int | None = None, column: int | None = None) -> None:
        """Put the cursor on a cell and say so; what was marked is marked no more."""
        self._unmark()
        self.stand(row, column)
        self.post_message(self.Moved())

    def _unmark(self) -> None:
        marked, self.held = self.marked, None
        self._redraw(*marked)

    def action_move(self, rows: int, columns: int) -> None:
        self.move_cursor(self.row + rows, self.column + columns)

    def action_page(self, by: int) -> None:
        self.move_cursor(self.row + by * max(1, self.size.height - 2))

    def action_end(self, by: int) -> None:
        self.move_cursor(0 if by < 0 else len(self.rows) - 1)

    def action_mark(self, by: int) -> None:
        """Mark rows from here on."""
        self.held = self.row if self.held is None else self.held
        self.stand(self.row + by)
        self.post_message(self.Moved())

    def on_focus(self) -> None:
        self._redraw(*self.marked)
        self.post_message(self.Moved())

    def on_blur(self) -> None:
        self._redraw(*self.marked)

    def on_click(self, event: events.Click) -> None:
        offset = event.get_content_offset(self)
        cell = None if offset is None else self.cell_at(offset.x, offset.y)
        if cell is None:
            return
        again = cell == (self.row, self.column) and event.chain > 1
        self.move_cursor(*cell)
        if again:
            self.post_message(self.Opened())

    def cell_at(self, x: int, y: int) -> tuple[int, int] | None:
        """Row and column at an offset within what is seen."""
        row = y - 1 + int(self.scroll_offset.y)
        if y < 1 or not 0 <= row < len(self.rows):
            return None
        for column, start, width in self.spans():
            if start <= x < start + width:
                return row, column
        return None

    # columns in view

    @property
    def wide(self) -> int:
        """Columns of the terminal to draw in."""
        return self.scrollable_content_region.width

    def _fit(self) -> None:
        """The fewest columns out of view to the left that let the cursor's be seen in full."""
        before, loose = self.first, [n for n, column in enumerate(self.columns) if not column.fixed]
        self.first = loose[0] if loose else 0
        while loose and self.first < self.column and not self._whole(self.column):
            self.first += 1
        if self.first != before:
            self.refresh()

    def _whole(self, column: int) -> bool:
        return any(n == column and self._ends_in_view(n, start + width) for n, start, width in self.spans())

    def _ends_in_view(self, column: int, end: int) -> bool:
        """Whether a column is seen whole; behind all but the last one the sign that there are more needs the gap."""
        return end <= self.wide + (column == len(self.columns) - 1)

    def spans(self) -> list[tuple[int, int, int]]:
        """Number, start and width of each column from the left edge on; those not seen whole are left out.

        Fixed ones and the first of the others stay, cut where the table is too narrow.
        """
        found, start = [], self.edge
        for number, column in enumerate(self.columns):
            if not column.fixed and number < self.first:
                continue
            kept = column.fixed or number == self.first
            if start >= self.wide or not (kept or self._ends_in_view(number, start + column.width)):
                break
            found.append((number, start, column.width))
            start += column.width
        return found

    def cell_region(self, row: int, column: int) -> Region:
        """Where a cell is drawn, from the widget's own corner."""
        start, width = next(((s, w) for n, s, w in self.spans() if n == column), (self.edge, 8))
        return Region(start, row + 1 - int(self.scroll_offset.y), width, 1)

    def _reveal(self) -> None:
        height = max(1, self.scrollable_content_region.height - 1)
        top = int(self.scroll_offset.y)
        y = min(self.row, max(top, self.row - height + 1))
        if y != top and self.is_attached:
            self.scroll_to(y=y, animate=False, force=True, immediate=True)

    # drawing

    def render_line(self, y: int) -> Strip:
        if y == 0:
            return self._header()
        index = y - 1 + int(self.scroll_offset.y)
        if index >= len(self.rows):
            return Strip.blank(self.wide, self.rich_style)
        marked = self.held is not None and index in self.marked
        here = self.column if index == self.row else -1
        key = (self.rows[index], here, here >= 0 and self.has_focus, marked, self.first, self.wide)
        if key not in self.drawn:
            if len(self.drawn) > KEPT_STRIPS:
                self.drawn.clear()
            self.drawn[key] = self._row(self.rows[index], here, marked)
        return self.drawn[key]

    def _header(self) -> Strip:
        style = self.rich_style + self.get_component_rich_style("grid--header", partial=True)
        spans = self.spans()
        segments = [Segment(" " * self.edge, style)]
        for number, _, width in spans:
            column = self.columns[number]
            text = cut(column.heading, width - 1)
            segments.append(Segment(f"{text:<{width - 1}} " if column.left else f"{text:>{width - 1}} ", style))
        loose = next((n for n, column in enumerate(self.columns) if not column.fixed), 0)
        strip = Strip(segments).adjust_cell_length(self.wide, style)
        if spans and (spans[-1][0] < len(self.columns) - 1 or not self._ends_in_view(spans[-1][0], sum(spans[-1][1:]))):
            strip = Strip([*strip.crop(0, self.wide - 1), Segment("›", style)])
        if self.first > loose and self.edge:
            strip = Strip([Segment("‹", style), *strip.crop(1)])
        return strip

    def _row(self, row: GridRow, here: int, marked: bool) -> Strip:
        base = self.rich_style
        if marked:
            base += self._look("mark")
        elif here >= 0 and self.has_focus:
            base += self._look("cursor-row")
        sign = "•" if marked else row.gutter[-1:]
        gutter = f"{row.gutter[:-1]}{sign}"[: self.edge].rjust(self.edge)
        segments = [Segment(gutter, base + self._ink("alarm" if row.alarm else "gutter"))]
        for number, _, width in self.spans():
            text, style = self._text(row, number, width), self._style(row, number, here, base)
            segments += [Segment(text[:-1], style), Segment(text[-1:], base if number == here else style)]
        return Strip(segments).adjust_cell_length(self.wide, base)

    def _text(self, row: GridRow, number: int, width: int) -> str:
        return f"{padded(row.cells[number], width - 1, self.columns[number].left)} "

    def _style(self, row: GridRow, number: int, here: int, base: Style) -> Style:
        if number == here:
            return base + self._look("cursor" if self.has_focus else "blurred")
        if number in row.strong:
            return base + self._ink("strong")
        return base + self._ink("quiet") if number in row.quiet else base

    def _look(self, part: str) -> Style:
        return self.get_component_rich_style(f"grid--{part}", partial=True)

    def _ink(self, part: str) -> Style:
        style = self._look(part)
        return Style(color=style.color, bold=style.bold, dim=style.dim)
