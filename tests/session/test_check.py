"""What `check` answers, and where the demo is found."""

import sys
from pathlib import Path
from types import ModuleType

import pytest

import voyager
from tests.files.support import PAIR, ROUTES, VOYAGES, pair
from voyager.errors import InputError, Problems
from voyager.files.shipped import DEMO
from voyager.session import demo
from voyager.session.check import check, check_strictly
from voyager.session.schema import schema


def planning(monkeypatch: pytest.MonkeyPatch, result: dict[str, object]) -> None:
    fake = ModuleType("voyager.session.plan")
    vars(fake)["plan"] = lambda path, progress: result
    monkeypatch.setitem(sys.modules, "voyager.session.plan", fake)


@pytest.mark.parametrize("name", VOYAGES)
def test_the_demos_have_no_problems(name: str) -> None:
    assert all(isinstance(note, str) and note.isprintable() for note in check(str(ROUTES / name)))


def test_what_nothing_uses_yet_is_said() -> None:
    notes = check(str(PAIR / "shannon.toml"))
    assert [note.split(" ")[0] for note in notes] == ["shore_price_per_kwh"]


def test_problems_are_raised_before_any_plan(tmp_path: Path) -> None:
    path = pair(tmp_path, voyage=("2027-03-01", "2027-02-30"))
    for function in (check, check_strictly):
        with pytest.raises(Problems):
            function(str(path))


def test_strict_says_when_the_plan_arrives(monkeypatch: pytest.MonkeyPatch) -> None:
    planning(monkeypatch, {"voyage": {"sky": "good"}, "arrives": "2027-03-20", "short": None})
    notes, arrives = check_strictly(str(PAIR / "shannon.toml"))
    assert (notes[-1], arrives) == ("with a good sky the plan arrives on 2027-03-20", True)


def test_strict_tells_what_is_missing_and_what_would_mend_it(monkeypatch: pytest.MonkeyPatch) -> None:
    mends = [{"text": "stay two nights"}, {"text": "a plug at Portumna."}]
    short = {"day": 3, "date": "2027-03-03", "place": "Athlone", "short_kwh": 2.5, "mends": mends}
    planning(monkeypatch, {"voyage": {"sky": "cautious"}, "arrives": None, "short": short})
    notes, arrives = check_strictly(str(PAIR / "shannon.toml"))
    assert not arrives
    assert notes[-1] == (
        "with a cautious sky no plan arrives; on 2027-03-03 at Athlone 2.5 kWh are missing; "
        "what would mend it: stay two nights; or a plug at Portumna"
    )


def test_a_real_plan_is_read(tmp_path: Path) -> None:
    notes, arrives = check_strictly(str(pair(tmp_path)))
    assert arrives
    assert notes[-1].startswith("with a cautious sky the plan arrives on 2027-03-0")


def test_the_demo_is_found_in_the_package_first_then_beside_it(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    assert Path(demo.demo_path()).parent == ROUTES
    package = tmp_path / "voyager"
    (package / "routes").mkdir(parents=True)
    monkeypatch.setattr(voyager, "__file__", str(package / "__init__.py"))
    with pytest.raises(InputError, match="name a voyage file"):
        demo.demo_path()
    (tmp_path / "routes").mkdir()
    for directory in (tmp_path / "routes", package / "routes"):
        (directory / DEMO).write_text("", "utf-8")
        assert demo.demo_path() == str(directory / DEMO)


def test_the_schemas_are_to_be_had() -> None:
    assert schema("boat")["title"] == "BoatFile"
    assert schema("voyage")["title"] == "VoyageFile"
