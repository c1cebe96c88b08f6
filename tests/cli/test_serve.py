"""``voyager serve`` refuses in one sentence what it can't do, before anything listens."""

import socket
import sys
from pathlib import Path
from typing import Any

import pytest

from tests.cli.support import stand_in, voyager
from voyager.tui import serve as served

Capture = pytest.CaptureFixture[str]


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (["--port", "x"], "'x' is not a port"),
        (["--port", "-1"], "'-1' is not a port"),
        (["--port", "65536"], "'65536' is not a port"),
        (["--port", "80.5"], "'80.5' is not a port"),
        (["--browse", "--no-browser"], "not allowed with"),
        (["nothing.toml"], "nothing.toml:1: no such file"),
        (["."], "is a directory"),
        (["--brows"], "did you mean --browse?"),
    ],
)
def test_a_wrong_word_is_one_sentence(capsys: Capture, words: list[str], says: str) -> None:
    status, out, err = voyager(capsys, "serve", *(words if "--browse" in words else ["--no-browser", *words]))
    assert (status, out, err.count("\n")) == (2, "", 1)
    assert says in err


def test_a_port_in_use_is_one_sentence(capsys: Capture) -> None:
    with socket.create_server(("127.0.0.1", 0)) as other:
        port = other.getsockname()[1]
        status, out, err = voyager(capsys, "serve", "--no-browser", "--port", str(port))
    assert (status, out, err.count("\n")) == (2, "", 1)
    assert f"port {port} is in use" in err


def test_a_port_that_needs_rights_is_one_sentence(monkeypatch: pytest.MonkeyPatch, capsys: Capture) -> None:
    def refused(*_: object) -> None:
        raise PermissionError

    monkeypatch.setattr(socket, "create_server", refused)
    status, out, err = voyager(capsys, "serve", "--no-browser", "--port", "80")
    assert (status, out, err.count("\n")) == (2, "", 1)
    assert "1024" in err


def test_a_file_that_is_no_toml_is_one_sentence(capsys: Capture, tmp_path: Path) -> None:
    (tmp_path / "v.toml").write_text("departs = \n", "utf-8")
    status, out, err = voyager(capsys, "serve", "--no-browser", str(tmp_path / "v.toml"))
    assert (status, out, err.count("\n")) == (2, "", 1)
    assert "is not TOML" in err


def test_the_address_goes_to_stdout_and_the_rest_to_stderr(monkeypatch: pytest.MonkeyPatch, capsys: Capture) -> None:
    def serve(voyage: str, port: int, told: Any, said: Any, browse: bool) -> int:
        told("http://127.0.0.1:1/?t=x")
        said(f"{Path(voyage).name} {port} {browse}")
        return 0

    stand_in(monkeypatch, "voyager.tui.serve", serve=serve)
    status, out, err = voyager(capsys, "serve", "--browse", "--port", "7000")
    assert (status, out) == (0, "http://127.0.0.1:1/?t=x\n")
    assert "works once" in err
    assert "spring.toml 7000 True" in err


async def test_a_browser_that_does_not_open_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    said: list[str] = []
    asked: list[str] = []
    monkeypatch.setattr("webbrowser.open", asked.append)
    await served._browse("http://127.0.0.1:1/?t=x", said.append)
    assert asked == ["http://127.0.0.1:1/?t=x"]
    assert "open the address in one yourself" in said[0]


def test_an_app_is_started_by_words_of_its_own_file() -> None:
    words = served.screens("--port 1; rm x")
    assert words[0] == sys.executable
    assert words[-2:] == ["--", "--port 1; rm x"]
