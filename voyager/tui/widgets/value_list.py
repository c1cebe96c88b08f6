"""The lines of the form of values, with a cursor, and the field laid over them."""

from collections.abc import Callable
from typing import TYPE_CHECKING, Protocol

from textual import events
from textual.geometry import Region
from textual.widgets import Input

from voyager.session.sketch.boat import Path
from voyager.tui import values_edit
from voyager.tui.actions import bindings
from voyager.tui.runs import Line, Run
from voyager.tui.values_rows import ValueRow
from voyager.tui.values_view import line_of
from voyager.tui.widgets.sheet import Sheet

if TYPE_CHECKING:
    from voyager.session.sketch.state import Sketch

FIGURES = {"number", "integer", "hourly", "date", "clock", "window"}


class Form(Protocol):
    """What lines and field ask of the pane they live in."""

    def tell(self, reason: str) -> None: ...
    def edit(self, make: "Callable[[Sketch], Sketch]", label: str | None = None) -> bool: ...
    def begin(self, text: str | None) -> None: ...
    def seek(self) -> None: ...
    def finish(self, step: int) -> None: ...
    def drop(self) -> None: ...
    def left(self) -> None: ...


class ValueList(Sheet):
    """The lines of the form with a cursor that passes headings over."""

    BINDINGS = bindings("values")

    def __init__(self, pane: Form) -> None:
        super().__init__("values-list")
        self.pane = pane
        self.rows: list[ValueRow] = []
        self.cursor = 0
        self.note = "reading the voyage …"
        self.awaited: Path = ()

    @property
    def row(self) -> ValueRow | None:
        """The row under the cursor."""
        return self.rows[self.cursor] if self.cursor < len(self.rows) else None

    def take(self, rows: list[ValueRow]) -> None:
        """Replace the rows; the cursor stays on its value, else about where it was."""
        former, self.rows = self.row, rows
        new = next((at for at, row in enumerate(rows) if row.part and row.part == self.awaited), None)
        self.awaited = ()
        self.stand(new if new is not None else self.cursor if former is None else self._same(former))

    def _same(self, row: ValueRow) -> int:
        wanted = (row.path, row.adds, row.field and row.field["file"])
        found = ((one.path, one.adds, one.field and one.field["file"]) for one in self.rows)
        return next((at for at, one in enumerate(found) if one == wanted and not self.rows[at].heading), self.cursor)

    def draw(self, width: int, height: int) -> list[Line]:
        if not self.rows:
            return [[Run(self.note)]]
        return [line_of(row, width, at == self.cursor) for at, row in enumerate(self.rows)]

    def on_resize(self) -> None:
        self.redraw()
        self._reveal()

    def stand(self, index: int) -> None:
        """Put the cursor on a row, or on the next one that is none of the headings."""
        last = len(self.rows) - 1
        at = max(0, min(last, index))
        while 0 <= at < last and self.rows[at].heading:
            at += 1
        self.cursor = at
        self.redraw()
        self._reveal()
        self.pane.tell("")

    def _reveal(self) -> None:
        """Bring the cursor into view, with the heading above it."""
        above = self.cursor - 1 if self.cursor and self.rows and self.rows[self.cursor - 1].heading else self.cursor
        self.scroll_to_region(Region(0, above, 1, self.cursor - above + 1), animate=False, force=True)

    def action_move(self, by: int) -> None:
        stops = [at for at, row in enumerate(self.rows) if not row.heading]
        wanted = self.cursor + by
        if by > 0:
            self.stand(next((at for at in stops if at >= wanted), stops[-1] if stops else 0))
        elif by < 0:
            self.stand(next((at for at in reversed(stops) if at <= wanted), stops[0] if stops else 0))

    def action_page(self, by: int) -> None:
        self.action_move(by * max(1, self.size.height - 1))

    def action_group(self, by: int) -> None:
        """To the first value of the next group, or of this or the former one."""
        heads = [at + 1 for at, row in enumerate(self.rows) if row.heading and at + 1 < len(self.rows)]
        found = [at for at in heads if (at > self.cursor if by > 0 else at < self.cursor)]
        if found:
            self.stand(found[0] if by > 0 else found[-1])

    def on_key(self, event: events.Key) -> None:
        row, letter = self.row, event.character
        if row is None or row.field is None or not event.is_printable or not letter:
            return
        kind = row.field["kind"]
        if kind in FIGURES and letter in "0123456789.,":
            event.stop()
            self.pane.begin(letter)
        elif kind in {"choice", "bool"}:
            event.prevent_default()
            options = ["yes", "no"] if kind == "bool" else list(row.field["choices"])
            fits = [one for one in (*options, *options) if one.startswith(letter)]
            if fits:
                event.stop()
                self.pane.edit(lambda sketch: values_edit.typed(sketch, row, _next(fits, row.shown)))

    async def on_click(self, event: events.Click) -> None:
        offset = event.get_content_offset(self)
        index = -1 if offset is None else offset.y + int(self.scroll_offset.y)
        if 0 <= index < len(self.rows) and not self.rows[index].heading:
            event.stop()
            if index == self.cursor:
                self.pane.begin(None)
            else:
                self.stand(index)

    def action_edit(self) -> None:
        self.pane.begin(None)

    def action_nudge(self, steps: int) -> None:
        row = self.row
        if row is not None:
            self.pane.edit(lambda sketch: values_edit.stepped(sketch, row, steps))

    def action_clear(self) -> None:
        row = self.row
        if row is not None:
            self.pane.edit(lambda sketch: values_edit.cleared(sketch, row))

    def action_remove(self) -> None:
        row = self.row
        if row is not None:
            self.pane.edit(lambda sketch: values_edit.without(sketch, row), f"{row.group.lower()} taken out")

    def action_find(self) -> None:
        self.pane.seek()


def _next(fits: list[str], now: str) -> str:
    """The option after the one that stands, among those of one letter."""
    half = fits[: len(fits) // 2]
    return fits[half.index(now) + 1] if now in half else fits[0]


class ValueCell(Input):
    """The one field: over a value while it is typed into, above the lines while one is looked for."""

    BINDINGS = bindings("cell")

    def __init__(self, pane: Form) -> None:
        super().__init__(id="value-cell", compact=True, select_on_focus=False)
        self.pane = pane

    def action_finish(self, step: int) -> None:
        self.pane.finish(step)

    def action_drop(self) -> None:
        self.pane.drop()

    def on_blur(self) -> None:
        self.pane.left()
