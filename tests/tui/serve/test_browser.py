"""End to end in headless Chromium: the page, its keys, its last words; and the demo voyage planned in it."""

import asyncio
import json
import re
import shutil
import time
from collections.abc import Callable
from pathlib import Path

import pytest

from tests.tui.serve.running import CHROMIUM, ROOT, Page, chromium, server
from tests.tui.serve.support import served

pytestmark = pytest.mark.skipif(CHROMIUM is None, reason="no Chromium is installed here")
CTRL = 2
HERE = re.compile(r"(http|ws)://127\.0\.0\.1:\d+/|data:,")
BECOMES = {"s": "\x13", "p": "\x10", "o": "\x0f", "d": "\x04", "r": "\x12", "f": "\x06"}


def seen(page: Page) -> list[str]:
    """What was typed, as the page sent it to the app."""
    return [text for kind, *rest in map(json.loads, page.sent) for text in rest if kind == "stdin"]


async def words(page: Page, wanted: str) -> None:
    """The page says this outside the terminal, and nothing of the other endings."""
    end, text = time.monotonic() + 20, ""
    while wanted not in text and time.monotonic() < end:
        await asyncio.sleep(0.05)
        text = " ".join(str(await page.value("document.body.innerText")).split())
    assert wanted in text
    assert len(re.findall("voyager has been left|ended on a fault|As many windows|voyager serve has ended,", text)) == 1
    assert "Open again" in text


async def until(condition: Callable[[], bool]) -> None:
    """Wait for a condition, fail when it does not come true."""
    end = time.monotonic() + 20
    while not condition():
        assert time.monotonic() < end, "it did not come true"
        await asyncio.sleep(0.05)


async def test_keys_reach_the_app_and_not_the_browser(tmp_path: Path) -> None:
    async with served("polite", signed_in=False) as one, chromium(tmp_path) as page:
        await page.call("Page.navigate", url=one.server.guard.address)
        await page.shown(lambda text: "pid" in text)
        await page.press("]", "BracketRight", 221)
        for letter in BECOMES:
            await page.press(letter, f"Key{letter.upper()}", ord(letter.upper()), CTRL)
        await page.press("F5", "F5", 116)
        await page.shown(lambda text: "[15~" in text)
        assert seen(page) == ["]", *BECOMES.values(), "\x1b[15~"]
        assert await page.value("keysPressed.every((event) => event.defaultPrevented || event.key === ']')")
        assert '["focus"]' in page.sent
        await page.press("v", "KeyV", ord("V"), CTRL)
        assert await page.value("keysPressed.at(-1).defaultPrevented") is False, "the browser pastes"
        await page.call("Input.insertText", text="Brentford\t10")
        await page.shown(lambda text: "Brentford" in text)
        assert all(map(HERE.match, page.asked))


ENDINGS = [
    ("leaves", 1, "voyager has been left"),
    ("fails", 1, "ended on a fault"),
    ("polite", 0, "As many windows as"),
]


async def test_the_page_says_how_it_ended(tmp_path: Path) -> None:
    async with chromium(tmp_path) as page:
        for how, most, says in ENDINGS:
            async with served(how, most=most, patience_s=0.1, signed_in=False) as one:
                await page.call("Page.navigate", url=one.server.guard.address)
                await words(page, says)
        async with served("polite", signed_in=False) as one:
            await page.call("Page.navigate", url=one.server.guard.address)
            await page.shown(lambda text: "pid" in text)
            await one.runner.cleanup()
            await words(page, "voyager serve has ended,")


def arrival(departs: str, text: str) -> str:
    """When the plan on the screen arrives, if it is the whole plan for this departure; else empty."""
    found = re.search(r"arrives (\S+ \d+ \S+ \d+), day (\d+)", text)
    whole = departs in text and "skies: " in text and "Provisional" not in text
    return found[0] if found and whole else ""


async def test_type_and_see_the_plan_change(tmp_path: Path) -> None:
    shutil.copytree(ROOT / "routes", tmp_path / "routes")
    voyage = tmp_path / "routes" / "spring.toml"
    async with server(tmp_path, str(voyage)) as (_, address), chromium(tmp_path) as page:
        features = [{"name": "prefers-color-scheme", "value": "dark"}]
        await page.call("Emulation.setEmulatedMedia", features=features)
        await page.call("Page.navigate", url=address)
        before = await page.shown(lambda text: bool(arrival("Tue 2 Mar 2027", text)))
        assert "━ Legs" in before, "the legs have the keyboard from the start"
        await page.press("]", "BracketRight", 221)
        was = arrival("Tue 2 Mar 2027", before)
        await page.shown(lambda text: arrival("Wed 3 Mar 2027", text) not in {"", was})
        await page.press("s", "KeyS", ord("S"), CTRL)
        await until(lambda: "departs = 2027-03-03" in voyage.read_text("utf-8"))
        assert all(map(HERE.match, page.asked)), page.asked
        assert any(re.search("/ws/dark[?]", one) for one in page.asked)
        assert not page.said or all("WebGL" in one for one in page.said), page.said
