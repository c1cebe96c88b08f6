"""Both files on disk: only what was changed is written, only over what was read, whole or not at all."""

import os
import pickle
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
import tomli
from filelock import FileLock

from tests.files.support import SMALL_BOAT, SMALL_VOYAGE, pair
from voyager.errors import NotSaved
from voyager.files import atomic, save
from voyager.files.log import log_path
from voyager.files.save import save_pair
from voyager.files.sketch_read import read_pair
from voyager.files.state import state_folder
from voyager.files.voyage_file import load_voyage

Data = dict[str, Any]


@pytest.fixture(autouse=True)
def state(tmp_path_factory: pytest.TempPathFactory, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path_factory.mktemp("state")))


class Opened:
    """The small pair as it was opened."""

    def __init__(self, folder: Path) -> None:
        self.path = pair(folder)
        self.folder = folder
        read = read_pair(str(self.path))
        self.data, self.stamp = read.documents, read.stamp

    def save(self, **how: Any) -> save.Saved:
        return save_pair(str(self.path), self.data, self.stamp, **how)

    def refused(self, kind: str, **how: Any) -> str:
        before = {file: file.read_bytes() for file in self.folder.rglob("*.toml")}
        with pytest.raises(NotSaved) as caught:
            self.save(**how)
        assert caught.value.kind == kind
        assert {file: file.read_bytes() for file in self.folder.rglob("*.toml")} == before
        return str(caught.value)


@pytest.fixture
def small(tmp_path: Path) -> Opened:
    return Opened(tmp_path)


def test_nothing_changed_writes_nothing(small: Opened) -> None:
    small.path.chmod(0o400)
    saved = small.save()
    assert (saved.written, saved.stamp, saved.top) == ((), small.stamp, {})


def test_only_the_file_whose_data_changed_is_written(small: Opened) -> None:
    small.data["boat"]["battery"]["capacity_kwh"] = 25
    saved = small.save()
    assert [os.path.basename(path) for path in saved.written] == ["boat.toml"]
    assert (small.folder / "boat.toml").read_text("utf-8") == SMALL_BOAT.replace("20", "25")
    assert small.path.read_text("utf-8") == SMALL_VOYAGE
    assert saved.stamp == read_pair(str(small.path)).stamp


def test_one_save_follows_another(small: Opened) -> None:
    for day in ("2027-03-02", "2027-03-03"):
        small.data["voyage"]["departs"] = day
        small.stamp = small.save().stamp
    assert small.path.read_text("utf-8") == SMALL_VOYAGE.replace("2027-03-01", "2027-03-03")
    assert small.save().written == ()


def test_a_broken_voyage_may_be_saved(small: Opened) -> None:
    small.data["voyage"]["leg"][1]["from"] = "nowhere"
    del small.data["voyage"]["departs"]
    small.save()
    assert read_pair(str(small.path)).documents == small.data


@pytest.mark.parametrize("outside", [lambda path: path.write_text(SMALL_VOYAGE + "# by hand\n", "utf-8"), Path.unlink])
def test_what_changed_outside_is_not_written_over_unless_wished(small: Opened, outside: Callable[[Path], Any]) -> None:
    outside(small.path)
    small.data["voyage"]["sky"] = "good"
    assert "since it was opened" in small.refused("changed-outside")
    small.save(force=True)
    assert tomli.loads(small.path.read_text("utf-8"))["sky"] == "good"


def test_a_boat_changed_outside_stops_only_its_own_writing(small: Opened) -> None:
    (small.folder / "boat.toml").write_text(SMALL_BOAT + "# by hand\n", "utf-8")
    small.data["voyage"]["sky"] = "good"
    assert len(small.save().written) == 1
    small.data["boat"]["name"] = "Smaller"
    small.stamp = {**read_pair(str(small.path)).stamp, "boat": small.stamp["boat"]}
    assert "boat.toml" in small.refused("changed-outside")


def test_a_file_that_is_no_toml_any_more_is_written_anew_if_wished(small: Opened) -> None:
    small.path.write_text("leg = [", "utf-8")
    assert "since it was opened" in small.refused("changed-outside")
    saved = small.save(force=True)
    assert any("comments were not kept" in note for note in saved.notes)
    assert load_voyage(small.path).voyage.legs


def test_a_read_only_file_is_left_alone_and_another_name_proposed(small: Opened) -> None:
    small.path.chmod(0o444)
    small.data["voyage"]["sky"] = "good"
    assert "save under another name" in small.refused("read-only")
    assert "save under another name" in small.refused("read-only", force=True)


def test_a_read_only_folder_is_said(small: Opened) -> None:
    small.data["voyage"]["sky"] = "good"
    small.folder.chmod(0o500)
    try:
        assert "read-only" in small.refused("read-only", to=str(small.folder / "other.toml"))
    finally:
        small.folder.chmod(0o700)


def test_permissions_and_links_stay(small: Opened, tmp_path_factory: pytest.TempPathFactory) -> None:
    link = small.folder / "link.toml"
    link.symlink_to(small.path)
    small.path.chmod(0o640)
    small.data["voyage"]["sky"] = "good"
    save_pair(str(link), small.data, small.stamp)
    assert link.is_symlink()
    assert small.path.stat().st_mode & 0o777 == 0o640
    assert tomli.loads(small.path.read_text("utf-8"))["sky"] == "good"


@pytest.mark.parametrize("mark", [b"", b"\xef\xbb\xbf"])
def test_line_ends_and_the_mark_of_byte_order_stay(small: Opened, mark: bytes) -> None:
    text = mark + SMALL_VOYAGE.replace("\n", "\r\n").encode()
    small.path.write_bytes(text)
    small.stamp = read_pair(str(small.path)).stamp
    small.data["voyage"]["departs"] = "2027-03-05"
    small.save()
    assert small.path.read_bytes() == text.replace(b"2027-03-01", b"2027-03-05")


def test_a_date_that_does_not_exist_can_be_edited_away(small: Opened) -> None:
    small.path.write_text(SMALL_VOYAGE.replace("2027-03-01", "2027-02-30  # to be settled"), "utf-8")
    read = read_pair(str(small.path))
    assert read.documents["voyage"]["departs"] == "2027-02-30"
    small.data, small.stamp = read.documents, read.stamp
    small.data["voyage"]["departs"] = "2027-02-28"
    small.save()
    assert 'departs = "2027-02-28"  # to be settled\n' in small.path.read_text("utf-8")


def test_another_name_takes_the_voyage_there_and_names_the_boat_from_there(small: Opened) -> None:
    (small.folder / "sub").mkdir()
    (small.folder / "wind.csv").write_text("x", "utf-8")
    small.data["voyage"] |= {"sky": "good", "weather": "wind.csv"}
    saved = small.save(to=str(small.folder / "sub" / "new.toml"))
    assert saved.top == {"boat": "../boat.toml", "weather": "../wind.csv"}
    assert small.path.read_text("utf-8") == SMALL_VOYAGE
    new = read_pair(saved.path)
    assert (new.documents["voyage"], new.stamp) == ({**small.data["voyage"], **saved.top}, saved.stamp)
    assert new.documents["boat"] == small.data["boat"]


def test_under_another_name_it_is_said_which_log_it_has(small: Opened) -> None:
    old, new = log_path(small.path), log_path(small.folder / "new.toml")
    assert not small.save(to=str(small.folder / "bare.toml")).notes
    Path(old).touch()
    (told,) = small.save(to=str(small.folder / "new.toml")).notes
    assert told == f"the log stays with {small.path.name}; to take it along, leave voyager and copy {old} to {new}"
    Path(new).touch()
    (told,) = small.save(to=str(small.folder / "new.toml"), force=True).notes
    assert told == f"{new} was there already: it is now the log of this voyage"
    assert not small.save().notes


def test_a_changed_boat_goes_beside_the_new_voyage_and_the_old_stays(small: Opened) -> None:
    small.data["boat"]["battery"]["capacity_kwh"] = 25
    saved = small.save(to=str(small.folder / "new.toml"))
    assert saved.top == {"boat": "new-boat.toml"}
    assert any("new-boat.toml" in note for note in saved.notes)
    assert (small.folder / "boat.toml").read_text("utf-8") == SMALL_BOAT
    assert load_voyage(saved.path).vessel.battery.capacity_kwh == 25
    assert read_pair(saved.path).stamp == saved.stamp


def test_a_boat_that_cannot_be_written_is_copied_with_the_voyage(small: Opened) -> None:
    (small.folder / "boat.toml").chmod(0o444)
    (small.folder / "sub").mkdir()
    saved = small.save(to=str(small.folder / "sub" / "new.toml"))
    assert (saved.top, load_voyage(saved.path).vessel.name) == ({}, "Small")


def test_what_is_there_under_the_new_name_is_not_written_over_unless_wished(small: Opened) -> None:
    other = small.folder / "other.toml"
    other.write_text("a = 1\n", "utf-8")
    assert "is there already" in small.refused("exists", to=str(other))
    small.save(to=str(other), force=True)
    assert load_voyage(other).voyage.legs


@pytest.mark.parametrize(("to", "said"), [("no/such/x.toml", "there is no folder"), ("", "is a directory")])
def test_a_name_that_can_be_no_file_is_said(small: Opened, to: str, said: str) -> None:
    assert said in small.refused("failed", to=str(small.folder / to))


def test_another_boat_that_is_there_is_never_written_over(small: Opened) -> None:
    other = small.folder / "other.toml"
    other.write_text(SMALL_BOAT.replace("Small", "Other"), "utf-8")
    small.data["voyage"]["boat"] = "other.toml"
    assert [os.path.basename(path) for path in small.save().written] == ["voyage.toml"]
    small.stamp = {**small.stamp, "voyage": read_pair(str(small.path)).stamp["voyage"]}
    small.data["boat"]["name"] = "Changed"
    assert "other.toml is there already" in small.refused("exists")


def test_a_save_after_another_boat_was_named_leaves_that_boat_alone(small: Opened) -> None:
    other = small.folder / "other.toml"
    other.write_text(SMALL_BOAT.replace("Small", "Other"), "utf-8")
    small.data["voyage"]["boat"] = "other.toml"
    small.stamp = small.save().stamp
    small.data["voyage"]["sky"] = "good"
    saved = small.save()
    assert [os.path.basename(path) for path in saved.written] == ["voyage.toml"]
    assert "Other" in other.read_text("utf-8")
    small.stamp = saved.stamp
    small.data["boat"]["name"] = "Changed"
    assert "other.toml is there already" in small.refused("exists")


def test_half_a_sign_is_said_and_nothing_is_written(small: Opened) -> None:
    small.data["voyage"]["name"] = "Two \udc80"
    assert "U+DC80" in small.refused("failed")


def test_a_new_name_for_the_boat_makes_a_new_boat_file(small: Opened) -> None:
    small.data["voyage"]["boat"] = "new.toml"
    saved = small.save()
    assert [os.path.basename(path) for path in saved.written] == ["new.toml", "voyage.toml"]
    assert (small.folder / "new.toml").read_text("utf-8") == SMALL_BOAT
    assert saved.stamp == read_pair(str(small.path)).stamp


def test_a_boat_that_was_not_there_is_not_made_up(small: Opened) -> None:
    (small.folder / "boat.toml").unlink()
    read = read_pair(str(small.path))
    small.data, small.stamp = read.documents, read.stamp
    assert small.data["boat"] == {}
    small.data["voyage"]["sky"] = "good"
    small.save()
    assert not (small.folder / "boat.toml").exists()


def test_a_voyage_without_a_file_is_made(small: Opened) -> None:
    path = small.folder / "made.toml"
    saved = save_pair(str(path), small.data, {})
    assert (saved.written, saved.stamp["voyage"]) == ((str(path),), read_pair(str(path)).stamp["voyage"])
    assert load_voyage(path).voyage.name == "made"


def test_a_disk_that_fails_leaves_all_as_it_was(small: Opened, monkeypatch: pytest.MonkeyPatch) -> None:
    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    small.data["voyage"]["sky"] = "good"
    monkeypatch.setattr(os, "fsync", full)
    assert small.refused("failed").endswith("No space left on device; nothing was written")
    assert sorted(os.listdir(small.folder)) == ["boat.toml", "voyage.toml"]


def test_what_was_written_before_the_failure_is_said(small: Opened, monkeypatch: pytest.MonkeyPatch) -> None:
    real = atomic.write_atomically

    def second_fails(path: str, content: bytes) -> None:
        if path.endswith("voyage.toml"):
            raise OSError(5, "Input/output error")
        real(path, content)

    small.data["voyage"]["sky"] = "good"
    small.data["boat"]["name"] = "Smaller"
    monkeypatch.setattr(save, "write_atomically", second_fails)
    with pytest.raises(NotSaved, match=r"voyage.toml could not be written: .*boat.toml was written before it"):
        small.save()
    assert tomli.loads((small.folder / "boat.toml").read_text("utf-8"))["name"] == "Smaller"
    monkeypatch.undo()
    assert [os.path.basename(path) for path in small.save().written] == ["voyage.toml"]


def test_a_writer_at_work_elsewhere_is_waited_for_and_then_said(small: Opened, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(atomic, "WAIT_S", 0.05)
    small.data["voyage"]["sky"] = "good"
    small.save()
    small.data["voyage"]["sky"] = "middling"
    small.stamp = read_pair(str(small.path)).stamp
    lock = Path(state_folder()) / "locks" / f"{atomic.name_for(str(small.path))}.lock"
    with FileLock(lock):
        assert "another program is writing it" in small.refused("failed")
    assert small.save().written


def test_no_folder_for_locks_does_not_keep_from_saving(small: Opened, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("XDG_STATE_HOME", "/dev/null")
    small.data["voyage"]["sky"] = "good"
    assert small.save().written


def test_what_a_killed_writer_left_is_swept(small: Opened) -> None:
    code = (
        "import os, sys\n"
        "from voyager.files import atomic\n"
        "os.replace = lambda *_: os.kill(os.getpid(), 9)\n"
        "atomic.write_atomically(sys.argv[1], b'half')\n"
    )
    killed = subprocess.run([sys.executable, "-c", code, str(small.path)], check=False)
    assert killed.returncode == -9
    assert small.path.read_text("utf-8") == SMALL_VOYAGE
    (stale,) = small.folder.glob(".voyage.toml.*")
    os.utime(stale, (time.time() - 600, time.time() - 600))
    small.data["voyage"]["sky"] = "good"
    small.save()
    assert sorted(os.listdir(small.folder)) == ["boat.toml", "voyage.toml"]


def test_why_it_was_not_saved_survives_the_way_between_processes() -> None:
    error = pickle.loads(pickle.dumps(NotSaved("x.toml is read-only", "read-only")))
    assert (str(error), error.kind) == ("x.toml is read-only", "read-only")


def test_saving_loads_nothing_heavy() -> None:
    code = (
        "import sys, voyager.files.save, voyager.session.sketch.journal, voyager.files.journal\n"
        "print(*[n for n in ('numpy','pandas','pydantic','scipy','pvlib','textual') if n in sys.modules])"
    )
    assert subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True).stdout.strip() == ""
