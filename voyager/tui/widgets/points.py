"""The points between the ends of the leg under the cursor."""

from collections.abc import Mapping, Sequence
from typing import Any

from voyager.session.sketch import edits
from voyager.session.sketch.measure import cut
from voyager.session.sketch.positions import parse_position, position_words
from voyager.session.sketch.via import set_via
from voyager.tui import places_view as view
from voyager.tui.messages import Edited
from voyager.tui.widgets.cellgrid import GridColumn, GridRow
from voyager.tui.widgets.place_grid import AT, EditSheet, PlaceGrid, typed_position

NAME = 0


class PointSheet(EditSheet):
    """The points of one leg from end to end."""

    def __init__(self) -> None:
        super().__init__("point-sheet", PlaceGrid("point-table"))
        self.grid.column = AT
        self.points: list[view.Point] = []

    def fill(self) -> None:
        """The points as they stand."""
        desk, index = self.pane.desk, self.pane.index
        self.points = view.points(self.pane.sketch, index)
        if desk is None:
            return
        heads = [GridColumn("Point", max(14, self.grid.wide - 44), True, True), GridColumn("Position", 24, True),
                 GridColumn(desk.units.length, 8), GridColumn("Course", 8)]  # fmt: skip
        quiet = frozenset({NAME})
        rows = [GridRow(texts, quiet=quiet) for texts in view.point_rows(self.points, desk.units)]
        self.grid.show(heads, rows, 1)
        self.settle()
        ends = f"{self.points[0].name} → {self.points[-1].name}" if self.points else "there is none"
        self.border_title = f" Points of leg {index + 1}: {ends} "

    def writable(self, row: int, column: int) -> bool:
        return column == AT and self.points[row].via is not None

    def own(self, row: int, column: int) -> str:
        at = self.points[row].at
        return "" if at is None else position_words(at)

    def where(self, row: int, column: int) -> Mapping[str, Any] | None:
        legs = self.pane.sketch.legs
        number = self.points[row].via if row < len(self.points) else None
        known = number is not None and self.pane.index < len(legs)
        return {"row": legs[self.pane.index].ident, "key": f"via.{number}"} if known else None

    def hint(self, row: int, column: int, text: str) -> str:
        try:
            return f"= {position_words(parse_position(text))}" if text.strip() else ""
        except ValueError:
            return "53.42, -7.94 or 53°25.2'N 7°56.4'W"

    def commit(self, row: int, column: int, text: str, firm: bool = False) -> None:
        number, index, at = self.points[row].via, self.pane.index, typed_position(text)[1]
        if number is None:
            return
        sketch = self.pane.sketch
        made = edits.remove_via(sketch, index, number) if at is None else set_via(sketch, index, number, (at[0], at[1]))
        self.post_message(Edited(made, f"point {number + 1} of leg {index + 1}"))

    def put_in(self, row: int) -> None:
        if len(self.points) < 2:
            return
        row = min(row, len(self.points) - 2)
        ends = self.points[row].at, self.points[row + 1].at
        if ends[0] is None or ends[1] is None:
            self.refuse("both ends of the leg need a position first")
            return
        at, after = (
            cut([ends[0], ends[1]], 0.5)[1],
            -1 if self.points[row].via is None else int(self.points[row].via or 0),
        )
        index = self.pane.index
        self.make(lambda s: edits.add_via(s, index, at, after), f"a point of leg {index + 1}", (row + 1, AT))

    def take_out(self, row: int) -> None:
        number, index = self.points[row].via if self.points else None, self.pane.index
        if number is None:
            self.refuse("the ends of a leg are places: change them above or in the legs")
        else:
            self.make(lambda s: edits.remove_via(s, index, number), f"a point of leg {index + 1} removed")

    def shift(self, row: int, by: int) -> None:
        number, index = self.points[row].via if self.points else None, self.pane.index
        if number is not None:
            self.make(
                lambda s: edits.move_via(s, index, number, by), f"a point of leg {index + 1} moved", (row + by, AT)
            )

    def resume(self, idents: Sequence[int], ident: Any, key: str, text: str) -> None:
        """Open the point again that was being typed over: leg by identity, ``via.NUMBER``."""
        number = key.removeprefix("via.")
        if ident in idents and number.isdigit():
            self.pane.point("leg", idents.index(ident))
            if int(number) + 2 < len(self.points):
                self.grid.move_cursor(int(number) + 1, AT)
                self.begin(text)
