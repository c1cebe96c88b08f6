"""The legs as a sheet: every value of the file is typed over where it stands."""

from collections.abc import Iterable, Mapping, Sequence
from operator import is_
from typing import Any

from textual import events, on

from voyager.session.sketch import edits
from voyager.session.sketch.measure import leg_km
from voyager.session.sketch.reading import read
from voyager.session.sketch.state import Row, Sketch
from voyager.tui import leg_columns as columns
from voyager.tui.desk import Desk
from voyager.tui.leg_columns import COLUMNS, FROM, KEYS, NAMES, SPEED, STAY, WATER
from voyager.tui.leg_gaps import Wrongs, mending
from voyager.tui.messages import Edited, Pointed, Told
from voyager.tui.nudges import nudged
from voyager.tui.units import Units
from voyager.tui.widgets.cell import Cell
from voyager.tui.widgets.cellgrid import CellGrid, GridColumn, GridRow
from voyager.tui.widgets.cellsheet import CellSheet, Offer
from voyager.tui.widgets.leg_table import Change, LegTable, Wanted

__all__ = ["SPEED", "STAY", "Cell", "LegSheet", "LegTable"]


LOW = 5
BESIDE = 12
"""Columns that a reason has beside it in the title."""
FREE, FIXED = frozenset({STAY}), frozenset({STAY, SPEED})


class LegSheet(CellSheet):
    """Shows the legs of the desk and makes edits of its sketch."""

    def __init__(self) -> None:
        self.table = LegTable()
        super().__init__("legs", self.table)
        self.desk: Desk | None = None
        self.legs: Sequence[Mapping[str, Any]] = ()
        self.texts: list[tuple[str, ...]] = []
        self.kept: dict[int, tuple[Mapping[str, Any], Row | None, tuple[str, ...]]] = {}
        self.wrongs = self.laid = Wrongs()
        self.wanted: Wanted = None
        self.offered: tuple[int, int, str] | None = None
        self.line, self.former, self.refused = "", "", ""
        self.lengths: dict[object, float | None] = {}

    @property
    def sketch(self) -> Sketch:
        """What is edited."""
        return Sketch() if self.desk is None else self.desk.sketch

    # what is shown

    def show(self, desk: Desk) -> None:
        """Take the legs over; what did not change is not drawn again."""
        before, self.desk = self.desk, desk
        if before is None or before.sketch is not desk.sketch:
            self.refused = ""
        if before is not None and before.sketch is not desk.sketch and self.at is not None:
            self._follow(before.sketch, desk.sketch)
        if before is None or before.sketch is not desk.sketch or before.faults != desk.faults:
            self.wrongs = Wrongs(desk.sketch if desk.opened is not None else None, desk.faults)
        self._fill(before is None or (before.units, before.capacity_kwh) != (desk.units, desk.capacity_kwh))
        if self.wanted is not None and before is not None and before.sketch is not desk.sketch:
            self.table.move_cursor(*self.wanted)
            self.wanted = None
        self._note()

    def _follow(self, before: Sketch, after: Sketch) -> None:
        """The field stays with its leg; it is put away where the leg is gone."""
        row, column = self.at or (0, 0)
        ident = before.legs[row].ident if row < len(before.legs) else None
        found = next((n for n, leg in enumerate(after.legs) if leg.ident == ident), None)
        if found is None:
            self.close()
        else:
            self.at = (found, column)
            self.call_after_refresh(self.place)

    def _fill(self, anew: bool) -> None:
        if self.desk is None:
            return
        legs, known, former = self.desk.leg_rows(), {} if anew else self.kept, self.texts
        self.kept = {}
        for leg, row in zip(legs, self.desk.sketch.legs, strict=False):
            leg_then, row_then, texts = known.get(row.ident, ({}, None, ()))
            if row_then is not row or not _alike(leg_then, leg):
                texts = self._texts(leg, row)
            self.kept[row.ident] = leg, row, texts
        self.legs, self.texts = legs, [texts for _, _, texts in self.kept.values()]
        same = len(former) == len(self.texts) and all(map(is_, former, self.texts))
        if anew or not same or self.wrongs is not self.laid:
            self._lay()

    def _texts(self, leg: Mapping[str, Any], row: Row) -> tuple[str, ...]:
        desk = self.desk or Desk("")
        if leg["distance_km"] is None:
            leg = {**leg, "distance_km": self._measured(desk.sketch, row)}
        return columns.texts(columns.Cells(leg, row, desk.capacity_kwh, desk.units))

    def _measured(self, sketch: Sketch, row: Row) -> float | None:
        key = (row.ident, str(row.get("via")), *(str(place.get("at")) for place in sketch.places
               if place.get("name") in (row.get("from"), row.get("to"))))  # fmt: skip
        if key not in self.lengths:
            self.lengths[key] = leg_km(sketch, row)
        return self.lengths[key]

    def _lay(self) -> None:
        """Columns and rows for the width there is."""
        desk, self.laid = self.desk or Desk(""), self.wrongs
        gutter = len(str(max(1, len(self.texts)))) + 2
        widths = columns.widths(self.texts, desk.units, max(30, self.table.wide) - gutter)
        heads = [
            GridColumn(columns.heading(column, desk.units), width, column.left, number in NAMES)
            for number, (column, width) in enumerate(zip(COLUMNS, widths, strict=True))
        ]
        self.table.show(heads, [self._row(n, texts) for n, texts in enumerate(self.texts)], gutter)

    def _row(self, index: int, texts: tuple[str, ...]) -> GridRow:
        sign = self.wrongs.sign(index)
        return GridRow(texts, f"{index + 1}{sign}", sign != " ", FIXED if texts[SPEED][:1] == "=" else FREE)

    def on_resize(self) -> None:
        self.call_after_refresh(self._lay)
        self.call_after_refresh(self._note)
        super().on_resize()

    def on_click(self, event: events.Click) -> None:
        """On the title, which in a small terminal is all there is of the sheet."""
        if event.screen_y == self.region.y:
            self.screen.set_focus(self.table)

    def _note(self) -> None:
        """A line on what is marked or wrong: under the table, in its title where the table is low."""
        marked = self.table.marked
        if self.refused:
            self.line = f"✗ {self.refused}"
        elif len(marked) > 1:
            self.line = f"• {len(marked)} legs marked"
        else:
            self.line = self.wrongs.line(self.sketch, self.table.row)
        self.tell(self.line if self.size.height > LOW else "")
        self.entitle(self.former)

    def refuse(self, reason: str) -> None:
        """Say, until the cursor moves, why something was not done."""
        self.app.bell()
        self.refused = reason
        self._note()
        if len(reason) + BESIDE > self.size.width:
            self.post_message(Told(f"✗ {reason}"))

    def entitle(self, former: str) -> None:
        """Title the sheet; ``former`` says what plan is shown."""
        self.former = former
        what = self.line if self.line and self.size.height <= LOW else "type over any value"
        self.border_title = f" Legs{former}: {what} "

    def stand(self, index: int) -> None:
        """Put the cursor on a leg without a word about it."""
        self.table.stand(index)
        self._note()

    @on(CellGrid.Moved)
    def _moved(self, event: CellGrid.Moved) -> None:
        event.stop()
        self.refused = ""
        self._note()
        if self.legs and self.has_focus_within:
            self.post_message(Pointed("leg", self.table.row))

    # cells

    def writable(self, row: int, column: int) -> bool:
        return bool(COLUMNS[column].key)

    def typed(self, row: int, column: int) -> str:
        return "figure" if columns.field_of(column).kind in {"number", "count", "date"} else "text"

    def own(self, row: int, column: int) -> str:
        units = self.desk.units if self.desk else Units()
        return columns.own_text(self.sketch.legs[row], COLUMNS[column].key, units)

    def where(self, row: int, column: int) -> Mapping[str, Any] | None:
        legs = self.sketch.legs
        return {"row": legs[row].ident, "key": COLUMNS[column].key} if row < len(legs) else None

    def hint(self, row: int, column: int, text: str) -> str:
        if column == WATER:
            return "canal, river, lake, coastal or open"
        if column not in NAMES or not text.strip():
            return ""
        found = _beginning(self._places(), text)
        if len(found) == 1 and found[0] != text.strip():
            return f"Enter takes {found[0]}"
        return "" if not found else ", ".join(found[:4]) + (" …" if len(found) > 4 else "")

    def _places(self) -> list[str]:
        return [str(place.get("name")) for place in self.sketch.places if place.get("name")]

    def commit(self, row: int, column: int, text: str, firm: bool = False) -> None:
        field = columns.field_of(column)
        units = self.desk.units if self.desk else Units()
        if column in NAMES:
            self._put_name(row, column, text.strip(), firm)
            return
        key, value = read(field, text, columns.second(field.key, units))
        value = None if field.kind == "count" and not value else value
        self._put(row, key, value, field.label)

    def _put(self, row: int, key: str, value: Any, label: str) -> None:
        self._edited(edits.set_leg(self.sketch, row, key, value), f"{label.lower().split(',')[0]} of leg {row + 1}")

    def _put_name(self, row: int, column: int, text: str, firm: bool) -> None:
        """A place that is known, by its name or by how it begins; else one to be made, once this was offered."""
        key, known = COLUMNS[column].key, self._places()
        found = _beginning(known, text)
        if not text or (firm and len(found) != 1) or text in known:
            self._put(row, key, text or None, key)
        elif len(found) == 1:
            self._put(row, key, found[0], key)
        elif found:
            raise ValueError(f"one place: {', '.join(found[:3])} begin so")
        elif self.offered != (row, column, text):
            self.offered = (row, column, text)
            raise Offer(f'"{text}" is no place yet: Enter again makes it one, Esc leaves it')
        else:
            made = edits.add_place(self.sketch, text)
            self._edited(edits.set_leg(made, row, key, text), f"{key} of leg {row + 1}: new place {text}")
            self.post_message(Told(f"{text} is a new place; Places gives it its position"))

    def step(self, row: int, column: int, by: int) -> None:
        """Nudge the value under the cursor."""
        if not self.legs or not self.writable(row, column) or column in NAMES:
            self.app.bell()
            return
        field, leg = columns.field_of(column), self.sketch.legs[row]
        units = self.desk.units if self.desk else Units()
        shown = self.legs[row].get(field.key) if field.kind == "number" else None
        try:
            key, value = nudged(field, leg, by, columns.second(field.key, units), shown)
        except ValueError as error:
            self.refuse(str(error))
            return
        self._put(row, key, value, field.label)

    # edits

    def _edited(self, sketch: Sketch, label: str) -> None:
        self.post_message(Edited(sketch, label))

    def edit(self, change: Change, label: str, wanted: Wanted = None, said: bool = False) -> None:
        """Make an edit and put the cursor where it is ``wanted``; a reason why it can't be made is told."""
        if self.desk is None or self.desk.opened is None:
            self.app.bell()
            return
        try:
            sketch = change(self.sketch)
        except ValueError as error:
            self.refuse(str(error))
            return
        self.wanted = wanted
        self._edited(sketch, label)
        if said:
            self.post_message(Told(label))

    def enter(self) -> None:
        """Enter: on From of a leg that begins elsewhere than the one before ends, take that place; else type."""
        row, column = self.table.cursor_coordinate
        mend = mending(self.sketch, row) if column == FROM and self.legs else ""
        if mend:
            self._put(row, "from", mend, "from")
        elif self.legs and not self.writable(row, column):
            self.table.move_cursor(row, SPEED)
            self.begin(None)
        elif self.legs:
            self.begin(None)
        else:
            self.table.action_add()

    def paste(self, text: str) -> None:
        """Rows from a spreadsheet below the leg under the cursor, or a text into its cell."""
        if "\n" not in text.strip() and "\t" not in text:
            self.begin(text.strip())
            return
        row = self.table.row if self.legs else -1
        count = len(self.sketch.legs)
        try:
            sketch = edits.paste_rows(self.sketch, row, text)
        except ValueError as error:
            self.refuse(f"nothing was pasted: {error}")
            return
        self.wanted = (row + 1, None)
        more = len(sketch.legs) - count
        self._edited(sketch, f"{more} leg{'s' if more > 1 else ''} pasted")

    async def split(self) -> None:
        """Ask for the kilometre at which the leg under the cursor is split."""
        from voyager.tui.screens.split import SplitScreen

        row = self.table.row
        length = leg_km(self.sketch, self.sketch.legs[row]) if row < len(self.sketch.legs) else None
        if length is None:
            self.refuse("the length of the leg is not known: give its km, or positions to its places")
            return
        title = f"Split leg {row + 1}, {length:.4g} km long"

        def taken(at: tuple[float, str] | None) -> None:
            if at is not None:
                label = edits.split_words(self.sketch, row, at[0])
                self.edit(lambda s: edits.split_leg(s, row, at[0], at[1]), label, said=True)

        await self.app.push_screen(SplitScreen(title, edits.moorings(self.sketch, row), length), taken)

    async def draw(self) -> None:
        """Ask for two positions and add the leg between them."""
        from voyager.tui.widgets.drawing import draw

        await draw(self.table, self.sketch, self.table.row)

    def resume(self, where: Mapping[str, Any]) -> None:
        """Open the cell again that was being typed into when the last session ended."""
        rows = [n for n, leg in enumerate(self.sketch.legs) if leg.ident == where.get("row")]
        column = KEYS.get(str(where.get("key")))
        if rows:
            self.table.move_cursor(rows[0], column)
        if rows and column is not None:
            self.begin(str(where.get("text", "")))
        else:
            in_leg = rows and not str(where.get("key")).startswith("via.")
            self.call_after_refresh(self._resume_in, "leg" if in_leg else "places", where)

    async def _resume_in(self, name: str, where: Mapping[str, Any]) -> None:
        """Likewise in the pane where it stood."""
        screen: Any = self.screen
        await screen.toggle(name)
        screen.panes[name].resume(where)


def _alike(one: Mapping[str, Any], other: Mapping[str, Any]) -> bool:
    """Whether two legs are shown alike; the number stands in the margin."""
    return one is other or {**one, "leg": 0} == {**other, "leg": 0}


def _beginning(names: Iterable[str], text: str) -> list[str]:
    """Names that begin so, whatever their letters' case; that name alone which is it in full."""
    start = text.strip().casefold()
    found = [name for name in names if name.casefold().startswith(start)]
    return next(([name] for name in found if name.casefold() == start), found)
