"""The table of the legs: its keys and what each of them does."""

from collections.abc import Callable
from typing import Protocol, cast

from textual import events

from voyager.session.sketch import edits
from voyager.session.sketch.state import Sketch
from voyager.tui.actions import bindings
from voyager.tui.leg_columns import SPEED, TO
from voyager.tui.messages import Told
from voyager.tui.widgets.typedgrid import TypedGrid, TypedSheet

Change = Callable[[Sketch], Sketch]
Wanted = tuple[int, int | None] | None


class Sheet(TypedSheet, Protocol):
    """What the sheet around the table does beside that."""

    @property
    def sketch(self) -> Sketch:
        """What is edited."""

    def enter(self) -> None:
        """Enter on the cell under the cursor."""

    def paste(self, text: str) -> None:
        """Take a pasted text."""

    def edit(
        self, change: Change, label: str, wanted: tuple[int, int | None] | None = None, said: bool = False
    ) -> None:
        """Make an edit and put the cursor where it is ``wanted``."""

    async def split(self) -> None:
        """Ask where to split the leg under the cursor."""

    async def draw(self) -> None:
        """Ask for two positions."""


class LegTable(TypedGrid):
    """The table itself."""

    BINDINGS = bindings("legs")

    def __init__(self) -> None:
        super().__init__("leg-table")
        self.column = SPEED

    @property
    def sheet(self) -> Sheet:
        """The sheet around it."""
        return cast(Sheet, self.parent)

    def on_paste(self, event: events.Paste) -> None:
        event.stop()
        self.sheet.paste(event.text)

    def action_edit(self) -> None:
        self.sheet.enter()

    def action_type(self) -> None:
        self.sheet.begin(None)

    def action_add(self) -> None:
        self.sheet.edit(lambda s: edits.add_leg(s, self.row), "a new leg", (self.row + 1, TO))

    def action_duplicate(self) -> None:
        self.sheet.edit(lambda s: edits.duplicate_leg(s, self.row), f"leg {self.row + 1} twice", (self.row + 1, None))

    def action_remove(self) -> None:
        marked = self.marked
        what = f"leg {self.row + 1} removed" if len(marked) == 1 else f"{len(marked)} legs removed"
        self.sheet.edit(lambda s: edits.remove_legs(s, marked), what, (marked.start, None))

    def action_shift(self, by: int) -> None:
        self.sheet.edit(lambda s: edits.move_leg(s, self.row, by), f"leg {self.row + 1} moved", (self.row + by, None))

    def action_join(self) -> None:
        self.sheet.edit(lambda s: edits.join_legs(s, self.row), f"legs {self.row + 1} and {self.row + 2} joined")

    def action_reverse(self) -> None:
        sketch = self.sheet.sketch
        self.sheet.edit(edits.reverse, edits.reverse_words(sketch), (0, None), said=True)

    def action_back(self) -> None:
        self.sheet.edit(edits.there_and_back, "there and back")

    async def action_split(self) -> None:
        await self.sheet.split()

    async def action_draw(self) -> None:
        await self.sheet.draw()

    def action_copy(self) -> None:
        rows = self.marked
        if rows:
            self.app.copy_to_clipboard(edits.copy_rows(self.sheet.sketch, rows))
            self.post_message(
                Told(f"{len(rows)} leg{'s' if len(rows) > 1 else ''} copied, for a sheet or another voyage")
            )
