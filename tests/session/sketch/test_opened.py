"""A voyage opened for editing, sound or not, and its faults by row."""

import pickle
from copy import deepcopy
from pathlib import Path
from typing import Any

import pytest

from tests.files.support import ROUTES, SMALL_BOAT, SMALL_VOYAGE, VOYAGES, pair
from voyager.errors import Problems
from voyager.files.sketch_read import read_pair
from voyager.session.outline import outline
from voyager.session.sketch.faults import faults
from voyager.session.sketch.opened import opened
from voyager.session.sketch.state import sketch_of

Data = dict[str, Any]


@pytest.fixture(autouse=True)
def state(tmp_path_factory: pytest.TempPathFactory, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path_factory.mktemp("state")))


@pytest.mark.parametrize("name", VOYAGES)
def test_a_demo_opens_without_a_problem(name: str) -> None:
    path = ROUTES / name
    told = opened(path)
    assert pickle.loads(pickle.dumps(told)) == told
    assert (told["problems"], told["journal"]) == ([], None)
    assert told["outline"] == outline(path)
    assert sketch_of(told["documents"]).documents() == told["documents"]
    assert told["comfort"][-1] == "off"
    assert told["files"] == {"voyage": str(path), "boat": str(path.parent / told["documents"]["voyage"]["boat"])}


def test_a_broken_voyage_opens_with_its_problems(tmp_path: Path) -> None:
    path = pair(tmp_path, voyage=('from = "Carlow"', 'from = "Nowhere"\nnights = "two"'), boat=("400", '"400"'))
    path.write_text(path.read_text("utf-8").replace("2027-03-01", "2027-02-30"), "utf-8")
    told = opened(path)
    assert told["documents"]["voyage"]["departs"] == "2027-02-30"
    assert [(p["row"], p["number"], p["key"]) for p in told["problems"]] == [
        ("top", None, "departs"), ("leg", 2, "from"), ("leg", 2, "from"), ("leg", 2, "nights"),
        ("boat", 1, "array.1.panel_wp"),
    ]  # fmt: skip
    assert told["outline"]["legs"][1]["from"] == "Nowhere"
    assert told["outline"]["legs"][1]["nights"] is None
    assert told["outline"]["voyage"]["departs"] is None


@pytest.mark.parametrize("boat", [None, "hull = [", 'departs = 2027-03-01\n[[leg]]\nfrom = "A"\n', ""])
def test_a_boat_file_that_is_not_there_or_none_is_a_problem_not_an_error(tmp_path: Path, boat: str | None) -> None:
    path = pair(tmp_path)
    (tmp_path / "boat.toml").unlink() if boat is None else (tmp_path / "boat.toml").write_text(boat, "utf-8")
    told = opened(path)
    (problem,) = told["problems"]
    assert "boat" in problem["text"]
    assert told["comfort"] == ["off"]
    if boat is None:
        assert told["documents"]["boat"] == {}
        assert (problem["row"], problem["key"]) == ("top", "boat")


@pytest.mark.parametrize("text", ["leg = [", "", SMALL_BOAT])
def test_what_is_no_voyage_at_all_is_refused(tmp_path: Path, text: str) -> None:
    (tmp_path / "voyage.toml").write_text(text, "utf-8")
    with pytest.raises(Problems):
        opened(tmp_path / "voyage.toml")


def test_what_is_not_there_is_refused(tmp_path: Path) -> None:
    with pytest.raises(Problems, match="no such file"):
        opened(tmp_path / "voyage.toml")


def test_a_read_only_file_is_known_as_such(tmp_path: Path) -> None:
    path = pair(tmp_path)
    assert opened(path)["writable"] == {"voyage": True, "boat": True}
    (tmp_path / "boat.toml").chmod(0o444)
    assert opened(path)["writable"] == {"voyage": True, "boat": False}


@pytest.mark.parametrize(
    "rubbish", ['leg = 3\nplace = "x"', "leg = [3, {}]\nplace = [[1]]", "leg = {}\nforecast = [[]]"]
)
def test_rows_of_no_kind_open(tmp_path: Path, rubbish: str) -> None:
    path = pair(tmp_path)
    path.write_text('boat = "boat.toml"\ndeparts = 2027-03-01\n' + rubbish, "utf-8")
    told = opened(path)
    assert told["problems"]
    assert sketch_of(told["documents"]).top["boat"] == "boat.toml"


def small(tmp_path: Path) -> tuple[str, Data]:
    path = str(pair(tmp_path))
    return path, deepcopy(read_pair(path).documents)


def test_a_sound_sketch_has_no_faults(tmp_path: Path) -> None:
    assert faults(*small(tmp_path)) == []


def test_a_fault_says_where_and_what(tmp_path: Path) -> None:
    path, data = small(tmp_path)
    data["voyage"]["leg"][1]["tide"] = {"flood_kmh": "3", "high_water": "2027-03-01T05:40:00Z"}
    data["voyage"]["forecast"] = [{"date": "2027-03-02"}]
    assert faults(path, data) == [
        {
            "text": "leg 2 (Carlow to Graiguenamanagh): tide.flood_kmh: "
                    'must be a number, is "3"; take the quotes away',
            "what": 'must be a number, is "3"; take the quotes away',
            "row": "leg", "number": 2, "key": "tide.flood_kmh", "path": ["leg", 1, "tide", "flood_kmh"],
        },
        {
            "text": "forecast 1: oktas: is missing: give oktas (0 to 8) or ghi_kwh_m2",
            "what": "is missing: give oktas (0 to 8) or ghi_kwh_m2",
            "row": "forecast", "number": 1, "key": "oktas", "path": ["forecast", 0, "oktas"],
        },
    ]  # fmt: skip


def test_a_sketch_of_nothing_has_faults_not_errors() -> None:
    keys = {fault["key"] for fault in faults("new.toml", {"voyage": {}, "boat": {}})}
    assert keys == {"boat", "departs", "place", "leg"}


def test_a_boat_that_has_no_file_yet_is_no_fault(tmp_path: Path) -> None:
    path, data = small(tmp_path)
    data["voyage"]["boat"] = "new.toml"
    assert faults(path, data) == []


def test_text_of_a_file_with_the_mark_and_returns_opens_the_same(tmp_path: Path) -> None:
    path = pair(tmp_path)
    plain = opened(path)["documents"]
    path.write_bytes(b"\xef\xbb\xbf" + SMALL_VOYAGE.replace("\n", "\r\n").encode())
    assert opened(path)["documents"] == plain
