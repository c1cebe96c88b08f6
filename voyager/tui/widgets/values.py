"""The pane "values": every value of the voyage and its boat, nudged, typed over, added and taken out in place."""

from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING, Any

from textual.app import ComposeResult
from textual.containers import Container
from textual.widgets import Input

from voyager.session.fields import known_fields
from voyager.session.sketch import boat
from voyager.tui import values_edit
from voyager.tui.actions import key_of
from voyager.tui.desk import Desk
from voyager.tui.messages import Edited, Typing
from voyager.tui.values_rows import ROOM, SPARE, value_rows
from voyager.tui.values_view import VALUE_AT, find, find_next, foot
from voyager.tui.widgets.lines import Lines
from voyager.tui.widgets.value_list import FIGURES, ValueCell, ValueList

if TYPE_CHECKING:
    from voyager.session.sketch.state import Sketch

NAME = "values"
SHORT_CELL = ROOM + 1
HINT = (
    f"{key_of('values-more')} {key_of('values-less')} nudge · {key_of('values-find')} find · "
    f"Del default · {key_of('values-close')} closes"
)
FIND_HINT = (
    f"find a name · {key_of('cell-take')} goes there · {key_of('cell-take-on')} the next · {key_of('cell-drop')} back"
)


class ValuesPane(Container):
    """Lines, field and foot. Every edit is sent as another sketch; the lines follow when the desk shows it."""

    def __init__(self) -> None:
        super().__init__(id=NAME)
        self.desk: Desk | None = None
        self.fields = known_fields()
        self.stood: tuple[object, ...] = ()
        self.open: str | None = None
        self.began = ""
        self.reason = ""
        self.from_row = 0
        self.sought = ""

    def compose(self) -> ComposeResult:
        yield ValueList(self)
        yield ValueCell(self)
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
        """Take over what the desk holds."""
        self.desk = desk
        self._title()
        self._fill()

    def _title(self) -> None:
        former = "" if self.desk is None else self.desk.former_words
        self.border_title = f" Values{former}: {FIND_HINT if self.open == 'find' else HINT} "

    def _fill(self) -> None:
        desk = self.desk
        if desk is None or desk.opened is None:
            return
        stands = (desk.sketch.top, desk.sketch.boat, desk.units, desk.faults)
        if stands != self.stood:
            self.stood = stands
            self.form.take(value_rows(self.fields, desk.sketch, desk.units, desk.faults))

    def tell(self, reason: str) -> None:
        """The reason why something can't be, above what there is to say of the row under the cursor."""
        self.reason, lines = reason, foot(self.form.row, self.form.size.width)
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
        """Show the field above the lines, to find a value by its name."""
        self.from_row = self.form.cursor
        self._open("find", "", "find: part of a name, such as tilt or heater")

    def _open(self, what: str, text: str, hint: str) -> None:
        self.open, cell = what, self.cell
        self.set_class(what == "find", "-finding")
        cell.value, cell.placeholder = text, hint
        cell.cursor_position = len(text)
        self._place()
        self._title()
        cell.display = True
        self.tell("")
        self.screen.set_focus(cell, scroll_visible=False)

    def _place(self) -> None:
        if self.open == "find":
            self.cell.styles.width, self.cell.styles.offset = max(SHORT_CELL, self.form.size.width), (1, 0)
            return
        room = max(SHORT_CELL, self.form.size.width - VALUE_AT - 2)
        row, top = self.form.row, int(self.form.scroll_offset.y)
        field = None if row is None else row.field
        self.cell.styles.width = SHORT_CELL if field is not None and field["kind"] in FIGURES - {"hourly"} else room
        self.cell.styles.offset = (VALUE_AT + 1, 0 if field is None else max(0, self.form.cursor - top))

    def on_resize(self) -> None:
        self.call_after_refresh(self._laid)

    def _laid(self) -> None:
        self._place()
        self.tell(self.reason)

    def on_input_changed(self, event: Input.Changed) -> None:
        event.stop()
        row = self.form.row
        if self.open == "value" and row is not None and row.field is not None and event.value != self.began:
            where = {"pane": NAME, "file": row.field["file"], "path": list(row.path), "text": event.value}
            self.post_message(Typing(where))
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
            found = find_next(self.form.rows, self.sought, self.form.cursor)
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

    def resume(self, where: Mapping[str, Any]) -> None:
        """Open the value again that was being typed over when the last session ended."""
        wanted = (where.get("file"), tuple(where.get("path", ())))
        for index, row in enumerate(self.form.rows):
            if row.field is not None and (row.field["file"], row.path) == wanted:
                self.form.stand(index)
                self.begin(str(where.get("text", "")))
                return

    def _close(self, focus: bool = True) -> None:
        if self.open == "value":
            self.post_message(Typing(None))
        self.open = None
        self.remove_class("-finding")
        self._title()
        self.cell.remove_class("-wrong")
        self.tell("")
        if focus:
            self.screen.set_focus(self.form, scroll_visible=False)
        self.cell.display = False
