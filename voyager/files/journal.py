"""Lines that are on disk as soon as they are written: a file for each run that edits a voyage, locked while it runs."""

import json
import os
import threading
import time
from collections.abc import Iterator, Mapping
from contextlib import suppress
from datetime import UTC, datetime
from typing import Any

from voyager.files.atomic import name_for
from voyager.files.state import state_folder

MOST_RUNS = 99
LARGEST_BYTES = 200_000_000
STALE_S = 30 * 86400.0
ENDING = ".jsonl"
Record = dict[str, Any]


class JournalFile:
    """Open for appending, this run's alone. Every method but ``close`` may raise OSError."""

    def __init__(self, path: str, lock: Any, handle: int) -> None:
        self.path, self._lock, self._handle = path, lock, handle
        self._changed, self._ended = threading.Event(), False
        self._thread = threading.Thread(target=self._to_disk, daemon=True)
        self._thread.start()

    def append(self, record: Mapping[str, Any]) -> None:
        """One line more: the system has it when this returns, the disk a moment later."""
        rest = json.dumps(record, separators=(",", ":")).encode("ascii") + b"\n"
        while rest:
            rest = rest[os.write(self._handle, rest) :]
        self._changed.set()

    def empty(self) -> None:
        """Without any line."""
        os.ftruncate(self._handle, 0)
        self._changed.set()

    def close(self, keep: bool) -> None:
        """End it, and take it away unless it is to be kept."""
        self._ended = True
        self._changed.set()
        self._thread.join()
        with suppress(OSError):
            os.close(self._handle)
        if not keep:
            with suppress(OSError):
                os.unlink(self.path)
        with suppress(OSError):
            self._lock.release()

    def _to_disk(self) -> None:
        """Waits for the disk, so that the writer need not."""
        while not self._ended:
            self._changed.wait()
            self._changed.clear()
            with suppress(OSError):
                os.fsync(self._handle)


def folder() -> str:
    """Where journals are kept."""
    return os.path.join(state_folder(), "edits")


def fresh(voyage: str) -> JournalFile:
    """A new journal for this run. Raises OSError where none can be made."""
    os.makedirs(folder(), mode=0o700, exist_ok=True)
    for number in range(1, MOST_RUNS + 1):
        path = os.path.join(folder(), f"{name_for(voyage)}-{number}{ENDING}")
        lock = None if os.path.exists(path) else _lock(path)
        if lock is None:
            continue
        try:
            return JournalFile(path, lock, os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL | os.O_APPEND, 0o600))
        except FileExistsError:
            lock.release()
        except OSError:
            lock.release()
            raise
    raise OSError(f"{MOST_RUNS} journals of it are left in {folder()}")


def again(path: str) -> JournalFile | None:
    """A journal that was left, to go on with: its torn end cut off. None where it is gone or another run has it."""
    lock = _lock(path)
    if lock is None:
        return None
    try:
        handle = os.open(path, os.O_WRONLY | os.O_APPEND)
        os.ftruncate(handle, sum(size for _, size in _lines(path)))
    except OSError:
        lock.release()
        return None
    return JournalFile(path, lock, handle)


def left(voyage: str) -> list[tuple[str, list[Record], str]]:
    """(path, records, time of the last as ISO 8601) of each journal of a voyage that no run is using, newest first."""
    found = []
    for path in _of(voyage):
        lock = _lock(path)
        if lock is None:
            continue
        try:
            when = os.stat(path).st_mtime
            if os.path.getsize(path) > LARGEST_BYTES:
                continue
            found.append((when, path, [record for record, _ in _lines(path)]))
        except OSError:
            continue
        finally:
            lock.release()
    found.sort(key=lambda one: one[:2], reverse=True)
    return [(path, records, _iso(when)) for when, path, records in found]


def drop(path: str) -> None:
    """Take a journal away that no run is using."""
    lock = _lock(path)
    if lock is None:
        return
    with suppress(OSError):
        os.unlink(path)
    lock.release()


def sweep(path: str) -> None:
    """Take a journal away that nobody can read and nobody has written to for a month."""
    with suppress(OSError):
        if time.time() - os.stat(path).st_mtime > STALE_S:
            drop(path)


def _of(voyage: str) -> list[str]:
    start = name_for(voyage) + "-"
    try:
        return [one.path for one in os.scandir(folder()) if one.name.startswith(start) and one.name.endswith(ENDING)]
    except OSError:
        return []


def _lines(path: str) -> Iterator[tuple[Record, int]]:
    """Each record with the bytes of its line, up to the first that is torn."""
    if os.path.getsize(path) > LARGEST_BYTES:
        return
    with open(path, "rb") as file:
        for line in file:
            try:
                record = json.loads(line) if line.endswith(b"\n") else None
            except (ValueError, RecursionError):
                return
            if not isinstance(record, dict):
                return
            yield record, len(line)


def _iso(when: float) -> str:
    return datetime.fromtimestamp(when, UTC).isoformat(timespec="seconds").replace("+00:00", "Z")


def _lock(path: str) -> Any:
    """The lock of a journal, None where another run holds it or none can be had; freed with the process."""
    from filelock import FileLock, Timeout

    lock = FileLock(path.removesuffix(ENDING) + ".lock", timeout=0, thread_local=False)
    try:
        lock.acquire()
    except (Timeout, OSError, RuntimeError):
        return None
    return lock
