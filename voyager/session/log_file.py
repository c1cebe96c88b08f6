"""The log of the process that plans. Light: asked for before the first paint."""


def log_file() -> str | None:
    """The log's name in the user's folder, made if it is missing; None where it can't be."""
    from voyager.files.state import log_file as found

    return found()


def open_log(log: str) -> int | None:
    """A descriptor that adds to a log; None where it can't be opened."""
    from voyager.files.state import open_log as opened

    return opened(log)


def note(log: str, text: str) -> None:
    """Add a text to a log, if it can be."""
    from voyager.files.state import note as noted

    noted(log, text)
