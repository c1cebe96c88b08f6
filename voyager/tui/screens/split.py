"""Where a leg is to be split: a kilometre and a name, or one of the moorings along it."""

from collections.abc import Sequence

from textual.app import ComposeResult
from textual.containers import Vertical
from textual.widgets import Input, Static

from voyager.tui.actions import bindings
from voyager.tui.screens.card import CardScreen

SHOWN = 8
WHAT = "Kilometre on the leg, and a name: 12.4 Mill Quay"


class SplitField(Input):
    """The field: the arrows go through the moorings."""

    BINDINGS = bindings("split")

    def action_take(self) -> None:
        self._screen().take()

    def action_drop(self) -> None:
        self._screen().leave(None)

    def action_go(self, by: int) -> None:
        self._screen().go(by)

    def _screen(self) -> "SplitScreen":
        screen = self.screen
        if not isinstance(screen, SplitScreen):
            raise TypeError("a SplitField lives on a SplitScreen")
        return screen


class SplitScreen(CardScreen[tuple[float, str]]):
    """Dismissed with kilometre and name ("" for none), or None."""

    def __init__(self, title: str, moorings: Sequence[tuple[float, str]], length_km: float) -> None:
        super().__init__()
        self.heading, self.moorings, self.length_km = title, list(moorings), length_km
        self.at = len(self.moorings) // 2

    def compose(self) -> ComposeResult:
        with Vertical(classes="card -split"):
            yield Static(WHAT, markup=False)
            yield SplitField(self._own(), compact=True, select_on_focus=True)
            yield Static(self._list(), markup=False, id="split-list")
            yield Static("", markup=False, id="split-reason")

    def on_mount(self) -> None:
        card = self.query_one(".card")
        card.border_title, card.border_subtitle = self.heading, "Enter splits, Esc leaves"

    def _own(self) -> str:
        km = self.moorings[self.at][0] if self.moorings else self.length_km / 2
        return f"{km:.4g}"

    def _list(self) -> str:
        if not self.moorings:
            return "There is no mooring along this leg."
        first = max(0, min(self.at - SHOWN // 2, len(self.moorings) - SHOWN))
        lines = [
            f"{'▸' if n == self.at else ' '} {km:7.4g}  {name}"
            for n, (km, name) in list(enumerate(self.moorings))[first : first + SHOWN]
        ]
        return "\n".join(["Moorings along it (↑ ↓):", *lines])

    def go(self, by: int) -> None:
        """To the next mooring."""
        if self.moorings:
            self.at = max(0, min(len(self.moorings) - 1, self.at + by))
            field = self.query_one(SplitField)
            field.value = self._own()
            field.cursor_position = len(field.value)
            self.query_one("#split-list", Static).update(self._list())

    def take(self) -> None:
        """Leave with what was typed, or say why it can't be taken."""
        figure, _, name = self.query_one(SplitField).value.strip().partition(" ")
        try:
            km = float(figure.replace(",", "."))
        except ValueError:
            km = -1.0
        near = next((one for one, _ in self.moorings if f"{one:.4g}" == figure), km)
        if not 0.0 < near < self.length_km:
            self.query_one("#split-reason", Static).update(f"✗ must be a km between 0 and {self.length_km:.4g}")
        else:
            self.leave((near, name.strip()))
