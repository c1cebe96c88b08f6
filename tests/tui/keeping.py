"""The real planner with a memory: apps opened one after another on one voyage are given its plan at once."""

import json
import queue
import time
from collections.abc import Callable, Mapping
from typing import Any

from voyager.tui.worker import PlanWorker

PLANNED = ("draft", "better", "plan", "faults", "problem", "fault")
LAST = PLANNED[2:]


class KeepingWorker(PlanWorker):
    """Stays when an app stops it, until ``end``; what it says before an app listens waits for it."""

    def __init__(self) -> None:
        super().__init__()
        self.app: Callable[[str, int, Any], None] | None = None
        self.waiting: list[tuple[str, int, Any]] = []
        self.said: queue.SimpleQueue[str] = queue.SimpleQueue()
        self.kept: dict[str, list[tuple[str, Any]]] = {}
        self.keys: dict[int, str] = {}

    def ready(self, path: str, patience_s: float = 120.0) -> None:
        """Start, and plan the voyage as its file holds it; returns when the plan stands."""
        super().start()
        super().listen(self._relay)
        self.plan(path, None)
        end = time.monotonic() + patience_s
        while self.said.get(timeout=max(0.0, end - time.monotonic())) not in LAST:
            pass

    def start(self) -> None:
        """It runs already."""

    def listen(self, report: Callable[[str, int, Any], None]) -> None:
        self.app = report
        while self.waiting:
            report(*self.waiting.pop(0))
        for kind, body in self.kept.get(self.keys.get(self.ticket, ""), ()):
            report(kind, self.ticket, body)

    def plan(self, path: str, documents: Mapping[str, Any] | None, start: str | None = None) -> int:
        key = f"{path} {start or ''} {json.dumps(documents, default=str, sort_keys=True)}"
        if self._whole(key):
            self.ticket += 1
            self.keys[self.ticket] = key
            self._tell_again(key)
            return self.ticket
        self.kept[key] = []
        ticket = super().plan(path, documents, start)
        self.keys[ticket] = key
        return ticket

    def stop(self) -> None:
        self.app = None
        self.waiting.clear()

    def end(self) -> None:
        """End the process."""
        super().stop()

    def _whole(self, key: str) -> bool:
        return any(kind in LAST for kind, _ in self.kept.get(key, ()))

    def _tell_again(self, key: str) -> None:
        if self.app is not None:
            for kind, body in self.kept[key]:
                self.app(kind, self.ticket, body)

    def _relay(self, kind: str, ticket: int, body: Any) -> None:
        if kind in PLANNED and ticket in self.keys:
            self.kept[self.keys[ticket]].append((kind, body))
        if self.app is not None:
            self.app(kind, ticket, body)
        elif kind not in PLANNED:
            self.waiting.append((kind, ticket, body))
        self.said.put(kind)
