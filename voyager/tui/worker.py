"""One warm worker process beside the screens: the newest wish wins, nothing here ever blocks them."""

import queue
import threading
import time
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from multiprocessing import get_context
from multiprocessing.connection import Connection
from multiprocessing.context import SpawnProcess
from typing import Any

from voyager.session.log_file import note

GRACE_S = 2.0
FALLS_MAX = 3
MEMBERS = (0, 200, 1000)
Report = Callable[[str, int, Any], None]
Job = tuple[str, int, str, tuple[Any, ...]]
AGAIN: Job = ("again", 0, "", ())
END: Job = ("end", 0, "", ())


@dataclass(frozen=True)
class Sources:
    """Dotted names of what the worker calls: tests give their own."""

    opened: str = "voyager.session.sketch.opened:opened"
    faults: str = "voyager.session.sketch.faults:faults"
    stages: str = "voyager.session.stages:stages"


class PlanWorker:
    """Starts before the app runs, listens once it does. A job that won't stop when asked is ended with its process.

    Jobs go to the process through a thread of their own, which alone starts and ends processes once the app runs.
    """

    def __init__(self, sources: Sources | None = None, log: str | None = None, grace_s: float = GRACE_S) -> None:
        self.sources, self.log, self.grace_s = sources or Sources(), log, grace_s
        self.report: Report | None = None
        self.ticket, self.running, self.falls, self.closed = 0, 0, 0, False
        self.opening, self.asking = 0, 0
        self.wanted: Job | None = None
        self.reading: Job | None = None
        self.asks: dict[str, Job] = {}
        self.outbox: queue.SimpleQueue[Job] = queue.SimpleQueue()
        self.lock, self.hands = threading.RLock(), threading.RLock()
        self.process: SpawnProcess | None = None
        self.pipe: Connection | None = None

    def start(self) -> None:
        """Start the process. The resource tracker must run before a Textual app takes stderr away."""
        from multiprocessing import resource_tracker

        if hasattr(resource_tracker, "ensure_running"):
            resource_tracker.ensure_running()
        self._start()
        threading.Thread(target=self._post, daemon=True).start()

    def listen(self, report: Report) -> None:
        """From now on call ``report(kind, ticket, body)`` from a thread for whatever the process says."""
        with self.hands:
            self.report = report
            if self.pipe is not None:
                self._hear(self.pipe)

    # what is asked, at once and without waiting

    def open(self, path: str) -> None:
        """Ask for the voyage and its boat as their files hold them; of several the last is answered."""
        with self.lock:
            self.opening += 1
            self.reading = ("open", self.opening, self.sources.opened, (path,))
            self.outbox.put(self.reading)

    def plan(self, path: str, documents: Mapping[str, Any] | None, start: str | None = None) -> int:
        """Ask for plans of a sketch (None: as the files hold it), each better than the one before; ``start`` "log":
        from the log's last reading on.

        Whatever older plan is under way is cancelled. Returns the ticket that the reports bear: ``faults`` where there
        is something wrong, else ``draft`` (one sky), ``better`` and ``plan``, the last.
        """
        with self.lock:
            self.ticket += 1
            sources = self.sources
            arguments = (path, documents, MEMBERS, sources.faults, sources.opened, start)
            self.wanted = ("plan", self.ticket, sources.stages, arguments)
            self.outbox.put(self.wanted)
            return self.ticket

    def ask(self, name: str, function: str, arguments: tuple[Any, ...]) -> None:
        """Ask for something beside the plan: ``answer`` with (name, result), or ``refused`` with (name, why).

        It does not wait for planning. Only the newest question of a name is answered.
        """
        with self.lock:
            self.asking += 1
            self.asks[name] = ("ask", self.asking, function, (name, *arguments))
            self.outbox.put(self.asks[name])

    def watch(self, name: str, function: str, arguments: tuple[Any, ...]) -> None:
        """As ``ask``, for what takes long: ``share`` with (name, share, text) tells how far it is on the way.

        It keeps no other question waiting, only those watched.
        """
        with self.lock:
            self.asking += 1
            self.asks[name] = ("watch", self.asking, function, (name, *arguments))
            self.outbox.put(self.asks[name])

    def leave(self, name: str) -> None:
        """The question of that name is no longer wanted."""
        with self.lock:
            self.asking += 1
            self.asks.pop(name, None)
            self.outbox.put(("leave", self.asking, "", (name,)))

    def cancel(self) -> None:
        """Stop planning; reports of the plan under way are heard no more."""
        with self.lock:
            self.ticket += 1
            self.wanted = None
            self.outbox.put(("cancel", self.ticket, "", ()))

    def note(self, text: str) -> None:
        """Add to the log, where there is one."""
        if self.log is not None:
            note(self.log, text)

    def stop(self) -> None:
        """End the process."""
        self.closed = True
        self.outbox.put(END)
        with self.hands:
            self._end()

    # the thread that hands jobs to the process

    def _post(self) -> None:
        """Deliver jobs; where an older plan does not give way to a newer one in time, end its process."""
        late, ticket = 0.0, 0
        while not self.closed:
            try:
                job = self.outbox.get(timeout=max(0.0, late - time.monotonic()) if ticket else None)
            except queue.Empty:
                self._end_if_still(ticket)
                ticket = 0
                continue
            running = self.running
            if job[0] in {"plan", "cancel"} and running and running != ticket:
                late, ticket = time.monotonic() + self.grace_s, running
            self._deliver(job)

    def _deliver(self, job: Job) -> None:
        with self.hands:
            try:
                if self.pipe is None or job is AGAIN:
                    self._again()
                elif not self.closed:
                    self.pipe.send(job)
            except OSError:
                self._again()

    def _end_if_still(self, ticket: int) -> None:
        with self.hands:
            if self.running == ticket:
                self._again()

    def _again(self) -> None:
        """A new process in place of the old one, with the jobs that are still wanted."""
        if self.closed:
            return
        self._end()
        self._start()
        with self.lock:
            jobs = [job for job in (self.reading, *self.asks.values(), self.wanted) if job is not None]
        for job in jobs:
            if self.pipe is not None:
                self.pipe.send(job)

    def _start(self) -> None:
        from voyager.tui.child import serve

        context = get_context("spawn")
        self.pipe, theirs = context.Pipe()
        self.process = context.Process(target=serve, args=(theirs, self.log), daemon=True)
        self.process.start()
        theirs.close()
        self.running = 0
        if self.report is not None:
            self._hear(self.pipe)

    def _end(self) -> None:
        process, pipe, self.process, self.pipe = self.process, self.pipe, None, None
        if process is not None:
            process.kill()
            process.join()
        if pipe is not None:
            pipe.close()

    # the thread that hears what the process says

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
            late = self._late(kind, ticket, body)
            report = self.report
        if report is not None and not late and kind not in {"started", "dropped"}:
            report(kind, ticket, body)

    def _late(self, kind: str, ticket: int, body: Any) -> bool:
        """Whether a report answers something that is no longer wanted; also keeps account of what is under way."""
        if kind in {"opened", "unopened"}:
            late = ticket != self.opening or self.reading is None
            self.reading = self.reading if late else None
            return late
        if kind == "share":
            asked = self.asks.get(body[0])
            return asked is None or asked[1] != ticket
        if kind in {"answer", "refused"}:
            asked = self.asks.get(body[0])
            if asked is None or asked[1] != ticket:
                return True
            del self.asks[body[0]]
            return False
        if kind == "started":
            self.running = ticket
        elif kind not in {"progress", "draft", "better"}:
            self.running = 0
        return ticket != self.ticket

    def _lost(self, pipe: Connection) -> None:
        """The process ended by itself: say so, and have a fresh one ready without the job that ended it."""
        with self.lock:
            if pipe is not self.pipe or self.closed:
                return
            lost, self.wanted, self.reading, self.falls = self.ticket, None, None, self.falls + 1
            self.asks.clear()
            self.pipe = None
            if self.falls < FALLS_MAX:
                self.outbox.put(AGAIN)
        if self.report is not None:
            self.report("lost", lost, None)
