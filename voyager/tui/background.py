"""Whether the terminal's background is dark: asked of the terminal itself (OSC 11) before the app starts."""

import os
import re
import select
import sys
import time

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


def ask_lightness(timeout_s: float = TIMEOUT_S) -> tuple[float | None, bool]:
    """Lightness of the background, None if unknown; and whether a question is still unanswered."""
    if os.environ.get(TOLD, "") in LIGHTNESS:
        return LIGHTNESS[os.environ[TOLD]], False
    if os.environ.get("TERM", "") in SILENT_TERMS or not (sys.stdin.isatty() and sys.stderr.isatty()):
        return None, False
    try:
        import termios
        import tty
    except ImportError:
        return None, False
    descriptor = sys.stdin.fileno()
    try:
        before = termios.tcgetattr(descriptor)
        try:
            tty.setcbreak(descriptor, termios.TCSANOW)
            answer = _converse(descriptor, sys.stderr.fileno(), timeout_s)
        finally:
            termios.tcsetattr(descriptor, termios.TCSANOW, before)
    except (OSError, termios.error):
        return None, False
    return lightness(answer), ANSWER.search(answer) is None


def _converse(reads: int, writes: int, timeout_s: float) -> bytes:
    os.write(writes, QUESTION)
    until, answer = time.monotonic() + timeout_s, b""
    while ANSWER.search(answer) is None and (left := until - time.monotonic()) > 0:
        if not select.select([reads], [], [], left)[0]:
            break
        answer += os.read(reads, 256)
    return answer
