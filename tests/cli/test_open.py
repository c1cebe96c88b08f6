"""``voyager open`` refuses where there is nothing to draw on, before any screen is loaded."""

import sys

import pytest

from tests.cli.support import voyager
from voyager.cli import open as command
from voyager.errors import InputError


def test_without_a_terminal(capsys: pytest.CaptureFixture[str]) -> None:
    status, out, err = voyager(capsys, "open")
    assert (status, out) == (2, "")
    assert "needs a terminal" in err


def test_on_a_dumb_terminal(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys.stdin, "isatty", lambda: True, raising=False)
    monkeypatch.setattr(sys.stdout, "isatty", lambda: True, raising=False)
    monkeypatch.setenv("TERM", "dumb")
    with pytest.raises(InputError, match="TERM=dumb"):
        command._terminal()
