"""A short list to choose from, each line with a word on what it means."""

from collections.abc import Sequence

from textual import events, on
from textual.app import ComposeResult
from textual.containers import Vertical
from textual.content import Content
from textual.widgets import OptionList
from textual.widgets.option_list import Option

from voyager.tui.actions import bindings
from voyager.tui.screens.card import CardScreen
from voyager.tui.widgets.options import Options


class PickList(Options, inherit_bindings=False):
    """Options taken by Enter, mouse, or their first letter."""

    BINDINGS = bindings("pick")


class PickScreen(CardScreen[str]):
    """Dismissed with the value taken, or None."""

    keys_told = "Enter takes, Esc leaves"

    def __init__(self, title: str, options: Sequence[tuple[str, str]], value: str | None) -> None:
        super().__init__()
        self.heading, self.options, self.value = title, [*options], value

    def compose(self) -> ComposeResult:
        with Vertical(classes="card"):
            yield self.list()

    def list(self) -> PickList:
        """The options as a list."""
        width = max((len(name) for name, _ in self.options), default=0)
        return PickList(*(self._option(name, note, width) for name, note in self.options))

    def _option(self, name: str, note: str, width: int) -> Option:
        mark = "•" if name == self.value else " "
        prompt = Content.assemble(f"{mark} ", (name[:1], "bold underline"), (f"{name[1:]:<{width}} ", "bold"), note)
        return Option(prompt, id=f"option-{name.replace(' ', '-')}")

    def on_mount(self) -> None:
        card = self.query_one(".card")
        card.border_title, card.border_subtitle = self.heading, self.keys_told
        names = [name for name, _ in self.options]
        self.query_one(PickList).highlighted = names.index(self.value) if self.value in names else 0

    def on_key(self, event: events.Key) -> None:
        fits = [i for i, (name, _) in enumerate(self.options) if event.character and name.startswith(event.character)]
        if fits:
            event.stop()
            self.query_one(PickList).highlighted = fits[0]
            if len(fits) == 1:
                self.leave(self.options[fits[0]][0])

    @on(OptionList.OptionSelected)
    def _taken(self, event: OptionList.OptionSelected) -> None:
        self.leave(self.options[event.option_index][0])

    def action_drop(self) -> None:
        self.leave(None)
