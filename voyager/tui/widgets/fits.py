"""The pane "fits": measurements to values of the boat, and which measurement is worth making next."""

import os
from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from textual import on
from textual.app import ComposeResult
from textual.widgets import Input

from voyager.session.fit_fields import columns
from voyager.session.value_nudge import nudged
from voyager.session.value_read import read
from voyager.tui import fits_page, fits_rows
from voyager.tui.actions import key_of
from voyager.tui.desk import Desk
from voyager.tui.fits_rows import FILE_ROW, KIND_ROW, KINDS, NEXT, OPTIONS_FROM, Page
from voyager.tui.messages import Told, Typing
from voyager.tui.runs import Line, Run
from voyager.tui.values_rows import ValueRow
from voyager.tui.values_view import VALUE_AT
from voyager.tui.widgets.cell import Cell
from voyager.tui.widgets.fit_list import FitList
from voyager.tui.widgets.fits_asked import NAME, OFFER, PICTURE, AskedFits
from voyager.tui.widgets.lines import Lines

MOVED = "The boat was changed meanwhile; {} shows anew what would be put into it"
HINT = (
    f"{key_of('fits-back')} {key_of('fits-on')} kind · {key_of('fits-choose')} chooses · {key_of('fits-close')} closes"
)


class FitsPane(AskedFits):
    """Rows to choose from, what came of them below, what to heed at the foot. All that is computed is asked for."""

    def __init__(self) -> None:
        super().__init__()
        self.open: ValueRow | None = None
        self.folder = ""

    def compose(self) -> ComposeResult:
        yield FitList(self)
        yield Cell()
        yield Lines(id="fits-foot")

    @property
    def sheet(self) -> FitList:
        """The lines."""
        return self.query_one(FitList)

    @property
    def cell(self) -> Cell:
        """The field that is typed into."""
        return self.query_one(Cell)

    # what is shown

    def show(self, desk: Desk) -> None:
        """Take over what the desk holds; what was found for another voyage goes."""
        former, self.desk = self.desk, desk
        if former is not None and former.opened is not None and former.opened is not desk.opened:
            self.stop()
            self.busy.clear()
            self.state = Page(self.state.kind)
        if self.state.offer is not None and desk.sketch.boat != self.offer_boat:
            self.state = replace(self.state, offer=None)
            self.post_message(Told(MOVED.format(key_of("fits-put"))))
        self.border_title = f" Fits{desk.former_words}: {HINT} "
        self.fill()

    def fill(self) -> None:
        self.sheet.redraw()
        self.heed()

    def go_to(self, found: bool) -> None:
        if found and self.state.kind == NEXT:
            self.sheet.stand(OPTIONS_FROM)
        elif found and self.sheet.cursor < OPTIONS_FROM:
            self.call_after_refresh(self.sheet.show_found)
        else:
            self.sheet.scroll_to(y=0, animate=False, force=True)

    def lines(self, width: int, height: int, cursor: int) -> tuple[list[Line], list[int]]:
        """All that is to be drawn, and which lines the rows are."""
        if self.desk is None:
            return [[Run("reading the voyage …")]], [0]
        waits = self.waits(self.fitting) or self.waits(OFFER) or self.waits(PICTURE)
        return fits_page.drawn(self.state, self.desk, self.options, (width, height), cursor, (waits, self.turns))

    @property
    def options(self) -> list[ValueRow]:
        """The rows of the options."""
        desk = self.desk
        return [] if desk is None else fits_rows.option_rows(self.state, desk.sketch, desk.units)

    @property
    def rows_count(self) -> int:
        """Rows that can be chosen."""
        if self.state.kind == NEXT:
            return OPTIONS_FROM + len((self.state.worth or {}).get("values", ()))
        return OPTIONS_FROM + len(self.options)

    @property
    def option(self) -> ValueRow | None:
        """The option under the cursor."""
        rows, at = self.options, self.sheet.cursor - OPTIONS_FROM
        return rows[at] if 0 <= at < len(rows) else None

    def heed(self) -> None:
        """The foot: why something can't be, the meaning of the row, what to heed."""
        said = fits_page.foot(self.state, self.option, self.sheet.cursor)
        lines = [("alarm", f"✗ {self.reason}"), *said] if self.reason else said
        foot = self.query_one("#fits-foot", Lines)
        foot.show(lines)
        foot.display = bool(lines)

    def page(self) -> list[tuple[str, str]]:
        """All about the kind that is shown."""
        return fits_rows.about(self.state)

    # kinds, files, options

    def turn_to(self, kind: str) -> None:
        """Show another kind."""
        self._close()
        self.busy.pop(OFFER, None)
        self.state = replace(self.state, kind=kind, offer=None)
        self.reason = ""
        self.sheet.stand(KIND_ROW)

    def turn(self, by: int) -> None:
        """Show the kind before or after."""
        if self.state.offer is None:
            self.turn_to(KINDS[(KINDS.index(self.state.kind) + by) % len(KINDS)])

    async def choose(self) -> None:
        """Do what the row under the cursor is for; a kind goes on to its file."""
        if self.state.offer is not None:
            self.take()
            return
        if self.sheet.cursor == KIND_ROW:
            self.sheet.stand(FILE_ROW)
        cursor = self.sheet.cursor
        if self.state.kind == NEXT:
            self._choose_next(cursor)
        elif cursor == FILE_ROW:
            await self._choose_file()
        elif (row := self.option) is not None and row.field is not None:
            if row.field["kind"] in {"choice", "bool"}:
                self.nudge(1)
            else:
                self.begin(None)

    def _choose_next(self, cursor: int) -> None:
        row = fits_page.worth_row(self.state, cursor)
        if row is None:
            self.search()
        elif (kind := fits_rows.kind_of(row)) is not None:
            self.turn_to(kind)
        else:
            self.tell("no fit of this page takes that test; its value is typed over among the values")

    async def _choose_file(self) -> None:
        from voyager.session.recent import folder_of
        from voyager.tui.screens.measured import MeasuredScreen

        desk = self.desk
        if desk is None:
            return
        kind = self.state.kind
        base = self.folder or folder_of(desk.path)
        screen = MeasuredScreen(f"Measurements for fit {kind}", base, told=f"columns: {columns(kind)}")
        await self.app.push_screen(screen, lambda path: self.take_file(kind, path) if path else None)

    def take_file(self, kind: str, path: str) -> None:
        """Fit what a file holds."""
        self.folder = os.path.dirname(path)
        self.state = self.state.put(kind, file=path)
        self.ask_fit()

    def nudge(self, by: int) -> None:
        """An option a step on."""
        row = self.option
        if row is None or row.field is None or self.state.offer is not None:
            return
        try:
            choices = list(row.field["choices"])
            start = choices[0] if row.value is None and row.field["kind"] == "choice" and choices else row.value
            self.set_option(
                row,
                nudged({**row.field, "default": False if row.field["kind"] == "bool" else None}, start, by, row.scale),
            )
        except ValueError as error:
            self.tell(f"it must be {error}")

    def clear(self) -> None:
        """The option as if nothing had been said."""
        row = self.option
        if row is not None:
            self.set_option(row, None)

    def set_option(self, row: ValueRow, value: Any) -> None:
        """Fit with another option."""
        key = str(row.path[0])
        kept = {name: one for name, one in self.state.here.options.items() if name != key}
        if value is not None:
            kept[key] = value
        self.tell("")
        if kept != self.state.here.options:
            self.state = self.state.put(self.state.kind, options=kept)
            self.fill()
            if self.state.here.file:
                self.ask_fit()

    def tell(self, reason: str) -> None:
        self.reason = reason
        self.heed()

    # typing

    def typed(self, sign: str) -> bool:
        """Whether a sign typed on the lines begins an option or picks a choice."""
        row = self.option
        if row is None or row.field is None or self.state.offer is not None:
            return False
        if row.field["kind"] == "number" and sign in "0123456789.,-":
            self.begin(sign)
            return True
        fits = [one for one in row.field["choices"] if str(one).lower().startswith(sign.lower())]
        if fits and row.field["kind"] == "choice":
            now = fits.index(row.value) + 1 if row.value in fits else 0
            self.set_option(row, fits[now % len(fits)])
            return True
        return False

    def begin(self, text: str | None) -> None:
        """Lay the field over the option, with ``text`` or what stands there."""
        row = self.option
        if row is None:
            return
        self.open, cell = row, self.cell
        cell.value = row.text if text is None else text
        cell.cursor_position = len(cell.value)
        self.sheet.reveal()
        self._place()
        cell.display = True
        self.tell("")
        self.screen.set_focus(cell, scroll_visible=False)

    def _place(self) -> None:
        figures = self.open is not None and self.open.field is not None and self.open.field["kind"] == "number"
        self.cell.styles.width = 14 if figures else max(14, self.sheet.size.width - VALUE_AT - 2)
        self.cell.styles.offset = (VALUE_AT + 1, max(0, self.sheet.at - int(self.sheet.scroll_offset.y)))

    @on(Input.Changed)
    def _changed(self, event: Input.Changed) -> None:
        event.stop()
        if self.open is not None:
            where = {"pane": NAME, "kind": self.state.kind, "key": self.open.path[0], "text": event.value}
            self.post_message(Typing(where))

    def resume(self, where: Mapping[str, Any]) -> None:
        """Open the option again that was being typed when the last session ended."""
        if where.get("kind") not in KINDS:
            return
        self.turn_to(str(where["kind"]))
        keys = [row.path[0] for row in self.options]
        if where.get("key") in keys:
            self.sheet.stand(OPTIONS_FROM + keys.index(str(where["key"])))
            self.begin(str(where.get("text", "")))

    def finish(self, rows: int, columns: int) -> None:
        """Take what was typed and go on, or stay with the reason why not."""
        if self._take_typed():
            self._close()
            self.sheet.stand(self.sheet.cursor + rows)

    def _take_typed(self) -> bool:
        row = self.open
        if row is None or row.field is None:
            return True
        try:
            value = read(row.field, self.cell.value, None, row.scale)
        except ValueError as error:
            self.cell.add_class("-wrong")
            self.tell(f"it must be {error}")
            return False
        self.set_option(row, value)
        return True

    def drop(self) -> None:
        """Leave the option as it was."""
        self._close()

    def left(self) -> None:
        """The focus was taken away: take what was typed if it can be."""
        if self.open is not None and self.app.screen is self.screen:
            self._take_typed()
            self._close(focus=False)

    def _close(self, focus: bool = True) -> None:
        if self.open is None:
            return
        self.open = None
        self.post_message(Typing(None))
        self.cell.remove_class("-wrong")
        self.tell("")
        if focus:
            self.screen.set_focus(self.sheet, scroll_visible=False)
        self.cell.display = False
