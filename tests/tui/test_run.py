"""The whole program in a terminal of its own: the key file, ASCII signs and the way out."""

import contextlib
import fcntl
import os
import pty
import re
import select
import struct
import subprocess
import sys
import termios
import time
from collections.abc import Iterator
from pathlib import Path

import pytest

PATIENCE_S = 60.0
CODES = re.compile(rb"\x1b\[[0-?]*[ -/]*[@-~]|\x1b[\]P][^\x07\x1b]*(?:\x07|\x1b\\)|\x1b[@-Z\\-_=>78]")
KEYS = 'save = "ctrl+w"\nquit = "Z"\ninterrupt = ""\nsav = "x"\nundo = "ctrl+i"\n'


class Terminal:
    """One run of ``voyager open``, 80x24; ``seen``: all that it wrote."""

    def __init__(self, config: Path, *words: str) -> None:
        self.fd, theirs = pty.openpty()
        fcntl.ioctl(theirs, termios.TIOCSWINSZ, struct.pack("HHHH", 24, 80, 0, 0))
        named = {"XDG_CONFIG_HOME": str(config), "XDG_STATE_HOME": str(config / "state"), "TERM": "xterm-256color",
                 "VOYAGER_BACKGROUND": "dark", "TEXTUAL_ANIMATIONS": "none"}  # fmt: skip
        environ = {key: text for key, text in os.environ.items() if key not in {"NO_COLOR", "VOYAGER_ASCII"}} | named
        command = [sys.executable, "-m", "voyager.cli.main", "open", *words]
        self.process = subprocess.Popen(
            command, stdin=theirs, stdout=theirs, stderr=theirs, env=environ, start_new_session=True
        )
        os.close(theirs)
        self.seen = b""

    def until(self, words: bytes) -> None:
        """Read on until the words stand there."""
        end = time.monotonic() + PATIENCE_S
        while words not in CODES.sub(b"", self.seen):
            if time.monotonic() > end or not self._read():
                raise TimeoutError(f"{words!r} did not come; last of it: {CODES.sub(b'', self.seen)[-2000:]!r}")

    def _read(self) -> bool:
        if not select.select([self.fd], [], [], 0.5)[0]:
            return True
        with contextlib.suppress(OSError):
            more = os.read(self.fd, 65536)
            self.seen += more
            return bool(more)
        return False

    def type(self, keys: str) -> None:
        """Keys as the terminal sends them."""
        os.write(self.fd, keys.encode())

    def ends(self) -> int:
        """Read to the end; the exit status."""
        end = time.monotonic() + PATIENCE_S
        while self._read() and time.monotonic() < end and self.process.poll() is None:
            pass
        return self.process.wait(PATIENCE_S)

    def close(self) -> None:
        if self.process.poll() is None:
            self.process.kill()
            self.process.wait()
        os.close(self.fd)


@pytest.fixture
def config(tmp_path: Path) -> Path:
    folder = tmp_path / "config"
    (folder / "voyager").mkdir(parents=True)
    return folder


@contextlib.contextmanager
def run(config: Path, *words: str) -> Iterator[Terminal]:
    terminal = Terminal(config, *words)
    try:
        yield terminal
    finally:
        terminal.close()


def test_a_key_file_with_faults_opens_with_its_sound_part_in_ascii_alone(config: Path) -> None:
    (config / "voyager" / "keys.toml").write_text(KEYS)
    with run(config, "--ascii") as terminal:
        terminal.until(b"sav: there is no such action; save may be meant.")
        terminal.until(b"can't be told from Tab")
        terminal.type("\r")
        terminal.until(b"Z Quit")
        terminal.until(b"^w Save")
        terminal.type("Z")
        assert terminal.ends() == 0
        drawn = CODES.sub(b"", terminal.seen)
        assert not {byte for byte in drawn if byte > 126}
        assert b"+-" in drawn, "the border of the page"


def test_the_tour_is_shown_once(config: Path) -> None:
    with run(config) as terminal:
        terminal.until(b"To begin")
        terminal.type("q")
        assert terminal.ends() == 0
    assert "toured = true" in (config / "voyager" / "settings.toml").read_text()
    with run(config) as terminal:
        terminal.until(b"? Help")
        terminal.type("q")
        assert terminal.ends() == 0
        assert b"To begin" not in terminal.seen
