"""The worker process's own side: warm imports, then one plan at a time, the newest first; questions beside it."""

import importlib
import os
import queue
import threading
import time
from collections.abc import Callable, Mapping, Sequence
from functools import partial
from multiprocessing.connection import Connection
from typing import Any

from voyager.session.log_file import open_log
from voyager.tui.packed import packed

WARM = ("numpy", "pandas", "pvlib", "pydantic", "scipy.interpolate")
THREADS = ("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS")
NICE = 5
PROGRESS_EVERY_S = 0.1
Job = tuple[str, int, str, tuple[Any, ...]]
Told = tuple[str, Any]


def serve(pipe: Connection, log: str | None) -> None:
    """Answer jobs ``(kind, ticket, function, arguments)`` from ``pipe`` until its other end is gone."""
    _set_up(log)
    desk = _Desk(pipe)
    threading.Thread(target=desk.listen, daemon=True).start()
    threading.Thread(target=desk.answer, daemon=True).start()
    threading.Thread(target=desk.watch, daemon=True).start()
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
    found = None if log is None else open_log(log)
    out = os.open(os.devnull, os.O_WRONLY) if found is None else found
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
        self.jobs: queue.Queue[Job] = queue.Queue()
        self.asks: queue.Queue[Job] = queue.Queue()
        self.watched: queue.Queue[Job] = queue.Queue()
        self.newest = 0
        self.asked: dict[str, int] = {}
        self.read: dict[str, Any] = {}
        self.lock = threading.Lock()

    def listen(self) -> None:
        try:
            while True:
                self._sort(self.pipe.recv())
        except (EOFError, OSError):
            os._exit(0)

    def _sort(self, job: Job) -> None:
        kind, ticket, _, arguments = job
        if kind in {"ask", "watch", "leave"}:
            self.asked[arguments[0]] = ticket
            if kind != "leave":
                (self.asks if kind == "ask" else self.watched).put(job)
            return
        if kind == "plan" and ticket <= self.newest:
            return
        if kind in {"plan", "cancel"}:
            self.newest = max(self.newest, ticket)
        if kind != "cancel":
            self.jobs.put(job)

    def waiting(self) -> bool:
        return not self.jobs.empty()

    def work(self) -> None:
        kind, ticket, function, arguments = self.jobs.get()
        if kind == "plan" and ticket < self.newest:
            self.tell("dropped", ticket, None)
        elif kind == "plan":
            self.tell("started", ticket, None)
            self.tell(*_tried(ticket, "problem", "fault", lambda: self._planned(ticket, function, *arguments)))
        else:
            self.tell(*_tried(ticket, "unopened", "unopened", lambda: ("opened", self._opened(function, *arguments))))

    def answer(self) -> None:
        """Answer questions for ever, each name's newest alone."""
        while True:
            _, ticket, function, (name, *arguments) = self.asks.get()
            if self.asked[name] == ticket:
                kind, _, body = _tried(ticket, "refused", "refused", partial(_answered, function, arguments))
                self.tell(kind, ticket, (name, body))

    def watch(self) -> None:
        """Likewise for what takes long; it is given up when it is no longer wanted."""
        while True:
            _, ticket, function, (name, *arguments) = self.watched.get()
            if self.asked[name] == ticket:
                watch = {"progress": self._share(name, ticket), "cancelled": partial(self._unwanted, name, ticket)}
                kind, _, body = _tried(ticket, "refused", "refused", partial(_answered, function, arguments, watch))
                if kind != "dropped":
                    self.tell(kind, ticket, (name, body))

    def _unwanted(self, name: str, ticket: int) -> bool:
        return self.asked[name] != ticket

    def _share(self, name: str, ticket: int) -> Callable[[float, str], None]:
        return self._seldom(lambda share, what: self.tell("share", ticket, (name, share, what)))

    def _opened(self, function: str, path: str) -> Any:
        found = _find(function)(path)
        self.read = {path: found["documents"]}
        return found

    def _planned(
        self, ticket: int, function: str, path: str, documents: Any, members: tuple[int, ...], faults: str, opened: str,
        start: str | None = None,
    ) -> Told:  # fmt: skip
        """The last plan; those before it are told on the way. The faults where there are any."""
        if documents is None:
            documents = self.read[path] if path in self.read else self._opened(opened, path)["documents"]
        found = _find(faults)(path, documents)
        if found:
            return "faults", found
        watch: dict[str, Any] = {"progress": self._progress(ticket), "cancelled": lambda: self.newest > ticket}
        watch |= {} if start is None else {"start": start}
        told = "draft"
        for at, plan in enumerate(_find(function)(path, documents, members=members, **watch), start=1):
            body = packed(plan)
            if at == len(members):
                return "plan", body
            self.tell(told, ticket, body)
            told = "better"
        raise RuntimeError("the stages ended before the last")

    def _progress(self, ticket: int) -> Callable[[float, str], None]:
        return self._seldom(lambda share, what: self.tell("progress", ticket, (share, what)))

    def _seldom(self, tell: Callable[[float, str], None]) -> Callable[[float, str], None]:
        last = [0.0]

        def told(share: float, what: str) -> None:
            if time.monotonic() - last[0] >= PROGRESS_EVERY_S:
                last[0] = time.monotonic()
                tell(float(share), str(what))

        return told

    def tell(self, kind: str, ticket: int, body: Any) -> None:
        with self.lock:
            self.pipe.send((kind, ticket, body))


def _answered(function: str, arguments: Sequence[Any], watch: Mapping[str, Any] | None = None) -> Told:
    return "answer", _find(function)(*arguments, **(watch or {}))


def _tried(ticket: int, refused: str, failed: str, call: Callable[[], Told]) -> tuple[str, int, Any]:
    """What a job comes to, errors told as what they are."""
    from voyager.errors import Cancelled, VoyagerError

    try:
        kind, body = call()
        return kind, ticket, body
    except Cancelled:
        return "dropped", ticket, None
    except VoyagerError as error:
        return refused, ticket, str(error)
    except Exception as error:
        import traceback

        traceback.print_exc()
        return failed, ticket, f"{type(error).__name__}: {error}"


def _find(dotted: str) -> Callable[..., Any]:
    module, _, name = dotted.partition(":")
    found: Callable[..., Any] = getattr(importlib.import_module(module), name)
    return found
