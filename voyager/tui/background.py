"""Whether the terminal's background is dark: asked of the terminal itself (OSC 11) before the app starts."""

import os
import re
import select
import sys
import time
from contextlib import suppress
from typing import Any

QUESTION = b"\x1b]11;?\x1b\\"
PART = rb"([0-9a-fA-F]{1,4})"
ANSWER = re.compile(rb"\x1b\]11;rgba?:" + rb"/".join([PART] * 3) + rb"[^\x07\x1b]*(?:\x07|\x1b\\)")
TIMEOUT_S = 0.1
TOLD = "VOYAGER_BACKGROUND"
LIGHTNESS = {"dark": 0.0, "light": 1.0}
SILENT_TERMS = ("dumb", "linux", "vt100", "vt220")


def lightness(answer: bytes) -> float | None:
    """Perceived lightness 0-1 (Rec. 601 luma) in a terminal's answer; None where there is none."""
    match = ANSWER.search(answer)
    if match is None:
        return None
    red, green, blue = (int(part, 16) / float(16 ** len(part) - 1) for part in match.groups())
    return 0.299 * red + 0.587 * green + 0.114 * blue


class Question:
    """Asked on entering; the answer comes in while the program does something else, and is taken before leaving."""

    def __init__(self) -> None:
        self.before: list[Any] | None = None
        self.until = 0.0

    def __enter__(self) -> "Question":
        if os.environ.get("TERM", "") in SILENT_TERMS or not (sys.stdin.isatty() and sys.stderr.isatty()):
            return self
        try:
            import termios
            import tty
        except ImportError:
            return self
        with suppress(OSError, termios.error):
            self.before = termios.tcgetattr(sys.stdin.fileno())
            tty.setcbreak(sys.stdin.fileno(), termios.TCSANOW)
            os.write(sys.stderr.fileno(), QUESTION)
        self.until = time.monotonic() + TIMEOUT_S
        return self

    def __exit__(self, *_: object) -> None:
        self._restore()

    def answer(self) -> tuple[float | None, bool]:
        """Lightness of the background, None if unknown; and whether the question is still unanswered."""
        if self.before is None:
            return None, False
        try:
            answer = heard(sys.stdin.fileno(), self.until)
        except OSError:
            return None, False
        finally:
            self._restore()
        return lightness(answer), ANSWER.search(answer) is None

    def _restore(self) -> None:
        """The terminal as it was."""
        if self.before is not None:
            import termios

            with suppress(OSError, termios.error):
                termios.tcsetattr(sys.stdin.fileno(), termios.TCSANOW, self.before)
            self.before = None


def heard(reads: int, until: float) -> bytes:
    """What a terminal says up to its answer; a moment past ``until`` what is there is still read."""
    answer = b""
    while ANSWER.search(answer) is None:
        if not select.select([reads], [], [], max(0.0, until - time.monotonic()))[0]:
            break
        answer += os.read(reads, 256)
    return answer
