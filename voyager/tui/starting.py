"""Voyages begun, and those opened of late remembered."""

import os
from collections.abc import Mapping
from functools import partial
from typing import TYPE_CHECKING, Any

from voyager.errors import NotSaved
from voyager.tui.actions import key_of
from voyager.tui.preferring import PreferringApp

if TYPE_CHECKING:
    from voyager.session.recent import Found

OTHER_BOAT, NO_BOAT = "another file", "none yet"


class StartingApp(PreferringApp, inherit_bindings=False):
    """A new voyage is a file from its first moment on: what is typed into it then can't be lost."""

    async def _take_opened(self, body: Mapping[str, Any]) -> None:
        from voyager.session.recent import is_file

        await super()._take_opened(body)
        if is_file(self.desk.path):
            job = partial(self.remember, self.desk.path)
            self.run_worker(job, thread=True, group="settings", exit_on_error=False)

    def remember(self, path: str) -> None:
        from voyager.session.settings import remember

        if self.settings:
            remember(path)

    async def action_new(self) -> None:
        """Pick a boat for a voyage to begin."""
        from voyager.session.recent import boats
        from voyager.tui.screens.pick import PickScreen

        named: dict[str, Found] = {}
        for row in boats(self.desk.path):
            name = row.note or os.path.basename(row.path)
            named[name if name not in named else row.typed] = row
        options = [
            *((name, row.typed) for name, row in named.items()),
            (OTHER_BOAT, ""),
            (NO_BOAT, "it can come later"),
        ]

        async def picked(taken: str | None) -> None:
            if taken == OTHER_BOAT:
                await self._other_boat()
            elif taken is not None:
                await self._begin_with(named[taken].path if taken in named else "")

        await self.push_screen(PickScreen("A new voyage: its boat", options, None), picked)

    async def _other_boat(self) -> None:
        from voyager.session.recent import folder_of
        from voyager.tui.screens.files import OpenBoatScreen

        async def taken(path: str | None) -> None:
            if path:
                await self._begin_with(path)

        await self.push_screen(OpenBoatScreen("A boat file", folder_of(self.desk.path)), taken)

    async def _begin_with(self, boat: str) -> None:
        from voyager.session.recent import folder_of
        from voyager.tui.screens.begin import NewScreen

        async def taken(made: tuple[str, str, str, str] | None) -> None:
            if made is not None:
                await self._part(lambda: self._begin_voyage(boat, made))

        await self.push_screen(NewScreen(folder_of(self.desk.path, to_write=True), boat), taken)

    def _begin_voyage(self, boat: str, made: tuple[str, str, str, str]) -> None:
        """Write the file and open it in place of this voyage, whose edits were saved or given up."""
        from voyager.session.sketch.begin import begin

        name, start, end, path = made
        try:
            begin(path, name, boat, (start, end), self.today())
        except NotSaved as error:
            self.change(trouble=str(error))
            return
        self.opening = path
        self.worker.open(path)
        self.tell(f"{os.path.basename(path)} is begun; {key_of('places')} gives its places their positions")
