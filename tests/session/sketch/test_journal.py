"""Edits on disk: what a crash leaves is offered whole, nothing else is, and a disk that fails stops nobody."""

import os
import random
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.files.support import pair
from tests.session.sketch.edits_until_killed import edited
from voyager.errors import Problems
from voyager.files import journal as files
from voyager.files.sketch_read import read_pair
from voyager.session.sketch.journal import BEFORE, Journal, forget, offered, restored
from voyager.session.sketch.opened import opened
from voyager.session.sketch.save import save
from voyager.session.sketch.state import Sketch, sketch_of

ROUNDS, LONG_ROUNDS = 8, 200
ROOT = Path(__file__).parents[3]


@pytest.fixture(autouse=True)
def state(tmp_path_factory: pytest.TempPathFactory, monkeypatch: pytest.MonkeyPatch) -> Path:
    folder = tmp_path_factory.mktemp("state")
    monkeypatch.setenv("XDG_STATE_HOME", str(folder))
    return folder


@pytest.fixture
def path(tmp_path: Path) -> str:
    return str(pair(tmp_path))


class Run:
    """A run of the program that edits a voyage, with the history that it shows."""

    def __init__(self, path: str) -> None:
        self.documents = read_pair(path).documents
        self.journal = Journal.begin(path, self.documents)
        self.taken: list[Sketch] = [sketch_of(self.documents)]
        self.undone: list[Sketch] = []

    @property
    def now(self) -> Sketch:
        return self.taken[-1]

    def edit(self, step: int) -> None:
        after = edited(self.now, step)
        self.journal.edit(self.now, after, f"step {step}")
        self.taken.append(after)
        self.undone.clear()

    def undo(self) -> None:
        if len(self.taken) > 1:
            self.undone.append(self.taken.pop())
            self.journal.undo()

    def redo(self) -> None:
        if self.undone:
            self.taken.append(self.undone.pop())
            self.journal.redo()

    def crash(self) -> None:
        """What is on disk stays as it is; the lock is free, as the system sees to when a process ends."""
        self.journal.close(clean=False)


def sketches(steps: list[tuple[Sketch, str]]) -> list[Sketch]:
    return [sketch for sketch, _ in steps]


def exactly(a: object, b: object) -> bool:
    return a == b and repr(a) == repr(b)


def test_nothing_is_on_disk_before_the_first_edit(path: str, state: Path) -> None:
    run = Run(path)
    assert list(state.rglob("*.jsonl")) == []
    run.edit(0)
    assert len(list(state.rglob("*.jsonl"))) == 1
    run.crash()


def test_a_crash_leaves_an_offer_and_a_clean_end_none(path: str, state: Path) -> None:
    run = Run(path)
    run.edit(0)
    run.journal.close(clean=True)
    assert offered(path) is None
    assert list(state.rglob("*.jsonl")) == []
    run = Run(path)
    run.edit(0)
    run.edit(1)
    run.undo()
    run.crash()
    offer = opened(path)["journal"]
    assert (offer["edits"], offer["undone"], offer["typing"], offer["base_matches"]) == (1, 1, None, True)
    taken, undone = restored(offer, run.taken[0])
    assert exactly(sketches(taken), run.taken[1:])
    assert exactly(sketches(undone), run.undone)
    assert [label for _, label in taken + undone] == ["step 0", "step 1"]


def test_the_offer_stays_until_it_is_dropped(path: str) -> None:
    run = Run(path)
    run.edit(0)
    run.crash()
    other = Run(path)
    other.edit(1)
    other.journal.close(clean=True)
    offer = offered(path)
    assert offer is not None
    forget(offer)
    assert offered(path) is None


def test_text_half_typed_is_offered_too(path: str) -> None:
    run = Run(path)
    for text in ("4", "40", "40."):
        run.journal.typing({"row": 3, "key": "distance_km", "text": text})
    run.crash()
    offer = offered(path)
    assert offer is not None
    assert (offer["edits"], offer["typing"]) == (0, {"row": 3, "key": "distance_km", "text": "40."})


@pytest.mark.parametrize("ended", ["edit", "closed", "undone"])
def test_a_cell_that_was_closed_is_no_longer_typed_into(path: str, ended: str) -> None:
    run = Run(path)
    run.edit(0)
    run.journal.typing({"text": "4"})
    {"edit": lambda: run.edit(1), "closed": lambda: run.journal.typing(None), "undone": run.undo}[ended]()
    run.crash()
    offer = offered(path)
    assert offer is not None
    assert offer["typing"] is None


def test_after_saving_there_is_nothing_to_offer_until_the_next_edit(path: str) -> None:
    run = Run(path)
    run.edit(0)
    stamp = read_pair(path).stamp
    save(path, run.now.documents(), stamp)
    run.journal.saved()
    run.edit(1)
    run.crash()
    offer = offered(path)
    assert offer is not None
    assert (offer["edits"], offer["base_matches"]) == (1, True)
    taken, _ = restored(offer, sketch_of(read_pair(path).documents))
    assert exactly(sketches(taken), [run.now])
    forget(offer)
    run = Run(path)
    run.edit(2)
    run.journal.saved()
    run.crash()
    assert offered(path) is None


def test_what_is_taken_back_beyond_the_last_saving_is_an_edit_of_its_own(path: str) -> None:
    run = Run(path)
    run.edit(0)
    run.edit(1)
    run.journal.saved()
    run.undo()
    run.undo()
    run.redo()
    run.crash()
    offer = offered(path)
    assert offer is not None
    taken, undone = restored(offer, run.taken[0])
    assert offer["base_matches"] is False
    assert exactly(taken[-1][0], run.now)
    assert undone == []


@pytest.mark.parametrize(
    "deeds", ["uu", "uur", "uurr", "uure", "urur", "ue", "uer", "uuer", "eu", "euu", "euuu", "euur"]
)
def test_undo_and_redo_about_a_saving_end_where_they_ended(path: str, deeds: str) -> None:
    run = Run(path)
    run.edit(0)
    run.edit(1)
    run.journal.saved()
    for step, deed in enumerate(deeds, 2):
        run.edit(step) if deed == "e" else run.undo() if deed == "u" else run.redo()
    run.crash()
    offer = offered(path)
    assert offer is not None
    taken, undone = restored(offer, run.taken[0])
    assert exactly(taken[-1][0], run.now)
    assert all(any(exactly(sketch, known) for known in run.undone) for sketch in sketches(undone))


def test_an_edit_ends_what_could_be_done_again(path: str) -> None:
    run = Run(path)
    run.edit(0)
    run.undo()
    run.edit(1)
    run.crash()
    offer = offered(path)
    assert offer is not None
    assert (offer["edits"], offer["undone"], restored(offer, run.taken[0])[1]) == (1, 0, [])


def test_files_changed_since_are_told_and_the_edits_stand_on_what_they_were(path: str, tmp_path: Path) -> None:
    run = Run(path)
    run.edit(1)
    run.crash()
    (tmp_path / "voyage.toml").write_text(Path(path).read_text("utf-8").replace("2027-03-01", "2027-04-01"), "utf-8")
    told = opened(path)
    offer, base = told["journal"], sketch_of(told["documents"])
    assert offer["base_matches"] is False
    taken, _ = restored(offer, base)
    assert [label for _, label in taken] == [BEFORE, "step 1"]
    assert exactly(sketches(taken), run.taken)


def test_a_journal_taken_up_goes_on(path: str) -> None:
    run = Run(path)
    for step in range(3):
        run.edit(step)
    run.undo()
    run.crash()
    offer = offered(path)
    assert offer is not None
    run.journal = Journal.resume(path, offer, run.taken[0])
    assert offered(path) is None, "a journal in use is offered"
    run.redo()
    run.undo()
    run.undo()
    run.edit(7)
    run.crash()
    again = offered(path)
    assert again is not None
    assert exactly(sketches(restored(again, run.taken[0])[0]), run.taken[1:])


def test_undo_goes_on_through_the_steps_that_were_taken_up(path: str) -> None:
    run = Run(path)
    for step in range(3):
        run.edit(step)
    run.undo()
    run.crash()
    for _ in range(2):
        offer = offered(path)
        assert offer is not None
        shown, back = restored(offer, run.taken[0])
        run.journal = Journal.resume(path, offer, run.taken[0])
        run.journal.redo(back[0][0])
        run.journal.undo(shown[-1][0])
        run.crash()
    again = offered(path)
    assert again is not None
    taken, undone = restored(again, run.taken[0])
    assert exactly(sketches(taken), run.taken[1:])
    assert exactly(sketches(undone), run.undone)


def test_a_cell_half_typed_after_a_saving_is_found_in_the_file_as_it_is_opened(path: str) -> None:
    run = Run(path)
    run.edit(2)
    save(path, run.now.documents(), read_pair(path).stamp)
    run.journal.saved()
    last = run.now.legs[-1]
    run.journal.typing({"row": last.ident, "key": "nights", "text": "1"})
    run.crash()
    told = opened(path)
    legs = sketch_of(told["documents"]).legs
    assert told["journal"]["typing"]["row"] == legs[-1].ident != last.ident
    assert legs[-1].values == last.values


def test_a_journal_taken_up_on_changed_files_goes_on(path: str, tmp_path: Path, state: Path) -> None:
    run = Run(path)
    run.edit(1)
    run.edit(2)
    run.undo()
    run.crash()
    (tmp_path / "voyage.toml").write_text(Path(path).read_text("utf-8").replace("2027-03-01", "2027-04-01"), "utf-8")
    base, offer = sketch_of(read_pair(path).documents), offered(path)
    assert offer is not None
    before = restored(offer, base)
    Journal.resume(path, offer, base).close(clean=False)
    again = offered(path)
    assert again is not None
    assert again["base_matches"]
    assert exactly([sketches(steps) for steps in restored(again, base)], [sketches(steps) for steps in before])
    assert len(list(state.rglob("*.jsonl"))) == 1


def test_an_offer_that_cannot_be_told_anew_is_kept(path: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    run = Run(path)
    run.edit(1)
    run.crash()
    (tmp_path / "voyage.toml").write_text(Path(path).read_text("utf-8").replace("2027-03-01", "2027-04-01"), "utf-8")
    base, offer = sketch_of(read_pair(path).documents), offered(path)
    assert offer is not None
    with monkeypatch.context() as full:
        full.setattr(files.os, "write", lambda *_: (_ for _ in ()).throw(OSError(28, "No space left on device")))
        journal = Journal.resume(path, offer, base)
    assert journal.news() is not None
    journal.close(clean=False)
    again = offered(path)
    assert again is not None
    assert sketches(restored(again, base)[0]) == sketches(restored(offer, base)[0])


def test_two_runs_at_once_keep_journals_of_their_own(path: str, state: Path) -> None:
    one, other = Run(path), Run(path)
    one.edit(0)
    other.edit(1)
    other.edit(2)
    assert offered(path) is None
    assert len(list(state.rglob("*.jsonl"))) == 2
    one.crash()
    offer = offered(path)
    assert offer is not None
    assert exactly(sketches(restored(offer, one.taken[0])[0]), one.taken[1:])
    other.crash()
    newest = offered(path)
    assert newest is not None
    forget(newest)
    last = offered(path)
    assert last is not None
    assert {newest["edits"], last["edits"]} == {1, 2}


def test_the_same_voyage_by_another_way_has_the_same_journal(path: str, tmp_path: Path) -> None:
    run = Run(path)
    run.edit(0)
    run.crash()
    (tmp_path / "link.toml").symlink_to(path)
    assert offered(tmp_path / "link.toml") is not None
    assert offered(tmp_path / "other.toml") is None


@pytest.mark.parametrize("cut", [1, 7, 40])
def test_a_torn_last_line_costs_that_line_alone(path: str, state: Path, cut: int) -> None:
    run = Run(path)
    for step in range(4):
        run.edit(step)
    run.crash()
    (file,) = state.rglob("*.jsonl")
    file.write_bytes(file.read_bytes()[:-cut])
    offer = offered(path)
    assert offer is not None
    assert exactly(sketches(restored(offer, run.taken[0])[0]), run.taken[1:-1])
    journal = Journal.resume(path, offer, run.taken[0])
    journal.edit(run.taken[-2], run.taken[-1], "again")
    journal.close(clean=False)
    again = offered(path)
    assert again is not None
    assert exactly(sketches(restored(again, run.taken[0])[0]), run.taken[1:])


@pytest.mark.parametrize(
    "told",
    [
        "[" * 100_000 + "]" * 100_000,
        '{"do":"edit","label":"x","delta":{"next":9,"top":{"put":[["name",' + "[" * 900 + "]" * 900 + "]]}}}",
        '{"do":"edit","label":"x","delta":{"next":9,"legs":{"put":[[3,"abc"]]}}}',
        '{"do":"edit","label":"x","delta":{"whole":{"top":[],"boat":5,"next":9,"places":[],"legs":[],"forecast":[]}}}',
        '{"do":"edit","label":"x","delta":{"next":9,"legs":{"order":[777]}}}',
        '{"do":3}',
    ],
    ids=["deep", "deep value", "row no table", "top no table", "unknown row", "no deed"],
)
def test_a_line_that_no_run_wrote_is_no_error(path: str, state: Path, told: str) -> None:
    run = Run(path)
    run.edit(0)
    run.crash()
    (file,) = state.rglob("*.jsonl")
    file.write_text(file.read_text("utf-8") + told + "\n", "utf-8")
    offer = offered(path)
    if offer is not None:
        steps, _ = restored(offer, run.taken[0])
        assert exactly(sketches(steps), run.taken[1:])
        steps[-1][0].documents()


@given(st.data())
@settings(max_examples=40, deadline=None)
def test_any_bytes_are_read_without_an_error(data: st.DataObject) -> None:
    with tempfile.TemporaryDirectory() as folder, pytest.MonkeyPatch.context() as patch:
        patch.setenv("XDG_STATE_HOME", folder)
        path = str(pair(Path(folder)))
        run = Run(path)
        for step in range(3):
            run.edit(step)
        run.crash()
        (file,) = Path(folder).rglob("*.jsonl")
        content = bytearray(file.read_bytes())
        for _ in range(data.draw(st.integers(1, 4))):
            content[data.draw(st.integers(0, len(content) - 1))] = data.draw(st.integers(0, 255))
        file.write_bytes(bytes(content))
        offer = offered(path)
        if offer is not None:
            restored(offer, run.taken[0])


@given(st.lists(st.sampled_from(["edit", "edit", "undo", "redo", "typing", "saved", "crash"]), max_size=25))
@settings(max_examples=60, deadline=None)
def test_whatever_was_done_comes_back_as_it_was_shown(deeds: list[str]) -> None:
    with tempfile.TemporaryDirectory() as folder, pytest.MonkeyPatch.context() as patch:
        patch.setenv("XDG_STATE_HOME", folder)
        path = str(pair(Path(folder)))
        run, stamp = Run(path), read_pair(path).stamp
        for step, deed in enumerate(deeds):
            if deed == "edit":
                run.edit(step)
            elif deed == "typing":
                run.journal.typing({"text": str(step)})
            elif deed == "saved":
                stamp = save(path, run.now.documents(), stamp)["stamp"]
                run.journal.saved()
            elif deed == "crash":
                run.crash()
                _take_up(run, path)
            else:
                getattr(run, deed)()
        run.crash()
        assert _shown(path) == run.now.documents()


def _take_up(run: Run, path: str) -> None:
    """Start again as the screens do: what is offered is taken up with its history."""
    told = opened(path)
    base, offer = sketch_of(told["documents"]), told["journal"]
    if offer is None:
        run.journal = Journal.begin(path, told["documents"])
        run.taken, run.undone = [base], []
        return
    taken, undone = restored(offer, base)
    run.journal = Journal.resume(path, offer, base)
    run.taken, run.undone = [base, *sketches(taken)], sketches(undone)[::-1]


def _shown(path: str) -> dict[str, Any]:
    """What a new start would show, the offer taken up."""
    told = opened(path)
    base = sketch_of(told["documents"])
    taken = restored(told["journal"], base)[0] if told["journal"] else []
    return (taken[-1][0] if taken else base).documents()


@pytest.fixture
def killed(path: str) -> Callable[[float], int]:
    """Starts runs that are killed after a while; gives how many edits each had told."""

    def one(seconds: float) -> int:
        with subprocess.Popen(
            [sys.executable, "-m", "tests.session.sketch.edits_until_killed", path],
            stdout=subprocess.PIPE, cwd=ROOT, text=True,
        ) as run:  # fmt: skip
            assert run.stdout is not None
            assert run.stdout.readline() == "begun\n"
            time.sleep(seconds)
            run.kill()
            lines = run.stdout.read().split("\n")
        return len(lines) - 1

    return one


def test_a_living_run_keeps_its_journal_to_itself(path: str) -> None:
    command = [sys.executable, "-m", "tests.session.sketch.edits_until_killed", path]
    with subprocess.Popen(command, stdout=subprocess.PIPE, cwd=ROOT, text=True) as run:
        assert run.stdout is not None
        assert [run.stdout.readline() for _ in range(3)] == ["begun\n", "0\n", "1\n"]
        living = offered(path)
        run.kill()
        run.stdout.read()
    assert living is None
    assert offered(path) is not None


def _killed_rounds(path: str, killed: Callable[[float], int], rounds: int) -> None:
    chance, base = random.Random(11), sketch_of(read_pair(path).documents)
    kept = 0
    for _ in range(rounds):
        told = killed(chance.uniform(0, 0.05))
        offer = offered(path)
        if offer is None:
            assert told == 0
            continue
        taken, undone = restored(offer, base)
        assert len(taken) - told in (0, 1), "an edit that was told is not on disk"
        assert undone == []
        expected = base
        for step, (_, label) in enumerate(taken):
            expected = edited(expected, step)
            assert label == f"step {step}"
        assert exactly(taken[-1][0] if taken else base, expected)
        kept += len(taken)
        forget(offer)
    assert kept > 10 * rounds, "they were killed before they edited anything"


def test_a_killed_run_loses_nothing_that_it_had_taken(path: str, killed: Callable[[float], int]) -> None:
    _killed_rounds(path, killed, ROUNDS)


@pytest.mark.long
def test_many_killed_runs_lose_nothing(path: str, killed: Callable[[float], int]) -> None:
    _killed_rounds(path, killed, LONG_ROUNDS)


@pytest.mark.parametrize("fault", ["no folder", "full", "short"])
def test_a_disk_that_fails_is_said_once_and_stops_nothing(
    path: str, fault: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    real = os.write

    def write(handle: int, content: bytes) -> int:
        if fault == "short" and len(content) > 10:
            return real(handle, content[:10])
        raise OSError(28, "No space left on device")

    if fault == "no folder":
        monkeypatch.setenv("XDG_STATE_HOME", "/dev/null")
    else:
        monkeypatch.setattr(files.os, "write", write)
    run = Run(path)
    run.edit(0)
    news = run.journal.news()
    assert news is not None
    assert news.startswith("edits are not being kept on disk (")
    run.edit(1)
    run.undo()
    run.journal.typing({"text": "4"})
    assert run.journal.news() is None
    run.crash()
    assert offered(path) is None


def test_a_disk_that_has_room_again_is_used_after_the_next_saving(path: str, monkeypatch: pytest.MonkeyPatch) -> None:
    run = Run(path)
    with monkeypatch.context() as full:
        full.setattr(files.os, "write", lambda *_: (_ for _ in ()).throw(OSError(28, "No space left on device")))
        run.edit(0)
    run.edit(1)
    run.journal.saved()
    run.edit(2)
    run.crash()
    offer = offered(path)
    assert offer is not None
    assert exactly(sketches(restored(offer, run.taken[0])[0])[-1], run.now)


def test_a_journal_of_another_format_is_left_alone(path: str, state: Path) -> None:
    run = Run(path)
    run.edit(0)
    run.crash()
    (file,) = state.rglob("*.jsonl")
    file.write_text(file.read_text("ascii").replace('"journal":1', '"journal":2'), "ascii")
    assert offered(path) is None
    assert file.exists()
    month = time.time() - 31 * 86400
    os.utime(file, (month, month))
    assert offered(path) is None
    assert not file.exists(), "nobody came for it in a month"


def test_an_old_journal_that_can_be_read_is_offered_for_ever(path: str, state: Path) -> None:
    run = Run(path)
    run.edit(0)
    run.crash()
    (file,) = state.rglob("*.jsonl")
    os.utime(file, (0, 0))
    assert offered(path) is not None
    assert file.exists()


def test_a_journal_too_long_to_be_read_is_left_alone(path: str, state: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    run = Run(path)
    run.edit(0)
    run.crash()
    (file,) = state.rglob("*.jsonl")
    monkeypatch.setattr(files, "LARGEST_BYTES", 10)
    assert offered(path) is None
    monkeypatch.undo()
    monkeypatch.setenv("XDG_STATE_HOME", str(state))
    assert file.exists()
    assert offered(path) is not None


def test_too_many_journals_are_told_with_their_folder(path: str, state: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(files, "MOST_RUNS", 1)
    for _ in range(2):
        run = Run(path)
        run.edit(0)
        news = run.journal.news()
        run.crash()
    assert news is not None
    assert f"1 journals of it are left in {state}" in news


def test_journals_are_the_users_own(path: str, state: Path) -> None:
    run = Run(path)
    run.edit(0)
    (file,) = state.rglob("*.jsonl")
    assert file.stat().st_mode & 0o077 == 0
    run.crash()


def test_an_offer_of_a_voyage_that_is_gone_is_no_error(path: str) -> None:
    run = Run(path)
    run.edit(0)
    run.crash()
    os.unlink(path)
    with pytest.raises(Problems, match="no such file"):
        offered(path)


def test_other_voyages_with_edits_left_are_named_when_one_is_opened(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "config"))
    from voyager.session.settings import remember

    one, other = tmp_path / "one", tmp_path / "other"
    for folder in (one, other):
        folder.mkdir()
    left, here = str(pair(one)), str(pair(other))
    remember(left)
    remember(here)
    assert opened(here)["waiting"] == []
    base = sketch_of(opened(left)["documents"])
    journal = Journal.begin(left, base.documents())
    journal.edit(base, base.put_top("name", "Other"), "name")
    assert opened(here)["waiting"] == [], "a session still has it"
    journal.close(clean=False)
    assert opened(here)["waiting"] == [left]
    assert opened(left)["waiting"] == []
