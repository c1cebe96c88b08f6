"""The worker process's own side: warm imports, then one job at a time, the newest first."""

import importlib
import os
import queue
import threading
import time
from collections.abc import Callable
from multiprocessing.connection import Connection
from pathlib import Path
from typing import Any

from voyager.tui.packed import packed

WARM = ("numpy", "pandas", "pvlib", "pydantic", "scipy.interpolate")
THREADS = ("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS")
NICE = 5
PROGRESS_EVERY_S = 0.1
LOG_MAX_BYTES = 1_000_000


def serve(pipe: Connection, log: str | None) -> None:
    """Answer jobs ``(kind, ticket, function, arguments)`` from ``pipe`` until its other end is gone."""
    _set_up(log)
    desk = _Desk(pipe)
    threading.Thread(target=desk.listen, daemon=True).start()
    if not desk.waiting():
        _warm()
    while True:
        desk.work()


def _set_up(log: str | None) -> None:
    import signal

    signal.signal(signal.SIGINT, signal.SIG_IGN)
    for name in THREADS:
        os.environ[name] = "1"
    _redirect(log)
    if hasattr(os, "nice"):
        os.nice(NICE)


def _redirect(log: str | None) -> None:
    """Libraries' warnings go to the log: on the terminal they would be painted over the screen."""
    out = os.open(os.devnull, os.O_WRONLY)
    if log is not None:
        try:
            fresh = not Path(log).exists() or Path(log).stat().st_size > LOG_MAX_BYTES
            out = os.open(log, os.O_WRONLY | os.O_CREAT | (os.O_TRUNC if fresh else os.O_APPEND), 0o600)
        except OSError:
            pass
    os.dup2(os.open(os.devnull, os.O_RDONLY), 0)
    os.dup2(out, 1)
    os.dup2(out, 2)


def _warm() -> None:
    for name in WARM:
        try:
            importlib.import_module(name)
        except ImportError:
            continue


class _Desk:
    """Jobs that came in; a newer plan wanted cancels the one under way."""

    def __init__(self, pipe: Connection) -> None:
        self.pipe = pipe
        self.jobs: queue.Queue[tuple[str, int, str, tuple[Any, ...]]] = queue.Queue()
        self.newest = 0
        self.lock = threading.Lock()

    def listen(self) -> None:
        try:
            while True:
                kind, ticket, function, arguments = self.pipe.recv()
                self.newest = max(self.newest, ticket)
                if kind != "cancel":
                    self.jobs.put((kind, ticket, function, arguments))
        except (EOFError, OSError):
            os._exit(0)

    def waiting(self) -> bool:
        return not self.jobs.empty()

    def work(self) -> None:
        kind, ticket, function, arguments = self.jobs.get()
        if kind == "plan" and ticket < self.newest:
            self.tell("dropped", ticket, None)
            return
        self.tell("started", ticket, None)
        self.tell(*self._result(kind, ticket, function, arguments))

    def _result(self, kind: str, ticket: int, function: str, arguments: tuple[Any, ...]) -> tuple[str, int, Any]:
        from voyager.errors import Cancelled, VoyagerError

        try:
            call = _find(function)
            return kind, ticket, self._planned(ticket, call, *arguments) if kind == "plan" else call(*arguments)
        except Cancelled:
            return "dropped", ticket, None
        except VoyagerError as error:
            return "problem", ticket, str(error)
        except Exception as error:
            import traceback

            traceback.print_exc()
            return "fault", ticket, f"{type(error).__name__}: {error}"

    def _planned(self, ticket: int, call: Callable[..., Any], path: str, changes: Any, members: int) -> Any:
        """The plan with its odds; the one under one sky is told before."""
        watch = {"progress": self._progress(ticket), "cancelled": lambda: self.newest > ticket}
        self.tell("draft", ticket, packed(call(path, changes, members=0, **watch)))
        return packed(call(path, changes, members=members, **watch))

    def _progress(self, ticket: int) -> Callable[[float, str], None]:
        last = [0.0]

        def told(share: float, what: str) -> None:
            if time.monotonic() - last[0] >= PROGRESS_EVERY_S:
                last[0] = time.monotonic()
                self.tell("progress", ticket, (float(share), str(what)))

        return told

    def tell(self, kind: str, ticket: int, body: Any) -> None:
        with self.lock:
            self.pipe.send((kind, ticket, body))


def _find(dotted: str) -> Callable[..., Any]:
    module, _, name = dotted.partition(":")
    found: Callable[..., Any] = getattr(importlib.import_module(module), name)
    return found
