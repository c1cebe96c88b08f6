"""Into the files and out of the app, on real files: nothing is lost without a word."""

import os
import shutil
from difflib import unified_diff
from pathlib import Path

import pytest

from tests.tui.harness import OnFiles, burst, opened, press, settled, text, until
from voyager.session.demo import demo_path
from voyager.tui.widgets.legs import LegSheet

EDIT = ("5", ".", "5", "enter")


@pytest.fixture
def voyage(tmp_path: Path) -> Path:
    """A copy of the demo voyage and its boat."""
    for file in Path(demo_path()).parent.glob("*.toml"):
        shutil.copy(file, tmp_path)
    return tmp_path / "spring.toml"


def on(voyage: Path, **options):
    return opened(str(voyage), worker=OnFiles(), notices=True, **options)


def flat(app) -> str:
    return " ".join(text(app).split())


async def test_the_mark_of_what_is_unsaved_comes_and_goes(voyage: Path):
    async with on(voyage) as (app, pilot):
        assert "unsaved" not in text(app)
        await press(app, pilot, *EDIT)
        assert "* unsaved" in text(app).splitlines()[0]
        await press(app, pilot, "u")
        assert "unsaved" not in text(app).splitlines()[0]
        await press(app, pilot, "r")
        assert "* unsaved" in text(app).splitlines()[0]
        await press(app, pilot, "ctrl+s")
        assert "unsaved" not in text(app).splitlines()[0]
        await press(app, pilot, "u")
        assert "* unsaved" in text(app).splitlines()[0]


async def test_notices_do_not_pile_up(voyage: Path):
    async with on(voyage) as (app, pilot):
        await press(app, pilot, *EDIT, *["ctrl+z"] * 5)
        assert flat(app).lower().count("nothing to take back") == 1
        await press(app, pilot, "ctrl+s")
        assert "nothing to take back" not in flat(app).lower()
        assert "Nothing to save" in flat(app)


async def test_saving_writes_the_file_keeps_its_comments_and_says_so(voyage: Path):
    before = voyage.read_text()
    async with on(voyage) as (app, pilot):
        await press(app, pilot, *EDIT, "ctrl+s")
        assert "Saved: spring.toml." in flat(app)
    after = voyage.read_text()
    assert after.splitlines()[:2] == before.splitlines()[:2]
    differ = list(unified_diff(before.splitlines(), after.splitlines(), n=0, lineterm=""))
    assert differ[3:] == ["+speed_kmh = 5.5"]


async def test_nothing_to_save_is_said_and_nothing_written(voyage: Path):
    stamp = voyage.stat().st_mtime_ns
    async with on(voyage) as (app, pilot):
        await press(app, pilot, "ctrl+s")
        assert "Nothing to save" in flat(app)
    assert voyage.stat().st_mtime_ns == stamp


async def test_a_file_taken_away_is_written_again(voyage: Path):
    async with on(voyage) as (app, pilot):
        await press(app, pilot, *EDIT)
        voyage.unlink()
        await press(app, pilot, "ctrl+s")
        assert "was taken away" in flat(app)
        assert "what stands there is lost" not in flat(app)
        await press(app, pilot, "w")
        assert "Saved: spring.toml." in flat(app)
    assert "speed_kmh = 5.5" in voyage.read_text()


async def test_leaving_with_unsaved_edits_asks(voyage: Path):
    async with on(voyage) as (app, pilot):
        await press(app, pilot, *EDIT, "q")
        assert "There are edits that are not saved." in flat(app)
        await press(app, pilot, "escape")
        assert app.screen is app.first
        await press(app, pilot, "q", "g")
        assert app.screen is app.first
        assert app.is_running


@pytest.mark.parametrize("key", ["q", "ctrl+q", "ctrl+c"])
async def test_every_way_out_asks_the_same(voyage: Path, key: str):
    async with on(voyage) as (app, pilot):
        await press(app, pilot, *EDIT, key)
        assert "There are edits that are not saved." in flat(app)
        await press(app, pilot, "l")
        assert not app.is_running
    assert "speed_kmh = 5.5" not in voyage.read_text()
    async with on(voyage) as (app, _):
        assert app.screen is app.first


async def test_ctrl_c_leaves_at_once_where_nothing_is_unsaved(voyage: Path):
    async with on(voyage) as (app, _):
        await app.run_action("quit")
        await until(lambda: not app.is_running)


async def test_saving_on_the_way_out(voyage: Path):
    async with on(voyage) as (app, pilot):
        await press(app, pilot, *EDIT, "q", "s")
        await until(lambda: not app.is_running)
    assert "speed_kmh = 5.5" in voyage.read_text()


async def test_a_file_changed_outside_is_not_written_over_unasked(voyage: Path):
    async with on(voyage) as (app, pilot):
        await press(app, pilot, *EDIT)
        voyage.write_text(voyage.read_text() + "# from outside\n")
        await press(app, pilot, "ctrl+s")
        assert "Not saved" in text(app)
        await press(app, pilot, "g")
        assert voyage.read_text().endswith("# from outside\n")
        assert app.desk.unsaved
        await press(app, pilot, "ctrl+s")
        await press(app, pilot, "w")
        await until(lambda: not app.desk.unsaved)
    assert "speed_kmh = 5.5" in voyage.read_text()


async def test_saving_under_another_name_goes_on_with_that_file(voyage: Path):
    before = voyage.read_text()
    other = voyage.parent / "deeper" / "copy.toml"
    other.parent.mkdir()
    async with on(voyage) as (app, pilot):
        await press(app, pilot, *EDIT, "S", *["ctrl+u"], *str(other), "enter")
        await settled(app, pilot)
        assert app.desk.path == str(other)
        assert not app.desk.unsaved
        assert not app.desk.former, "the plan answers the same voyage, whatever its boat's path is from there"
        assert "speed_kmh = 5.5" in other.read_text()
        await press(app, pilot, "u", "ctrl+s")
        await settled(app, pilot)
    assert voyage.read_text() == before
    assert "speed_kmh = 5.5" not in other.read_text()
    async with on(other) as (app, _):
        assert not app.desk.faults


async def test_a_name_that_is_taken_is_asked_about(voyage: Path):
    async with on(voyage) as (app, pilot):
        await press(app, pilot, *EDIT, "S", "ctrl+u", *str(voyage.parent / "autumn.toml"), "enter")
        await settled(app, pilot)
        assert "Not saved" in text(app)
        await press(app, pilot, "escape")
        assert app.desk.path == str(voyage)
        assert app.desk.unsaved


async def test_a_folder_that_can_not_be_written_is_said_and_the_edits_stay(voyage: Path):
    async with on(voyage) as (app, pilot):
        await press(app, pilot, *EDIT, "S", "ctrl+u", *str(voyage.parent / "none" / "x.toml"), "enter")
        await settled(app, pilot)
        assert "✗" in text(app)
        assert app.desk.unsaved


async def test_another_voyage_can_be_opened_in_place_of_this_one(voyage: Path):
    async with on(voyage) as (app, pilot):
        await press(app, pilot, *EDIT, "ctrl+o", "ctrl+u", *str(voyage.parent / "winter.toml"), "enter")
        assert "There are edits that are not saved." in flat(app)
        await press(app, pilot, "l")
        await until(lambda: app.desk.path.endswith("winter.toml"))
        await settled(app, pilot)
        assert not app.desk.unsaved
        assert app.desk.sketch.top["boat"] in (voyage.parent / "winter.toml").read_text()
        await press(app, pilot, "ctrl+o", "ctrl+u", *str(voyage.parent / "none.toml"), "enter")
        await settled(app, pilot)
        assert "✗" in text(app)
        assert app.desk.path.endswith("winter.toml")


# edits left by a session that did not end


async def killed(voyage: Path, *keys: str) -> None:
    """A session that ends without a word, as a cut connection ends it."""
    async with on(voyage) as (app, pilot):
        await press(app, pilot, *keys)


async def test_edits_left_behind_are_offered_and_taken_up_with_their_undo(voyage: Path):
    await killed(voyage, *EDIT, "5", "enter", "u")
    async with on(voyage) as (app, pilot):
        assert "1 unsaved edit, " in flat(app)
        await press(app, pilot, "enter")
        assert app.desk.sketch.legs[0].get("speed_kmh") == 5.5
        assert "* unsaved" in text(app).splitlines()[0]
        await press(app, pilot, "r")
        assert app.desk.sketch.legs[1].get("speed_kmh") == 5.0
        await press(app, pilot, "u", "u")
        assert not app.desk.unsaved
        await press(app, pilot, "r", "ctrl+s")
        await press(app, pilot, "q")
        await until(lambda: not app.is_running)
    assert "speed_kmh = 5.5" in voyage.read_text()
    async with on(voyage) as (app, _):
        assert app.screen is app.first


async def test_edits_left_for_later_are_offered_again(voyage: Path):
    await killed(voyage, *EDIT)
    for _ in range(2):
        async with on(voyage) as (app, pilot):
            assert "1 unsaved edit, " in flat(app)
            await press(app, pilot, "l")
            assert not app.desk.unsaved
            await press(app, pilot, "q")
            await until(lambda: not app.is_running)


async def test_edits_that_are_dropped_are_gone(voyage: Path):
    await killed(voyage, *EDIT)
    async with on(voyage) as (app, pilot):
        await press(app, pilot, "d", "k")
        assert "1 unsaved edit, " in flat(app)
        await press(app, pilot, "d", "d")
        assert not app.desk.unsaved
    async with on(voyage) as (app, _):
        assert app.screen is app.first


async def test_edits_on_files_changed_since_say_so_and_keep_both(voyage: Path):
    await killed(voyage, *EDIT)
    voyage.write_text(voyage.read_text().replace('name = "Grand', 'name = "The Grand'))
    async with on(voyage) as (app, pilot):
        assert "The files were changed since" in flat(app)
        await press(app, pilot, "t")
        assert app.desk.sketch.legs[0].get("speed_kmh") == 5.5
        await press(app, pilot, "u", "u")
        assert app.desk.sketch.top["name"].startswith("The Grand")


async def test_without_a_place_for_the_journal_the_app_goes_on_and_says_so_once(voyage: Path, monkeypatch, tmp_path):
    (tmp_path / "file").write_text("in the way")
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "file" / "state"))
    async with on(voyage, size=(120, 40)) as (app, pilot):
        await press(app, pilot, *EDIT)
        assert "not being kept on disk" in flat(app)
        await press(app, pilot, "u", "u", "r")
        assert "Made again" in flat(app)
        assert flat(app).count("not being kept on disk") == 1, "a notice does not end a warning"
        app.warned_until = 0.0
        app.clear_notifications()
        await press(app, pilot, *EDIT)
        assert "not being kept on disk" not in flat(app)
        assert app.desk.unsaved


# broken states


async def test_a_broken_sketch_is_named_planning_pauses_and_saving_is_allowed(voyage: Path):
    async with on(voyage, size=(120, 40)) as (app, pilot):
        sketch = app.desk.sketch
        app.take(app.desk.edited(sketch.with_rows("legs", (*sketch.legs[:3], *sketch.legs[4:])), "leg 4 removed"))
        await settled(app, pilot)
        shown = flat(app)
        assert "✗ leg 4 (" in shown
        assert "Planning pauses until this is mended; saving is allowed." in shown
        assert "Days (former plan)" in shown
        await press(app, pilot, "ctrl+s")
        assert not app.desk.unsaved
    async with on(voyage, wait=False) as (app, pilot):
        await until(lambda: bool(app.desk.faults))
        await settled(app, pilot)
        assert "✗ leg 4 (" in flat(app)
        assert "not planned yet" in flat(app)
        assert len(app.desk.leg_rows()) == len(sketch.legs) - 1
        await press(app, pilot, "i", "escape", "w", "escape", "m", "m", "tab", "down")
        assert app.is_running


async def test_a_boat_file_that_is_missing_is_named_and_the_voyage_stands(voyage: Path):
    (voyage.parent / "quillet.toml").unlink()
    async with on(voyage) as (app, _):
        assert "quillet.toml" in flat(app)
        assert "Brentford" in text(app)


async def test_a_file_that_is_no_toml_ends_the_app_with_its_sentence(voyage: Path):
    voyage.write_text("name = \n")
    async with on(voyage, wait=False) as (app, _):
        await until(lambda: app.return_value is not None)
    assert "spring.toml:1" in app.return_value
    assert os.path.exists(voyage)


async def test_a_burst_through_edits_undo_and_a_name_lands_in_order(voyage: Path):
    other = str(voyage.parent / "other.toml")
    async with on(voyage) as (app, pilot):
        await burst(app, *"5.59", "backspace", "enter", *"4", "enter", "u")
        await burst(app, "S", "ctrl+u", *other[:-1], "x", "backspace", other[-1], "enter", "right_square_bracket")
        await app.gate.settled()
        await until(lambda: app.desk.path == other)
        await settled(app, pilot)
        assert app.desk.sketch.legs[0].get("speed_kmh") == 5.5
        assert [step.label for step in app.desk.history.taken[1:]][-1] == "departs"
    assert "speed_kmh = 5.5" in Path(other).read_text()


async def test_a_burst_into_a_question_is_taken_by_the_question(voyage: Path):
    async with on(voyage) as (app, _):
        await burst(app, *EDIT, "q", "down", "up", "escape", "q", "g", "u", "q")
        await until(lambda: not app.is_running)
    assert "speed_kmh = 5.5" not in voyage.read_text()


async def test_a_fault_of_the_screens_is_one_sentence_loses_no_edit_and_leaves_its_trace_in_the_log(voyage, tmp_path):
    seen = []

    async def stumble() -> None:
        async with opened(str(voyage), worker=OnFiles(log=str(tmp_path / "planner.log"))) as (app, pilot):
            seen.append(app)
            await press(app, pilot, *EDIT)
            app.call_later(lambda: 1 / 0)
            await until(lambda: not app.is_running)

    with pytest.raises(ZeroDivisionError):
        await stumble()
    assert seen[0].fault.startswith("The screens stopped on a fault of their own: ZeroDivisionError: division by zero.")
    assert "Traceback" in (tmp_path / "planner.log").read_text()
    async with on(voyage) as (app, _):
        assert "1 unsaved edit, " in flat(app)


async def test_what_was_half_typed_stands_in_its_cell_again(voyage: Path):
    await killed(voyage, *EDIT, "down", "4", ".", "2")
    async with on(voyage) as (app, pilot):
        assert "1 unsaved edit, " in flat(app)
        await press(app, pilot, "t")
        sheet = app.query_one(LegSheet)
        assert (app.focused, sheet.cell.value, sheet.at[0]) == (sheet.cell, "4.2", 2)
        await press(app, pilot, "enter")
        assert [row.get("speed_kmh") for row in app.desk.sketch.legs[:3]] == [5.5, None, 4.2]


async def test_nothing_but_a_half_typed_text_is_offered_too(voyage: Path):
    await killed(voyage, "4", ".", "2")
    async with on(voyage) as (app, pilot):
        assert "a text half typed, left at" in flat(app)
        await press(app, pilot, "t")
        assert app.query_one(LegSheet).cell.value == "4.2"
        assert not app.desk.unsaved


async def test_edits_of_another_voyage_are_told_of_at_the_start(voyage: Path):
    other = voyage.with_name("winter.toml")
    await killed(other, *EDIT)
    from voyager.session.settings import remember

    remember(str(other))
    async with on(voyage) as (app, _):
        assert "Edits of winter.toml" in text(app)
