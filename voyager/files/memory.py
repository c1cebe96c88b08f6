"""Memory that the system says may still be had."""

import os
from pathlib import Path

SAID = Path("/proc/meminfo")
KEY = "MemAvailable:"


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
