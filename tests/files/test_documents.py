"""A sketch's data in place of the files: the same answers, and faults that name the row."""

from copy import deepcopy
from pathlib import Path
from typing import Any

import pytest
import tomli

from tests.files.support import PAIR, ROUTES, VOYAGES, pair, problems
from voyager.files.voyage_file import load_voyage
from voyager.session.outline import outline

Data = dict[str, Any]


def documents(path: Path) -> dict[str, Data]:
    voyage = tomli.loads(path.read_text("utf-8"))
    return {"voyage": voyage, "boat": tomli.loads((path.parent / voyage["boat"]).read_text("utf-8"))}


def said(path: Path, data: dict[str, Data]) -> list[str]:
    return [str(problem) for problem in problems(lambda: load_voyage(path, documents=data))]


@pytest.mark.parametrize("path", [*(ROUTES / name for name in VOYAGES), PAIR / "shannon.toml"], ids=lambda p: p.name)
def test_the_data_of_the_files_give_what_the_files_give(path: Path, tmp_path: Path) -> None:
    data = documents(path)
    before = deepcopy(data)
    elsewhere = tmp_path / path.name
    given, read = load_voyage(elsewhere, documents=data), load_voyage(path)
    assert (given.voyage, given.vessel, given.notes) == (read.voyage, read.vessel, read.notes)
    assert outline(str(elsewhere), data) == outline(str(path))
    assert data == before


def test_faults_are_named_by_row_in_the_order_of_the_document(tmp_path: Path) -> None:
    path = pair(tmp_path)
    data = documents(path)
    data["voyage"]["leg"][1] |= {"distance_km": -3, "water": "chanel"}
    data["voyage"]["place"][0]["at"] = [95, 98]
    data["voyage"]["departs"] = "2027-02-30"
    data["boat"]["battery"]["capacity_kwh"] = "20"
    data["boat"]["array"][0]["panels"] = 0
    assert said(path, data) == [
        "voyage: departs: there is no date 2027-02-30; dates are written YYYY-MM-DD; "
        "the last of that month is 2027-02-28",
        "place 1 (Athy): at[1]: must be at most 90, is 95",
        "leg 2 (Carlow to Graiguenamanagh): distance_km: must be more than 0, is -3; 3 may be meant",
        'leg 2 (Carlow to Graiguenamanagh): water: must be "canal", "river", "lake", "coastal" or "open", is "chanel"; '
        'did you mean "canal"?',
        "array 1 (roof): panels: must be at least 1, is 0",
        'boat: battery.capacity_kwh: must be a number, is "20"; take the quotes away',
    ]


def test_the_tenth_leg_comes_after_the_second() -> None:
    path = ROUTES / "autumn.toml"
    data = documents(path)
    for number in (10, 1):
        data["voyage"]["leg"][number]["depth_m"] = 0
    assert [line.split(" (")[0] for line in said(path, data)] == ["leg 2", "leg 11"]


def test_a_key_in_another_unit_keeps_its_name(tmp_path: Path) -> None:
    path = pair(tmp_path)
    data = documents(path)
    data["voyage"]["leg"][0]["limit_kn"] = 0.1
    assert said(path, data) == ["leg 1 (Athy to Carlow): limit_kn: must be at least 0.539957, is 0.1"]


def test_an_empty_boat_is_read_from_its_file(tmp_path: Path) -> None:
    path = pair(tmp_path)
    data = documents(path) | {"boat": {}}
    assert load_voyage(path, documents=data).vessel.name == "Small"
    (tmp_path / "boat.toml").unlink()
    assert said(path, data) == ['voyage: boat: there is no boat file "boat.toml" (seen from the voyage file)']


def test_changes_and_documents_go_together(tmp_path: Path) -> None:
    path = pair(tmp_path)
    data = documents(path)
    assert load_voyage(path, {"sky": "good"}, data).voyage.sky == "good"
    assert "sky" not in data["voyage"]
