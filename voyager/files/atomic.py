"""A file written whole or not at all, one writer at a time."""

import hashlib
import os
import stat
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from errno import EEXIST

from voyager.files.state import state_folder

SUFFIX = ".saving"
STALE_S = 60.0
WAIT_S = 5.0


def write_atomically(path: str, content: bytes) -> None:
    """Put ``content`` in place of the file, its permissions kept, symbolic links followed. Raises OSError.

    Whoever reads meanwhile, or after a power cut, finds the old file or the new one.
    """
    place = os.path.realpath(path)
    folder, name = os.path.split(place)
    handle, beside = tempfile.mkstemp(prefix=f".{name}.", suffix=SUFFIX, dir=folder)
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(content)
            file.flush()
            os.fchmod(file.fileno(), _mode(place))
            os.fsync(file.fileno())
        os.replace(beside, place)
    except BaseException:
        with suppress(OSError):
            os.unlink(beside)
        raise
    _settle(folder)


def write_first(path: str, content: bytes) -> None:
    """As ``write_atomically``, where no such file is there yet; looked for and written under its lock.

    Raises FileExistsError, or another OSError.
    """
    with locked(path):
        if os.path.lexists(path):
            raise FileExistsError(EEXIST, os.strerror(EEXIST), path)
        sweep(path)
        write_atomically(path, content)


def _mode(place: str) -> int:
    try:
        return stat.S_IMODE(os.stat(place).st_mode)
    except FileNotFoundError:
        mask = os.umask(0)
        os.umask(mask)
        return 0o666 & ~mask


def _settle(folder: str) -> None:
    """The name is on disk too; some file systems know no such thing for folders."""
    with suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


def sweep(path: str) -> None:
    """Take away what a killed writer of this file left beside it; to be called under its lock."""
    folder, name = os.path.split(os.path.realpath(path))
    with suppress(OSError):
        for entry in os.scandir(folder):
            if entry.name.startswith(f".{name}.") and entry.name.endswith(SUFFIX):
                with suppress(OSError):
                    if time.time() - entry.stat(follow_symlinks=False).st_mtime > STALE_S:
                        os.unlink(entry.path)


def name_for(path: str) -> str:
    """A short name for a file, the same by whatever way its path is written."""
    return hashlib.sha256(os.fsencode(os.path.realpath(path))).hexdigest()[:24]


@contextmanager
def locked(path: str) -> Iterator[None]:
    """Alone with a file among the programs of one user; where no lock can be had, on without one.

    Raises TimeoutError where another holds it for long.
    """
    from filelock import FileLock, Timeout

    folder = os.path.join(state_folder(), "locks")
    lock = FileLock(os.path.join(folder, f"{name_for(path)}.lock"), timeout=WAIT_S)
    try:
        os.makedirs(folder, exist_ok=True)
        lock.acquire()
    except Timeout:
        raise TimeoutError("another program is writing it just now") from None
    except (OSError, NotImplementedError):
        yield
        return
    try:
        yield
    finally:
        lock.release()
