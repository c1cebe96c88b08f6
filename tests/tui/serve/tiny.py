"""A pretended app: greets as a Textual app does, draws what it knows of itself, and ends as its first word says.

Words: ``polite`` leaves when asked, ``deaf`` neither when asked nor when told and has a child of its own, ``fails``
ends with a sentence, ``leaves`` ends at once, ``noisy`` draws without end; any further words are drawn.
"""

import json
import os
import signal
import subprocess
import sys
import time
from typing import Any

from voyager.tui.background import TOLD
from voyager.tui.parent import SERVER


def packet(kind: bytes, payload: bytes) -> None:
    os.write(1, kind + len(payload).to_bytes(4, "big") + payload)


def draw(**known: Any) -> None:
    packet(b"D", json.dumps(known).encode())


def heard() -> Any:
    """One packet from the server: its kind, and text or what it says."""
    kind = sys.stdin.buffer.read(1)
    payload = sys.stdin.buffer.read(int.from_bytes(sys.stdin.buffer.read(4), "big"))
    return kind, payload.decode() if kind == b"D" else json.loads(payload or b'{"type": "gone"}')


def main(how: str, words: list[str]) -> int:
    if how == "fails":
        sys.stderr.write("shannon.toml:3: by: is not a date\n")
        return 2
    os.write(1, b"__GANGLION__\n")
    child = 0
    if how == "deaf":
        signal.signal(signal.SIGTERM, signal.SIG_IGN)
        child = subprocess.Popen(["sleep", "60"], stdin=subprocess.DEVNULL, stdout=subprocess.DEVNULL).pid
    names = ("COLUMNS", "ROWS", "TERM", SERVER, TOLD)
    draw(pid=os.getpid(), child=child, words=words, **{name: os.environ.get(name) for name in names})
    if how == "leaves":
        packet(b"M", b'{"type": "exit"}')
        return 0
    while how == "noisy":
        packet(b"D", b"x" * 50_000)
    while True:
        kind, said = heard()
        if kind == b"D":
            draw(typed=said)
        elif said["type"] == "resize":
            draw(size=[said["width"], said["height"]])
        elif said["type"] in {"quit", "gone"} and how == "polite":
            return 0
        elif how == "deaf" and not kind:
            time.sleep(60)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1], sys.argv[2:]))
