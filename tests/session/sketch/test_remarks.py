"""Remarks of measurements: kept with the sketch, its history and its journal, and written beside their values alone."""

import shutil
from pathlib import Path
from typing import Any

import pytest

from tests.report.fit_samples import HEAT
from voyager.files.sketch_read import read_pair
from voyager.session.fit_sketch import offered
from voyager.session.sketch import boat as edits
from voyager.session.sketch.history import begun, same
from voyager.session.sketch.journal import Journal, restored
from voyager.session.sketch.journal import offered as left
from voyager.session.sketch.remarks import fitted, path_of, standing
from voyager.session.sketch.save import save
from voyager.session.sketch.state import Sketch, sketch_of

ROUTES = Path(__file__).parents[3] / "routes"
SAID = "2026-11-28, voyager fit heat heater-test.csv"
UA = ("cabin", "ua_w_per_k")


@pytest.fixture
def voyage(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> str:
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    for name in ("spring.toml", "quillet.toml"):
        shutil.copy(ROUTES / name, tmp_path / name)
    return str(tmp_path / "spring.toml")


def boat_text(voyage: str) -> str:
    return Path(voyage).with_name("quillet.toml").read_text("utf-8")


def read(voyage: str) -> tuple[Sketch, dict[str, Any]]:
    pair = read_pair(voyage)
    return sketch_of(pair.documents), pair.stamp


def offer(voyage: str, sketch: Sketch) -> dict[str, Any]:
    result = {**HEAT, "values": {"cabin.ua_w_per_k": 62.413}}
    return offered(result, str(Path(voyage).with_name("quillet.toml")), sketch.boat, "2026-11-28")


def put(voyage: str, sketch: Sketch) -> Sketch:
    made = offer(voyage, sketch)
    return fitted(sketch, made["puts"], made["remarks"])


def saved(voyage: str, sketch: Sketch, stamp: dict[str, Any], to: str | None = None) -> dict[str, Any]:
    return save(voyage, sketch.documents(), stamp, to=to, remarks=standing(sketch))


def line(text: str, key: str) -> str:
    return next(line for line in text.splitlines() if line.startswith(key))


def test_what_a_fit_puts_reaches_the_file_with_date_and_source(voyage: str) -> None:
    sketch, stamp = read(voyage)
    made = put(voyage, sketch)
    assert edits.at(made, UA) == 62.4
    assert sketch.remarks == {}
    saved(voyage, made, stamp)
    text = boat_text(voyage)
    assert line(text, "ua_w_per_k").startswith("ua_w_per_k = 62.4")
    assert line(text, "ua_w_per_k").endswith(f"# {SAID}, ± 1.8")
    assert line(text, '"cabin.ua_w_per_k"') == f'"cabin.ua_w_per_k" = 1.8 # {SAID}'


def test_the_difference_is_to_the_boat_as_it_is_edited(voyage: str) -> None:
    sketch, _ = read(voyage)
    told = offer(voyage, edits.put(sketch, UA, 70))["difference"]
    assert any(one.startswith("-ua_w_per_k = 70") for one in told)
    assert any(one.startswith("+ua_w_per_k = 62.4") and SAID in one for one in told)


def test_a_value_changed_since_has_no_remark_and_changed_back_has_it_again(voyage: str) -> None:
    sketch, _ = read(voyage)
    made = put(voyage, sketch)
    changed = edits.put(made, UA, 63)
    assert "cabin.ua_w_per_k" in standing(made)
    assert "cabin.ua_w_per_k" not in standing(changed)
    assert "standard_error.cabin.ua_w_per_k" in standing(changed)
    assert "cabin.ua_w_per_k" in standing(edits.put(changed, UA, 62.4))


def test_a_value_changed_after_saving_loses_the_remark_in_the_file(voyage: str) -> None:
    sketch, stamp = read(voyage)
    made = put(voyage, sketch)
    stamp = saved(voyage, made, stamp)["stamp"]
    saved(voyage, edits.put(made, UA, 63), stamp)
    assert line(boat_text(voyage), "ua_w_per_k").rstrip() == "ua_w_per_k = 63"


def test_taken_back_after_saving_the_file_says_what_it_said(voyage: str) -> None:
    before = boat_text(voyage)
    sketch, stamp = read(voyage)
    stamp = saved(voyage, put(voyage, sketch), stamp)["stamp"]
    assert boat_text(voyage) != before
    saved(voyage, sketch, stamp)
    assert boat_text(voyage).strip() == before.strip()


def test_an_earlier_fits_remark_stays_where_another_value_is_edited(voyage: str) -> None:
    sketch, stamp = read(voyage)
    stamp = saved(voyage, put(voyage, sketch), stamp)["stamp"]
    again, stamp = read(voyage)
    saved(voyage, edits.put(again, ("battery", "capacity_kwh"), 30), stamp)
    assert SAID in line(boat_text(voyage), "ua_w_per_k")


def test_nothing_is_written_where_the_remarks_stand_already(voyage: str) -> None:
    sketch, stamp = read(voyage)
    made = put(voyage, sketch)
    stamp = saved(voyage, made, stamp)["stamp"]
    assert saved(voyage, made, stamp)["written"] == []


def test_a_remark_alone_is_an_edit_and_is_written(voyage: str) -> None:
    sketch, stamp = read(voyage)
    bare = edits.put(edits.put(sketch, UA, 62.4), ("standard_error", "cabin.ua_w_per_k"), 1.8)
    stamp = saved(voyage, bare, stamp)["stamp"]
    assert SAID not in boat_text(voyage)
    made = put(voyage, bare)
    assert made.boat == bare.boat
    assert not same(made, bare)
    assert begun(bare).add(made, "fit").unsaved
    saved(voyage, made, stamp)
    assert SAID in line(boat_text(voyage), "ua_w_per_k")


def test_under_another_name_the_boat_beside_it_has_the_remarks(voyage: str, tmp_path: Path) -> None:
    sketch, stamp = read(voyage)
    before = boat_text(voyage)
    (tmp_path / "other").mkdir()
    saved(voyage, put(voyage, sketch), stamp, to=str(tmp_path / "other" / "mine.toml"))
    assert SAID in (tmp_path / "other" / "quillet.toml").read_text("utf-8")
    assert boat_text(voyage) == before


def test_the_journal_keeps_them(voyage: str) -> None:
    sketch, stamp = read(voyage)
    made = put(voyage, sketch)
    journal = Journal(voyage, sketch)
    journal.edit(sketch, made, "fit heat")
    journal.close(clean=False)
    found = left(voyage)
    assert found is not None
    ((again, label),), _ = restored(found, sketch)
    assert (again, label) == (made, "fit heat")
    saved(voyage, again, stamp)
    assert SAID in line(boat_text(voyage), "ua_w_per_k")


def test_arrays_are_found_by_their_names() -> None:
    data = {"array": [{"name": "aft 1.5"}, {"name": "roof"}], "cabin": {}}
    assert path_of(data, "array.roof.loss_percent") == ("array", 1, "loss_percent")
    assert path_of(data, "array.aft 1.5.loss_percent") == ("array", 0, "loss_percent")
    assert path_of(data, "array.gone.loss_percent") == ("array", 2, "loss_percent")
    assert path_of(data, "standard_error.array.roof.loss_percent") == ("standard_error", "array.roof.loss_percent")


def test_what_is_taken_away_leaves_no_empty_table(voyage: str) -> None:
    sketch, _ = read(voyage)
    made = fitted(sketch, [(("standard_error", "hull.trial"), None)], {})
    assert "standard_error" not in made.boat
