"""What the user prefers: units and look, taken from the settings at the start and kept there when picked."""

from collections.abc import Mapping
from dataclasses import replace
from functools import partial
from typing import Any

from voyager.tui import themes
from voyager.tui.saving import SavingApp
from voyager.tui.units import ALL, NOTES, units_of


class PreferringApp(SavingApp, inherit_bindings=False):
    """``settings`` as session.settings gives them; empty where none were read."""

    settings: Mapping[str, Any] = {}

    def prefer(self, settings: Mapping[str, Any]) -> None:
        """Take the settings over, before the app runs."""
        self.settings = settings
        self.desk = replace(self.desk, units=units_of(settings["units"]), ascii=bool(settings["ascii"]))
        self.first.desk = self.desk

    def on_ready(self) -> None:
        """Say what of the settings could not be used."""
        if self.settings.get("trouble"):
            self.warn(self.settings["trouble"])

    async def action_units(self) -> None:
        """Pick the units of the screens."""
        from voyager.tui.screens.pick import PickScreen

        options = [(units.words, note) for units, note in zip(ALL, NOTES, strict=True)]
        await self.push_screen(PickScreen("Units", options, self.desk.units.words), self._united)

    def _united(self, taken: str | None) -> None:
        for units in ALL:
            if units.words == taken:
                self.change(units=units)
                self.keep(units=units.table())

    def action_look(self) -> None:
        """The next look."""
        if self.no_color:
            self.tell("NO_COLOR is set: no colours are used")
            return
        self.theme = themes.next_look(self.theme)
        self.keep(look=next(look for look, theme in themes.LOOKS.items() if theme == self.theme))

    def keep(self, **settings: Any) -> None:
        """Keep settings for the next time, beside the screens; told where they can't be."""
        self.run_worker(partial(self._store, settings), thread=True, group="settings", exit_on_error=False)

    def _store(self, settings: Mapping[str, Any]) -> None:
        from voyager.session.settings import store

        if why := store(**settings):
            self.call_from_thread(self.tell, why)
