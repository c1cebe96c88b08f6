"""The pane of one leg: every value that the file knows of it, typed over in place."""

from collections.abc import Mapping
from typing import Any, cast

from textual import events, on

from voyager.session.sketch import edits
from voyager.session.sketch.reading import read
from voyager.tui.actions import bindings
from voyager.tui.desk import Desk
from voyager.tui.leg_form import Entry, entries, note
from voyager.tui.messages import Closed, Edited, Pointed
from voyager.tui.nudges import nudged
from voyager.tui.widgets.cellgrid import CellGrid, GridColumn, GridRow
from voyager.tui.widgets.cellsheet import CellSheet

VALUE = 1


class LegForm(CellGrid):
    """Label, value, unit and a word on it, a line a key."""

    BINDINGS = bindings("leg")

    def __init__(self) -> None:
        super().__init__("leg-form")
        self.column = VALUE

    @property
    def sheet(self) -> "LegPane":
        """The pane around it."""
        return cast(LegPane, self.parent)

    def on_key(self, event: events.Key) -> None:
        if self.sheet.key(event):
            event.stop()
            event.prevent_default()

    def action_edit(self) -> None:
        self.sheet.begin(None)

    def action_clear(self) -> None:
        self.sheet.take("")

    def action_nudge(self, by: int) -> None:
        self.sheet.step(self.row, VALUE, by)

    def action_leg(self, by: int) -> None:
        self.sheet.leg(by)

    def action_close(self) -> None:
        self.post_message(Closed())


class LegPane(CellSheet):
    """Follows the leg under the cursor."""

    def __init__(self) -> None:
        super().__init__("leg", LegForm())
        self.desk: Desk | None = None
        self.index = 0
        self.lines: list[Entry] = []

    def show(self, desk: Desk) -> None:
        """Take the desk over."""
        self.desk = desk
        self._fill()

    def point(self, what: str, index: int) -> None:
        """Another leg, if the cursor is on the legs."""
        if what == "leg" and index != self.index and self.at is None:
            self.index = index
            self._fill()

    def _fill(self) -> None:
        legs = self.desk.sketch.legs if self.desk else ()
        self.index = max(0, min(self.index, len(legs) - 1))
        if self.desk is None or not legs:
            self.border_title = " Leg: there is none yet "
            self.lines = []
        else:
            leg = legs[self.index]
            ends = f"{leg.get('from') or '…'} → {leg.get('to') or '…'}"
            self.border_title = f" Leg {self.index + 1} of {len(legs)}: {ends} "
            self.lines = entries(leg, self.desk.units)
        self._lay()

    def _lay(self) -> None:
        room = max(40, self.grid.wide)
        value = max(18, min(40, room - 22 - 5 - 34))
        widths = (22, value, 6, max(8, room - 28 - value))
        heads = [
            GridColumn(name, width, True, number < 2)
            for number, (name, width) in enumerate(zip(("Of the leg", "Value", "", ""), widths, strict=True))
        ]
        self.grid.show(heads, [_row(entry) for entry in self.lines], 1)
        self.settle()

    def on_resize(self) -> None:
        self.call_after_refresh(self._lay)
        super().on_resize()

    def leg(self, by: int) -> None:
        """The leg before or after."""
        legs = self.desk.sketch.legs if self.desk else ()
        if 0 <= self.index + by < len(legs):
            self.index += by
            self._fill()
            self.post_message(Pointed("leg", self.index))

    # cells

    def writable(self, row: int, column: int) -> bool:
        return column == VALUE

    def typed(self, row: int, column: int) -> str:
        return "figure" if self.lines[row].field.kind in {"number", "count", "date", "list", "instant"} else "text"

    def own(self, row: int, column: int) -> str:
        return self.lines[row].value

    def where(self, row: int, column: int) -> Mapping[str, Any] | None:
        legs = self.desk.sketch.legs if self.desk else ()
        return {"row": legs[self.index].ident, "key": self.lines[row].field.key} if legs else None

    def hint(self, row: int, column: int, text: str) -> str:
        field = self.lines[row].field
        return ", ".join(field.choices) or {"bool": "yes or no"}.get(field.kind, "")

    def commit(self, row: int, column: int, text: str, firm: bool = False) -> None:
        entry = self.lines[row]
        key, value = read(entry.field, text, entry.second)
        self._put(entry, key, None if entry.field.kind == "count" and not value else value)

    def step(self, row: int, column: int, by: int) -> None:
        if self.desk is None or not self.lines:
            return
        entry, leg = self.lines[row], self.desk.sketch.legs[self.index]
        shown = self.desk.leg_rows()[self.index].get(entry.field.key)
        try:
            key, value = nudged(entry.field, leg, by, entry.second, shown)
        except ValueError as error:
            self.app.bell()
            self.tell(f"✗ {error}")
            return
        self._put(entry, key, value)

    def _put(self, entry: Entry, key: str, value: Any) -> None:
        if self.desk is not None:
            made = edits.set_leg(self.desk.sketch, self.index, key, value)
            label = entry.field.label.lower().split(",")[0]
            self.post_message(Edited(made, f"{label} of leg {self.index + 1}"))

    def resume(self, where: Mapping[str, Any]) -> None:
        """Open the line again that was being typed into."""
        keys = [entry.field.key for entry in self.lines]
        if where.get("key") in keys:
            self.grid.move_cursor(keys.index(str(where["key"])), VALUE)
            self.begin(str(where.get("text", "")))

    @on(CellGrid.Moved)
    def _moved(self, event: CellGrid.Moved) -> None:
        event.stop()
        self.tell("")
        self.grid.stand(column=VALUE)


def _row(entry: Entry) -> GridRow:
    given = bool(entry.value)
    return GridRow(
        (entry.field.label, entry.value if given else "–", entry.unit, note(entry.field)),
        strong=frozenset({VALUE}) if given else frozenset(),
        quiet=frozenset({2, 3}) if given else frozenset({1, 2, 3}),
    )
