"""A question with what is at stake above its answers, each with a word on what it does."""

from collections.abc import Sequence

from textual.app import ComposeResult
from textual.containers import Vertical

from voyager.tui.screens.pick import PickScreen
from voyager.tui.widgets.lines import Lines


class AskScreen(PickScreen):
    """Dismissed with the answer taken, or with None by Esc."""

    keys_told = "Enter takes, Esc goes back"

    def __init__(self, title: str, lines: Sequence[tuple[str, str]], options: Sequence[tuple[str, str]]) -> None:
        super().__init__(title, options, None)
        self.said = list(lines)

    def compose(self) -> ComposeResult:
        with Vertical(classes="card -ask"):
            yield Lines(id="ask-lines")
            yield self.list()

    def on_mount(self) -> None:
        self.query_one("#ask-lines", Lines).show(self.said)
