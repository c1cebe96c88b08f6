"""The table of the log: only what is in view is drawn, however long the log is."""

from typing import TYPE_CHECKING, Any

from rich.segment import Segment
from textual import events
from textual.geometry import Size
from textual.strip import Strip

from voyager.tui import log_view, words
from voyager.tui.actions import bindings
from voyager.tui.runs import Line, Run
from voyager.tui.units import PLAIN, Units
from voyager.tui.widgets.sheet import Sheet

if TYPE_CHECKING:
    from voyager.tui.widgets.log import LogPane

Row = Any


class LogList(Sheet):
    """Entries below their headings, which stay; the newest last, the cursor on it at first."""

    BINDINGS = bindings("log")

    def __init__(self, pane: "LogPane") -> None:
        super().__init__("log-list")
        self.pane = pane
        self.rows: list[Row] = []
        self.units: Units = PLAIN
        self.cursor = 0

    @property
    def row(self) -> Row | None:
        """The entry under the cursor."""
        return self.rows[self.cursor] if self.cursor < len(self.rows) else None

    def take(self, rows: list[Row], units: Units, ident: int | None = None) -> None:
        """Replace the entries; the cursor goes to that of a number, else stays on its own, or on the last one."""
        last = not self.rows or self.cursor >= len(self.rows) - 1
        wanted = ident if ident is not None else self.row["ident"] if self.row and not last else None
        self.rows, self.units = rows, units
        found = next((at for at, row in enumerate(rows) if row["ident"] == wanted), None)
        self.stand(found if found is not None else len(rows) if last else self.cursor)

    def stand(self, index: int) -> None:
        """Put the cursor on an entry and bring it into view."""
        self.cursor = max(0, min(len(self.rows) - 1, index))
        self.redraw()
        self._reveal()
        self.pane.heed()

    def _reveal(self) -> None:
        room = self.scrollable_content_region.height - 1
        top = int(self.scroll_offset.y)
        if room > 0 and not top <= self.cursor < top + room:
            to = self.cursor if self.cursor < top else self.cursor - room + 1
            self.scroll_to(y=to, animate=False, force=True, immediate=True)

    # drawing

    def draw(self, width: int, height: int) -> list[Line]:
        """What is said where there are no entries."""
        return [[Run(line, kind)] for text, kind in self.pane.said() for line in words.wrapped(text, width) or [""]]

    def redraw(self) -> None:
        if not self.rows:
            super().redraw()
            return
        self.virtual_size = Size(max(30, self.scrollable_content_region.width), len(self.rows) + 1)
        self.refresh()

    def on_resize(self) -> None:
        self.redraw()
        self._reveal()

    def render_line(self, y: int) -> Strip:
        if not self.rows:
            return super().render_line(y)
        width, at = self.scrollable_content_region.width, y - 1 + int(self.scroll_offset.y)
        text, part = ("", "plain")
        if y == 0:
            text, part = log_view.head(width, self.units), "bold"
        elif at < len(self.rows):
            former = self.rows[at - 1] if at and y > 1 else None
            text = log_view.line(self.rows[at], width, self.units, former)
            part = "chosen" if at == self.cursor else "plain"
        return Strip([Segment(text, self._ink(part))]).adjust_cell_length(width, self.rich_style)

    # what the user does

    async def on_click(self, event: events.Click) -> None:
        offset = event.get_content_offset(self)
        index = -1 if offset is None or offset.y < 1 else offset.y - 1 + int(self.scroll_offset.y)
        if not 0 <= index < len(self.rows):
            return
        event.stop()
        if index == self.cursor:
            self.pane.edit()
        else:
            self.stand(index)

    def action_move(self, by: int) -> None:
        self.stand(self.cursor + by)

    def action_page(self, by: int) -> None:
        self.stand(self.cursor + by * max(1, self.scrollable_content_region.height - 2))

    def action_edit(self) -> None:
        self.pane.edit()

    def action_remove(self) -> None:
        self.pane.take_out()

    async def action_bring(self) -> None:
        await self.pane.bring()
