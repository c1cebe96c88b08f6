"""Voyages of late, half-typed paths, names to propose."""

import os
from pathlib import Path

import pytest

from voyager.errors import InputError
from voyager.files import recent as files
from voyager.session import recent
from voyager.session.demo import demo_path
from voyager.session.settings import remember, store

LEG = 'name = "{}"\nboat = "b.toml"\n\n[[leg]]\nfrom = "A"\nto = "B"\n'
BOAT = 'name = "Sedge"\n\n[hull]\ncoefficient_w_per_mps3 = 90\n\n[battery]\ncapacity_kwh = 20\n'


@pytest.fixture(autouse=True)
def _own_settings(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "config"))
    (tmp_path / "here").mkdir()
    monkeypatch.chdir(tmp_path / "here")


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    made = tmp_path / "boats"
    (made / "summer").mkdir(parents=True)
    (made / ".hidden").mkdir()
    (made / "north.toml").write_text(LEG.format("Up north"))
    (made / "Norfolk.toml").write_text("leg = [\n  { from = 'A', to = 'B' },\n]\n")
    (made / "b.toml").write_text(BOAT)
    (made / "other.toml").write_text("x = 1\n")
    (made / "north.txt").write_text(LEG.format("no TOML file"))
    (made / "summer" / "west.toml").write_text(LEG.format("Out west"))
    return made


def names(text: str, folder: Path, kind: str = "voyage") -> list[str]:
    return [one.typed for one in recent.found(text, str(folder), kind)]


def test_voyages_then_folders_then_the_one_above(folder: Path) -> None:
    assert names("", folder) == ["Norfolk.toml", "north.toml", "summer/", "../"]
    assert names("", folder, "boat") == ["b.toml", "summer/", "../"]


def test_what_is_typed_narrows_the_list_whatever_its_case(folder: Path) -> None:
    assert names("no", folder) == ["Norfolk.toml", "north.toml"]
    assert names("summer/", folder) == ["summer/west.toml", "summer/../"]
    assert names("summer/w", folder) == ["summer/west.toml"]
    assert names("nowhere/x", folder) == []


def test_files_of_late_come_first_and_once(folder: Path) -> None:
    late = [str(folder / "north.toml"), str(folder / "summer" / "west.toml")]
    rows = recent.found("", str(folder), "voyage", late)
    assert [row.path for row in rows[:2]] == late
    assert [row.note for row in rows[:2]] == ["Up north", "Out west"]
    assert len({row.path for row in rows}) == len(rows)
    assert [row.path for row in recent.found("west", str(folder), "voyage", late)] == late[1:]


def test_completion_goes_as_far_as_all_agree(folder: Path) -> None:
    rows = recent.found("n", str(folder), "voyage")
    assert recent.completed("n", rows) == "n", "Norfolk and north differ in their first letter's case"
    assert recent.completed("no", [row for row in rows if row.typed[0] == "n"]) == "north.toml"
    assert recent.completed("su", recent.found("su", str(folder), "voyage")) == "summer/"
    assert recent.completed("x", []) == "x"


def test_a_folder_that_can_not_be_read_is_one_sentence(folder: Path) -> None:
    with pytest.raises(InputError, match="can't be read"):
        files.entries(str(folder / "none"), "voyage")


def test_only_what_is_still_there_is_recent(folder: Path) -> None:
    store(recent=[str(folder / "gone.toml"), str(folder / "north.toml")])
    assert recent.recent() == [str(folder / "north.toml")]
    remember(str(folder / "summer" / "west.toml"))
    assert recent.recent() == [str(folder / "summer" / "west.toml"), str(folder / "north.toml")]


def test_the_home_folder_is_written_short(monkeypatch: pytest.MonkeyPatch, folder: Path) -> None:
    monkeypatch.setenv("HOME", str(folder))
    assert recent.short(str(folder / "north.toml")) == "~/north.toml"
    assert recent.whole("~/north.toml", "/elsewhere") == str(folder / "north.toml")
    assert recent.short("/elsewhere/x") == "/elsewhere/x"


def test_a_name_is_proposed_that_no_file_has(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    assert recent.proposed(str(folder / "north.toml")) == "north-2.toml"
    (folder / "north-2.toml").write_text("")
    assert recent.proposed(str(folder / "north.toml")) == "north-3.toml"
    assert recent.proposed(str(folder / "north.toml"), ".csv", "-legs") == "north-legs.csv"
    monkeypatch.setattr(os, "access", lambda *_: False)
    assert recent.folder_of(str(folder / "north.toml"), to_write=True) == os.getcwd()


def test_what_comes_with_voyager_is_saved_where_one_works(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(folder)
    assert recent.folder_of(demo_path(), to_write=True) == str(folder) != recent.folder_of(demo_path())
    assert recent.proposed(demo_path()) == "spring.toml"


@pytest.mark.parametrize(
    ("name", "kind", "why"),
    [
        ("north.toml", "voyage", None), ("b.toml", "boat", None), ("b.toml", "voyage", "it is a boat's"),
        ("north.toml", "boat", "it is a voyage's"), ("other.toml", "voyage", "none of the keys"),
        ("gone.toml", "voyage", "no such file"), ("summer", "voyage", "is a directory"),
    ],
)  # fmt: skip
def test_what_can_be_opened(folder: Path, name: str, kind: str, why: str | None) -> None:
    told = recent.fault(str(folder / name), kind)
    assert (told is None) if why is None else (told is not None and why in told and name in told)


def test_boats_are_found_where_voyages_are(folder: Path) -> None:
    assert [row.note for row in recent.boats(str(folder / "north.toml"))] == ["Sedge"]
    remember(str(folder / "north.toml"))
    assert [row.note for row in recent.boats("/nowhere/x.toml")] == ["Sedge"]


def test_odd_files_do_no_harm(folder: Path) -> None:
    (folder / "bytes.toml").write_bytes(b"\xff\xfe[[leg]]\n")
    (folder / "dangling.toml").symlink_to(folder / "nothing")
    os.mkfifo(folder / "pipe.toml")
    assert "pipe.toml" not in names("", folder)
    assert "dangling.toml" not in names("", folder)
