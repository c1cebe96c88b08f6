"""A page to read over the screen: help, cautions, details."""

from collections.abc import Sequence

from textual.app import ComposeResult
from textual.containers import VerticalScroll

from voyager.tui.actions import ACTIONS, SCOPES, bindings, key_names
from voyager.tui.screens.card import CardScreen
from voyager.tui.widgets.lines import Lines

SIGNS = (
    ("title", "Signs"),
    ("plain", "▸ under way   · rest   ▴ charge: waiting for sun   ╧ shore: on a plug"),
    ("plain", "!2  two cautions lean on that day, named where there is room   ✗  not held, or short"),
    ("plain", "=6  a speed fixed by you or the file    *  a choice other than the file's"),
    ("plain", "┃   days of the leg under the cursor"),
    ("plain", "A bar ends at next morning's charge, │ the day's lowest, ╎ the floor"),
    ("plain", "This morning: ▁ dark  ▂ dull  ▄ mixed  ▆ fair  █ bright, each a fifth of such days"),
    ("plain", "░ stay   → go on to   ← go back to   ┃ the plan's charge   ▸ the plan's sky"),
    ("plain", "− kWh out: propulsion, hotel, heating, loss   + kWh in: solar, shore; bars grow from the middle"),
    ("plain", "Hours: ▸ under way   ║ waiting at a lock or bridge   · made fast   ▾ lowest charge   ╌ floor"),
)


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


def help_lines() -> list[tuple[str, str]]:
    """The help page, out of the list of actions."""
    lines: list[tuple[str, str]] = list(SIGNS)
    for scope, where in SCOPES.items():
        lines += [("plain", ""), ("title", where)]
        lines += [("plain", f"{_keys(action.id):<16} {action.help}") for action in ACTIONS if action.scope == scope]
    return [*lines, ("plain", ""), ("caution", "! Not for navigation. Follow makers' instructions and local codes.")]


def _keys(ident: str) -> str:
    action = next(action for action in ACTIONS if action.id == ident)
    return ", ".join([key_names(action), *action.keys.split(",")[1:]])
