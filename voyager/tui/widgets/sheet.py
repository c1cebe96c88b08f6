"""A pane of drawn lines that scrolls: the base of the morning card and of the odds."""

from typing import ClassVar

from rich.segment import Segment
from rich.style import Style
from textual import events
from textual.geometry import Size
from textual.scroll_view import ScrollView
from textual.strip import Strip

from voyager.tui.messages import Closed
from voyager.tui.runs import Line

PARTS = ("bold", "muted", "accent", "chosen", "go", "back", "stay", "plug", "step", "mark", "bar", "band", "bandedge",
         "mid", "low", "lead", "care")  # fmt: skip


class Sheet(ScrollView, can_focus=True):
    """Draws its lines anew for the size there is; a run that does something can be clicked."""

    COMPONENT_CLASSES: ClassVar[set[str]] = {f"sheet--{part}" for part in PARTS}

    def __init__(self, id: str) -> None:
        super().__init__(id=id)
        self.lines: list[Line] = []
        self.owed = 0

    def draw(self, width: int, height: int) -> list[Line]:
        """The lines for a size in columns and rows; a sheet of no kind has none."""
        return []

    def redraw(self) -> None:
        """Take what is to be shown anew; what was scrolled to stays."""
        region = self.scrollable_content_region
        width = max(30, region.width)
        self.lines = self.draw(width, region.height) if self.display and region.height else []
        self.virtual_size = Size(width, len(self.lines))
        if self.owed and self.lines:
            owed, self.owed = self.owed, 0
            self.call_after_refresh(self.action_scroll_by, owed)
        self.refresh()

    def on_resize(self) -> None:
        self.redraw()

    def on_show(self) -> None:
        self.redraw()

    def notify_style_update(self) -> None:
        super().notify_style_update()
        self.refresh()

    def render_line(self, y: int) -> Strip:
        index, width = y + int(self.scroll_offset.y), self.scrollable_content_region.width
        line = self.lines[index] if index < len(self.lines) else []
        segments = [Segment(run.text, self._ink(run.part)) for run in line]
        return Strip(segments).adjust_cell_length(width, self.rich_style)

    def _ink(self, part: str) -> Style:
        if part not in PARTS:
            return self.rich_style
        style = self.get_component_rich_style(f"sheet--{part}", partial=True)
        return self.rich_style + style

    async def on_click(self, event: events.Click) -> None:
        offset = event.get_content_offset(self)
        if offset is None:
            return
        index, at = offset.y + int(self.scroll_offset.y), offset.x
        for run in self.lines[index] if index < len(self.lines) else []:
            if 0 <= at < len(run.text) and run.does:
                event.stop()
                await self.run_action(run.does)
            at -= len(run.text)

    def action_scroll_by(self, lines: int) -> None:
        """Scroll; asked for before anything is drawn, once it is."""
        if not self.lines:
            self.owed += lines
            return
        self.scroll_relative(y=lines, animate=False, force=True, immediate=True)

    def action_close(self) -> None:
        self.post_message(Closed())
