"""The folder for what the program remembers, and the log in it. Light: needed before the first paint."""

import os
from contextlib import suppress

LOG_MAX_BYTES = 1_000_000


def state_folder() -> str:
    """The user's folder for what the program remembers; it may not be there yet."""
    home = os.environ.get("XDG_STATE_HOME") or os.path.join(os.path.expanduser("~"), ".local", "state")
    return os.path.join(home, "voyager")


def log_file() -> str | None:
    """The log's name, its folder made if it is missing; None where it can't be."""
    try:
        os.makedirs(state_folder(), exist_ok=True)
    except OSError:
        return None
    return os.path.join(state_folder(), "planner.log")


def open_log(log: str) -> int | None:
    """A descriptor that adds to a log, begun afresh above a megabyte; None where it can't be opened."""
    try:
        long = os.path.exists(log) and os.path.getsize(log) > LOG_MAX_BYTES
        return os.open(log, os.O_WRONLY | os.O_CREAT | (os.O_TRUNC if long else os.O_APPEND), 0o600)
    except OSError:
        return None


def note(log: str, text: str) -> None:
    """Add a text to a log, if it can be."""
    with suppress(OSError), open(log, "a", encoding="utf-8") as file:
        file.write(text)
