"""From the command line to the screens, and back with what went wrong."""

import os
from typing import TYPE_CHECKING, Any

from voyager.errors import InputError, VoyagerError
from voyager.tui.background import Question

if TYPE_CHECKING:
    from voyager.tui.app import VoyagerApp
    from voyager.tui.worker import PlanWorker

ASCII, YES, NO = "VOYAGER_ASCII", ("1", "true", "yes", "on"), ("0", "false", "no", "off")


def run(path: str | None = None, worker: "PlanWorker | None" = None, ascii: bool = False) -> int:
    """Open the screens on a voyage file (the demo when None); 0, or InputError with what is wrong in the file.

    ``ascii``: with ASCII signs alone, whatever the settings say. The terminal is asked for its background first, and
    answers while the screens are being imported.
    """
    from voyager.session.settings import load
    from voyager.tui.parent import watch

    if not watch():
        _check_terminal()
    if path is None:
        from voyager.session.demo import demo_path

        path = demo_path()
    settings = load()
    with Question() as question:
        worker = worker or _logged()
        try:
            app = _made(path, worker, settings, ascii, question)
            ended = app.run()
        finally:
            worker.stop()
    if ended is not None:
        raise InputError(ended)
    if app.fault is not None:
        raise VoyagerError(app.fault)
    return app.return_code or 0


def _made(path: str, worker: "PlanWorker", settings: dict[str, Any], ascii: bool, question: Question) -> "VoyagerApp":
    """The app, its first plan asked for."""
    from voyager.tui import themes
    from voyager.tui.app import VoyagerApp

    keys = _own_keys()
    worker.start()
    worker.open(path)
    ticket = worker.plan(path, None)
    environ = themes.preferred(settings["look"], os.environ)
    lightness, late = question.answer()
    app = VoyagerApp(path, worker, themes.theme_name(lightness, environ), late)
    app.take_keys(*keys)
    app.prefer({**settings, "ascii": _plain(ascii, settings["ascii"])})
    app.expect_first(ticket)
    return app


def _logged() -> "PlanWorker":
    """A worker with a log in the user's folder."""
    from voyager.session.log_file import log_file
    from voyager.tui.worker import PlanWorker

    return PlanWorker(log=log_file())


def _own_keys() -> tuple[dict[str, tuple[str, ...]], list[str], str]:
    """The sound lines of the key file, named everywhere from now on; what is wrong in the others; the file."""
    from voyager.session.keys import load_keys

    found, file, trouble = load_keys()
    if not found:
        return {}, [trouble] if trouble else [], file
    from voyager.tui.actions import take_own_keys
    from voyager.tui.keymap import checked

    own, faults = checked(found)
    take_own_keys(own)
    return own, faults, file


def _plain(option: bool, setting: bool) -> bool:
    """Whether to draw with ASCII signs alone: the option, else VOYAGER_ASCII, else the setting or the terminal."""
    word = os.environ.get(ASCII, "").strip().lower()
    return option or word in YES or ((setting or not _all_signs()) and word not in NO)


def _all_signs() -> bool:
    """Whether what is drawn can be encoded for the terminal; it goes to standard error."""
    import sys

    try:
        "━▸°".encode(getattr(sys.__stderr__, "encoding", None) or "utf-8")
    except (UnicodeEncodeError, LookupError):
        return False
    return True


def _check_terminal() -> None:
    import sys

    if os.environ.get("TERM", "") in {"dumb", "unknown"}:
        raise InputError("voyager open needs a terminal that can place text, and TERM=dumb can't: use voyager plan")
    if not all(stream.isatty() for stream in (sys.stdin, sys.stdout, sys.stderr)):
        raise InputError("voyager open needs a terminal with no stream redirected: use voyager plan in a pipe")
