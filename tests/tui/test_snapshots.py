"""How the screens look, as text and as SVG, at two sizes in three looks; `VOYAGER_SNAPSHOTS=write` takes new ones."""

import difflib
import os
import re
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import pytest
from textual.pilot import Pilot
from textual.widgets import Input

from tests.tui.fake_book import LINE, typed
from tests.tui.harness import Held, opened, press, settled, text, until
from voyager.tui.app import VoyagerApp
from voyager.tui.widgets.days import DayList
from voyager.tui.widgets.legs import LegTable

FOLDER = Path(__file__).parent / "snapshots"
SIZES = {"80x24": (80, 24), "120x40": (120, 40)}
LOOKS = {"dark": "voyager-dark", "light": "voyager-light", "16": "ansi-dark"}
PANES = {"leg": "l", "places": "p", "hours": "h", "map": "g", "morning": "m", "evening": "e", "sure": "o",
         "values": "v", "actual": "A", "fits": "T", "log": "L"}  # fmt: skip
SCREENS = {
    "legs": (), "days": ("tab", *["down"] * 3), "edit": ("down", "9", "9", "9", "enter"),
    "gap": ("down", "ctrl+x", "up"), "moved": ("right_square_bracket",),
    **{name: ("tab", *["down"] * 3, key) for name, key in PANES.items() if name not in {"leg", "morning"}},
    "leg": ("down", "l", "down"), "morning": ("m", "right", "right"), "evenings": ("m", *["right"] * 4),
    "places-row": ("p", "down", "end"), "values-found": ("v", "slash", *"reserve"),
    "forecast": ("m", "f"), "sky": ("s",), "departs": ("d",), "aim": ("a",), "comfort": ("c",), "units": ("U",),
    "split": ("slash", "down"), "draw": ("ctrl+t",), "open": ("ctrl+o",), "save-as": ("S",), "write": ("Y",),
    "onward": ("tab", "F"), "onward-over": ("tab", "F", "up", "h"), "actual-whole": ("A", "z"),
    "fits-found": ("T", "fit:heat"), "fits-offer": ("T", "fit:heat", "b"), "fits-next": ("T", "left", "down", "enter"),
    "log-entry": ("L", *["up"] * 4, "z"), "note": ("n",), "note-typed": ("n", *typed(LINE)), "details": ("i",),
    "day-details": ("tab", "i"), "cautions": ("w",), "help": ("question_mark",),
    "palette": ("ctrl+p", *"spl"), "tour": ("do:tour",), "leave": ("right_square_bracket", "q"),
    "ascii": ("do:ascii",),
}  # fmt: skip
FEW = (*PANES, "legs", "days", "gap", "moved", "departs")
SERIES = (("80x24", "dark", tuple(SCREENS)), ("80x24", "16", FEW))


@pytest.mark.parametrize(("size", "look", "screens"), SERIES)
async def test_look_as_before(
    size: str, look: str, screens: tuple[str, ...], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("HOME", str(tmp_path))
    await looks_as_before(size, look, screens)


async def looks_as_before(size: str, look: str, screens: tuple[str, ...]) -> None:
    """One app goes through all screens; their words are compared in the first look, their colours in each."""
    wrong = []
    async with opened(size=SIZES[size], theme=LOOKS[look]) as (app, pilot):
        for screen in screens:
            await go(app, pilot, SCREENS[screen])
            name = f"{screen}-{size}-{look}"
            if look == "dark":
                wrong += differing(FOLDER / f"{name}.txt", text(app))
            wrong += differing(FOLDER / f"{name}.svg", svg(app))
            await back(app, pilot)
    assert not wrong, "\n".join(wrong)


async def test_short_plan_looks_as_before() -> None:
    async with opened("short.toml", size=(80, 24)) as (app, _):
        compare(FOLDER / "short-80x24-dark.txt", text(app))


async def test_provisional_plan_looks_as_before() -> None:
    async with opened(worker=Held(), size=(80, 24), wait=False) as (app, pilot):
        await until(lambda: app.desk.draft)
        await pilot.pause()
        app.first.line.share, app.first.line.status = None, "provisional: odds …"
        await pilot.pause()
        compare(FOLDER / "provisional-80x24-dark.txt", text(app))


async def test_panes_without_colour_look_as_before(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("NO_COLOR", "1")
    wrong = []
    async with opened(size=(80, 24), theme="ansi-dark") as (app, pilot):
        for name in PANES:
            await go(app, pilot, SCREENS[name])
            wrong += differing(FOLDER / f"nocolour-{name}-80x24.txt", text(app))
            assert len(set(re.findall(r"fill: (#[0-9a-f]{6})", svg(app)))) <= 3, name
            await back(app, pilot)
    assert not wrong, "\n".join(wrong)


async def test_no_colour_keeps_every_mark(monkeypatch: pytest.MonkeyPatch) -> None:
    async with opened(size=(120, 40)) as (app, pilot):
        await press(app, pilot, "tab")
        coloured = text(app)
    monkeypatch.setenv("NO_COLOR", "1")
    async with opened(size=(120, 40), theme="ansi-dark") as (app, pilot):
        await press(app, pilot, "tab")
        bare, drawn = text(app), svg(app)
    strip = str.maketrans("█▏▎▍▌▋▊▉·│╎", "           ")
    assert bare.translate(strip) == coloured.translate(strip)
    assert "█" in bare
    compare(FOLDER / "nocolour-120x40.txt", bare)
    assert len(set(re.findall(r"fill: (#[0-9a-f]{6})", drawn))) <= 3


async def test_going_back_leaves_the_first_screen_as_it_was() -> None:
    """What the series above stands on: no screen depends on the one before it."""
    async with opened(size=(120, 40)) as (app, pilot):
        before = svg(app)
        for name in ("edit", "gap", "moved", "places-row", "morning", "leave", "ascii"):
            await go(app, pilot, SCREENS[name])
            assert svg(app) != before, name
            await back(app, pilot)
            assert svg(app) == before, name


# to a screen and back


async def go(app: VoyagerApp, pilot: "Pilot[Any]", keys: Sequence[str]) -> None:
    """From the first screen to another: keys, of which ``do:NAME`` is an action that has none, ``fit:KIND`` a file."""
    for key in keys:
        if key.startswith("do:"):
            await app.run_action(key.removeprefix("do:"))
    typed = [key for key in keys if not key.startswith("do:")]
    for at, key in enumerate(typed):
        if key.startswith("fit:"):
            await press(app, pilot, *typed[:at])
            await take_file(app, pilot, key.removeprefix("fit:"))
            typed = typed[at + 1 :]
            break
    await press(app, pilot, *typed)
    for field in app.screen.query(Input):
        field.cursor_blink = False
        await pilot.pause()


async def take_file(app: VoyagerApp, pilot: "Pilot[Any]", kind: str) -> None:
    """As chosen in the dialog of files, which lists what there is."""
    fits = app.first.panes["fits"]
    fits.turn_to(kind)
    fits.take_file(kind, "/measured/heater-test.csv")
    await settled(app, pilot)


async def back(app: VoyagerApp, pilot: "Pilot[Any]") -> None:
    """To the first screen as it was: nothing open, nothing edited, the cursor where it began."""
    while len(app.screen_stack) > 1:
        await app.pop_screen()
    if isinstance(app.focused, Input) or app.toured is not None:
        await press(app, pilot, "escape")
    if app.first.has_class("-whole"):
        app.first.enlarge()
    if app.first.opened is not None:
        await app.first.toggle(app.first.opened)
    if "fits" in app.first.panes:
        await app.first.panes.pop("fits").remove()
    if app.desk.onward:
        app.action_onward()
        await settled(app, pilot)
    if app.desk.ascii:
        app.action_ascii()
    if len(app.desk.history.taken) > 1:
        while len(app.desk.history.taken) > 1:
            app.action_undo()
        await settled(app, pilot)
        app.action_dismiss()
    days, legs = app.first.query_one(DayList), app.first.query_one(LegTable)
    if (app.first.focused, app.first.pointed, days.cursor) != (legs, ("leg", 0), 0):
        days.action_move(-9999)
        legs.action_end(-1)
        await pilot.pause()
        app.first.set_focus(None)
        app.first.set_focus(legs)
    await settled(app, pilot)


# comparing


def svg(app: VoyagerApp) -> str:
    """The screen as SVG, the same each time."""
    return re.sub(r"terminal-\d+", "terminal", app.export_screenshot(title="voyager", simplify=True))


def compare(file: Path, got: str) -> None:
    """A missing file is a failure, not a new snapshot."""
    wrong = differing(file, got)
    assert not wrong, "\n".join(wrong)


def differing(file: Path, got: str) -> list[str]:
    """The first lines in which they differ, none where they are the same."""
    if os.environ.get("VOYAGER_SNAPSHOTS") == "write":
        file.parent.mkdir(exist_ok=True)
        file.write_text(got, encoding="utf-8")
    want = file.read_text(encoding="utf-8") if file.exists() else ""
    if got == want:
        return []
    differ = difflib.unified_diff(want.splitlines(), got.splitlines(), "was", "is", lineterm="", n=0)
    return [f"{file.name} looks otherwise:", *(line[:160] for line in list(differ)[:12])]
