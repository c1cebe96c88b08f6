"""What the first screen may load before it is painted."""

import os
import subprocess
import sys

HEAVY = ("numpy", "pandas", "pvlib", "scipy", "pydantic", "geopy", "tzfpy", "matplotlib")
LOAD = "import sys, voyager.tui.app, voyager.tui.start"
SEEN = f"{LOAD}; print(*[name for name in {HEAVY!r} if name in sys.modules])"
BELOW = ("files", "planner", "energy", "sky", "route", "boat")
ROOMS = f"{LOAD}; print(*[r for r in {BELOW!r} if 'voyager.' + r in sys.modules])"


def printed(code: str) -> str:
    return subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True).stdout.strip()


def test_nothing_heavy_is_loaded_before_the_first_paint():
    assert printed(SEEN) == ""


def test_no_room_below_session_is_loaded_before_the_first_paint():
    assert printed(ROOMS) == ""


def opening(**environ: str) -> subprocess.CompletedProcess[str]:
    code = "import sys; from voyager.cli.main import main; sys.exit(main(['open']))"
    return subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, stdin=subprocess.DEVNULL,
                          env={**os.environ, **environ})  # fmt: skip


def test_no_terminal_is_one_sentence():
    done = opening(TERM="xterm-256color")
    assert done.returncode == 2
    assert done.stdout == ""
    assert len(done.stderr.strip().splitlines()) == 1
    assert "voyager plan" in done.stderr
