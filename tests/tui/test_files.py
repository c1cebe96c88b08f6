"""Voyages opened, begun and saved under other names by their dialogs; tables copied and written."""

import csv
import io
import os
import shutil
from pathlib import Path

import pytest

from tests.tui.harness import OnFiles, burst, opened, press, settled, text, until
from tests.tui.test_snapshots import FOLDER, compare
from voyager.session.demo import demo_path
from voyager.session.settings import load, store

EDIT = ("5", ".", "5", "enter")


@pytest.fixture
def voyage(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A copy of the demo voyages and boats, in a folder with another one in it."""
    folder = tmp_path / "boats"
    folder.mkdir()
    for file in Path(demo_path()).parent.glob("*.toml"):
        shutil.copy(file, folder)
    (folder / "old").mkdir()
    shutil.copy(folder / "winter.toml", folder / "old" / "ice.toml")
    (folder / "notes.toml").write_text("words = 3\n")
    monkeypatch.setenv("HOME", str(tmp_path))
    return folder / "spring.toml"


def on(voyage: Path, **options):
    return opened(str(voyage), worker=OnFiles(), notices=True, **options)


def flat(app) -> str:
    return " ".join(text(app).split())


async def test_only_voyages_are_offered_and_a_name_is_completed(voyage: Path):
    async with on(voyage) as (app, pilot):
        await press(app, pilot, "ctrl+o")
        shown = text(app)
        assert "autumn.toml" in shown
        assert "South before the ice" in shown
        assert "old/" in shown
        assert "quillet" not in shown, "a boat"
        assert "notes" not in shown
        assert "in ~/boats" in shown
        await press(app, pilot, "w", "tab")
        assert app.screen.field.value == "winter.toml"
        await press(app, pilot, "enter")
        await until(lambda: app.desk.path == str(voyage.parent / "winter.toml"))


async def test_folders_are_walked_into_and_out_of(voyage: Path):
    async with on(voyage) as (app, pilot):
        await press(app, pilot, "ctrl+o", "o", "enter")
        assert app.screen.field.value == "old/"
        assert "ice.toml" in text(app)
        await press(app, pilot, "down", "enter")
        assert app.screen.field.value == "old/../"
        assert "autumn.toml" in text(app)
        await press(app, pilot, "ctrl+u", *"old/ice.toml", "enter")
        await until(lambda: app.desk.path == str(voyage.parent / "old" / "ice.toml"))


async def test_what_is_no_voyage_is_said_and_the_dialog_stays(voyage: Path):
    broken = voyage.parent / "torn.toml"
    broken.write_text("leg = [\n")
    async with on(voyage) as (app, pilot):
        for name, why in (("quillet.toml", "is no voyage file: it is a boat's"), ("torn.toml", "torn.toml:"),
                          ("nowhere.toml", "there is no"), ("notes.toml", "none of the keys")):  # fmt: skip
            await press(app, pilot, "ctrl+o", *name, "enter")
            assert app.screen is not app.first
            told = str(app.screen.query_one("#files-told").content)
            assert told.startswith("✗ ")
            assert why in told
            await press(app, pilot, "escape")
        assert app.desk.path == str(voyage)


async def test_a_voyage_with_faults_opens(voyage: Path):
    half = voyage.parent / "half.toml"
    half.write_text('boat = "gone.toml"\ndeparts = 2027-02-30\n\n[[leg]]\nfrom = "A"\nto = "B"\n')
    async with on(voyage) as (app, pilot):
        await press(app, pilot, "ctrl+o", *"half", "enter")
        await until(lambda: app.desk.path == str(half))
        await settled(app, pilot)
        assert app.desk.faults


async def test_voyages_of_late_come_first_and_lost_ones_are_left_out(voyage: Path):
    ice = voyage.parent / "old" / "ice.toml"
    store(recent=[str(voyage.parent / "lost.toml"), str(ice), str(voyage)])
    async with on(voyage) as (app, pilot):
        await press(app, pilot, "ctrl+o")
        assert app.screen.rows[0].path == str(ice)
        assert "lost" not in text(app)
        app.settings = load()
        await press(app, pilot, "enter")
        await until(lambda: load()["recent"][0] == str(ice))
        assert len(set(load()["recent"])) == len(load()["recent"])


async def test_another_name_is_among_those_of_late_at_once(voyage: Path):
    other = voyage.parent / "old" / "mine.toml"
    async with on(voyage) as (app, pilot):
        app.settings = load()
        await press(app, pilot, "S", "ctrl+u", *"old/mine", "enter")
        await until(lambda: app.desk.path == str(other))
        assert load()["recent"][0] == str(other)


async def test_the_boat_of_a_voyage_that_stays_as_it_is_is_copied_and_said_so(voyage: Path, monkeypatch):
    monkeypatch.chdir(voyage.parent / "old")
    async with on(Path(demo_path())) as (app, pilot):
        await press(app, pilot, "S")
        assert "a copy of it goes beside the voyage" in flat(app)
        await press(app, pilot, "ctrl+u", *str(voyage.parent / "old" / "mine"), "enter")
        await until(lambda: app.desk.path == str(voyage.parent / "old" / "mine.toml"))
    assert (voyage.parent / "old" / "quillet.toml").read_bytes() == (voyage.parent / "quillet.toml").read_bytes()


async def test_unsaved_edits_are_asked_about_before_another_is_opened(voyage: Path):
    async with on(voyage) as (app, pilot):
        await press(app, pilot, *EDIT, "ctrl+o", *"winter", "enter")
        assert "There are edits that are not saved." in flat(app)
        await press(app, pilot, "escape")
        assert app.desk.path == str(voyage)
        assert app.desk.unsaved


async def test_a_burst_into_the_dialog_lands_in_order(voyage: Path):
    async with on(voyage) as (app, pilot):
        await burst(app, "ctrl+o", *"wint", "x", "backspace", "tab", "enter", "right_square_bracket")
        await settled(app, pilot)
        await until(lambda: app.desk.path.endswith("winter.toml"))


async def test_another_voyage_begins_with_its_first_leg_where_letters_are_keys(voyage: Path):
    async with on(voyage) as (app, pilot):
        await press(app, pilot, "down", *["left"] * 9, "ctrl+o", *"winter", "enter")
        await until(lambda: app.desk.path.endswith("winter.toml"))
        await settled(app, pilot)
        assert app.query_one("#leg-table").cursor_row == 0
        await press(app, pilot, "m")
        assert "This morning" in text(app)


async def test_a_row_is_clicked(voyage: Path):
    async with on(voyage) as (app, pilot):
        await press(app, pilot, "ctrl+o")
        at = [row.typed for row in app.screen.rows].index("winter.toml")
        await pilot.click("#files-list", offset=(3, at))
        await until(lambda: app.desk.path.endswith("winter.toml"))


async def test_another_name_is_proposed_and_gets_its_ending(voyage: Path):
    async with on(voyage) as (app, pilot):
        await press(app, pilot, "S")
        assert app.screen.field.value == "spring-2.toml"
        assert "The boat file stays where it is" in text(app)
        await press(app, pilot, "ctrl+u", *"old/mine", "enter")
        await until(lambda: app.desk.path == str(voyage.parent / "old" / "mine.toml"))
        assert 'boat = "../' in (voyage.parent / "old" / "mine.toml").read_text()


async def test_a_name_that_is_there_is_asked_about(voyage: Path):
    before = (voyage.parent / "autumn.toml").read_bytes()
    async with on(voyage) as (app, pilot):
        await press(app, pilot, *EDIT, "S", "ctrl+u", *"autumn", "enter")
        await settled(app, pilot)
        assert "is there already" in flat(app)
        await press(app, pilot, "g")
        assert (voyage.parent / "autumn.toml").read_bytes() == before


async def test_a_voyage_is_begun(voyage: Path):
    async with on(voyage) as (app, pilot):
        await press(app, pilot, "N")
        assert "Quillet" in text(app)
        await press(app, pilot, "Q", *"Home", "enter", *"Kil", "enter", *"Rush", "enter")
        assert app.screen.query_one("#new-file").value == "home.toml"
        await press(app, pilot, "enter")
        await until(lambda: app.desk.path == str(voyage.parent / "home.toml"))
        await settled(app, pilot)
        sketch = app.desk.sketch
        assert [row.get("name") for row in sketch.places] == ["Kil", "Rush"]
        assert dict(sketch.legs[0].values) == {"from": "Kil", "to": "Rush"}
        assert sketch.boat["name"] == "Quillet"
        assert "Planning pauses" in flat(app)
        assert all("at" in fault["text"] for fault in app.desk.faults)


async def test_a_voyage_may_begin_with_next_to_nothing(voyage: Path):
    async with on(voyage) as (app, pilot):
        await press(app, pilot, "N", "n", "enter", "enter", "enter", "enter")
        await until(lambda: app.desk.path == str(voyage.parent / "voyage.toml"))
        await settled(app, pilot)
        assert app.desk.faults
        assert not app.desk.unsaved


async def test_a_new_voyage_never_takes_the_place_of_a_file(voyage: Path):
    before = voyage.read_bytes()
    async with on(voyage) as (app, pilot):
        await press(app, pilot, "N", "n", "shift+tab", "ctrl+u", *"spring.toml", "enter")
        assert "is there already" in flat(app)
        await press(app, pilot, "escape")
    assert voyage.read_bytes() == before


# tables


async def test_the_table_in_focus_is_copied(voyage: Path):
    async with opened(size=(120, 40), notices=True) as (app, pilot):
        for keys, name, heading in (
            ((), "legs", "distance [km]"), (("tab",), "days", "charge low [kWh]"), (("p",), "places", "latitude [°]"),
            (("o",), "odds", "arrived"), (("v",), "values", "says"),
        ):  # fmt: skip
            await press(app, pilot, *keys, "alt+y")
            lines = [line.split("\t") for line in app.clipboard.splitlines()]
            assert heading in lines[0], name
            assert len(lines) > 2
            assert {len(line) for line in lines} == {len(lines[0])}
            assert f"Copied: {name}, {len(lines) - 1} rows." in flat(app)
            assert "Y writes a file" in flat(app)
            if keys and keys[0] != "tab":
                await press(app, pilot, "escape")
        assert "…" not in app.clipboard


async def test_names_are_whole_and_figures_in_the_units_chosen():
    async with opened(size=(60, 20)) as (app, pilot):
        await press(app, pilot, "U", "down", "enter", "y")
        rows = [line.split("\t") for line in app.clipboard.splitlines()]
        first = dict(zip(rows[0], rows[1], strict=True))
        assert first["from"] == "Carrick-on-Shannon"
        assert float(first["distance [NM]"]) == pytest.approx(24.0 / 1.852, rel=1e-8)


async def test_a_table_is_written_and_nothing_is_written_over_unasked(voyage: Path):
    async with on(voyage, size=(120, 40)) as (app, pilot):
        await press(app, pilot, "tab", "Y")
        assert app.screen.field.value == "spring-days.csv"
        await press(app, pilot, "enter")
        file = voyage.parent / "spring-days.csv"
        await until(file.exists)
        content = file.read_bytes()
        assert content.count(b"\r\n") == len(app.desk.plan["days"]) + 1
        rows = list(csv.DictReader(io.StringIO(content.decode(), newline="")))
        assert float(rows[0]["charge low [kWh]"]) == app.desk.plan["days"][0]["charge_low_kwh"]
        await press(app, pilot, "Y", "ctrl+u", *"spring-days", "enter")
        await until(lambda: "Not written" in text(app))
        await press(app, pilot, "g")
        assert file.read_bytes() == content
    assert not [name for name in os.listdir(voyage.parent) if name.endswith(".saving")]


# how they look


@pytest.mark.parametrize(("name", "keys"), [
    ("open", ("ctrl+o",)), ("save-as", ("S",)), ("new-boat", ("N",)), ("new", ("N", "A")), ("write", ("Y",)),
])  # fmt: skip
async def test_dialogs_look_as_before(voyage: Path, name: str, keys: tuple[str, ...]):
    async with on(voyage, size=(80, 24)) as (app, pilot):
        await press(app, pilot, *keys)
        for field in app.screen.query("Input"):
            field.cursor_blink = False
        await settled(app, pilot)
        card = app.screen.query_one(".card").region
        lines = text(app).splitlines()[card.y : card.bottom]
        compare(FOLDER / f"dialog-{name}-80x24.txt", "".join(line[card.x : card.right] + "\n" for line in lines))


@pytest.mark.parametrize("keys", [(), ("tab",), ("m",)])
async def test_a_small_terminal_shows_what_is_in_use(keys: tuple[str, ...]):
    async with opened(size=(60, 15)) as (app, pilot):
        await press(app, pilot, *keys)
        shown = text(app)
        assert "80x24 shows more" in shown
        assert "not for navigation" in shown
        assert "? Help" in shown
        name = {(): "legs", ("tab",): "days", ("m",): "morning"}[keys]
        compare(FOLDER / f"small-{name}-60x15.txt", shown)


async def test_titles_in_a_small_terminal_are_clicked_like_tabs():
    async with opened(size=(60, 15)) as (app, pilot):
        y = next(y for y, line in enumerate(text(app).splitlines()) if " Days: " in line)
        await pilot.click(offset=(20, y))
        await settled(app, pilot)
        assert app.first.focused is app.first.query_one("#days")
        assert "Tue  2 Mar" in text(app)
        await pilot.click(offset=(20, 1))
        await settled(app, pilot)
        assert app.first.focused is app.first.query_one("#leg-table")
        assert "Lanesbo… Athlone" in text(app)


@pytest.mark.parametrize("keys", [("s",), ("ctrl+o",)])
async def test_the_cursor_of_a_list_is_seen_without_colour(
    voyage: Path, keys: tuple[str, ...], monkeypatch: pytest.MonkeyPatch
):
    monkeypatch.setenv("NO_COLOR", "1")
    async with on(voyage, theme="ansi-dark") as (app, pilot):
        await press(app, pilot, *keys)
        for _ in range(2):
            await press(app, pilot, "down")
            strips = app.screen._compositor.render_strips()
            turned = ["".join(part.text for part in strip if part.style and part.style.reverse) for strip in strips]
            options = app.screen.query_one("OptionList")
            assert options.highlighted is not None
            wanted = options.get_option_at_index(options.highlighted).prompt.plain.split()[0][1:]
            assert [one for one in turned if wanted in one]
