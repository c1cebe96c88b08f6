"""What the table of places and that of a leg's points have in common: their keys, and edits with their reasons."""

from collections.abc import Callable
from typing import Protocol, cast

from textual import events, on

from voyager.session.sketch.positions import parse_position
from voyager.session.sketch.state import Sketch
from voyager.tui.actions import bindings
from voyager.tui.desk import Desk
from voyager.tui.messages import Closed, Edited, Pointed
from voyager.tui.widgets.cellgrid import CellGrid
from voyager.tui.widgets.cellsheet import CellSheet
from voyager.tui.widgets.typedgrid import TypedGrid

AT = 1


class Around(Protocol):
    """The pane around both tables."""

    desk: Desk | None
    index: int

    @property
    def sketch(self) -> Sketch:
        """What is edited."""

    def point(self, what: str, index: int) -> None:
        """The points of another leg."""


class PlaceGrid(TypedGrid):
    """Its keys do with places or points what those of the legs do with legs."""

    BINDINGS = bindings("places")

    @property
    def sheet(self) -> "EditSheet":
        """The sheet around it."""
        return cast(EditSheet, self.parent)

    def on_paste(self, event: events.Paste) -> None:
        event.stop()
        self.sheet.begin(event.text.strip().splitlines()[0] if event.text.strip() else None)

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
        from voyager.tui.widgets.drawing import draw

        await draw(self, pane.sketch, pane.index)

    def action_close(self) -> None:
        self.post_message(Closed())


class EditSheet(CellSheet):
    """What both tables of the pane have in common."""

    wanted: tuple[int, int] | None = None

    @property
    def pane(self) -> Around:
        """The pane around both."""
        return cast(Around, self.parent)

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


def typed_position(text: str) -> tuple[str, list[float] | None]:
    """The key and value of a typed position; none for an empty text."""
    try:
        return "at", list(parse_position(text)) if text.strip() else None
    except ValueError as error:
        raise ValueError(f"a position: it {error}") from None
