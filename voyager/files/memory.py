"""Memory that the system says may still be had."""

import os
from contextlib import suppress
from pathlib import Path

SAID = Path("/proc/meminfo")
KEY = "MemAvailable:"
OWN_MEMORY_FROM = -3
"""M_MMAP_THRESHOLD of mallopt(3)."""
LARGE_BYTES = 2_000_000


def free_bytes(said: Path = SAID) -> int | None:
    """Bytes that may be taken without swapping, None where the system does not tell.

    Linux counts what it would give up of its caches; elsewhere it is the pages that lie idle.
    """
    try:
        for line in said.read_text("ascii").splitlines():
            if line.startswith(KEY):
                return int(line.split()[1]) * 1024
    except (OSError, ValueError, IndexError):
        pass
    try:
        return os.sysconf("SC_AVPHYS_PAGES") * os.sysconf("SC_PAGE_SIZE")
    except (AttributeError, ValueError, OSError):
        return None


def steady() -> None:
    """Large arrays from now on in memory of their own, given back as soon as they are let go (GNU C library)."""
    _call("mallopt", OWN_MEMORY_FROM, LARGE_BYTES)


def give_back() -> None:
    """Give memory that is no longer used back to the system (GNU C library)."""
    _call("malloc_trim", 0)


def _call(name: str, *numbers: int) -> None:
    import ctypes

    with suppress(OSError, AttributeError, TypeError):
        getattr(ctypes.CDLL(None), name)(*numbers)
