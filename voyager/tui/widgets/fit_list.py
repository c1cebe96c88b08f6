"""The lines of the page of fits, with a cursor on what can be chosen and the text below it."""

from typing import TYPE_CHECKING

from textual import events
from textual.geometry import Region

from voyager.tui.actions import bindings
from voyager.tui.runs import Line
from voyager.tui.widgets.sheet import Sheet

if TYPE_CHECKING:
    from voyager.tui.widgets.fits import FitsPane


class FitList(Sheet):
    """Draws what its pane says; the cursor goes over the rows that can be chosen, beyond the last the text scrolls."""

    BINDINGS = bindings("fits")

    def __init__(self, pane: "FitsPane") -> None:
        super().__init__("fits-list")
        self.pane = pane
        self.cursor = 0
        self.stops: list[int] = []

    @property
    def at(self) -> int:
        """The line that the cursor is on."""
        return self.stops[self.cursor] if self.cursor < len(self.stops) else 0

    def draw(self, width: int, height: int) -> list[Line]:
        self.cursor = max(0, min(self.cursor, self.pane.rows_count - 1))
        lines, self.stops = self.pane.lines(width, height, self.cursor)
        return lines

    def stand(self, row: int) -> None:
        """Put the cursor on a row and bring it into view."""
        self.cursor = max(0, min(row, self.pane.rows_count - 1))
        self.redraw()
        self.reveal()
        self.pane.heed()

    def reveal(self) -> None:
        """Bring the row under the cursor into view; the top line with the first."""
        self.scroll_to_region(Region(0, self.at if self.cursor else 0, 1, 1), animate=False, force=True)

    def show_found(self) -> None:
        """Bring what came of the rows to the top, where it would else be cut."""
        below = self.stops[-1] + 2 if self.stops else 0
        if self.virtual_size.height > self.size.height:
            self.scroll_to(y=below, animate=False, force=True)

    def action_move(self, by: int) -> None:
        """Another row; beyond the last one the text, and back from there to the rows."""
        top, height = int(self.scroll_offset.y), max(1, self.size.height)
        beyond = by > 0 and self.cursor == self.pane.rows_count - 1
        if beyond or not top <= self.at < top + height:
            self.action_scroll_by(by)
        else:
            self.stand(self.cursor + by)

    def action_end(self, by: int) -> None:
        """To the first row, or to the end of the text."""
        if by < 0:
            self.stand(0)
            self.scroll_to(y=0, animate=False, force=True)
        else:
            self.stand(self.pane.rows_count - 1)
            self.scroll_to(y=self.virtual_size.height, animate=False, force=True)

    def on_key(self, event: events.Key) -> None:
        """Figures begin to type over an option, the first letter of a choice takes it."""
        if event.is_printable and event.character and self.pane.typed(event.character):
            event.stop()
            event.prevent_default()

    async def on_click(self, event: events.Click) -> None:
        """A row; what a run does is asked for by the class below."""
        offset = event.get_content_offset(self)
        if offset is None:
            return
        line = offset.y + int(self.scroll_offset.y)
        runs = self.lines[line] if line < len(self.lines) else []
        if line in self.stops and not any(run.does for run in runs):
            event.stop()
            row = self.stops.index(line)
            if row == self.cursor:
                await self.pane.choose()
            else:
                self.stand(row)

    # what the pane does

    def action_kind(self, kind: str) -> None:
        self.pane.turn_to(kind)

    def action_turn(self, by: int) -> None:
        self.pane.turn(by)

    async def action_choose(self) -> None:
        await self.pane.choose()

    async def action_file(self) -> None:
        self.stand(1)
        await self.pane.choose()

    def action_nudge(self, by: int) -> None:
        self.pane.nudge(by)

    def action_search(self) -> None:
        self.pane.search()

    def action_clear(self) -> None:
        self.pane.clear()

    def action_again(self) -> None:
        self.pane.ask_fit()

    def action_offer(self) -> None:
        self.pane.ask_offer()

    def action_take(self) -> None:
        self.pane.take()

    def action_leave(self) -> None:
        self.pane.leave()

    async def action_picture(self) -> None:
        await self.pane.ask_picture()

    async def action_stop(self) -> None:
        if not self.pane.stop():
            await self.run_action("app.stop")

    def action_close(self) -> None:
        if not self.pane.leave():
            super().action_close()
