"""First paint against a minimal Textual app, and key to repaint while the worker plans: both through a pty.

``python -m tests.benchmarks.bench_screen`` prints ratios and milliseconds; the terminal at the other end answers the
background question as real ones do, or is silent.
"""

import fcntl
import os
import pty
import select
import signal
import statistics
import struct
import sys
import tempfile
import termios
import time
from collections.abc import Callable
from pathlib import Path

from voyager.session.demo import demo_path

MINIMAL = """
from textual.app import App
from textual.widgets import DataTable, Footer, Static
class A(App):
    def compose(self):
        yield Static("FIRSTPAINT"); yield DataTable(); yield Footer()
A().run()
"""
OURS = "import sys; from voyager.cli.main import main; sys.exit(main(['open', {path!r}]))"
SIZE = (40, 120)
ROUNDS = 7
KEYS = 120


class Terminal:
    """A child on a pty; ``answers`` whether it is told its background when it asks.

    Its folders are those of someone who has seen the tour and left no edits behind.
    """

    def __init__(self, code: str, answers: bool = True) -> None:
        self.answers, self.seen = answers, b""
        self.home = tempfile.TemporaryDirectory()
        settings = Path(self.home.name) / "voyager" / "settings.toml"
        settings.parent.mkdir()
        settings.write_text("toured = true\n")
        self.start = time.perf_counter()
        self.pid, self.fd = pty.fork()
        if self.pid == 0:
            os.environ.update(TERM="xterm-256color", COLORTERM="truecolor")
            os.environ.update(XDG_STATE_HOME=self.home.name, XDG_CONFIG_HOME=self.home.name)
            os.environ.pop("NO_COLOR", None)
            os.execv(sys.executable, [sys.executable, "-c", code])
        fcntl.ioctl(self.fd, termios.TIOCSWINSZ, struct.pack("HHHH", *SIZE, 0, 0))

    def wait(self, done: Callable[[bytes], bool], patience_s: float = 30.0) -> float:
        """Seconds since now until what was drawn is ``done``."""
        begun = time.perf_counter()
        while not done(self.seen):
            if not select.select([self.fd], [], [], patience_s)[0]:
                raise TimeoutError(self.seen[-300:])
            self.seen += os.read(self.fd, 65536)
            if self.answers and b"]11;?" in self.seen:
                self.answers = False
                os.write(self.fd, b"\x1b]11;rgb:0000/0000/0000\x1b\\")
        return time.perf_counter() - begun

    def drain(self, quiet_s: float = 0.3) -> None:
        """Read until nothing comes for a while."""
        while select.select([self.fd], [], [], quiet_s)[0]:
            os.read(self.fd, 65536)
        self.seen = b""

    def press(self, key: bytes, done: bytes) -> float:
        """Seconds from a key to the repaint that shows ``done``."""
        self.seen = b""
        os.write(self.fd, key)
        return self.wait(lambda seen: done in seen)

    def close(self) -> None:
        """End the child and its worker (which ends itself when its parent is gone)."""
        os.kill(self.pid, signal.SIGKILL)
        os.waitpid(self.pid, 0)
        os.close(self.fd)
        self.home.cleanup()


def first_paint(code: str, sign: bytes, answers: bool = True) -> float:
    """Seconds from the start of the interpreter to the first drawing that holds ``sign``."""
    terminal = Terminal(code, answers)
    took = terminal.wait(lambda seen: sign in seen)
    terminal.close()
    return took


def repaint(planning: bool) -> list[float]:
    """Seconds from a cursor key in the legs to its repaint; while planning, a wish is sent before each fourth key."""
    terminal, times = Terminal(OURS.format(path=demo_path())), []
    terminal.wait(lambda seen: b"arrives" in seen)
    terminal.drain()
    for turn in range(KEYS):
        if planning and turn % 4 == 0:
            os.write(terminal.fd, b"]" if turn % 8 else b"[")
            time.sleep(0.15)
            while select.select([terminal.fd], [], [], 0.02)[0]:
                os.read(terminal.fd, 65536)
        down = turn % 2 == 0
        times.append(terminal.press(b"\x1b[B" if down else b"\x1b[A", b"Leg 2:" if down else b"Leg 1:"))
        time.sleep(0.02)
    terminal.close()
    return times


def percentile(times: list[float], share: float) -> float:
    """The value that ``share`` of the times stay below."""
    return sorted(times)[min(len(times) - 1, int(share * len(times)))]


def main() -> None:
    """Measure and print."""
    ours = OURS.format(path=demo_path())
    minimal = statistics.median(first_paint(MINIMAL, b"FIRSTPAINT") for _ in range(ROUNDS))
    answered = statistics.median(first_paint(ours, b"Departs"[1:]) for _ in range(ROUNDS))
    silent = statistics.median(first_paint(ours, b"Departs"[1:], answers=False) for _ in range(ROUNDS))
    print(f"first paint: minimal {minimal * 1e3:.0f} ms; ours {answered * 1e3:.0f} ms, {answered / minimal:.2f} x;"
          f" on a terminal that does not answer {silent * 1e3:.0f} ms, {silent / minimal:.2f} x")  # fmt: skip
    for planning in (False, True):
        times = repaint(planning)
        print(f"key to repaint, {'planning' if planning else 'idle'}: median {statistics.median(times) * 1e3:.0f} ms,"
              f" p95 {percentile(times, 0.95) * 1e3:.0f} ms")  # fmt: skip


if __name__ == "__main__":
    main()
