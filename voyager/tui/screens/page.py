"""A page to read over the screen: cautions, details."""

from collections.abc import Sequence

from textual.app import ComposeResult
from textual.containers import VerticalScroll

from voyager.tui.actions import bindings
from voyager.tui.screens.card import CardScreen
from voyager.tui.widgets.lines import Lines


class Page(VerticalScroll, can_focus=True, inherit_bindings=False):
    """The scrolling part."""

    BINDINGS = bindings("read")

    def action_scroll_by(self, lines: int) -> None:
        self.scroll_relative(y=lines, animate=False)

    def action_close(self) -> None:
        screen = self.screen
        if isinstance(screen, PageScreen):
            screen.leave(None)


class PageScreen(CardScreen[None]):
    """Closed by Esc, Enter, q or a click outside."""

    def __init__(self, title: str, lines: Sequence[tuple[str, str]]) -> None:
        super().__init__()
        self.heading, self.lines = title, list(lines)

    def compose(self) -> ComposeResult:
        with Page(classes="card -page"):
            yield Lines(id="page-lines")

    def on_mount(self) -> None:
        page = self.query_one(Page)
        page.border_title, page.border_subtitle = self.heading, "↑ ↓ scroll, Esc closes"
        self.query_one("#page-lines", Lines).show(self.lines)
