"""A file written whole, and where there is none yet by one writer alone; killed writers: tests of saving."""

import threading
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from voyager.errors import NotSaved
from voyager.files import atomic, recent
from voyager.files.atomic import write_first

WRITERS = 12


@pytest.fixture(autouse=True)
def _state(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))


def test_of_many_first_writers_one_has_its_way(tmp_path: Path) -> None:
    path, start, done = tmp_path / "new.toml", threading.Barrier(WRITERS), []

    def write(number: int) -> None:
        start.wait()
        try:
            write_first(str(path), f"{number}".encode())
            done.append(number)
        except FileExistsError:
            pass

    threads = [threading.Thread(target=write, args=(number,)) for number in range(WRITERS)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert [str(number) for number in done] == [path.read_text()]


def test_a_link_to_nowhere_counts_as_there(tmp_path: Path) -> None:
    (tmp_path / "link").symlink_to(tmp_path / "nowhere")
    with pytest.raises(FileExistsError):
        write_first(str(tmp_path / "link"), b"x")
    assert not (tmp_path / "nowhere").exists()


def test_a_file_that_came_up_while_the_lock_was_waited_for_is_not_written_over(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "new.toml"

    @contextmanager
    def waited(_: str) -> Iterator[None]:
        path.write_text("theirs")
        yield

    monkeypatch.setattr(atomic, "locked", waited)
    with pytest.raises(NotSaved, match="is there already"):
        recent.write_new(str(path), b"ours")
    assert path.read_text() == "theirs"
    recent.write_new(str(path), b"ours", force=True)
    assert path.read_text() == "ours"
