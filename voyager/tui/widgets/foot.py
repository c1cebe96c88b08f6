"""The line of keys at the foot: what can be done here, as many as there is room for."""

from typing import TYPE_CHECKING, Any

from textual import events
from textual.app import RenderResult
from textual.binding import Binding
from textual.content import Content
from textual.widget import Widget

from voyager.tui.actions import ACTIONS, UNBOUND

if TYPE_CHECKING:
    from textual.screen import Screen

ALWAYS = ("help", "quit")
PLACES = {action.id: (action.scope == "app", number) for number, action in enumerate(ACTIONS)}
"""Those of the widget in focus first, else in the order of the list, which keys of the user's own would upset."""


class Foot(Widget):
    """Drawn as one line, so that a change of focus costs no new widgets; a click does what the key does.

    Keys of the widget in focus come first; help and leaving are always there.
    """

    def on_mount(self) -> None:
        self.screen.bindings_updated_signal.subscribe(self, self._changed)

    def _changed(self, _: "Screen[Any]") -> None:
        self.refresh()

    def shown(self) -> list[tuple[str, str, Binding]]:
        """Key, label and binding of each that has room."""
        told: dict[str, Binding] = {}
        for active in self.screen.active_bindings.values():
            if active.binding.show and active.enabled and not active.binding.key.startswith(UNBOUND):
                told.setdefault(active.binding.action, active.binding)
        found = sorted(told.values(), key=lambda binding: PLACES.get(binding.id or "", (True, len(PLACES))))
        keys = [(self.app.get_key_display(binding), binding.description, binding) for binding in found]
        room = self.size.width - sum(_width(key) for key in keys if key[2].id in ALWAYS)
        fits = []
        for key in keys:
            always = key[2].id in ALWAYS
            if not always:
                room -= _width(key)
            if always or room >= 0:
                fits.append(key)
        return fits

    def render(self) -> RenderResult:
        style = "bold underline" if self.app.no_color else "bold $accent"
        return Content.assemble(*(p for key, label, _ in self.shown() for p in (" ", (key, style), f" {label} ")))

    def on_click(self, event: events.Click) -> None:
        at = event.x
        for key in self.shown():
            if 0 <= at < _width(key):
                self.app.simulate_key(key[2].key.split(",")[0])
                return
            at -= _width(key)


def _width(key: tuple[str, str, Binding]) -> int:
    return len(key[0]) + len(key[1]) + 3
