"""The one place that writes results: whole texts to stdout, notes to stderr."""

import os
import shutil
import sys
from collections.abc import Mapping

WIDTH = 80
WIDEST = 140


def write(text: str) -> None:
    """A finished result, all of it, to stdout."""
    sys.stdout.write(text)


def note(text: str) -> None:
    """One sentence beside the result, to stderr."""
    sys.stderr.write(f"voyager: {text}\n")


def write_json(result: Mapping[str, object]) -> None:
    """A result as JSON, in ASCII where the output cannot carry UTF-8."""
    from voyager.report.export import json_text

    write(json_text(result, ascii_only=(sys.stdout.encoding or "").lower().replace("-", "") != "utf8"))


def width() -> int:
    """Columns to fill: the terminal's, 80 where there is none; a narrower one wraps rather than lose a figure."""
    return max(WIDTH, min(shutil.get_terminal_size().columns, WIDEST)) if sys.stdout.isatty() else WIDTH


def styled() -> bool:
    """Whether bold and colour may be used."""
    return sys.stdout.isatty() and not os.environ.get("NO_COLOR") and os.environ.get("TERM") != "dumb"


def ascii_only() -> bool:
    """Whether to draw with ASCII signs alone: VOYAGER_ASCII, or where the output can't carry the others."""
    word = os.environ.get("VOYAGER_ASCII", "").strip().lower()
    try:
        "⠿×│".encode(sys.stdout.encoding or "utf-8")
    except (UnicodeEncodeError, LookupError):
        return word not in ("0", "false", "no", "off")
    return word in ("1", "true", "yes", "on")


def interactive() -> bool:
    """Whether somebody sits at a terminal who sees what is written and can answer."""
    return sys.stdin.isatty() and sys.stdout.isatty()


def agreed(question: str) -> bool:
    """Whether somebody at the terminal answers yes; anything else, or no answer, is no."""
    sys.stdout.flush()
    sys.stderr.write(f"voyager: {question} [y/n] ")
    sys.stderr.flush()
    return sys.stdin.readline().strip().casefold() in ("y", "yes")
