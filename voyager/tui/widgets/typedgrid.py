"""A table of cells that can be typed over: what its keys ask of the sheet around it."""

from typing import Protocol, cast

from textual import events

from voyager.tui.widgets.cellgrid import CellGrid


class TypedSheet(Protocol):
    """What the sheet around the table does."""

    def begins(self, sign: str | None) -> bool:
        """Whether a sign would begin a change."""

    def key(self, event: events.Key) -> bool:
        """Whether a key begins a change."""

    def begin(self, text: str | None) -> None:
        """Open the cell under the cursor."""

    def take(self, text: str) -> bool:
        """Put a text into the cell under the cursor."""

    def step(self, row: int, column: int, by: int) -> None:
        """Nudge a cell."""


class TypedGrid(CellGrid):
    """What is typed on it begins a change of the cell under the cursor."""

    @property
    def sheet(self) -> TypedSheet:
        """The sheet around it."""
        return cast(TypedSheet, self.parent)

    def on_key(self, event: events.Key) -> None:
        if self.sheet.key(event):
            event.stop()
            event.prevent_default()

    def check_consume_key(self, key: str, character: str | None) -> bool:
        """The foot names no key that would be typed into the cell."""
        return self.sheet.begins(character)

    def action_edit(self) -> None:
        self.sheet.begin(None)

    def action_clear(self) -> None:
        self.sheet.take("")

    def action_nudge(self, by: int) -> None:
        self.sheet.step(self.row, self.column, by)
