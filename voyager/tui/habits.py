"""Habits: the user's own keys, the tour, ASCII signs, the help, and the palette of actions."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from functools import partial
from typing import TYPE_CHECKING, Any

from textual import events
from textual.app import SystemCommand
from textual.binding import Binding
from textual.dom import DOMNode
from textual.screen import Screen

from voyager.tui.actions import ACTIONS, SCOPES, Action, keys_of
from voyager.tui.key_names import key_words
from voyager.tui.noting import NotingApp
from voyager.tui.tables import way_up

if TYPE_CHECKING:
    from collections.abc import Iterable

    from textual.filter import LineFilter

    from voyager.tui.screens.tour import Tour


class HabitsApp(NotingApp, inherit_bindings=False):
    """``key_faults``: what of the key file is not used; ``toured``: the tour is on the screen."""

    key_faults: Sequence[str] = ()
    key_file = ""
    toured: "Tour | None" = None
    plain: "LineFilter | None" = None

    def _on_ready(self) -> None:
        """What the user is to know first: what is wrong with the keys, else how to begin."""
        if self.key_faults:
            self.call_later(self._tell_keys)
        elif self.settings and not self.settings.get("toured") and not self.settings.get("trouble"):
            self.call_later(self.action_tour)

    # keys

    def take_keys(self, own: Mapping[str, tuple[str, ...]], faults: Sequence[str], file: str = "") -> None:
        """The user's own keys by action; ``faults`` of their ``file`` are said when the screen stands."""
        self.key_faults, self.key_file = faults, file
        if own:
            from voyager.tui.keymap import keymap

            self.set_keymap(keymap(dict(own)))

    def get_key_display(self, binding: Binding) -> str:
        return binding.key_display or key_words(binding.key.split(",")[0])

    async def _tell_keys(self) -> None:
        from voyager.tui.screens.page import PageScreen

        lines = [("alarm", f"✗ {fault}") for fault in self.key_faults]
        lines.append(("plain", f"The usual keys hold there; all else of {self.key_file or 'the key file'} is used."))
        await self.push_screen(PageScreen("Key file", lines))

    def action_write_keys(self) -> None:
        """Write a first key file."""
        from voyager.errors import InputError
        from voyager.session.keys import begin_keys
        from voyager.tui.keymap import template

        try:
            self.tell(f"{begin_keys(template())} is written; it is read at the next start")
        except InputError as error:
            self.tell(f"✗ {error}")

    # the tour

    async def action_tour(self) -> None:
        """Show the four lines until a key or click."""
        from voyager.tui.screens.tour import Tour

        if self.toured is None:
            self.toured = Tour()
            await self.first.mount(self.toured)

    async def on_event(self, event: events.Event) -> None:
        if self.toured is not None and isinstance(event, events.Key | events.MouseDown | events.Paste):
            tour, self.toured = self.toured, None
            tour.remove()
            if self.settings and not self.settings.get("toured"):
                self.settings = {**self.settings, "toured": True}
                self.keep(toured=True)
        await super().on_event(event)

    # signs

    def prefer(self, settings: Mapping[str, Any]) -> None:
        super().prefer(settings)
        self.draw_plain(self.desk.ascii)

    def draw_plain(self, on: bool) -> None:
        """Draw with ASCII signs alone, or with all."""
        self.plain = None
        if on:
            from voyager.tui.ascii import AsciiFilter

            self.plain = AsciiFilter()
        self.desk = replace(self.desk, ascii=on)
        self.first.desk = self.desk

    def get_line_filters(self) -> "Sequence[LineFilter]":
        filters = super().get_line_filters()
        return filters if self.plain is None else [*filters, self.plain]

    def action_ascii(self) -> None:
        self.draw_plain(not self.desk.ascii)
        self.keep(ascii=self.desk.ascii)
        for screen in self.screen_stack:
            screen.refresh()
        self.tell("Drawn with ASCII signs alone" if self.desk.ascii else "Drawn with all signs")

    # what can be done here

    async def action_help(self) -> None:
        from voyager.tui.screens.help import HelpScreen

        await self.push_screen(HelpScreen(list(dict.fromkeys(action.scope for action, _ in self._here(self.screen)))))

    def get_system_commands(self, screen: Screen[Any]) -> "Iterable[SystemCommand]":
        """The command palette finds the same actions: those of the place in focus and of the pane that is open."""
        for action, node in self._here(screen):
            yield self._found(f"{SCOPES[action.scope]}: {action.label}", action, node)
        for action in ACTIONS:
            if action.scope == "app" and action.id != "palette":
                yield self._found(action.label, action, self)

    def _found(self, name: str, action: Action, node: DOMNode) -> SystemCommand:
        keys = ", ".join(map(key_words, keys_of(action)))
        told = f"{action.help} ({keys})" if keys else action.help
        return SystemCommand(name, told, partial(self.run_action, action.do, node))

    def _here(self, screen: Screen[Any]) -> Iterator[tuple[Action, DOMNode]]:
        """The actions heard where the cursor is and in the pane that is open, each with the widget that does it."""
        pane = self.first.panes.get(self.first.opened or "") if screen is self.first else None
        within = () if pane is None else pane.walk_children(with_self=True)
        inside = next((one for one in within if one.focusable), None)
        known = set()
        by_id = {action.id: action for action in ACTIONS if action.scope != "app"}
        for node in (*way_up(screen.focused), *way_up(inside)):
            for ident in _bound(node):
                if ident in by_id and ident not in known:
                    known.add(ident)
                    yield by_id[ident], node


def _bound(node: DOMNode) -> Iterator[str]:
    """Ids of the bindings of a widget, those of its own class first."""
    for kind in type(node).__mro__:
        for binding in vars(kind).get("BINDINGS", ()):
            if isinstance(binding, Binding) and binding.id:
                yield binding.id
