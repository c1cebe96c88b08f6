"""The one field that is laid over a cell while it is typed into."""

from typing import TYPE_CHECKING

from textual.widgets import Input

from voyager.tui.actions import bindings

if TYPE_CHECKING:
    from voyager.tui.widgets.cellsheet import CellSheet


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

    def _sheet(self) -> "CellSheet":
        from voyager.tui.widgets.cellsheet import CellSheet

        parent = self.parent
        if not isinstance(parent, CellSheet):
            raise TypeError("a Cell lives in a CellSheet")
        return parent
