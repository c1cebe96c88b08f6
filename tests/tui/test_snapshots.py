"""How the screens look, as text and as SVG, at two sizes in three looks; `VOYAGER_SNAPSHOTS=write` takes new ones."""

import difflib
import os
import re
from pathlib import Path

import pytest

from tests.tui.harness import Held, opened, press, text, until

FOLDER = Path(__file__).parent / "snapshots"
SIZES = {"80x24": (80, 24), "120x40": (120, 40)}
LOOKS = {"dark": "voyager-dark", "light": "voyager-light", "16": "ansi-dark"}
SCREENS = {"legs": (), "days": ("tab", "down", "down", "down"), "edit": ("down", "9", "9", "enter"),
           "morning": ("m", "right", "right"), "evenings": ("m", *["right"] * 4), "sure": ("o",),
           "hours": ("tab", "down", "down", "h"), "evening": ("tab", "down", "e"), "forecast": ("m", "f"),
           "sky": ("s",), "departs": ("d",), "help": ("question_mark",)}  # fmt: skip
CASES = [
    *((screen, size, "dark") for screen in SCREENS for size in SIZES if (screen, size) != ("evenings", "120x40")),
    *(("days", size, look) for size in SIZES for look in ("light", "16")),
    *((screen, size, look) for screen in ("morning", "sure", "hours", "evening")
      for size, look in (("120x40", "light"), ("80x24", "16"))),
]


@pytest.mark.parametrize(("screen", "size", "look"), CASES)
async def test_looks_as_before(screen: str, size: str, look: str):
    async with opened(size=SIZES[size], theme=LOOKS[look]) as (app, pilot):
        await press(app, pilot, *SCREENS[screen])
        for field in app.screen.query("Input"):
            field.cursor_blink = False
        await pilot.pause()
        drawn = {"txt": text(app), "svg": _svg(app.export_screenshot(title="voyager", simplify=True))}
    name = f"{screen}-{size}-{look}"
    for ending, got in drawn.items():
        compare(FOLDER / f"{name}.{ending}", got)


async def test_short_plan_looks_as_before():
    async with opened("short.toml", size=(80, 24)) as (app, _):
        compare(FOLDER / "short-80x24-dark.txt", text(app))


async def test_panes_without_colour_look_as_before(monkeypatch):
    monkeypatch.setenv("NO_COLOR", "1")
    async with opened(size=(80, 24), theme="ansi-dark") as (app, pilot):
        for key, name in (("m", "morning"), ("o", "sure"), ("h", "hours"), ("e", "evening")):
            await press(app, pilot, key)
            compare(FOLDER / f"nocolour-{name}-80x24.txt", text(app))
            assert len(set(re.findall(r"fill: (#[0-9a-f]{6})", app.export_screenshot(simplify=True)))) <= 3


async def test_provisional_plan_looks_as_before():
    async with opened(worker=Held(), size=(80, 24), wait=False) as (app, pilot):
        await until(lambda: app.desk.draft)
        await pilot.pause()
        app.first.line.share, app.first.line.status = None, "provisional: odds …"
        await pilot.pause()
        compare(FOLDER / "provisional-80x24-dark.txt", text(app))


async def test_no_colour_keeps_every_mark(monkeypatch):
    async with opened(size=(120, 40)) as (app, pilot):
        await press(app, pilot, "tab")
        coloured = text(app)
    monkeypatch.setenv("NO_COLOR", "1")
    async with opened(size=(120, 40), theme="ansi-dark") as (app, pilot):
        await press(app, pilot, "tab")
        bare, svg = text(app), app.export_screenshot(simplify=True)
    strip = str.maketrans("█▏▎▍▌▋▊▉·│╎", "           ")
    assert bare.translate(strip) == coloured.translate(strip)
    assert "█" in bare
    compare(FOLDER / "nocolour-120x40.txt", bare)
    assert len(set(re.findall(r"fill: (#[0-9a-f]{6})", svg))) <= 3


def _svg(drawn: str) -> str:
    return re.sub(r"terminal-\d+", "terminal", drawn)


def compare(file: Path, got: str) -> None:
    """The file's text, or the difference; a missing file is a failure, not a new snapshot."""
    if os.environ.get("VOYAGER_SNAPSHOTS") == "write":
        file.parent.mkdir(exist_ok=True)
        file.write_text(got, encoding="utf-8")
    want = file.read_text(encoding="utf-8") if file.exists() else ""
    differ = list(difflib.unified_diff(want.splitlines(), got.splitlines(), "was", "is", lineterm="", n=0))
    assert not differ, f"{file.name} looks otherwise:\n" + "\n".join(line[:160] for line in differ[:20])
