"""A leg between two typed positions: its length and course are shown before it is taken."""

from textual import on
from textual.app import ComposeResult
from textual.containers import Vertical
from textual.widgets import Input, Static

from voyager.session.sketch.state import Sketch
from voyager.tui import places_view
from voyager.tui.actions import bindings
from voyager.tui.screens.card import CardScreen

WHAT = """A position, a known place, or a new one with its name:
  53.42, -7.94 · 53°25.2'N 7°56.4'W · Mill Quay: 53 25.2 N 7 56.4 W"""


class EndField(Input):
    """One end of the leg."""

    BINDINGS = bindings("draw")

    def action_take(self) -> None:
        self._screen().take(self)

    def action_other(self) -> None:
        self._screen().other(self)

    def action_drop(self) -> None:
        self._screen().leave(None)

    def _screen(self) -> "DrawScreen":
        screen = self.screen
        if not isinstance(screen, DrawScreen):
            raise TypeError("an EndField lives on a DrawScreen")
        return screen


class DrawScreen(CardScreen[tuple[str, str]]):
    """Dismissed with the two ends as typed, both sound; or None."""

    def __init__(self, sketch: Sketch, start: str) -> None:
        super().__init__()
        self.sketch, self.start = sketch, start

    def compose(self) -> ComposeResult:
        with Vertical(classes="card -draw"):
            yield Static(WHAT, markup=False)
            yield Static("From", classes="label")
            yield EndField(self.start, compact=True, select_on_focus=False, id="draw-start")
            yield Static("To", classes="label")
            yield EndField("", compact=True, select_on_focus=False, id="draw-end")
            yield Static("", markup=False, id="draw-told")

    def on_mount(self) -> None:
        card = self.query_one(".card")
        card.border_title, card.border_subtitle = "A leg between two positions", "Enter takes, Tab changes, Esc leaves"
        self.set_focus(self.query_one("#draw-end" if self.start else "#draw-start", EndField))

    def _ends(self) -> tuple[str, str]:
        return self.query_one("#draw-start", EndField).value, self.query_one("#draw-end", EndField).value

    @on(Input.Changed)
    def _typed(self, event: Input.Changed) -> None:
        event.stop()
        self._tell(hasty=True)

    def _tell(self, hasty: bool) -> bool:
        """Say length and course, or what is wrong; while typing, only of the end that stands complete."""
        told, sound = "", False
        for name, text in zip(("From", "To"), self._ends(), strict=True):
            try:
                places_view.end_of(self.sketch, text)
            except ValueError as error:
                told = told or (f"✗ {name} {error}" if text.strip() or not hasty else "")
                break
        else:
            told, sound = places_view.drawn_or_not(self.sketch, *self._ends())
        label = self.query_one("#draw-told", Static)
        label.update(told)
        label.set_class(not sound, "-wrong")
        return sound

    def other(self, field: EndField) -> None:
        """To the other end."""
        self.set_focus(next(one for one in self.query(EndField) if one is not field))

    def take(self, field: EndField) -> None:
        """On to the second end, or leave with both."""
        if field.id == "draw-start" and not self._ends()[1].strip():
            self.other(field)
        elif self._tell(hasty=False):
            self.leave(self._ends())
