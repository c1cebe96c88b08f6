"""A file's name, asked for."""

from textual.app import ComposeResult
from textual.containers import Vertical
from textual.widgets import Input

from voyager.tui.actions import bindings
from voyager.tui.screens.card import CardScreen


class NameField(Input):
    """The field itself."""

    BINDINGS = bindings("name")

    def action_take(self) -> None:
        screen = self.screen
        if isinstance(screen, NameScreen):
            screen.leave(self.value.strip() or None)

    def action_drop(self) -> None:
        screen = self.screen
        if isinstance(screen, NameScreen):
            screen.leave(None)


class NameScreen(CardScreen[str]):
    """Dismissed with what was typed, or None."""

    def __init__(self, title: str, value: str) -> None:
        super().__init__()
        self.heading, self.value = title, value

    def compose(self) -> ComposeResult:
        with Vertical(classes="card -name"):
            yield NameField(self.value, compact=True, select_on_focus=False)

    def on_mount(self) -> None:
        card = self.query_one(".card")
        card.border_title, card.border_subtitle = self.heading, "Enter takes, Esc leaves"
