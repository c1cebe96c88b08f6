"""The pane of values: nudged, typed over, added and taken out; the plan follows; keys in a burst land in order."""

from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from tests.tui.harness import burst, opened, press, settled, text
from voyager.tui.app import VoyagerApp
from voyager.tui.widgets.value_list import ValueList
from voyager.tui.widgets.values import ValuesPane

ARRAYS = [{"name": "roof", "panel_wp": 410, "panels": 9}, {"name": "deck", "panel_wp": 180}]


@pytest.fixture(autouse=True)
def own_settings(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path))
    return tmp_path / "voyager" / "settings.toml"


async def at(app: VoyagerApp, pilot: Any, words: str) -> None:
    """Find a value by name."""
    await press(app, pilot, "slash", *("space" if letter == " " else letter for letter in words), "enter")


def with_arrays(app: VoyagerApp) -> None:
    """The pretended boat has none."""
    boat = {**app.desk.sketch.boat, "array": [dict(one) for one in ARRAYS]}
    app.take(app.desk.edited(replace(app.desk.sketch, boat=boat), "arrays"))


def form(app: VoyagerApp) -> ValueList:
    return app.screen.query_one(ValueList)


def row_line(app: VoyagerApp, name: str) -> str:
    return next(line for line in text(app).splitlines() if name in line)


def battery(app: VoyagerApp) -> dict[str, Any]:
    return dict(app.desk.sketch.boat["battery"])


async def test_it_opens_with_own_values_and_defaults_told_apart():
    async with opened() as (app, pilot):
        await press(app, pilot, "v")
        assert isinstance(app.focused, ValueList)
        assert row_line(app, "Name ").startswith(" • Name")
        assert "default" in row_line(app, "Charge at the start")
        assert "0 … 100" in row_line(app, "Charge at the start")
        await press(app, pilot, "escape")
        assert not app.screen.query_one(ValuesPane).display


async def test_the_meaning_of_the_first_value_has_the_whole_width():
    async with opened() as (app, pilot):
        await press(app, pilot, "v")
        await settled(app, pilot)
        assert "…" not in row_line(app, "Name: ")


async def test_a_nudge_is_an_edit_that_is_planned_and_taken_back():
    async with opened() as (app, pilot):
        before = battery(app)["capacity_kwh"]
        await press(app, pilot, "v")
        await at(app, pilot, "battery capacity")
        await press(app, pilot, "plus")
        assert battery(app)["capacity_kwh"] == before + 0.5
        assert app.desk.plan_sketch == app.desk.sketch, "the plan follows"
        await press(app, pilot, "shift+right", "minus")
        assert battery(app)["capacity_kwh"] == before + 5
        await press(app, pilot, "u", "u", "u")
        assert battery(app)["capacity_kwh"] == before
        assert not app.desk.unsaved


async def test_typed_over_in_place_with_the_reason_where_it_cannot_be():
    async with opened() as (app, pilot):
        await press(app, pilot, "v")
        await at(app, pilot, "battery reserve")
        await press(app, pilot, "1", "2", "0", "enter")
        assert "must be 0 to below 100 %" in text(app)
        assert "reserve_percent" not in battery(app)
        await press(app, pilot, "backspace", "enter")
        assert battery(app)["reserve_percent"] == 12
        await press(app, pilot, "up", "delete")
        assert "reserve_percent" not in battery(app)


async def test_what_the_file_cannot_do_without_stays():
    async with opened() as (app, pilot):
        await press(app, pilot, "v")
        await at(app, pilot, "battery capacity")
        before = battery(app)
        await press(app, pilot, "delete")
        assert battery(app) == before
        assert "can't do without" in text(app)


async def test_choices_by_letter_and_by_arrow():
    async with opened() as (app, pilot):
        await press(app, pilot, "v")
        await at(app, pilot, "sky")
        await press(app, pilot, "g")
        assert app.desk.value("sky") == "good"
        await press(app, pilot, "right")
        assert app.desk.value("sky") == "cautious"
        await press(app, pilot, "u", "u")
        assert not app.desk.unsaved


async def test_a_letter_that_is_no_choice_stays_a_command():
    async with opened() as (app, pilot):
        await press(app, pilot, "v")
        await at(app, pilot, "sky")
        await press(app, pilot, "o")
        assert app.first.opened == "sure"


async def test_an_array_is_added_named_and_taken_out():
    async with opened() as (app, pilot):
        with_arrays(app)
        arrays = len(app.desk.sketch.boat["array"])
        await press(app, pilot, "v")
        await at(app, pilot, "+ an array")
        await press(app, pilot, "enter")
        assert len(app.desk.sketch.boat["array"]) == arrays + 1
        assert form(app).row is not None
        assert form(app).row.part == ("array", arrays)
        await press(app, pilot, "enter", *["backspace"] * 8, "b", "o", "w", "enter")
        assert app.desk.sketch.boat["array"][arrays]["name"] == "bow"
        await press(app, pilot, "ctrl+x")
        assert len(app.desk.sketch.boat["array"]) == arrays
        await press(app, pilot, "u")
        assert app.desk.sketch.boat["array"][arrays]["name"] == "bow"


async def test_the_last_array_cannot_be_taken_out():
    async with opened() as (app, pilot):
        with_arrays(app)
        await press(app, pilot, "v")
        for _ in ARRAYS:
            await at(app, pilot, "one panel")
            await press(app, pilot, "ctrl+x")
        assert len(app.desk.sketch.boat["array"]) == 1
        assert "one array at least" in text(app)


async def test_escape_leaves_the_value_as_it_was():
    async with opened() as (app, pilot):
        before = app.desk.sketch
        await press(app, pilot, "v")
        await at(app, pilot, "battery health")
        await press(app, pilot, "9", "escape")
        assert app.desk.sketch is before
        assert isinstance(app.focused, ValueList)
        await press(app, pilot, "enter", "enter")
        assert app.desk.sketch is before


async def test_a_burst_lands_in_order():
    async with opened() as (app, pilot):
        await press(app, pilot, "v")
        await at(app, pilot, "battery health")
        keys = ["9", "left", "8", "enter", "9", "1", "enter", "1", "0", "backspace", "2", "enter", "u", "plus"]
        await burst(app, *keys)
        await settled(app, pilot)
        assert battery(app)["health_percent"] == 89
        assert battery(app)["ceiling_percent"] == 91
        assert battery(app).get("reserve_percent", 15) == 15


async def test_finding_comes_round_and_escape_goes_back():
    async with opened() as (app, pilot):
        with_arrays(app)
        await press(app, pilot, "v")
        await at(app, pilot, "moored_tilt")
        first = form(app).cursor
        assert form(app).row.field["key"] == "moored_tilt_deg"
        await press(app, pilot, "slash", "t", "i", "l", "t", "tab")
        assert "find a name" in text(app)
        assert "Del default" not in text(app)
        assert form(app).cursor != first
        await press(app, pilot, "escape")
        assert form(app).cursor == first
        assert "Del default" in text(app)
        await press(app, pilot, "slash", *"nosuch")
        assert "nothing of that name" in text(app)


async def test_the_search_field_covers_no_line():
    async with opened(size=(120, 40)) as (app, pilot):
        await press(app, pilot, "v", "slash", *"sky")
        pane = app.screen.query_one(ValuesPane)
        assert pane.cell.display
        assert not pane.cell.region.overlaps(pane.form.region)
        assert pane.cell.region.y == pane.form.region.y - 1
        await press(app, pilot, "escape", "enter")
        assert pane.cell.region.overlaps(pane.form.region)


async def test_what_is_half_typed_is_told_and_taken_up_again():
    async with opened() as (app, pilot):
        told: list[Any] = []
        app.typing = told.append  # type: ignore[method-assign]
        await press(app, pilot, "v")
        await at(app, pilot, "battery health")
        await press(app, pilot, "9", "1")
        where = {"pane": "values", "file": "boat", "path": ["battery", "health_percent"]}
        assert told == [{**where, "text": "9"}, {**where, "text": "91"}]
        await press(app, pilot, "escape")
        assert told[-1] is None
        await press(app, pilot, "escape")
        app.first.resume({**where, "text": "91"})
        await settled(app, pilot)
        await press(app, pilot, "enter")
        assert battery(app)["health_percent"] == 91


async def test_hours_and_curves_are_typed_as_toml():
    async with opened() as (app, pilot):
        await press(app, pilot, "v")
        await at(app, pilot, "capacity_by_c")
        await press(app, pilot, "enter", "backspace", "enter")
        assert "rows of 2 numbers" in text(app)
        await press(app, pilot, "]", "enter")
        assert "capacity_by_c" not in battery(app), "what was not changed is no edit"


async def test_a_fault_stands_beside_its_value():
    async with opened() as (app, pilot):
        await press(app, pilot, "v")
        await at(app, pilot, "battery health")
        fault = {"text": "battery.health_percent: is odd", "what": "is odd", "row": "boat", "number": None,
                 "key": "battery.health_percent", "path": ["battery", "health_percent"]}  # fmt: skip
        app.change(faults=(fault,))
        await settled(app, pilot)
        assert "✗ Health" in text(app)
        assert "✗ is odd" in text(app)


async def test_units_by_choice_change_what_is_shown_and_nothing_else(own_settings: Path):
    async with opened() as (app, pilot):
        before = app.desk.sketch
        await press(app, pilot, "v")
        await at(app, pilot, "steerable")
        assert "2.5 km/h" in row_line(app, "Steers from")
        await press(app, pilot, "U", "down", "enter")
        assert app.desk.units.words == "kn, NM, °C"
        assert "1.3499 kn" in row_line(app, "Steers from")
        assert app.desk.sketch is before
        await press(app, pilot, "2", "enter")
        assert app.desk.sketch.boat["hull"]["steerable_min_kmh"] == 3.704
    assert 'speed = "kn"' in own_settings.read_text(encoding="utf-8")


@pytest.mark.parametrize("size", [(80, 24), (120, 40)])
@pytest.mark.parametrize("theme", ["voyager-light", "ansi-dark"])
async def test_it_can_be_read_at_every_size(size: tuple[int, int], theme: str):
    async with opened(size=size, theme=theme) as (app, pilot):
        await press(app, pilot, "v", "end")
        assert form(app).row is not None
        assert form(app).row.adds == "comfort"
        await press(app, pilot, "home")
        assert "Departure & aim" in text(app)
        await press(app, pilot, "pagedown", "shift+down")
        assert form(app).rows[form(app).cursor - 1].heading
