"""Edits of the boat's data: paths, arrays, heaters, comfort steps."""

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from voyager.session.sketch.boat import NEW, add, at, parts, put, remove, rename_step
from voyager.session.sketch.state import Sketch

BOAT: dict[str, Any] = {
    "name": "Sedge",
    "array": [{"name": "roof.1", "panel_wp": 410}, {"name": "deck", "panel_wp": 180}],
    "battery": {"capacity_kwh": 28.0},
    "comfort": {"ample": {"otherwise_c": 12}, "frugal": {"hours_c": {"06:30-08:00": 14}}},
}


def sketch(**top: Any) -> Sketch:
    return Sketch(top=top, boat=BOAT)


def test_a_value_is_put_and_nothing_else_is_touched() -> None:
    before = sketch()
    after = put(before, ("array", 1, "tilt_deg"), 30)
    assert at(after, ("array", 1, "tilt_deg")) == 30
    assert after.boat["array"][0] is BOAT["array"][0]
    assert after.boat["battery"] is BOAT["battery"]
    assert before.boat == BOAT
    assert at(before, ("array", 1, "tilt_deg")) is None


def test_a_table_that_is_not_there_is_made() -> None:
    assert put(sketch(), ("shore", "charger_max_w"), 2400).boat["shore"] == {"charger_max_w": 2400}


def test_a_value_is_taken_away() -> None:
    assert put(sketch(), ("battery", "capacity_kwh"), None).boat["battery"] == {}
    assert put(sketch(), ("hull", "beam_m"), None).boat == BOAT


def test_a_path_through_a_figure_is_refused() -> None:
    with pytest.raises(ValueError, match=r"battery\.capacity_kwh\.x"):
        put(sketch(), ("battery", "capacity_kwh", "x"), 1)


@given(st.sampled_from([("battery", "capacity_kwh"), ("array", 0, "name"), ("comfort", "ample", "otherwise_c"),
                        ("cabin", "people"), ("name",)]), st.integers(0, 50))  # fmt: skip
def test_what_is_put_is_found_and_taking_it_back_restores(path: tuple[str | int, ...], value: int) -> None:
    before = sketch()
    after = put(before, path, value)
    assert at(after, path) == value
    former = at(before, path)
    assert at(put(after, path, former), path) == former


def test_parts_have_their_names() -> None:
    assert [name for _, name in parts(sketch(), "array")] == ["roof.1", "deck"]
    assert parts(sketch(), "comfort") == [(("comfort", "ample"), "ample"), (("comfort", "frugal"), "frugal")]
    assert parts(sketch(), "heater") == []
    assert parts(Sketch(boat={"array": "none"}), "array") == []


@pytest.mark.parametrize("kind", list(NEW))
def test_one_more_and_one_less_is_as_before(kind: str) -> None:
    before = sketch()
    after, path = add(before, kind)
    assert len(parts(after, kind)) == len(parts(before, kind)) + 1
    assert parts(after, kind)[-1][0] == path
    assert parts(remove(after, path), kind) == parts(before, kind)
    again, _ = add(after, kind)
    names = [name for _, name in parts(again, kind)]
    assert len(names) == len(set(names))


def test_what_is_new_passes_the_check_of_the_files() -> None:
    """A new part must not break the plan: its values are those that the models call for."""
    from voyager.files.boat_model import ArrayTable, ComfortTable, HeaterTable

    for kind, model in (("array", ArrayTable), ("heater", HeaterTable), ("comfort", ComfortTable)):
        made, path = add(sketch(), kind)
        model.model_validate(at(made, path))


def test_the_last_array_and_the_step_in_use_stay() -> None:
    one = remove(sketch(), ("array", 0))
    with pytest.raises(ValueError, match="one array"):
        remove(one, ("array", 0))
    with pytest.raises(ValueError, match="choose another first"):
        remove(sketch(comfort="frugal"), ("comfort", "frugal"))


def test_the_last_heater_takes_its_list_along() -> None:
    made, path = add(sketch(), "heater")
    assert "heater" not in remove(made, path).boat


def test_a_step_is_renamed_in_its_place_and_the_voyage_follows() -> None:
    made = rename_step(sketch(comfort="ample"), "ample", "full")
    assert list(made.boat["comfort"]) == ["full", "frugal"]
    assert made.top["comfort"] == "full"
    assert rename_step(sketch(comfort="frugal"), "ample", "full").top["comfort"] == "frugal"
    for name in ("frugal", "off"):
        with pytest.raises(ValueError, match="step"):
            rename_step(sketch(), "ample", name)
