"""A worker's interface that holds some questions back, and refuses others."""

from typing import Any

from tests.tui.harness import Nearby, OnFiles

FULL = "the disk is full"


class Waiting(Nearby):
    """Questions whose names begin as in ``late`` are answered by ``release``; those in ``no`` are refused."""

    late: tuple[str, ...] = ()
    no: tuple[str, ...] = ()

    def start(self) -> None:
        super().start()
        self.waits: list[tuple[str, str, tuple[Any, ...]]] = []

    def ask(self, name: str, function: str, arguments: tuple[Any, ...]) -> None:
        if self.no and name.startswith(self.no):
            self._say("refused", 0, (name, FULL))
        elif self.late and name.startswith(self.late):
            self.waits.append((name, function, arguments))
        else:
            super().ask(name, function, arguments)

    def release(self) -> None:
        """Answer what was held back."""
        self.late, waits, self.waits = (), self.waits, []
        for one in waits:
            self.ask(*one)

    def fall(self) -> None:
        """The process ends, and with it what was asked of it."""
        self.waits.clear()
        self._say("lost", self.ticket, None)


class WaitingOnFiles(Waiting, OnFiles):
    """The same on real files."""
