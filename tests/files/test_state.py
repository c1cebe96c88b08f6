"""The folder for what the program remembers, and its log."""

import os
from pathlib import Path

import pytest

from voyager.files import state


def test_the_folder_follows_the_users_setting(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path))
    assert state.state_folder() == str(tmp_path / "voyager")
    assert not (tmp_path / "voyager").exists(), "asking makes nothing"
    assert state.log_file() == str(tmp_path / "voyager" / "planner.log")
    assert (tmp_path / "voyager").is_dir()


def test_without_the_setting_it_lies_in_the_home_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("XDG_STATE_HOME", "")
    monkeypatch.setenv("HOME", str(tmp_path))
    assert state.state_folder() == str(tmp_path / ".local" / "state" / "voyager")


def test_a_file_in_the_way_is_no_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "voyager").write_text("a file in the way")
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path))
    assert state.log_file() is None


def test_a_log_is_added_to_until_it_is_long(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    log = tmp_path / "planner.log"
    for word in (b"one\n", b"two\n"):
        handle = state.open_log(str(log))
        assert handle is not None
        os.write(handle, word)
        os.close(handle)
    state.note(str(log), "three\n")
    assert log.read_text() == "one\ntwo\nthree\n"
    assert log.stat().st_mode & 0o077 == 0, "the user's alone"
    monkeypatch.setattr(state, "LOG_MAX_BYTES", 5)
    handle = state.open_log(str(log))
    assert handle is not None
    os.close(handle)
    assert log.read_text() == ""


def test_a_log_that_cannot_be_opened_stops_nothing(tmp_path: Path) -> None:
    assert state.open_log(str(tmp_path / "missing" / "planner.log")) is None
    state.note(str(tmp_path / "missing" / "planner.log"), "lost")
    assert not (tmp_path / "missing").exists()
