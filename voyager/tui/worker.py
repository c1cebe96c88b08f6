"""One warm worker process beside the screens: the newest wish wins, nothing here ever blocks them."""

import os
import threading
from collections.abc import Callable
from dataclasses import dataclass
from multiprocessing import get_context
from multiprocessing.connection import Connection
from multiprocessing.context import SpawnProcess
from pathlib import Path
from typing import Any

GRACE_S = 2.0
FALLS_MAX = 3
MEMBERS = 1000
Report = Callable[[str, int, Any], None]


@dataclass(frozen=True)
class Sources:
    """Dotted names of what the worker calls: tests give their own."""

    plan: str = "voyager.session.plan:plan"
    outline: str = "voyager.session.outline:outline"


def state_folder() -> Path | None:
    """The user's folder for logs, made if it is missing; None where it can't be."""
    home = os.environ.get("XDG_STATE_HOME") or os.path.join(os.path.expanduser("~"), ".local", "state")
    folder = Path(home) / "voyager"
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError:
        return None
    return folder


class PlanWorker:
    """Starts before the app runs, listens once it does. A job that won't stop when asked is ended with its process."""

    def __init__(self, sources: Sources | None = None, log: Path | None = None, grace_s: float = GRACE_S) -> None:
        self.sources, self.log, self.grace_s = sources or Sources(), log, grace_s
        self.report: Report | None = None
        self.ticket, self.running, self.falls, self.closed = 0, 0, 0, False
        self.wanted: tuple[str, int, str, tuple[Any, ...]] | None = None
        self.lock = threading.RLock()
        self.process: SpawnProcess | None = None
        self.pipe: Connection | None = None

    def start(self) -> None:
        """Start the process. The resource tracker must run before a Textual app takes stderr away."""
        from multiprocessing import resource_tracker

        from voyager.tui.child import serve

        if hasattr(resource_tracker, "ensure_running"):
            resource_tracker.ensure_running()
        context = get_context("spawn")
        self.pipe, theirs = context.Pipe()
        log = None if self.log is None else str(self.log)
        self.process = context.Process(target=serve, args=(theirs, log), daemon=True)
        self.process.start()
        theirs.close()
        self.running = 0
        if self.report is not None:
            self._hear(self.pipe)

    def listen(self, report: Report) -> None:
        """From now on call ``report(kind, ticket, body)`` from a thread for whatever the process says."""
        self.report = report
        if self.pipe is not None:
            self._hear(self.pipe)

    def outline(self, path: str) -> None:
        """Ask for the voyage as its file gives it."""
        self._send(("outline", 0, self.sources.outline, (path,)))

    def plan(self, path: str, changes: dict[str, object]) -> int:
        """Ask for a plan, a ``draft`` under one sky first; whatever older plan is under way is cancelled.

        Returns the ticket that its reports bear.
        """
        with self.lock:
            self.ticket += 1
            self.wanted = ("plan", self.ticket, self.sources.plan, (path, changes, MEMBERS))
            self._watch_running()
            self._send(self.wanted)
            return self.ticket

    def cancel(self) -> None:
        """Stop planning; reports of the plan under way are heard no more."""
        with self.lock:
            self.ticket += 1
            self.wanted = None
            self._watch_running()
            self._send(("cancel", self.ticket, "", ()))

    def stop(self) -> None:
        """End the process."""
        with self.lock:
            self.closed = True
            self._end()

    def _send(self, job: tuple[str, int, str, tuple[Any, ...]]) -> None:
        with self.lock:
            try:
                if self.pipe is None:
                    self._again()
                else:
                    self.pipe.send(job)
            except OSError:
                self._again()

    def _watch_running(self) -> None:
        if self.running and not self.closed:
            timer = threading.Timer(self.grace_s, self._end_if_still, (self.running,))
            timer.daemon = True
            timer.start()

    def _end_if_still(self, ticket: int) -> None:
        with self.lock:
            if self.running == ticket and not self.closed:
                self._again()

    def _again(self) -> None:
        """A new process in place of the old one, with the job that is still wanted."""
        if self.closed:
            return
        self._end()
        self.start()
        if self.wanted is not None and self.pipe is not None:
            self.pipe.send(self.wanted)

    def _end(self) -> None:
        process, pipe, self.process, self.pipe = self.process, self.pipe, None, None
        if process is not None:
            process.kill()
            process.join()
        if pipe is not None:
            pipe.close()

    def _hear(self, pipe: Connection) -> None:
        threading.Thread(target=self._listen, args=(pipe,), daemon=True).start()

    def _listen(self, pipe: Connection) -> None:
        try:
            while True:
                self._take(pipe, *pipe.recv())
        except (EOFError, OSError, TypeError):
            self._lost(pipe)

    def _take(self, pipe: Connection, kind: str, ticket: int, body: Any) -> None:
        with self.lock:
            if pipe is not self.pipe:
                return
            self.falls = 0
            if kind == "started":
                self.running = ticket
            elif kind not in {"progress", "draft"}:
                self.running = 0
            late = ticket and ticket != self.ticket
            report = self.report
        if report is not None and not late and kind not in {"started", "dropped"}:
            report(kind, ticket, body)

    def _lost(self, pipe: Connection) -> None:
        """The process ended by itself: say so, and have a fresh one ready without the job that ended it."""
        with self.lock:
            if pipe is not self.pipe or self.closed:
                return
            lost, self.wanted, self.falls = self.ticket, None, self.falls + 1
            if self.falls < FALLS_MAX:
                self._again()
            else:
                self._end()
        if self.report is not None:
            self.report("lost", lost, None)
