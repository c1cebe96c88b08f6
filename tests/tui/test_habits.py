"""Keys of one's own, the tour, ASCII signs, help and palette, small terminals."""

from pathlib import Path

import pytest

from tests.tui.harness import burst, opened, press, settled, text, until
from voyager.session.settings import defaults, load
from voyager.tui import actions
from voyager.tui.keymap import checked
from voyager.tui.panes import PANES

OWN = {"save": ("ctrl+w",), "undo": ("z",), "by": (), "leg-split": ("ctrl+l",), "days-down": ("j", "down")}


@pytest.fixture(autouse=True)
def _usual_keys():
    yield
    actions.take_own_keys({})


async def test_own_keys_act_and_are_named():
    actions.take_own_keys(OWN)
    async with opened(size=(120, 30)) as (app, pilot):
        app.take_keys(OWN, ())
        await press(app, pilot, "9", "enter")
        assert app.desk.unsaved
        assert "z Undo" in text(app)
        await press(app, pilot, "u")
        assert app.desk.unsaved, "the usual key does it no more"
        await press(app, pilot, "z")
        assert not app.desk.unsaved
        await press(app, pilot, "b")
        assert app.screen is app.first, "an action without a key"
        await press(app, pilot, "tab", "j", "j")
        assert app.first.pointed == ("day", 2)
        await press(app, pilot, "question_mark", *"take the last change")
        assert "z  " in text(app)
        assert "Take the last change back" in text(app)
        assert "Pick the sky" not in text(app)
        await press(app, pilot, "escape")
        told = {command.title: command.help for command in app.get_system_commands(app.screen)}
        assert told["Save"].endswith("(^w)")
        assert told["By"] == "Pick the day to have arrived by"
        assert told["In the days: Down"].endswith("(j, ↓)")


async def test_a_foot_key_is_clicked():
    async with opened(size=(120, 30)) as (app, pilot):
        row = text(app).splitlines()[-1]
        await pilot.click(offset=(row.index("? Help"), 29))
        await settled(app, pilot)
        assert "type to find" in text(app)


async def test_the_foot_names_no_key_that_would_be_typed():
    async with opened() as (app, pilot):
        assert "u Undo" in text(app).splitlines()[-1]
        await press(app, pilot, *["left"] * 9)
        row = text(app).splitlines()[-1]
        assert "^z Undo" in row
        assert "f6 Morning" in row.replace("F6", "f6")
        assert "^q Quit" in row
        await press(app, pilot, "f6")
        assert "This morning" in text(app)
        await press(app, pilot, "f6", "u")
        assert app.query_one("#leg-table").sheet.cell.value == "u"
        await press(app, pilot, "escape", *["right"] * 4)
        assert "u Undo" in text(app).splitlines()[-1]


async def test_faults_of_the_key_file_are_said_once():
    async with opened() as (app, pilot):
        _, faults = checked({"sav": "x", "undo": "ctrl+i"})
        app.take_keys({}, faults)
        await app._tell_keys()
        await settled(app, pilot)
        shown = " ".join(text(app).split())
        assert "sav: there is no such action; save may be meant." in shown
        assert 'undo: "ctrl+i" can\'t be told from Tab.' in shown
        await press(app, pilot, "escape")
        assert app.screen is app.first


async def test_a_key_file_to_edit_is_written_once(tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path))
    async with opened() as (app, _):
        app.action_write_keys()
        file = tmp_path / "voyager" / "keys.toml"
        assert '# save = "ctrl+s"' in file.read_text()
        file.write_text("own")
        said: list[str] = []
        app.tell = said.append  # type: ignore[method-assign]
        app.action_write_keys()
        assert "was left as it is" in said[0]
        assert file.read_text() == "own"


async def test_the_tour_goes_with_the_first_key_which_acts_as_well():
    async with opened() as (app, pilot):
        app.prefer({**load(), "toured": False})
        await app.action_tour()
        await pilot.pause()
        assert "To begin" in text(app)
        await press(app, pilot, "question_mark")
        assert "To begin" not in text(app)
        assert "type to find" in text(app)
        await until(lambda: load()["toured"])


@pytest.mark.parametrize(
    "size", [(80, 24), pytest.param((120, 40), marks=pytest.mark.long), pytest.param((60, 15), marks=pytest.mark.long)]
)
async def test_ascii_draws_every_screen_with_ascii_alone(size: tuple[int, int]):
    screens: list[tuple[str, ...]] = [(), ("tab",), ("d",), ("a",), ("i",), ("w",), ("question_mark",), ("ctrl+o",),
                                      ("S",), ("N",), ("Y",), ("slash",), ("ctrl+t",), ("ctrl+p",), ("9",),
                                      ("f", "3"), ("U",), ("9", "enter", "q")]  # fmt: skip
    async with opened("short.toml", size=size, notices=True) as (app, pilot):
        app.prefer({**defaults(), "ascii": True, "toured": True})
        for keys in screens:
            await press(app, pilot, *keys)
            plain(app, keys)
            while app.screen is not app.first:
                app.pop_screen()
                await settled(app, pilot)
            if app.first.opened:
                await press(app, pilot, "escape")
        for name in PANES:
            await app.action_pane(name)
            await settled(app, pilot)
            plain(app, name)
        await app.action_tour()
        await pilot.pause()
        plain(app, "tour")


def plain(app, where: object) -> None:
    odd = {sign for sign in text(app) if not (" " <= sign <= "~" or sign == "\n")}
    assert not odd, (where, odd)


async def test_ascii_takes_the_same_columns():
    async with opened(size=(120, 40)) as (app, pilot):
        for keys in ((), ("o",), ("m",), ("g",)):
            await press(app, pilot, *keys)
            full = [len(line) for line in text(app).splitlines()]
            app.draw_plain(True)
            app.screen.refresh()
            await settled(app, pilot)
            bare = text(app).splitlines()
            assert all(len(one) <= size for one, size in zip(bare, full, strict=True))
            app.draw_plain(False)
            app.screen.refresh()


async def test_signs_can_be_changed_while_it_runs():
    async with opened() as (app, pilot):
        assert "▾" in text(app)
        app.action_ascii()
        await settled(app, pilot)
        plain(app, "toggled")
        await until(lambda: load()["ascii"])
        app.action_ascii()
        await settled(app, pilot)
        assert "▾" in text(app)


async def test_help_shows_the_place_it_was_opened_from_first():
    async with opened(size=(80, 24)) as (app, pilot):
        await press(app, pilot, "o", "question_mark")
        lines = text(app)
        assert "In the odds" in lines
        assert "Anywhere" in lines
        assert "In the calendar" not in lines
        await burst(app, *"calendar")
        await settled(app, pilot)
        assert "In the calendar" in text(app)
        assert "In the odds" not in text(app)
        await press(app, pilot, "escape")
        assert app.screen is app.first


async def test_the_palette_finds_what_a_pane_can_do():
    async with opened(size=(120, 40)) as (app, pilot):
        await press(app, pilot, "v")
        names = [command.title for command in app.get_system_commands(app.screen)]
        assert "In the values: Default" in names
        assert "In the legs: Split" not in names
        await press(app, pilot, "escape", "down")
        found = {command.title: command.callback for command in app.get_system_commands(app.screen)}
        before = len(app.desk.sketch.legs)
        await found["In the legs: Double"]()
        await settled(app, pilot)
        assert len(app.desk.sketch.legs) == before + 1
