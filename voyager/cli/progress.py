"""A bar on stderr for work that lasts longer than half a second; nothing where stderr is no terminal."""

import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from threading import Lock, Timer
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from rich.progress import Progress, TaskID

SHOWN_AFTER_S = 0.5


class Bar:
    """Takes ``(fraction, text)`` at any time, draws from ``show`` until ``close``."""

    def __init__(self) -> None:
        self._lock = Lock()
        self._now = (0.0, "")
        self._drawn: tuple[Progress, TaskID] | None = None
        self._closed = False

    def __call__(self, fraction: float, text: str) -> None:
        """Note how far the work is."""
        with self._lock:
            self._now = (fraction, text)
            self._draw()

    def show(self) -> None:
        """Start drawing, unless the work is over."""
        from rich.console import Console
        from rich.progress import BarColumn, Progress, TextColumn, TimeElapsedColumn

        columns = (TextColumn("{task.description}"), BarColumn(30), TimeElapsedColumn())
        with self._lock:
            if not self._closed:
                progress = Progress(*columns, console=Console(stderr=True), transient=True)
                self._drawn = (progress, progress.add_task("", total=None))
                self._draw()
                progress.start()

    def close(self) -> None:
        """Stop drawing and leave no trace on the terminal."""
        with self._lock:
            self._closed = True
            if self._drawn:
                self._drawn[0].stop()

    def _draw(self) -> None:
        if self._drawn:
            progress, task = self._drawn
            fraction, text = self._now
            progress.update(task, total=1.0 if fraction > 0 else None, completed=fraction, description=text)


@contextmanager
def progress() -> Iterator[Callable[[float, str], None]]:
    """A callback for the work inside; the bar comes after half a second and goes with the work.

    It runs to and fro as long as the work has not said how far it is.
    """
    bar = Bar()
    timer = Timer(SHOWN_AFTER_S, bar.show)
    timer.daemon = True
    if sys.stderr.isatty():
        timer.start()
    try:
        yield bar
    finally:
        timer.cancel()
        bar.close()
