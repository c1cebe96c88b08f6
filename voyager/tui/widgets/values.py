"""The pane "values": every value of the voyage and its boat, nudged, typed over, added and taken out in place."""

from collections.abc import Callable
from typing import TYPE_CHECKING, Any

from textual import events
from textual.app import ComposeResult
from textual.containers import Container
from textual.geometry import Region
from textual.widgets import Input

from voyager.session.sketch import boat
from voyager.session.sketch.boat import Path
from voyager.tui import values_edit
from voyager.tui.actions import bindings, key_of
from voyager.tui.desk import Desk
from voyager.tui.messages import Asked, Edited
from voyager.tui.runs import Line, Run
from voyager.tui.values_rows import SPARE, ValueRow, value_rows
from voyager.tui.values_view import VALUE_AT, find, foot, line_of
from voyager.tui.widgets.lines import Lines
from voyager.tui.widgets.sheet import Sheet

if TYPE_CHECKING:
    from voyager.session.sketch.state import Sketch

NAME = "values"
FIELDS = "voyager.session.fields:fields"
FIGURES = {"number", "integer", "hourly", "date", "clock", "window"}
SHORT_CELL = 18
HINT = (
    f"{key_of('values-more')} {key_of('values-less')} nudge · {key_of('values-find')} find · "
    f"Del default · {key_of('values-close')} closes"
)


class ValueList(Sheet):
    """The lines of the form with a cursor that passes headings over."""

    BINDINGS = bindings("values")

    def __init__(self) -> None:
        super().__init__("values-list")
        self.rows: list[ValueRow] = []
        self.cursor = 0
        self.note = "reading the keys …"
        self.awaited: Path = ()

    @property
    def row(self) -> ValueRow | None:
        """The row under the cursor."""
        return self.rows[self.cursor] if self.cursor < len(self.rows) else None

    @property
    def pane(self) -> "ValuesPane":
        """The pane it lives in."""
        parent = self.parent
        if not isinstance(parent, ValuesPane):
            raise TypeError("a ValueList lives in a ValuesPane")
        return parent

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
    """The one field laid over a value while it is typed into, and over the first line while a value is looked for."""

    BINDINGS = bindings("cell")

    def action_finish(self, step: int) -> None:
        self._pane().finish(step)

    def action_drop(self) -> None:
        self._pane().drop()

    def on_blur(self) -> None:
        self._pane().left()

    def _pane(self) -> "ValuesPane":
        parent = self.parent
        if not isinstance(parent, ValuesPane):
            raise TypeError("a ValueCell lives in a ValuesPane")
        return parent


class ValuesPane(Container):
    """Lines, field and foot. Every edit is sent as another sketch; the lines follow when the desk shows it."""

    def __init__(self) -> None:
        super().__init__(id=NAME)
        self.desk: Desk | None = None
        self.fields: list[dict[str, Any]] = []
        self.stood: tuple[object, ...] = ()
        self.open: str | None = None
        self.began = ""
        self.from_row = 0
        self.sought = ""

    def compose(self) -> ComposeResult:
        yield ValueList()
        yield ValueCell(id="value-cell", compact=True, select_on_focus=False)
        yield Lines(id="values-foot")

    @property
    def form(self) -> ValueList:
        """The lines."""
        return self.query_one(ValueList)

    @property
    def cell(self) -> ValueCell:
        """The field that is typed into."""
        return self.query_one(ValueCell)

    # what is shown

    def show(self, desk: Desk) -> None:
        """Take over what the desk holds; the keys are asked for the first time."""
        if self.desk is None:
            self.post_message(Asked(NAME, FIELDS))
        self.desk = desk
        self.border_title = f" Values{desk.former_words}: {HINT} "
        self._fill()

    def answer(self, name: str, body: Any) -> None:
        """The keys that were asked for."""
        self.fields = body
        self._fill()

    def refused(self, name: str, why: str) -> None:
        """Why there are none; the next opening asks again."""
        self.desk, self.form.note = None, why
        self.form.redraw()

    def _fill(self) -> None:
        desk = self.desk
        if desk is None or not self.fields or desk.opened is None:
            return
        stands = (desk.sketch.top, desk.sketch.boat, desk.units, desk.faults)
        if stands != self.stood:
            self.stood = stands
            self.form.take(value_rows(self.fields, desk.sketch, desk.units, desk.faults))

    def tell(self, reason: str) -> None:
        """The reason why something can't be, above what there is to say of the row under the cursor."""
        lines = foot(self.form.row, self.form.size.width)
        self.query_one("#values-foot", Lines).show([("alarm", f"✗ {reason}"), *lines] if reason else lines)

    # edits

    def edit(self, make: Callable[["Sketch"], "Sketch"], label: str | None = None) -> bool:
        """Send what ``make`` makes of the sketch; False with the reason told where it refuses."""
        row, desk = self.form.row, self.desk
        if desk is None or row is None:
            return False
        try:
            sketch = make(desk.sketch)
        except ValueError as error:
            self.tell(str(error))
            return False
        self.tell("")
        if sketch is not desk.sketch:
            self.post_message(Edited(sketch, label or row.name))
        return True

    def begin(self, text: str | None) -> None:
        """Lay the field over the value, with ``text`` or what stands there; on a line that adds, add."""
        row = self.form.row
        if row is None or row.heading:
            return
        if row.field is None:
            self._add(row.adds)
            return
        self.began = row.text or (row.shown if row.field["kind"] in {"hourly", "curve", "hours"} else "")
        self._open("value", self.began if text is None else text, row.shown if not row.own else "")

    def _add(self, kind: str) -> None:
        if self.desk is not None:
            sketch, self.form.awaited = boat.add(self.desk.sketch, kind)
            self.edit(lambda _: sketch, f"{SPARE[kind]} added")

    def seek(self) -> None:
        """Lay the field over the first line, to find a value by its name."""
        self.from_row = self.form.cursor
        self._open("find", "", "find: part of a name, such as tilt or heater")

    def _open(self, what: str, text: str, hint: str) -> None:
        self.open, cell = what, self.cell
        cell.value, cell.placeholder = text, hint
        cell.cursor_position = len(text)
        self._place()
        cell.display = True
        self.tell("")
        self.screen.set_focus(cell, scroll_visible=False)

    def _place(self) -> None:
        room = max(SHORT_CELL, self.form.size.width - VALUE_AT - 2)
        row, top = self.form.row, int(self.form.scroll_offset.y)
        field = row.field if row is not None and self.open == "value" else None
        self.cell.styles.width = SHORT_CELL if field is not None and field["kind"] in FIGURES - {"hourly"} else room
        self.cell.styles.offset = (VALUE_AT + 1, 0 if field is None else max(0, self.form.cursor - top))

    def on_resize(self) -> None:
        self.call_after_refresh(self._place)

    def on_input_changed(self, event: Input.Changed) -> None:
        event.stop()
        if self.open == "find":
            found = find(self.form.rows, event.value, self.from_row)
            self.form.stand(self.from_row if found is None else found)
            if found is None and event.value.strip():
                self.tell("nothing of that name")

    def finish(self, step: int) -> None:
        """Take what was typed and go ``step`` values on, or stay with the reason why not."""
        if self.open == "find":
            self._found(step)
        elif self._take():
            self._close()
            self.form.action_move(step)

    def _found(self, step: int) -> None:
        """Looking for a value: Tab goes to the next of that name, Enter and the arrows stay where it was found."""
        self.sought = self.cell.value or self.sought
        if step == 0 or not self.cell.value:
            found = find(self.form.rows, self.sought, self.form.cursor + 1)
            self.form.stand(self.form.cursor if found is None else found)
        if step:
            self._close()

    def drop(self) -> None:
        """Leave the value as it was, the cursor where the search began."""
        back = self.from_row if self.open == "find" else None
        self._close()
        if back is not None:
            self.form.stand(back)

    def left(self) -> None:
        """The focus was taken away: take what was typed if it can be, drop it otherwise."""
        if self.open is not None and self.app.screen is self.screen:
            if self.open == "value":
                self._take()
            self._close(focus=False)

    def _take(self) -> bool:
        text, row = self.cell.value, self.form.row
        if row is None or text == self.began:
            return True
        taken = self.edit(lambda sketch: values_edit.typed(sketch, row, text))
        self.cell.set_class(not taken, "-wrong")
        return taken

    def _close(self, focus: bool = True) -> None:
        self.open = None
        self.cell.remove_class("-wrong")
        self.tell("")
        if focus:
            self.screen.set_focus(self.form, scroll_visible=False)
        self.cell.display = False
