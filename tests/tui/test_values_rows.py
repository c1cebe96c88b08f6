"""Rows of the form of values and what is made of them, without a screen."""

from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
import tomli
from hypothesis import given
from hypothesis import strategies as st

from voyager.session.fields import known_fields
from voyager.session.sketch.state import Sketch, sketch_of
from voyager.tui import values_edit
from voyager.tui.units import ALL, PLAIN, Units
from voyager.tui.values_rows import ValueRow, value_rows
from voyager.tui.values_view import find, find_next, foot, line_of

ROUTES = Path(__file__).parents[2] / "routes"
FIELDS = known_fields()


def demo(name: str) -> Sketch:
    voyage = tomli.loads((ROUTES / f"{name}.toml").read_text("utf-8"))
    boat = tomli.loads((ROUTES / voyage["boat"]).read_text("utf-8"))
    return sketch_of({"voyage": voyage, "boat": boat})


DEMOS = {name: demo(name) for name in ("spring", "autumn", "winter")}


def rows(sketch: Sketch, units: Units = PLAIN) -> dict[tuple[Any, ...], ValueRow]:
    found = value_rows(FIELDS, sketch, units, ())
    return {(row.field["file"], *row.path): row for row in found if row.field is not None}


@pytest.mark.parametrize("name", list(DEMOS))
def test_every_value_of_the_demo_files_has_its_row(name: str) -> None:
    sketch = DEMOS[name]
    shown = rows(sketch)
    for key, value in sketch.top.items():
        if key not in {"format", "boat"}:
            assert shown["voyage", key].value == value
    for table, inner in sketch.boat.items():
        if isinstance(inner, dict) and table != "comfort":
            assert all(shown["boat", table, key].value == value for key, value in inner.items())
        if isinstance(inner, list):
            for number, row in enumerate(inner):
                assert all(shown["boat", table, number, key].value == value for key, value in row.items())


def test_a_value_in_the_other_unit_is_shown_and_edited_in_it() -> None:
    sketch = replace(
        DEMOS["spring"], boat={**DEMOS["spring"].boat, "hull": {"waterline_ft": 40, "steerable_min_kn": 1.5}}
    )
    shown = rows(sketch, Units("km/h", "km", "°F"))
    row = shown["boat", "hull", "waterline_ft"]
    assert (row.shown, row.unit) == ("40", "ft")
    assert values_edit.typed(sketch, row, "41").boat["hull"]["waterline_ft"] == 41
    assert values_edit.typed(sketch, row, "12 m").boat["hull"]["waterline_ft"] == pytest.approx(12 / 0.3048)
    assert ("boat", "hull", "waterline_m") not in shown
    knots = shown["boat", "hull", "steerable_min_kn"]
    assert values_edit.stepped(sketch, knots, 1).boat["hull"]["steerable_min_kn"] == 2


def test_the_voyages_comfort_is_one_of_the_boats() -> None:
    row = rows(DEMOS["autumn"])["voyage", "comfort"]
    assert row.field is not None
    assert row.field["choices"] == [*DEMOS["autumn"].boat["comfort"], "off"]


@given(st.sampled_from(list(DEMOS)), st.sampled_from(ALL))
def test_what_stands_typed_again_changes_nothing_in_any_unit(name: str, units: Units) -> None:
    sketch = DEMOS[name]
    for row in rows(sketch, units).values():
        if row.own:
            assert values_edit.typed(sketch, row, row.text) is sketch


@given(st.sampled_from(ALL), st.integers(-20, 20))
def test_there_and_back_by_nudges_is_as_before(units: Units, steps: int) -> None:
    sketch = DEMOS["autumn"]
    key = ("boat", "array", 0, "raise_wind_max_kmh")
    before = values_edit.typed(sketch, rows(sketch, units)[key], "60")
    there = values_edit.stepped(before, rows(before, units)[key], steps) if steps else before
    back = values_edit.stepped(there, rows(there, units)[key], -steps) if steps else there
    assert rows(back)[key].value == pytest.approx(rows(before)[key].value)


@given(st.sampled_from(list(DEMOS)), st.sampled_from(ALL), st.integers(40, 160), st.booleans())
def test_every_line_fits(name: str, units: Units, width: int, on: bool) -> None:
    for row in value_rows(FIELDS, DEMOS[name], units, ()):
        assert sum(len(run.text) for run in line_of(row, width, on)) <= width
        assert all(foot(row, width)) or row.heading


def test_a_fault_within_a_value_is_told_beside_it() -> None:
    fault = {"text": "boat: comfort.even.hours_c.x: must be …", "what": "must be …", "row": "boat",
             "path": ["comfort", "even", "hours_c", "x"]}  # fmt: skip
    found = value_rows(
        FIELDS, DEMOS["autumn"], PLAIN, [fault, {"text": "leg 1: x", "row": "leg", "path": ["leg", 0, "x"]}]
    )
    told = {row.path: row.faults for row in found if row.faults}
    assert told == {("comfort", "even", "hours_c"): ("must be …",)}


def test_finding_looks_at_group_label_key_and_meaning() -> None:
    found = value_rows(FIELDS, DEMOS["autumn"], PLAIN, ())
    for words in ("battery capacity", "capacity_kwh", "tilt moored", "slowest speed"):
        at = find(found, words, 0)
        assert at is not None, words
        assert not found[at].heading
    assert find(found, "no such thing", 0) is None
    assert find(found, " ", 0) is None


def test_what_is_named_so_is_found_before_what_means_so() -> None:
    found = value_rows(FIELDS, DEMOS["autumn"], PLAIN, ())
    first = find(found, "capacity", 0)
    assert first is not None
    assert (found[first].group, found[first].title) == ("Battery", "Capacity")
    seen, at = [first], find_next(found, "capacity", first)
    while at is not None and at != first:
        seen.append(at)
        at = find_next(found, "capacity", at)
    titles = [found[index].title for index in seen]
    assert "Charge at the start" in titles, "its meaning speaks of capacity; it comes later"
    assert len(set(seen)) == len(seen)
    assert find_next(found, "capacity", 0) == first
    assert find_next(found, "no such thing", 0) is None


def test_a_broken_file_still_has_its_form() -> None:
    boat = {"array": "none", "battery": 3, "heater": [1, {"name": 2}], "comfort": {"a": 1}, "hull": {"beam_m": "wide"}}
    shown = rows(Sketch(top={"departs": 5, "sky": 7}, boat=boat))
    assert shown["boat", "hull", "beam_m"].shown == "wide"
    assert shown["voyage", "sky"].shown == "7"
    for row in shown.values():
        assert line_of(row, 80, False)
    with pytest.raises(ValueError, match="no table"):
        values_edit.typed(Sketch(boat=boat), shown["boat", "battery", "capacity_kwh"], "5")


@pytest.mark.parametrize(("nights", "unit"), [(0, "nights"), (1, "night"), (2, "nights")])
def test_one_night_is_said_in_the_singular(nights: int, unit: str) -> None:
    sketch = DEMOS["spring"]
    sketch = replace(sketch, top={**sketch.top, "heating_reserve_nights": nights})
    assert rows(sketch)["voyage", "heating_reserve_nights"].unit == unit


@pytest.mark.parametrize(("key", "choices"), [("aim", "soonest / fewest-shore / calmest"), ("sky", "middling / good")])
def test_choices_are_told_whole_where_the_line_has_room_for_them(key: str, choices: str) -> None:
    sketch = DEMOS["spring"]
    row = rows(replace(sketch, top={**sketch.top, "aim": "soonest", "sky": "cautious"}))["voyage", key]
    for width in (72, 77, 100):
        [run] = line_of(row, width, False)
        assert choices in run.text
        assert "…" not in run.text
