"""Fits for a voyage that is being edited: its own boat is taken as it stands, faults and all."""

from pathlib import Path
from typing import Any

import pytest

from tests.report.fit_samples import HEAT
from voyager.errors import InputError, Problems
from voyager.files.sketch_read import read_pair
from voyager.session.fit_sketch import UNSOUND, draw, fit_here, offered

ROUTES = Path(__file__).parents[2] / "routes"
VOYAGE = str(ROUTES / "spring.toml")
BOAT = str(ROUTES / "quillet.toml")


def documents(**boat: Any) -> dict[str, Any]:
    made = read_pair(VOYAGE).documents
    return {**made, "boat": {**made["boat"], **boat}}


def gm(**boat: Any) -> float:
    """The metacentric height that the roll test gives, which goes with the boat's beam."""
    file = str(ROUTES / "measured" / "roll.csv")
    found = fit_here("roll", file, {}, VOYAGE, documents(**boat))["parameters"]
    return float(next(one["value"] for one in found if one["name"] == "metacentric height"))


def test_the_boat_is_taken_as_it_is_edited() -> None:
    hull = documents()["boat"]["hull"]
    assert gm(hull={**hull, "beam_m": 2.5}) > 1.2 * gm()


def test_of_a_boat_with_faults_nothing_is_taken_and_it_is_said() -> None:
    file = str(ROUTES / "measured" / "heat.csv")
    result = fit_here("heat", file, {}, VOYAGE, documents(battery={"capacity_kwh": -1}))
    assert UNSOUND in result["notes"]
    with pytest.raises(Problems):
        fit_here("panels", str(ROUTES / "measured" / "panels.csv"), {}, VOYAGE, documents(battery={}))


def test_an_offer_needs_something_to_put_and_an_array_to_put_it_to() -> None:
    with pytest.raises(InputError, match="gives nothing that a boat file holds"):
        offered({**HEAT, "values": {}}, BOAT, documents()["boat"], "2026-11-28")
    with pytest.raises(InputError, match='no array "rof"; did you mean "roof"'):
        offered({**HEAT, "values": {"array.rof.loss_percent": 9}}, BOAT, documents()["boat"], "2026-11-28")


def test_a_boat_file_that_is_shipped_is_compared_with_and_not_written() -> None:
    before = Path(BOAT).read_bytes()
    made = offered({**HEAT, "values": {"cabin.ua_w_per_k": 62.41}}, BOAT, documents()["boat"], "2026-11-28")
    assert [["cabin", "ua_w_per_k"], 62.4] in made["puts"]
    assert Path(BOAT).read_bytes() == before


def test_a_picture_is_no_other_files_end(tmp_path: Path) -> None:
    file = tmp_path / "seen.png"
    assert draw(HEAT, str(file)) == {"written": str(file)}
    assert file.read_bytes().startswith(b"\x89PNG")
    file.write_text("mine", "utf-8")
    assert draw(HEAT, str(file)) == {"exists": str(file)}
    assert file.read_text("utf-8") == "mine"
    with pytest.raises(InputError, match=r"ends in \.svg or \.png"):
        draw(HEAT, str(tmp_path / "seen.txt"))
