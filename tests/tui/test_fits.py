"""The page of fits: files and options chosen, what was found read, put into the boat, and what to measure next."""

import shutil
from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from tests.tui.fake_fits import REMARKS, SAID, UA
from tests.tui.harness import Nearby, OnFiles, opened, press, settled, text, until
from tests.tui.waiting import Waiting
from voyager.session.fit_fields import FACES, OFFERED, fields
from voyager.session.fit_options import OPTIONS
from voyager.session.sketch.boat import at
from voyager.tui.app import VoyagerApp
from voyager.tui.fits_rows import Page, about, in_words
from voyager.tui.fits_units import in_units
from voyager.tui.screens.ask import AskScreen
from voyager.tui.screens.files import WriteScreen
from voyager.tui.screens.measured import MeasuredScreen
from voyager.tui.units import Units
from voyager.tui.widgets.fit_list import FitList
from voyager.tui.widgets.fits import FitsPane

ROUTES = Path(__file__).parents[2] / "routes"


@pytest.fixture(autouse=True)
def own_state(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    for name in ("XDG_STATE_HOME", "XDG_CONFIG_HOME"):
        monkeypatch.setenv(name, str(tmp_path / name))
    monkeypatch.chdir(tmp_path)


@pytest.fixture
def csv(tmp_path: Path) -> str:
    for name in ("heater-test.csv", "bad.csv"):
        (tmp_path / name).write_text("time\n", "utf-8")
    return str(tmp_path / "heater-test.csv")


def pane(app: VoyagerApp) -> FitsPane:
    return app.screen.query_one(FitsPane)


async def chosen(app: VoyagerApp, pilot: Any, name: str = "heater-test.csv", kind: str = "heat") -> None:
    """The page opened on a kind, and its file chosen."""
    if app.first.opened != "fits":
        await press(app, pilot, "T")
    pane(app).turn_to(kind)
    pane(app).take_file(kind, str(Path.cwd() / name))
    await settled(app, pilot)


def words_of(app: VoyagerApp) -> str:
    return " ".join(text(app).split())


async def whole(app: VoyagerApp, pilot: Any) -> str:
    """All that the list says, whatever is scrolled to."""
    lines = pane(app).sheet.lines
    return "\n".join("".join(run.text for run in line).rstrip() for line in lines)


async def test_enter_on_a_kind_goes_on_to_its_file():
    async with opened() as (app, pilot):
        await press(app, pilot, "T", "right", "enter")
        assert "Measurements for fit trial" in words_of(app)
        await press(app, pilot, "escape")
        assert (pane(app).state.kind, pane(app).sheet.cursor) == ("trial", 1)


async def test_it_opens_with_kinds_options_columns_and_cautions_and_details_tell_all():
    async with opened() as (app, pilot):
        await press(app, pilot, "T")
        shown = words_of(app)
        assert isinstance(app.focused, FitList)
        assert "[heat] trial panels model roll next" in shown
        assert "time, inside_c, outside_c, heater_w; if there: people, other_w" in shown
        assert "never leave a heater running unattended" in shown
        assert "carbon monoxide alarm" in shown
        await press(app, pilot, "i")
        assert "heater for the warming-up time" in words_of(app)
        await press(app, pilot, "escape", "right", "right")
        assert "[panels]" in text(app)
        assert "Panels in the sun are live" in text(app)
        await press(app, pilot, "left", "left", "left")
        assert "[next]" in text(app)
        await press(app, pilot, "escape")
        assert not app.first.panes["fits"].display


async def test_a_file_chosen_is_fitted_with_figures_plot_rows_left_out_and_notes(csv: str):
    async with opened(size=(120, 50)) as (app, pilot):
        await press(app, pilot, "T", "down", "enter")
        assert isinstance(app.screen, MeasuredScreen)
        assert [row.typed for row in app.screen.rows if not row.folder] == ["bad.csv", "heater-test.csv"]
        await press(app, pilot, "h", "enter")
        told = await whole(app, pilot)
        for words in ("heater-test.csv: 59 of 61 rows used", "heat-loss coefficient", "62.4", "± 1.8", "58.8 to 66.0",
                      "steady heating for 20 °C at 7 °C outside", "duplicate time: rows 17-18", "one time constant",
                      "the log is short: measure through a whole night", "o thermometer", "0.123 K"):  # fmt: skip
            assert words in told
        assert any("\u2800" < sign < "\u2900" for sign in told), "the curve is drawn in dots"
        runs = [run for line in pane(app).sheet.lines for run in line]
        named = next(at for at, run in enumerate(runs) if run.text == " thermometer")
        assert (runs[named - 1].text, runs[named - 1].part) == ("o", "mark"), "named in the ink that it has in the plot"
        assert "b puts this into the boat file" in told
        narrow = max(len(line) for line in told.splitlines())
        await press(app, pilot, "z")
        assert max(len(line) for line in (await whole(app, pilot)).splitlines()) > narrow + 20, "it resizes"
        await pilot.resize_terminal(80, 24)
        await settled(app, pilot)
        assert all(len(line) <= 78 for line in (await whole(app, pilot)).splitlines())
        await app.run_action("ascii")
        await settled(app, pilot)
        assert text(app).isascii()


async def test_options_and_refusals_in_place(csv: str):
    async with opened() as (app, pilot):
        before = app.desk.sketch
        await chosen(app, pilot, "bad.csv")
        shown = words_of(app)
        assert "✗ bad.csv:1: insid_c: there is no such column; did you mean inside_c?" in shown
        assert '✗ bad.csv:4: heater_w: "nine" is no number' in shown
        assert app.desk.sketch is before
        await press(app, pilot, "b")
        assert "There is no fit yet" in text(app)
        await chosen(app, pilot)
        await press(app, pilot, "home", "down", "down", "9", "9", "enter")
        assert "it must be -60 to 50 °C" in text(app)
        await press(app, pilot, "backspace", "enter")
        assert "asked with outside_c 9" in await whole(app, pilot)
        await press(app, pilot, "home", "down", "down", "plus", "plus")
        assert pane(app).state.here.options == {"outside_c": 11}
        await press(app, pilot, "delete")
        assert pane(app).state.here.options == {}
        app.change(units=Units(temperature="°F"))
        await press(app, pilot, "5", "0", "enter")
        assert pane(app).state.here.options == {"outside_c": 10}
        assert "50 °F" in text(app)
        assert "for 68 °F at 44.6 °F outside" in await whole(app, pilot)


async def test_choices_are_the_voyages_own_and_refusals_name_options_as_the_page_does(csv: str):
    async with opened() as (app, pilot):
        await press(app, pilot, "T", "right", "right", "down", "down", "plus")
        assert pane(app).state.here.options == {"place": "Rooskey"}
        await press(app, pilot, "A")
        assert pane(app).state.here.options == {"place": "Athlone"}
        await chosen(app, pilot, kind="roll")
        assert 'the scale is missing: give "Boat over model"' in words_of(app)
        await press(app, pilot, "home", "down", *["down"] * 4, "8", "enter")
        assert "59 of 61 rows used" in await whole(app, pilot)
        await press(app, pilot, "b")
        assert "gives nothing that a boat file holds" in text(app)
        await app.first._resume_in({"pane": "fits", "kind": "heat", "key": "heater_max_w", "text": "12"})
        await settled(app, pilot)
        await press(app, pilot, "0", "0", "enter")
        assert pane(app).state.here.options == {"heater_max_w": 1200}, "what was half typed is taken up"


async def test_put_in_the_boat_the_difference_first_then_an_edit_that_is_taken_back(csv: str):
    async with opened(notices=True) as (app, pilot):
        await chosen(app, pilot)
        await press(app, pilot, "b")
        assert f"+ua_w_per_k = 62.4 # {REMARKS[UA]}" in words_of(app)
        assert not app.desk.unsaved
        await press(app, pilot, "escape")
        assert not app.desk.unsaved
        assert "puts this into" in await whole(app, pilot)
        await press(app, pilot, "b", "enter")
        assert at(app.desk.sketch, ("cabin", "ua_w_per_k")) == 62.4
        assert at(app.desk.sketch, ("standard_error", UA)) == 1.8
        assert app.desk.sketch.remarks[UA]["text"] == f"{SAID}, ± 1.8"
        assert app.desk.plan_sketch == app.desk.sketch, "the plan follows"
        assert app.desk.history.taken[-1].label == "fit heat"
        assert "Moved" in text(app)
        await press(app, pilot, "b")
        assert "says so already" in text(app)
        await press(app, pilot, "escape", "u")
        assert not app.desk.unsaved
        await press(app, pilot, "b")
        boat = {**app.desk.sketch.boat, "cabin": {"ua_w_per_k": 70}}
        app.take(app.desk.edited(replace(app.desk.sketch, boat=boat), "cabin"))
        await settled(app, pilot)
        assert pane(app).state.offer is None, "what is no longer true is not put in"
        assert "The boat was changed meanwhile" in words_of(app)


async def test_what_to_measure_next_with_its_test_leads_to_its_page():
    async with opened(size=(120, 40)) as (app, pilot):
        await press(app, pilot, "T", "left", "down", "enter")
        shown = words_of(app)
        assert "Measure next: hull coefficient: from ± 15.1 to about ± 3 W/(m/s)³." in shown
        assert "Keep clear of other traffic." in shown, "the caution of the test under the cursor"
        assert "goes to its page" in shown
        await press(app, pilot, "down", "down", "enter")
        assert "no fit of this page takes that test" in words_of(app)
        assert "as it was before" not in await whole(app, pilot)
        app.action_shift(1)
        await settled(app, pilot)
        assert "This answers the voyage as it was before the last changes." in await whole(app, pilot)
        await press(app, pilot, "up", "up", "enter")
        assert pane(app).state.kind == "trial"


class Beside(Nearby):
    """Its long questions are answered in a thread; its plans at once."""

    def watch(self, name: str, function: str, arguments: tuple[Any, ...]) -> None:
        self.beside = True
        super().watch(name, function, arguments)
        self.beside = False


async def test_the_search_tells_how_far_it_is_and_is_given_up():
    async with opened("endless.toml", worker=Beside(), wait=False) as (app, pilot):
        await until(lambda: app.desk.opened is not None)
        await pilot.press("T", "left", "down", "enter")
        await until(lambda: pane(app).state.share == (0.25, "boat 2 of 5"))
        await pilot.pause()
        assert "25%" in text(app)
        assert "x stops" in text(app)
        await pilot.press("x")
        await until(lambda: pane(app).state.share is None)
        await pilot.pause()
        assert "works it out" in text(app)
        assert app.worker.left
        await pilot.press("enter")
        await until(lambda: pane(app).state.share == (0.25, "boat 2 of 5"))
        app.worker.leave("fits:next")
        app.worker.report("lost", 0, None)
        await until(lambda: pane(app).state.share is None)


async def test_mouse_picks_kinds_files_and_the_offer_and_a_picture_is_written_over_another_only_when_said_so(
    csv: str, tmp_path: Path
):
    async with opened(size=(120, 40)) as (app, pilot):
        await press(app, pilot, "T")
        for word in ("trial", "heat"):
            await clicked(app, pilot, f" {word} ")
            assert pane(app).state.kind == word
        await clicked(app, pilot, "choose a CSV")
        await press(app, pilot, "h", "enter")
        await clicked(app, pilot, "b puts this into")
        assert not app.desk.unsaved, "one click asks, it does not answer too"
        await clicked(app, pilot, "Esc leaves it")
        assert pane(app).state.offer is None
        assert not app.desk.unsaved
        await drawn(app, pilot)
        assert (tmp_path / "seen.svg").read_text("utf-8") == "drawn: heat"
        (tmp_path / "seen.svg").write_text("mine", "utf-8")
        for answer, stands in (("escape", "mine"), ("enter", "drawn: heat")):
            await drawn(app, pilot)
            assert isinstance(app.screen, AskScreen)
            await press(app, pilot, answer)
            assert (tmp_path / "seen.svg").read_text("utf-8") == stands
        app.change(path="mine.toml")
        assert pane(app).state.here.result is not None, "saved under another name it is the same voyage"
        await app.reopen("other.toml")
        await settled(app, pilot)
        assert pane(app).state.here.result is None


async def drawn(app: VoyagerApp, pilot: Any) -> None:
    """A picture asked for under one name."""
    await press(app, pilot, "P")
    assert isinstance(app.screen, WriteScreen)
    app.screen.put("seen.svg")
    await press(app, pilot, "enter")


async def clicked(app: VoyagerApp, pilot: Any, words: str) -> None:
    """A click on the second letter of words on the screen."""
    y, line = next((y, line) for y, line in enumerate(text(app).splitlines()) if words in line)
    await pilot.click(offset=(line.index(words) + 1, y))
    await settled(app, pilot)


def test_the_page_to_read_tells_columns_and_where_there_are_more_options():
    told = "\n".join(line for _, line in about(Page("model")))
    assert "speed_mps" in told
    assert "voyager fit model --help" in told


# the real thing


async def test_end_to_end_a_trial_into_the_boat_file_with_date_and_source(tmp_path: Path):
    for name in ("spring.toml", "quillet.toml"):
        shutil.copy(ROUTES / name, tmp_path / name)
    shutil.copytree(ROUTES / "measured", tmp_path / "measured")
    async with opened(str(tmp_path / "spring.toml"), size=(120, 50), worker=OnFiles()) as (app, pilot):
        await chosen(app, pilot, "measured/trial.csv", "trial")
        assert "trial.csv: 16 of 16 rows used" in await whole(app, pilot)
        await press(app, pilot, "b")
        assert "-coefficient_w_per_mps3 = 80" in text(app)
        await press(app, pilot, "enter")
        value = at(app.desk.sketch, ("hull", "coefficient_w_per_mps3"))
        assert 75 < value < 90
        await press(app, pilot, "ctrl+s")
        assert not app.desk.unsaved
    line = next(
        line for line in (tmp_path / "quillet.toml").read_text("utf-8").splitlines() if line.startswith("coefficient")
    )
    assert line.startswith(f"coefficient_w_per_mps3 = {value} # 2027-03-01, voyager fit trial trial.csv, ± ")


# tables


@pytest.mark.parametrize("kind", OFFERED)
def test_every_option_that_is_offered_is_one_of_its_fit(kind: str):
    known = {option.name for option in OPTIONS[kind]}
    assert set(OFFERED[kind]) <= known
    assert set(OFFERED[kind]) <= set(FACES)
    keys = set(fields("heat")[0])
    assert all(set(one) == keys for one in fields(kind))


def test_a_longer_option_is_not_taken_for_a_shorter_one():
    assert in_words("model", "--ship-water-c 90: too warm, as is --water-c") == (
        '"Its temperature" 90: too warm, as is "Its temperature"'
    )
    assert in_words("heat", "--beam-m is needed") == "--beam-m is needed"


def test_other_units_move_values_errors_sentences_and_axes():
    result: Mapping[str, Any] = {
        "model": "cube law", "left_out": [], "notes": ["measured between 4 and 8 km/h: no more"],
        "parameters": [{"name": "limit", "value": 10.0, "se": 1.0, "low": 8.0, "high": 12.0, "unit": "km/h"}],
        "derived": [{"name": "air at 7 °C", "value": 0.0, "se": 1.0, "unit": "°C"}],
        "plot": {"title": "t", "x_label": "speed, km/h", "y_label": "power, W",
                 "series": [{"name": "n", "kind": "line", "x": [1.852], "y": [5.0], "y2": None}]},
    }  # fmt: skip
    made = in_units(result, Units("kn", "NM", "°F"))
    assert made["notes"] == ["measured between 2.16 and 4.32 kn: no more"]
    (limit,), (air,) = made["parameters"], made["derived"]
    assert (limit["unit"], round(limit["value"], 3), round(limit["se"], 3)) == ("kn", 5.4, 0.54)
    assert (air["name"], air["value"], round(air["se"], 9)) == ("air at 44.6 °F", 32.0, 1.8)
    assert made["plot"]["x_label"] == "speed, kn"
    assert made["plot"]["series"][0]["x"] == [1.0]
    assert in_units(result, Units()) is result


async def test_each_kinds_fit_is_answered_and_only_what_was_asked_for_goes_into_the_boat(csv: str):
    worker = Waiting()
    async with opened(worker=worker) as (app, pilot):
        await chosen(app, pilot)
        worker.late = ("fits:fit",)
        await press(app, pilot, "home", "down", "down", "9", "enter")
        await press(app, pilot, "b")
        assert "The fit is still being made" in words_of(app), "what stands there was of other options"
        assert pane(app).state.offer is None
        await chosen(app, pilot, kind="panels")
        worker.release()
        await settled(app, pilot)
        assert pane(app).state.fittings["panels"].result is not None
        assert "asked with outside_c 9" in pane(app).state.fittings["heat"].result["notes"]
        pane(app).turn_to("heat")
        worker.late = ("fits:offer",)
        await press(app, pilot, "b", "right")
        worker.release()
        await settled(app, pilot)
        assert pane(app).state.offer is None, "what was asked of another kind"


async def test_a_fit_that_was_lost_says_so_and_one_of_another_voyage_is_left_out(csv: str):
    worker = Waiting()
    async with opened(worker=worker) as (app, pilot):
        await chosen(app, pilot)
        worker.late = ("fits:fit",)
        await press(app, pilot, "ctrl+r")
        worker.fall()
        await settled(app, pilot)
        shown = " ".join((await whole(app, pilot)).split())
        assert "✗ the planner's process ended before the fit was made; ^r fits again" in shown
        worker.late = ("fits:fit",)
        await chosen(app, pilot, "bad.csv")
        await app.reopen("other.toml")
        await settled(app, pilot)
        worker.release()
        await settled(app, pilot)
        assert pane(app).state == Page("heat")
