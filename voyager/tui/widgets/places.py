"""The pane of places, and of the points between the ends of the leg under the cursor."""

from collections.abc import Callable, Mapping
from typing import Any

from textual import events, on
from textual.app import ComposeResult
from textual.containers import Vertical

from voyager.session.sketch import edits
from voyager.session.sketch.fields import PLACE_BY_KEY
from voyager.session.sketch.positions import parse_position, position_words
from voyager.session.sketch.reading import read
from voyager.session.sketch.state import Sketch
from voyager.session.sketch.via import set_via
from voyager.tui import places_view as view
from voyager.tui.actions import bindings
from voyager.tui.desk import Desk
from voyager.tui.messages import Closed, Edited, Pointed, Told
from voyager.tui.nudges import nudged
from voyager.tui.widgets.cellgrid import CellGrid, GridColumn, GridRow
from voyager.tui.widgets.cellsheet import CellSheet

NAME, AT = 0, 1


class PlaceGrid(CellGrid):
    """Its keys do with places or points what those of the legs do with legs."""

    BINDINGS = bindings("places")

    @property
    def sheet(self) -> "EditSheet":
        """The sheet around it."""
        parent = self.parent
        if not isinstance(parent, EditSheet):
            raise TypeError("a PlaceGrid lives in an EditSheet")
        return parent

    def on_key(self, event: events.Key) -> None:
        if self.sheet.key(event):
            event.stop()
            event.prevent_default()

    def on_paste(self, event: events.Paste) -> None:
        event.stop()
        self.sheet.begin(event.text.strip().splitlines()[0] if event.text.strip() else None)

    def action_edit(self) -> None:
        self.sheet.begin(None)

    def action_clear(self) -> None:
        self.sheet.take("")

    def action_nudge(self, by: int) -> None:
        self.sheet.step(self.row, self.column, by)

    def action_add(self) -> None:
        self.sheet.put_in(self.row)

    def action_remove(self) -> None:
        self.sheet.take_out(self.row)

    def action_shift(self, by: int) -> None:
        self.sheet.shift(self.row, by)

    def action_leg(self, by: int) -> None:
        self.sheet.leg(by)

    async def action_draw(self) -> None:
        pane = self.sheet.pane
        await draw(self, pane.sketch, pane.index)

    def action_close(self) -> None:
        self.post_message(Closed())


async def draw(asking: CellGrid, sketch: Sketch, index: int) -> None:
    """Ask for two positions and post the leg between them, below leg ``index``."""
    from voyager.tui.screens.draw import DrawScreen

    def taken(ends: tuple[str, str] | None) -> None:
        if ends is None:
            return
        (first, start), (second, end) = (view.end_of(sketch, text) for text in ends)
        try:
            made = edits.leg_from_positions(sketch, index, start, end, (first, second))
        except ValueError as error:
            asking.post_message(Told(f"✗ {error}"))
        else:
            asking.post_message(Edited(made, f"leg drawn, {view.drawn(sketch, *ends)}"))

    above = str(sketch.legs[index].get("to") or "") if 0 <= index < len(sketch.legs) else ""
    known = above if any(name == above and at for name, at in _positions(sketch)) else ""
    await asking.app.push_screen(DrawScreen(sketch, known), taken)


def _positions(sketch: Sketch) -> list[tuple[str, Any]]:
    return [(str(row.get("name")), row.get("at")) for row in sketch.places]


class EditSheet(CellSheet):
    """What both tables of the pane have in common."""

    wanted: tuple[int, int] | None = None

    @property
    def pane(self) -> "PlacesPane":
        """The pane around both."""
        parent = self.parent
        if not isinstance(parent, PlacesPane):
            raise TypeError("an EditSheet lives in a PlacesPane")
        return parent

    def make(self, change: Callable[[Sketch], Sketch], label: str, wanted: tuple[int, int] | None = None) -> None:
        """Post an edit; a reason why it can't be made is told."""
        try:
            made = change(self.pane.sketch)
        except ValueError as error:
            self.refuse(str(error))
            return
        self.wanted = wanted
        self.post_message(Edited(made, label))

    def refuse(self, reason: str) -> None:
        """Say, until the cursor moves, why something was not done."""
        self.app.bell()
        self.tell(f"✗ {reason}")

    def note_line(self) -> str:
        """The line under the table when nothing was refused."""
        return ""

    def arrive(self) -> None:
        """Put the cursor where the last edit wants it."""
        if self.wanted is not None:
            self.grid.move_cursor(*self.wanted)
            self.wanted = None

    def leg(self, by: int) -> None:
        """The points of the leg before or after."""
        index = self.pane.index + by
        if 0 <= index < len(self.pane.sketch.legs):
            self.pane.point("leg", index)
            self.post_message(Pointed("leg", index))

    def put_in(self, row: int) -> None:
        """One more row below."""

    def take_out(self, row: int) -> None:
        """The row away."""

    def shift(self, row: int, by: int) -> None:
        """The row up or down."""

    @on(CellGrid.Moved)
    def _moved(self, event: CellGrid.Moved) -> None:
        event.stop()
        self.tell(self.note_line())


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
        key, value = _position(text) if column == AT else read(field, text)
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


def _position(text: str) -> tuple[str, list[float] | None]:
    try:
        return "at", list(parse_position(text)) if text.strip() else None
    except ValueError as error:
        raise ValueError(f"a position: it {error}") from None


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
        ends = f"{self.points[0].name} → {self.points[-1].name}" if self.points else "there is none"
        self.border_title = f" Points of leg {index + 1}: {ends} "

    def writable(self, row: int, column: int) -> bool:
        return column == AT and self.points[row].via is not None

    def own(self, row: int, column: int) -> str:
        at = self.points[row].at
        return "" if at is None else position_words(at)

    def hint(self, row: int, column: int, text: str) -> str:
        try:
            return f"= {position_words(parse_position(text))}" if text.strip() else ""
        except ValueError:
            return "53.42, -7.94 or 53°25.2'N 7°56.4'W"

    def commit(self, row: int, column: int, text: str, firm: bool = False) -> None:
        number, index, at = self.points[row].via, self.pane.index, _position(text)[1]
        if number is None:
            return
        sketch = self.pane.sketch
        made = edits.remove_via(sketch, index, number) if at is None else set_via(sketch, index, number, (at[0], at[1]))
        self.post_message(Edited(made, f"point {number + 1} of leg {index + 1}"))

    def put_in(self, row: int) -> None:
        from voyager.session.sketch.measure import cut

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
        self.border_title = f" Places{self.desk.former_words if self.desk else ''} "
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
        rows = [n for n, place in enumerate(self.sketch.places) if place.ident == where.get("row")]
        if rows and where.get("key") in view.KEYS:
            self.places.grid.move_cursor(rows[0], view.KEYS.index(str(where["key"])))
            self.places.begin(str(where.get("text", "")))
