"""The one field that is laid over a cell while it is typed into."""

from typing import Protocol, cast

from textual.widgets import Input

from voyager.tui.actions import bindings


class Around(Protocol):
    """What the sheet around a cell does when it is left."""

    def finish(self, rows: int, columns: int) -> None:
        """Take what was typed and go on."""

    def drop(self) -> None:
        """Leave the cell as it was."""

    def left(self) -> None:
        """The focus was taken away."""


class Cell(Input):
    """Enter, Tab and the arrows up and down take what was typed; the sheet around it decides whether it can be."""

    BINDINGS = bindings("cell")

    def __init__(self) -> None:
        super().__init__(compact=True, select_on_focus=False)

    def action_finish(self, rows: int, columns: int) -> None:
        self._sheet().finish(rows, columns)

    def action_drop(self) -> None:
        self._sheet().drop()

    def on_blur(self) -> None:
        self._sheet().left()

    def _sheet(self) -> Around:
        return cast(Around, self.parent)
