"""The days of a plan: one line each where the pane is wide, two where it stands beside the legs."""

from collections.abc import Sequence
from typing import ClassVar

from rich.segment import Segment
from rich.style import Style
from textual import events
from textual.geometry import Region, Size
from textual.scroll_view import ScrollView
from textual.strip import Strip

from voyager.tui.actions import bindings
from voyager.tui.messages import Pointed
from voyager.tui.widgets.bar import bar
from voyager.tui.words import REASONS, DayRow, cut, padded, stretch

ONE_LINE_FROM = 72
NAMES_FROM = {1: 92, 2: 56}
NAMES_MAX = 32
FLOW = 6
GOING = REASONS["going"]
"""Says no more than the mark above it: the names have its room."""
PARTS = ("cursor", "linked", "quiet", "bar", "lowbar", "rest", "caution", "alarm", "mark", "in", "out",
         "past")  # fmt: skip


class DayList(ScrollView, can_focus=True):
    """A cursor over days. ``linked`` are the days of the leg under the other cursor, marked ``┃``."""

    BINDINGS = bindings("days")
    COMPONENT_CLASSES: ClassVar[set[str]] = {f"days--{part}" for part in PARTS}

    def __init__(self) -> None:
        super().__init__(id="days")
        self.rows: list[DayRow] = []
        self.cursor = 0
        self.linked: frozenset[int] = frozenset()
        self.drawn: dict[tuple[int, int, bool, bool, int], Strip] = {}

    @property
    def wide(self) -> int:
        """Columns to draw in, the scroll bar's left out."""
        return self.scrollable_content_region.width

    @property
    def tall(self) -> int:
        """Lines a day takes."""
        return 1 if self.size.width >= ONE_LINE_FROM else 2

    def show(self, rows: Sequence[DayRow]) -> None:
        """Replace the days, the cursor staying where it was if it can."""
        self.rows = list(rows)
        kept, self.cursor = self.cursor, max(0, min(self.cursor, len(self.rows) - 1))
        self._fit(reveal=self.cursor != kept)

    def link(self, days: frozenset[int], reveal: bool) -> None:
        """Mark the days (numbers) of a leg; where the cursor has moved, bring the first into view."""
        if days != self.linked:
            changed, self.linked = days ^ self.linked, days
            places = [place for place, row in enumerate(self.rows) if row.number in days]
            if places and reveal and not self.has_focus:
                self._reveal(places[0])
            self._redraw(*(place for place, row in enumerate(self.rows) if row.number in changed))

    def on_resize(self) -> None:
        self._fit()

    def notify_style_update(self) -> None:
        self.drawn.clear()
        super().notify_style_update()

    def _redraw(self, *places: int) -> None:
        """Draw only these days again."""
        top = int(self.scroll_offset.y)
        if places:
            self.refresh(*(Region(0, place * self.tall - top, self.size.width, self.tall) for place in places))

    def _fit(self, reveal: bool = True) -> None:
        self.drawn.clear()
        self.virtual_size = Size(self.wide, len(self.rows) * self.tall)
        if reveal:
            self._reveal(self.cursor)
        self.refresh()

    def _reveal(self, index: int) -> None:
        self.scroll_to_region(Region(0, index * self.tall, 1, self.tall), animate=False, force=True)

    def action_move(self, by: int) -> None:
        self._point(max(0, min(len(self.rows) - 1, self.cursor + by)))

    def stand(self, index: int) -> None:
        """Put the cursor on a day without a word about it."""
        before, self.cursor = self.cursor, index
        self._reveal(index)
        self._redraw(before, index)

    def action_page(self, by: int) -> None:
        self.action_move(by * max(1, self.size.height // self.tall))

    def _point(self, index: int) -> None:
        if self.rows and index != self.cursor:
            before, self.cursor = self.cursor, index
            self._reveal(index)
            self._redraw(before, index)
        self.post_message(Pointed("day", self.cursor))

    def on_focus(self) -> None:
        if self.rows:
            self.post_message(Pointed("day", self.cursor))

    def on_click(self, event: events.Click) -> None:
        index = (int(event.y) + int(self.scroll_offset.y)) // self.tall
        if 0 <= index < len(self.rows):
            again = index == self.cursor and event.chain > 1
            self._point(index)
            if again:
                self.call_later(self.run_action, "app.details")

    def render_line(self, y: int) -> Strip:
        index, second = divmod(y + int(self.scroll_offset.y), self.tall)
        if index >= len(self.rows):
            return Strip.blank(self.wide, self.rich_style)
        on = index == self.cursor and self.has_focus
        key = (index, second, on, self.rows[index].number in self.linked, self.wide)
        if key not in self.drawn:
            self.drawn[key] = self._draw(index, second, self.wide)
        return self.drawn[key]

    def _draw(self, index: int, second: int, width: int) -> Strip:
        row, base, on = self.rows[index], self._base(index), index == self.cursor and self.has_focus
        if self.tall == 1:
            segments = self._single(row, base, on, width)
        else:
            segments = self._second(row, base, on, width) if second else self._first(row, base, on, width)
        edge = Segment("┃" if row.number in self.linked else " ", base + self._ink("linked"))
        return Strip([edge, *segments]).adjust_cell_length(width, base)

    def _base(self, index: int) -> Style:
        if index == self.cursor and self.has_focus:
            return self.rich_style + self.get_component_rich_style("days--cursor")
        if self.rows[index].past:
            return self.rich_style + self.get_component_rich_style("days--past", partial=True)
        return self.rich_style

    def _ink(self, part: str) -> Style:
        """A part's foreground and weight, without its background."""
        style = self.get_component_rich_style(f"days--{part}", partial=True)
        return Style(color=style.color, bold=style.bold, dim=style.dim)

    def _over(self, base: Style, part: str, on: bool) -> Style:
        """On the cursor's line its own colours hold: weight alone is added."""
        ink = self._ink(part)
        return base + (Style(bold=ink.bold) if on else ink)

    def _bar(self, row: DayRow, cells: int) -> list[Segment]:
        weak = row.charge is not None and row.floor is not None and row.charge < row.floor + 10
        full = self._ink("lowbar" if weak else "bar")
        rest = self.get_component_rich_style("days--rest")
        return bar(row.charge, row.low, row.floor, cells, full, rest, self.app.no_color)

    @property
    def names(self) -> int:
        """Columns for the names of cautions beside a day; 3 for their number alone."""
        spare = self.wide - NAMES_FROM[self.tall]
        return 3 if spare < 0 else min(NAMES_MAX, 14 + spare)

    def _first(self, row: DayRow, base: Style, on: bool, width: int) -> list[Segment]:
        cells = max(4, width - 30 - self.names)
        return [
            Segment(f"{row.date:<10} ", base + Style(bold=True)),
            Segment(f"{row.sign} {row.mark:<9} ", self._over(base, "mark" if row.held else "alarm", on)),
            *self._bar(row, cells), self._percent(row, base, on), *self._warns(row, base, on),
        ]  # fmt: skip

    def _second(self, row: DayRow, base: Style, on: bool, width: int) -> list[Segment]:
        reason = _reason(row)
        room = max(1, width - 16 - len(reason))
        return [
            Segment(f"  {reason}", self._over(base, "quiet" if row.held else "alarm", on)),
            Segment(f"{padded(stretch(row.start, row.end, room), room)} ", base),
            *self._flows(row, base, on),
        ]

    def _single(self, row: DayRow, base: Style, on: bool, width: int) -> list[Segment]:
        reason = _reason(row)
        room = width - 45 - self.names - len(reason)
        return [
            Segment(f"{row.date[4:]:<6} ", base + Style(bold=True)),
            Segment(f"{row.sign} {row.mark:<9} ", self._over(base, "mark" if row.held else "alarm", on)),
            Segment(reason, self._over(base, "quiet" if row.held else "alarm", on)),
            Segment(f"{padded(stretch(row.start, row.end, room), room)} ", base),
            *self._bar(row, 6), self._percent(row, base, on),
            *self._flows(row, base, on), Segment(" ", base),
            *self._warns(row, base, on),
        ]  # fmt: skip

    def _flows(self, row: DayRow, base: Style, on: bool) -> list[Segment]:
        """kWh out and in back to back, as figures on bars that grow from the middle."""
        plain = self._over(base, "quiet", on)
        spent, gained = f"{row.spent:>{FLOW}}", f"{row.gained:<{FLOW}}"
        out, into = FLOW - round(row.share_out * FLOW), round(row.share_in * FLOW)
        return [
            Segment(spent[:out], plain), Segment(spent[out:], self.get_component_rich_style("days--out")),
            Segment(gained[:into], self.get_component_rich_style("days--in")), Segment(gained[into:], plain),
        ]  # fmt: skip

    def _percent(self, row: DayRow, base: Style, on: bool) -> Segment:
        text = "" if row.charge is None else f"{row.charge}%"
        return Segment(f"{text:>5} ", self._over(base, "mark", on))

    def _warns(self, row: DayRow, base: Style, on: bool) -> list[Segment]:
        """The cautions that the day leans on: named where there is room, else their number."""
        sign = "" if not row.cautions else row.named if self.names > 3 else f"!{len(row.cautions)}"
        ink = self._over(base, "caution" if row.held else "alarm", on)
        return [Segment(f"{cut(sign, self.names):<{self.names}}", ink)]


def _reason(row: DayRow) -> str:
    """In its column; of a day that just goes, nothing."""
    return "" if row.reason == GOING else f"{row.reason:<11} "
