"""The pane of places, and of the points between the ends of the leg under the cursor."""

from collections.abc import Mapping
from typing import Any

from textual.app import ComposeResult
from textual.containers import Vertical

from voyager.session.sketch import edits
from voyager.session.sketch.fields import PLACE_BY_KEY
from voyager.session.sketch.positions import parse_position, position_words
from voyager.session.sketch.reading import read
from voyager.session.sketch.state import Sketch
from voyager.tui import places_view as view
from voyager.tui.actions import key_of
from voyager.tui.desk import Desk
from voyager.tui.messages import Edited
from voyager.tui.nudges import nudged
from voyager.tui.widgets.cellgrid import GridColumn, GridRow
from voyager.tui.widgets.place_grid import AT, EditSheet, PlaceGrid, typed_position
from voyager.tui.widgets.points import PointSheet

NAME = 0
HINT = f"{key_of('place-add')} adds · {key_of('place-remove')} removes · {key_of('place-close')} closes"


class PlaceSheet(EditSheet):
    """The places of the voyage."""

    def __init__(self) -> None:
        super().__init__("place-sheet", PlaceGrid("place-table"))
        self.texts: list[tuple[str, ...]] = []

    def fill(self) -> None:
        """The places as they stand."""
        self.texts = view.place_rows(self.pane.sketch)
        heads = [
            GridColumn(head, width, number in (NAME, AT), number == NAME)
            for number, (head, width) in enumerate(
                zip(view.headings(), view.widths(max(40, self.grid.wide) - 1), strict=True)
            )
        ]
        rows = [GridRow(texts, "" if texts[AT] else "✗", not texts[AT]) for texts in self.texts]
        self.grid.show(heads, rows, 1)
        self.settle()
        self.tell(self.note_line())

    def note_line(self) -> str:
        lost = [texts[NAME] for texts in self.texts if not texts[AT]]
        return f"✗ without a position: {', '.join(lost[:4])}{' …' if len(lost) > 4 else ''}" if lost else ""

    def writable(self, row: int, column: int) -> bool:
        return column < len(view.KEYS)

    def typed(self, row: int, column: int) -> str:
        kind = PLACE_BY_KEY[view.KEYS[column]].kind if column < len(view.KEYS) else "number"
        return "text" if kind in {"name", "position", "bool"} else "figure"

    def own(self, row: int, column: int) -> str:
        return view.place_text(self.pane.sketch.places[row], view.KEYS[column])

    def where(self, row: int, column: int) -> Mapping[str, Any] | None:
        places = self.pane.sketch.places
        return {"row": places[row].ident, "key": view.KEYS[column]} if row < len(places) else None

    def hint(self, row: int, column: int, text: str) -> str:
        if column != AT or not text.strip():
            return "yes or no" if view.KEYS[column] == "moor" else ""
        try:
            return f"= {position_words(parse_position(text))}"
        except ValueError:
            return "53.42, -7.94 or 53°25.2'N 7°56.4'W"

    def commit(self, row: int, column: int, text: str, firm: bool = False) -> None:
        field, places = PLACE_BY_KEY[view.KEYS[column]], self.pane.sketch.places
        key, value = typed_position(text) if column == AT else read(field, text)
        try:
            made = edits.set_place(self.pane.sketch, row, key, value)
        except ValueError as error:
            raise ValueError(f"another name: {error}") from None
        name = str(places[row].get("name"))
        label = f"{name} renamed {value}" if column == NAME else f"{field.label.lower()} of {name}"
        self.post_message(Edited(made, label))

    def step(self, row: int, column: int, by: int) -> None:
        if not self.texts or column >= len(view.KEYS):
            self.app.bell()
            return
        field, place = PLACE_BY_KEY[view.KEYS[column]], self.pane.sketch.places[row]
        try:
            key, value = nudged(field, place, by)
        except ValueError as error:
            self.refuse(str(error))
            return
        self.make(lambda s: edits.set_place(s, row, key, value), f"{field.label.lower()} of {place.get('name')}")

    def put_in(self, row: int) -> None:
        names, number = {place.get("name") for place in self.pane.sketch.places}, 1
        while f"New place {number}" in names:
            number += 1
        below = row if self.texts else -1
        self.make(lambda s: edits.add_place(s, f"New place {number}", None, below), "a new place", (below + 1, NAME))

    def take_out(self, row: int) -> None:
        if self.texts:
            self.make(lambda s: edits.remove_place(s, row), f"{self.texts[row][NAME]} removed")

    def shift(self, row: int, by: int) -> None:
        column = self.grid.column
        if self.texts:
            self.make(lambda s: edits.move_place(s, row, by), f"{self.texts[row][NAME]} moved", (row + by, column))


class PlacesPane(Vertical):
    """Places above, points of the leg under the cursor below."""

    def __init__(self) -> None:
        super().__init__(id="places")
        self.desk: Desk | None = None
        self.index = 0
        self.places, self.points = PlaceSheet(), PointSheet()

    def compose(self) -> ComposeResult:
        yield self.places
        yield self.points

    @property
    def sketch(self) -> Sketch:
        """What is edited."""
        return Sketch() if self.desk is None else self.desk.sketch

    def show(self, desk: Desk) -> None:
        """Take the desk over."""
        changed = self.desk is None or self.desk.sketch is not desk.sketch
        self.desk = desk
        self._fill()
        if changed:
            self.places.arrive()
            self.points.arrive()

    def _fill(self) -> None:
        self.index = max(0, min(self.index, len(self.sketch.legs) - 1))
        self.border_title = f" Places{self.desk.former_words if self.desk else ''}: {HINT} "
        self.places.fill()
        self.points.fill()

    def on_resize(self) -> None:
        self.call_after_refresh(self._fill)

    def point(self, what: str, index: int) -> None:
        """The points of another leg."""
        if what == "leg" and index != self.index and self.points.at is None:
            self.index = index
            self.points.fill()

    def resume(self, where: Mapping[str, Any]) -> None:
        """Open the cell again that was being typed into."""
        key, text = str(where.get("key")), str(where.get("text", ""))
        if key.startswith("via."):
            self.points.resume([leg.ident for leg in self.sketch.legs], where.get("row"), key, text)
            return
        rows = [n for n, place in enumerate(self.sketch.places) if place.ident == where.get("row")]
        if rows and key in view.KEYS:
            self.screen.set_focus(self.places.grid)
            self.places.grid.move_cursor(rows[0], view.KEYS.index(key))
            self.places.begin(text)
