"""The key file: read, and written once."""

from pathlib import Path

import pytest

from voyager.errors import InputError
from voyager.session.keys import begin_keys, load_keys


@pytest.fixture
def file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path))
    return tmp_path / "voyager" / "keys.toml"


def test_no_file_says_nothing(file: Path) -> None:
    assert load_keys() == ({}, str(file), None)


def test_lines_are_read(file: Path) -> None:
    file.parent.mkdir()
    file.write_text('save = "ctrl+w"\nundo = ["z", "u"]\n')
    assert load_keys()[0] == {"save": "ctrl+w", "undo": ["z", "u"]}


def test_a_broken_file_is_one_sentence(file: Path) -> None:
    file.parent.mkdir()
    file.write_text("save = \n")
    found, _, trouble = load_keys()
    assert found == {}
    assert trouble is not None
    assert "not TOML" in trouble


def test_a_file_is_begun_once(file: Path) -> None:
    assert begin_keys("# one\n") == str(file)
    with pytest.raises(InputError, match="is there already"):
        begin_keys("# two\n")
    assert file.read_text() == "# one\n"


def test_a_folder_that_can_not_be_made_is_one_sentence(file: Path) -> None:
    file.parent.write_text("in the way")
    with pytest.raises(InputError):
        begin_keys("# one\n")


def test_a_file_is_written_whole_or_not_at_all(file: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def full(handle: int) -> None:
        raise OSError(28, "No space left on device")

    with monkeypatch.context() as patch:
        patch.setattr("os.fsync", full)
        with pytest.raises(InputError, match="No space left"):
            begin_keys("# one\n")
    assert list(file.parent.iterdir()) == []
    assert begin_keys("# two\n") == str(file)
