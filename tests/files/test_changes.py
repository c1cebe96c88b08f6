"""Wishes from outside the file."""

from datetime import date
from pathlib import Path

import pytest

from tests.files.support import PAIR, ROUTES, pair, problems
from voyager.errors import InputError, Problems
from voyager.files.voyage_file import load_voyage


def test_every_wish_reaches_the_voyage() -> None:
    changes = {
        "departs": "2027-04-02", "sky": "good", "aim": "calmest", "by": "2027-06-01", "comfort": "ample",
        "legs": {2: {"speed_kmh": 5.4, "nights": 3}, 4: {"nights": None}},
    }  # fmt: skip
    voyage = load_voyage(PAIR / "shannon.toml", changes).voyage
    assert (voyage.departs, voyage.by) == (date(2027, 4, 2), date(2027, 6, 1))
    assert (voyage.sky, voyage.aim, voyage.comfort) == ("good", "calmest", "ample")
    assert voyage.legs[1].speed_mps == pytest.approx(1.5)
    assert [leg.nights for leg in voyage.legs] == [0, 3, 0, 0, 0, 0, 0]


def test_the_file_s_own_data_are_untouched() -> None:
    before = load_voyage(PAIR / "shannon.toml")
    load_voyage(PAIR / "shannon.toml", {"departs": "2027-04-02", "legs": {1: {"nights": 2}}})
    assert load_voyage(PAIR / "shannon.toml") == before
    assert load_voyage(PAIR / "shannon.toml", {}) == before


def test_a_wish_in_one_unit_takes_the_place_of_the_other(tmp_path: Path) -> None:
    path = pair(tmp_path, voyage=('to = "Carlow"\n', 'to = "Carlow"\nspeed_kn = 4\n'))
    assert load_voyage(path, {"legs": {1: {"speed_kmh": 5.4}}}).voyage.legs[0].speed_mps == pytest.approx(1.5)
    assert load_voyage(path, {"legs": {1: {"speed_kmh": None}}}).voyage.legs[0].speed_mps is None


def test_a_wish_mends_a_date_of_the_file_that_does_not_exist(tmp_path: Path) -> None:
    path = pair(tmp_path, voyage=("2027-03-01", "2027-02-29"))
    assert load_voyage(path, {"departs": "2027-03-02"}).voyage.departs == date(2027, 3, 2)


@pytest.mark.parametrize(
    ("changes", "key", "part"),
    [({"departs": "2027-02-30"}, "departs", "2027-02-28"), ({"sky": "bad"}, "sky", "as asked for now"),
     ({"aim": "calmest"}, "aim", "needs by"), ({"comfort": "warm"}, "comfort", "has off"),
     ({"legs": {1: {"nights": -1}}}, "leg[1].nights", "at least 0"),
     ({"legs": {2: {"speed_kmh": 99}}}, "leg[2].speed_kmh", "her motor"), ({"departs": None}, "departs", "missing")],
)  # fmt: skip
def test_wishes_are_held_to_the_same_rules(tmp_path: Path, changes: dict[str, object], key: str, part: str) -> None:
    (problem,) = problems(lambda: load_voyage(pair(tmp_path), changes))
    assert problem.key == key
    assert part in problem.text
    assert "(as asked for now, not as in the file)" in problem.text


@pytest.mark.parametrize(
    "changes",
    [{"boat": "x"}, {"legs": {0: {"nights": 1}}}, {"legs": {9: {"nights": 1}}}, {"legs": {1: {"depth_m": 1}}},
     {"legs": {1: 3}}, {"legs": {"1": {"nights": 1}}}, {"legs": 3}],
)  # fmt: skip
def test_wishes_that_name_nothing_are_refused(tmp_path: Path, changes: dict[str, object]) -> None:
    with pytest.raises(InputError) as caught:
        load_voyage(pair(tmp_path), changes)
    assert not isinstance(caught.value, Problems)


def test_the_first_demo_takes_a_wish() -> None:
    assert load_voyage(ROUTES / "spring.toml", {"comfort": "off"}).voyage.comfort == "off"
