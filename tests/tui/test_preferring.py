"""Units and look: taken from the settings, kept when picked, never for ``NO_COLOR`` or over the environment."""

import io
import sys
from pathlib import Path

import pytest

from tests.tui.harness import opened, press, settled, text, until
from voyager.session.settings import defaults, load, store
from voyager.tui import start, themes

GREEN = {"TERM": "xterm-256color", "COLORTERM": "truecolor"}


@pytest.fixture(autouse=True)
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path))
    return tmp_path / "voyager"


@pytest.mark.parametrize(
    ("look", "environ", "asked"),
    [
        ("light", GREEN, "light"),
        (None, GREEN, None),
        ("pink", GREEN, None),
        ("light", {**GREEN, "VOYAGER_LOOK": "dark"}, "dark"),
        ("light", {**GREEN, "NO_COLOR": ""}, None),
        ("light", {"TERM": "linux"}, "16-light"),
        ("16-dark", {"TERM": "linux"}, "16-dark"),
        ("16-dark", GREEN, "16-dark"),
    ],
)
def test_the_look_of_the_settings_gives_way_to_the_environment(look: str, environ: dict[str, str], asked: str) -> None:
    assert themes.preferred(look, environ).get("VOYAGER_LOOK") == asked


async def test_units_of_the_settings_hold_from_the_start() -> None:
    store(units={"speed": "kn", "length": "NM", "temperature": "°F"})
    async with opened(size=(120, 40)) as (app, pilot):
        app.prefer(load())
        app.show()
        await settled(app, pilot)
        assert app.desk.units.words == "kn, NM, °F"
        assert "142 NM" in text(app), "263 km, a nautical mile being 1.852 km"


async def test_a_broken_settings_file_is_said_once_and_left_alone(folder: Path) -> None:
    folder.mkdir()
    (folder / "settings.toml").write_text("units = ")
    async with opened() as (app, pilot):
        app.prefer(load())
        said: list[str] = []
        app.tell = app.warn = said.append  # type: ignore[method-assign]
        app.on_ready()
        assert len(said) == 1
        assert "not TOML" in said[0]
        await press(app, pilot, "U", "down", "enter")
        await until(lambda: len(said) == 2)
        assert said[1].startswith("Not kept")
        assert app.desk.units.words == "kn, NM, °C", "they hold until the end"
    assert (folder / "settings.toml").read_text() == "units = "


async def test_what_is_picked_is_kept(folder: Path) -> None:
    async with opened() as (app, pilot):
        await press(app, pilot, "t")
        await until(lambda: load()["look"] == "light")
        await press(app, pilot, "U", "end", "enter")
        await until(lambda: load()["units"] != defaults()["units"])
        assert load()["units"] == app.desk.units.table()


async def test_only_units_change_no_value_does(folder: Path) -> None:
    async with opened() as (app, pilot):
        await press(app, pilot, "7", "enter", "up")
        before = app.desk.sketch
        for _ in range(8):
            await press(app, pilot, "U", "down", "enter")
        assert app.desk.sketch is before
        assert app.desk.sketch.documents() == before.documents()


@pytest.mark.parametrize(("encoding", "word", "plain"), [
    ("utf-8", "", False), ("ascii", "", True), ("latin-1", "", True), ("ascii", "0", False), ("utf-8", "1", True),
])  # fmt: skip
def test_a_terminal_of_few_signs_is_drawn_on_in_ascii(monkeypatch, encoding: str, word: str, plain: bool) -> None:
    monkeypatch.setattr(sys, "__stderr__", io.TextIOWrapper(io.BytesIO(), encoding))
    monkeypatch.setenv("VOYAGER_ASCII", word)
    assert start._plain(False, False) is plain
