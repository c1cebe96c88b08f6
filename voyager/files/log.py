"""The log of a voyage: one SQLite file beside it, each entry on the disk before its number is known.

It is kept by write-ahead logging with ``synchronous=FULL``: while it is open two files stand beside it (``-wal``,
``-shm``), and a program that is killed, or a power cut, leaves every entry that was acknowledged and no half of another
(sqlite.org, "Write-Ahead Logging", "PRAGMA synchronous"). Write-ahead logging needs memory shared by all who have the
file open, which file systems over a network do not give: where SQLite refuses it the log falls back to a rollback
journal (``DELETE``), with ``FULL`` just the same. A log on a network must not be written from two machines at once.
"""

import json
import os
import sqlite3
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager, suppress
from datetime import datetime
from types import TracebackType
from typing import Any, Final, TypeVar
from urllib.parse import quote

from voyager import __version__
from voyager.errors import InputError, NotSaved
from voyager.files.log_schema import (
    APPLICATION,
    COLUMNS,
    FORMAT,
    LEAST_SQLITE,
    entry_of,
    row_of,
    statements,
    time_of,
    time_text,
)
from voyager.logbook.entries import Entry, KeptPlan

ENDING: Final = ".log.sqlite"
WAIT_MS: Final = 5000
MAGIC: Final = b"SQLite format 3\0"
"""The first bytes of every database file (sqlite.org, "Database File Format", 1.3.1)."""
_INSERT = f"INSERT INTO entry ({', '.join(COLUMNS)}) VALUES ({', '.join('?' * len(COLUMNS))})"
_UPDATE = f"UPDATE entry SET {', '.join(f'{name} = ?' for name in COLUMNS)} WHERE ident = ?"
_BACK = f"INSERT OR REPLACE INTO entry (ident, {', '.join(COLUMNS)}) VALUES (?, {', '.join('?' * len(COLUMNS))})"
_SELECT = f"SELECT ident, {', '.join(COLUMNS)} FROM entry"
T = TypeVar("T")


def log_path(voyage_path: str | os.PathLike[str]) -> str:
    """Where the log of a voyage file is: beside it (beside what a link leads to), its name without ``.toml``."""
    path = os.fspath(voyage_path)
    return (os.path.realpath(path) if os.path.islink(path) else path).removesuffix(".toml") + ENDING


def refuse_unwritable(voyage_path: str | os.PathLike[str]) -> None:
    """Raises NotSaved, one sentence, where a voyage can have no log: the demo's, and in folders that take no file."""
    from voyager.files.shipped import shipped
    from voyager.files.sketch_read import writable

    path = os.fspath(voyage_path)
    mend = "save the voyage under another name first (voyager open, then S), and keep the log there"
    if shipped(path):
        raise NotSaved(f"{path} comes with voyager and has no log; {mend}", "read-only")
    if not writable(log_path(path)):
        raise NotSaved(f"{log_path(path)} cannot be written: it or its folder is read-only; {mend}", "read-only")


class Log:
    """One log, open from ``with`` to its end. Every method may raise InputError, one sentence.

    ``create``: make the file where there is none. Without it a missing log is an empty one, and stays so.
    Writers wait for each other, five seconds at most; readers never wait.
    """

    def __init__(self, path: str | os.PathLike[str], create: bool = False) -> None:
        self.path, self._create = os.fspath(path), create
        self._file: sqlite3.Connection | None = None

    def __enter__(self) -> "Log":
        with self._told():
            self._file = self._opened()
        return self

    def __exit__(self, kind: type[BaseException] | None, fault: BaseException | None, at: TracebackType | None) -> None:
        if self._file is not None:
            with suppress(sqlite3.Error):
                self._file.close()
        self._file = None

    def add(self, entries: Iterable[Entry]) -> tuple[int, ...]:
        """Their numbers, in the order given: all of them are on the disk then, or none is."""
        rows = [row_of(entry) for entry in entries]
        return self._written(lambda file: tuple(int(file.execute(_INSERT, row).lastrowid or 0) for row in rows))

    def change(self, entry: Entry) -> None:
        """Put an entry in the place of the one with its number."""
        row = row_of(entry)
        self._one(lambda file: file.execute(_UPDATE, (*row, entry.ident)).rowcount, entry.ident)

    def bring_back(self, entry: Entry) -> None:
        """Put an entry in under its own number, whether or not one of that number is there."""
        row = row_of(entry)
        self._written(lambda file: file.execute(_BACK, (entry.ident, *row)).rowcount)

    def remove(self, ident: int) -> None:
        """Take one entry away."""
        self._one(lambda file: file.execute("DELETE FROM entry WHERE ident = ?", (ident,)).rowcount, ident)

    def entries(self, since: datetime | None = None) -> tuple[Entry, ...]:
        """All entries in the order of time (of one time: in that of their numbers), from ``since`` on."""
        where, values = ("", ()) if since is None else (" WHERE time_utc >= ?", (time_text(since),))
        return tuple(map(entry_of, self._read(f"{_SELECT}{where} ORDER BY time_utc, ident", values)))

    def entry(self, ident: int) -> Entry:
        """The one with this number."""
        rows = self._read(f"{_SELECT} WHERE ident = ?", (ident,))
        if not rows:
            raise InputError(self._missing(ident))
        return entry_of(rows[0])

    def keep_plan(self, made_utc: datetime, days: Sequence[Mapping[str, Any]]) -> int:
        """Keep the days as a plan has them; its number, that of the last one where it says the same."""
        text = json.dumps(list(days), ensure_ascii=True, allow_nan=False, separators=(",", ":"), sort_keys=True)

        def kept(file: sqlite3.Connection) -> int:
            last = file.execute("SELECT ident, days FROM plan ORDER BY ident DESC LIMIT 1").fetchone()
            if last is not None and last[1] == text:
                return int(last[0])
            added = file.execute("INSERT INTO plan (made_utc, days) VALUES (?, ?)", (time_text(made_utc), text))
            return int(added.lastrowid or 0)

        return self._written(kept)

    def plans(self) -> tuple[KeptPlan, ...]:
        """Every plan kept, in the order in which they were."""
        rows = self._read("SELECT made_utc, days, ident FROM plan ORDER BY made_utc, ident")
        return tuple(KeptPlan(time_of(made), tuple(json.loads(days)), ident) for made, days, ident in rows)

    def _one(self, act: Callable[[sqlite3.Connection], int], ident: int) -> None:
        if not self._written(act):
            raise InputError(self._missing(ident))

    def _missing(self, ident: int) -> str:
        return f"the log has no entry {ident}; voyager log VOYAGE --entries shows the numbers of all"

    def _written(self, act: Callable[[sqlite3.Connection], T]) -> T:
        """One transaction: begun as a writer, so that it waits at its start and never in the middle."""
        with self._told():
            file = self._open()
            file.execute("BEGIN IMMEDIATE")
            try:
                done = act(file)
            except BaseException:
                file.execute("ROLLBACK")
                raise
            file.execute("COMMIT")
            return done

    def _read(self, question: str, values: Sequence[Any] = ()) -> list[tuple[Any, ...]]:
        with self._told():
            return self._open().execute(question, values).fetchall()

    def _open(self) -> sqlite3.Connection:
        if self._file is None:
            raise RuntimeError("a log is open only inside its with statement")
        return self._file

    def _opened(self) -> sqlite3.Connection:
        if sqlite3.sqlite_version_info < LEAST_SQLITE:
            least = ".".join(map(str, LEAST_SQLITE))
            raise InputError(
                f"the log needs SQLite {least}; this Python has {sqlite3.sqlite_version}: take a newer one"
            )
        if os.path.isdir(self.path):
            raise InputError(f"{self.path} is a folder, where the log should be; move it away")
        if not self._create and not (os.path.exists(self.path) and os.path.getsize(self.path)):
            return _nothing()
        if _other(self.path):
            raise InputError(_no_log(self.path))
        try:
            return self._checked(_connected(_address(self.path, "mode=rwc" if self._create else "mode=rw")))
        except sqlite3.OperationalError as error:
            if self._create or not _closed_folder(error):
                raise
            return self._checked(_connected(_address(self.path, _looking_only(self.path))))

    def _checked(self, file: sqlite3.Connection) -> sqlite3.Connection:
        try:
            if _blank(file):
                if not self._create:
                    file.close()
                    return _nothing()
                _begin(file, self.path)
            self._refuse_foreign(file)
            file.execute("PRAGMA synchronous = FULL")
        except BaseException:
            file.close()
            raise
        return file

    def _refuse_foreign(self, file: sqlite3.Connection) -> None:
        if _number(file, "application_id") != APPLICATION:
            raise InputError(f"{self.path} is not a log of voyager but another program's; move it away")
        written = _number(file, "user_version")
        if written > FORMAT:
            with suppress(sqlite3.Error):
                by = file.execute("SELECT value FROM about WHERE name = 'written_by'").fetchone()
                raise InputError(
                    f"{self.path} has format {written}, written by voyager {by[0] if by else 'of a later version'}; "
                    f"this is voyager {__version__}, which reads format {FORMAT}: take the newer one"
                )
            raise InputError(f"{self.path} has format {written}; this voyager reads {FORMAT}: take a newer one")

    @contextmanager
    def _told(self) -> Iterator[None]:
        try:
            yield
        except sqlite3.Error as error:
            raise InputError(_sentence(self.path, error)) from None


def _other(path: str) -> bool:
    """Whether a file begins with anything but what SQLite writes first: SQLite takes a short one for an empty one."""
    try:
        with open(path, "rb") as file:
            return file.read(len(MAGIC)) not in (b"", MAGIC)
    except OSError:
        return False


def _no_log(path: str) -> str:
    return f"{path} is no log: not a file of SQLite; move it away, or put a copy of the log in its place"


def _address(path: str, mode: str) -> str:
    return f"file:{quote(os.path.abspath(path))}?{mode}"


def _closed_folder(error: sqlite3.Error) -> bool:
    return getattr(error, "sqlite_errorname", "").startswith(("SQLITE_READONLY", "SQLITE_CANTOPEN", "SQLITE_PERM"))


def _looking_only(path: str) -> str:
    """How to open a log in a folder that takes no file: as it is, unless a write-ahead file still holds entries."""
    wal = path + "-wal"
    return "mode=ro" if os.path.exists(wal) and os.path.getsize(wal) else "mode=ro&immutable=1"


def _connected(address: str) -> sqlite3.Connection:
    file = sqlite3.connect(address, uri=address != ":memory:", isolation_level=None, check_same_thread=False)
    file.execute(f"PRAGMA busy_timeout = {WAIT_MS}")
    return file


def _nothing() -> sqlite3.Connection:
    """An empty log that stays so, nowhere on the disk."""
    file = _connected(":memory:")
    _make(file)
    file.execute("PRAGMA query_only = ON")
    return file


def _blank(file: sqlite3.Connection) -> bool:
    return not _number(file, "application_id") and not _number(file, "schema_version")


def _number(file: sqlite3.Connection, pragma: str) -> int:
    return int(file.execute(f"PRAGMA {pragma}").fetchone()[0])


def _begin(file: sqlite3.Connection, path: str) -> None:
    """A new log, made by one program however many begin it at once."""
    from voyager.files.atomic import locked

    try:
        with locked(path):
            with suppress(sqlite3.OperationalError):
                if file.execute("PRAGMA journal_mode = WAL").fetchone()[0] != "wal":
                    file.execute("PRAGMA journal_mode = DELETE")
            file.execute("PRAGMA synchronous = FULL")
            file.execute("BEGIN IMMEDIATE")
            if _blank(file):
                _make(file)
            file.execute("COMMIT")
    except TimeoutError as error:
        raise NotSaved(f"{path} could not be made: {error}", "failed") from None


def _make(file: sqlite3.Connection) -> None:
    for statement in statements(__version__):
        file.execute(statement)


def _sentence(path: str, error: sqlite3.Error) -> str:
    name = getattr(error, "sqlite_errorname", "")
    if name.startswith(("SQLITE_BUSY", "SQLITE_LOCKED")):
        return f"{path} is being written by another program; try again in a moment"
    if name.startswith("SQLITE_NOTADB"):
        return _no_log(path)
    if name.startswith("SQLITE_CORRUPT"):
        return f"{path} is damaged ({error}); put a copy of it back, or move it away and begin a new log"
    if _closed_folder(error):
        return f"{path} cannot be written or opened ({error}); look at the folder's permissions"
    if name.startswith("SQLITE_FULL"):
        return f"{path} could not be written: the disk is full; nothing of it was lost"
    return f"{path} could not be used: {error}"
