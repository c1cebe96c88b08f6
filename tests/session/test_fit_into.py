"""A fit into the boat file: the digits that are written, the words beside them, and that what was shown is written."""

import tomllib
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from tests.report.fit_samples import HEAT
from voyager.errors import InputError, NotSaved
from voyager.session.fit_into import proposed, remarks, rounded, write

TODAY = date(2026, 11, 28)
BOAT = """name = "Tern"
[hull]
coefficient_w_per_mps3 = 80
[[array]]
name = "roof"
panel_wp = 400
[battery]
capacity_kwh = 20
[cabin]
ua_w_per_k = 56
structure_capacity_wh_per_k = 300
structure_w_per_k = 40
[standard_error]
"hull.coefficient_w_per_mps3" = 3
"cabin.structure_w_per_k" = 4
"""


@pytest.fixture
def boat(tmp_path: Path) -> Path:
    file = tmp_path / "tern.toml"
    file.write_text(BOAT, "utf-8")
    return file


def result(values: dict[str, Any]) -> dict[str, Any]:
    return {**HEAT, "values": values}


SINGLE = result({
    "cabin.ua_w_per_k": 62.413, "cabin.structure_w_per_k": None, "cabin.structure_capacity_wh_per_k": None,
})  # fmt: skip


def test_values_have_the_digits_that_their_errors_leave() -> None:
    values, errors = rounded(result({"cabin.ua_w_per_k": 62.413, "hull.trial": [[5, 210.123], [7.25, 640.06]]}))
    assert values == {"cabin.ua_w_per_k": 62.4, "hull.trial": [[5.0, 210.1], [7.25, 640.1]]}
    assert errors == {"cabin.ua_w_per_k": 1.8, "hull.trial": None}


def test_each_line_says_when_by_what_and_how_surely() -> None:
    source = "2026-11-28, voyager fit heat heater-test.csv"
    assert remarks({**SINGLE, "file": "logs/heater-test.csv"}, TODAY) == {
        "cabin.ua_w_per_k": f"{source}, ± 1.8",
        "standard_error.cabin.ua_w_per_k": source,
    }


def test_what_is_shown_is_what_is_written(boat: Path) -> None:
    shown = proposed(SINGLE, str(boat), TODAY)
    assert boat.read_text("utf-8") == BOAT
    assert shown["values"]["cabin.ua_w_per_k"] == 62.4
    assert write(SINGLE, str(boat), TODAY, stamp=shown["stamp"]) == str(boat)
    added = [line[1:] for line in shown["difference"][2:] if line.startswith("+")]
    lines = boat.read_text("utf-8").splitlines()
    assert all(line in lines for line in added)
    found = tomllib.loads(boat.read_text("utf-8"))
    assert found["cabin"] == {"ua_w_per_k": 62.4}
    assert found["standard_error"] == {"hull.coefficient_w_per_mps3": 3, "cabin.ua_w_per_k": 1.8}
    assert proposed(SINGLE, str(boat), TODAY)["difference"] == []


def test_a_model_in_the_place_of_the_boats_own_trial_is_told_of(boat: Path) -> None:
    curve = {**result({"hull.trial": [[5, 210.1], [7, 640.1], [9, 1300.0]], "hull.coefficient_w_per_mps3": None})}
    model = {**curve, "kind": "model", "parameters": []}
    assert not any("the boat itself" in note for note in proposed(model, str(boat), TODAY)["notes"])
    write({**result({"hull.coefficient_w_per_mps3": 81.2}), "kind": "trial", "parameters": []}, str(boat), TODAY)
    assert any("the boat itself" in note for note in proposed(model, str(boat), TODAY)["notes"])
    again = {**model, "kind": "trial"}
    assert not any("the boat itself" in note for note in proposed(again, str(boat), TODAY)["notes"])


def test_a_boat_file_changed_after_it_was_shown_stays(boat: Path) -> None:
    stamp = proposed(SINGLE, str(boat), TODAY)["stamp"]
    boat.write_text(BOAT.replace("56", "57"), "utf-8")
    with pytest.raises(NotSaved, match="changed by another program meanwhile") as caught:
        write(SINGLE, str(boat), TODAY, stamp=stamp)
    assert caught.value.kind == "changed-outside"
    assert "57" in boat.read_text("utf-8")
    write(SINGLE, str(boat), TODAY, stamp=stamp, force=True)
    assert "62.4" in boat.read_text("utf-8")


def test_a_fit_without_values_has_nothing_to_write(boat: Path) -> None:
    with pytest.raises(InputError, match="fit heat gives nothing that a boat file holds; nothing was written"):
        write(result({}), str(boat), TODAY)
    assert boat.read_text("utf-8") == BOAT


def test_the_error_of_few_readings_is_as_wide_as_their_interval() -> None:
    """Student's t at two degrees of freedom: 4.303 (table of any textbook), so ± 2 is written as 4.39."""
    one = {"name": "UA", "key": "cabin.ua_w_per_k", "value": 52.0, "se": 2.0, "unit": "W/K"}
    few = {"parameters": [one | {"low": 52 - 8.606, "high": 52 + 8.606}], "values": {"cabin.ua_w_per_k": 52.0}}
    many = {"parameters": [one | {"low": 48.0, "high": 56.0}], "values": {"cabin.ua_w_per_k": 52.0}}
    assert rounded(few)[1] == {"cabin.ua_w_per_k": pytest.approx(4.4)}
    assert rounded(many)[1] == {"cabin.ua_w_per_k": pytest.approx(2.0)}
