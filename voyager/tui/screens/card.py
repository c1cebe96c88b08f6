"""What every screen laid over the first one has in common: it is left once, and a click outside leaves it."""

from typing import TypeVar

from textual import events
from textual.screen import ModalScreen

Result = TypeVar("Result")


class CardScreen(ModalScreen[Result]):
    """A key and a click may both ask to leave before the screen is gone: the first of them counts."""

    def __init__(self) -> None:
        super().__init__()
        self.gone = False

    def leave(self, value: Result | None) -> None:
        """Close with a value, None for none."""
        if not self.gone:
            self.gone = True
            self.dismiss(value)

    def on_click(self, event: events.Click) -> None:
        """Only what lies outside the card belongs to the screen itself."""
        if event.widget is self:
            self.leave(None)
