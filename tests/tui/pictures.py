"""Pictures of the real app on the demo voyages with the real planner: ``python -m tests.tui.pictures [FOLDER]``."""

import asyncio
import os
import re
import shutil
import struct
import sys
import tempfile
import zlib
from collections.abc import AsyncIterator, Callable, Iterable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from hashlib import sha256
from itertools import groupby
from pathlib import Path
from unittest.mock import patch

from textual.widgets import Input

from tests.tui.harness import opened, press, settled, until
from tests.tui.keeping import KeepingWorker

TOP = Path(__file__).parents[2]
FOLDER, ROUTES = TOP / "screenshots", TOP / "routes"
FONTS = [f"/usr/share/fonts/truetype/dejavu/DejaVuSansMono{cut}.ttf" for cut in ("", "-Bold")]
SMALL, LARGE = (80, 24), (120, 40)
LOOKS = {"dark": "voyager-dark", "light": "voyager-light", "16": "ansi-dark"}
GREY, BLACK = "#4b4e55", "#000000"
"""What the export takes for the first of the 16 colours, and what terminals do."""
MADE_FROM = b"Made from SVG, SHA-256"
DOWN3, DOWN6, RIGHT3 = ("down",) * 3, ("down",) * 6, ("right",) * 3
TRIAL = tuple("measured/trial.csv")
NOTED = tuple("space" if sign == " " else sign for sign in "Apsley 84% sun 2.1 motor 1.4 in 16: kingfisher")


@dataclass(frozen=True)
class Picture:
    """One screen: keys, of which ``do:NAME`` is an action that has none."""

    voyage: str
    size: tuple[int, int]
    keys: tuple[str, ...] = ()
    look: str = "dark"


PICTURES = {
    "board-80x24": Picture("spring", SMALL, ("tab", *DOWN3)),
    "board-80x24-ascii": Picture("spring", SMALL, ("tab", *DOWN3, "do:ascii")),
    "board-120x40": Picture("spring", LARGE, ("tab", *DOWN3)),
    "board-120x40-light": Picture("spring", LARGE, ("tab", *DOWN3), "light"),
    "board-120x40-16-colours": Picture("spring", LARGE, ("tab", *DOWN3), "16"),
    "edit-80x24": Picture("spring", SMALL, ("down", "left", "1", ".", "5", "enter")),
    "broken-120x40": Picture("spring", LARGE, ("down", "down", "ctrl+x", "up")),
    "split-80x24": Picture("spring", SMALL, ("down", "slash", "down", "down")),
    "leg-120x40": Picture("spring", LARGE, ("down", "l", "down", "down")),
    "places-120x40-light": Picture("spring", LARGE, ("p", "down"), "light"),
    "morning-120x40-light": Picture("spring", LARGE, ("m", *RIGHT3), "light"),
    "calendar-80x24-light": Picture("spring", SMALL, ("d", "right"), "light"),
    "open-80x24": Picture("spring", SMALL, ("ctrl+o",)),
    "help-120x40": Picture("spring", LARGE, ("question_mark",)),
    "palette-80x24": Picture("spring", SMALL, ("ctrl+p", "s", "p", "l")),
    "tour-80x24": Picture("spring", SMALL, ("do:tour",)),
    "values-120x40": Picture("spring", LARGE, ("v", "slash", *"reserve", "enter", "plus", "plus")),
    "log-80x24": Picture("logged/spring", SMALL, ("L",)),
    "note-80x24": Picture("logged/spring", SMALL, ("L", "n", *NOTED)),
    "actual-80x24": Picture("logged/spring", SMALL, ("A", "home")),
    "actual-120x40": Picture("logged/spring", LARGE, ("A", "z", "home")),
    "fits-120x40": Picture("logged/spring", LARGE, ("T", "right", "z", "enter", *TRIAL, "enter")),
    "onward-120x40": Picture("logged/spring", LARGE, ("tab", "F")),
    "morning-80x24": Picture("autumn", SMALL, ("m",)),
    "sure-120x40": Picture("autumn", LARGE, ("o",)),
    "map-120x40": Picture("autumn", LARGE, ("tab", *DOWN6, "g", "z")),
    "map-80x24": Picture("winter", SMALL, ("tab", *DOWN3, "g")),
    "hours-120x40": Picture("winter", LARGE, ("tab", *DOWN3, "h")),
    "evening-80x24": Picture("winter", SMALL, ("tab", *DOWN3, "e")),
    "evening-120x40-light": Picture("winter", LARGE, ("tab", *DOWN3, "e"), "light"),
}


async def taken(names: Iterable[str]) -> AsyncIterator[tuple[str, str]]:
    """The name and the SVG of each picture; one planner for the pictures of a voyage that follow each other."""
    with home() as folder:
        for voyage, group in groupby(names, lambda name: PICTURES[name].voyage):
            worker, path = KeepingWorker(), str(folder / ("" if "/" in voyage else "voyages") / f"{voyage}.toml")
            try:
                worker.ready(path)
                for name in group:
                    yield name, await _drawn(PICTURES[name], path, worker)
            finally:
                worker.end()


async def _drawn(picture: Picture, path: str, worker: KeepingWorker) -> str:
    with kept_apart():
        async with opened(path, picture.size, LOOKS[picture.look], worker) as (app, pilot):
            for key in picture.keys:
                if key.startswith("do:"):
                    await app.run_action(key.removeprefix("do:"))
                else:
                    await press(app, pilot, key)
            for field in app.screen.query(Input):
                field.cursor_blink = False
            await until(lambda: not worker.asks)
            await settled(app, pilot)
            return svg_of(app.export_screenshot)


def svg_of(export: Callable[..., str]) -> str:
    """A screen as SVG, the same each time."""
    drawn = re.sub(r"terminal-\d+", "terminal", export(title="voyager open", simplify=True))
    return drawn.replace(GREY, BLACK)


@contextmanager
def home() -> Iterator[Path]:
    """A user's folder of its own with the demo voyages in it, and beside them one with the invented log."""
    from voyager.session.log import import_file

    with tempfile.TemporaryDirectory() as folder, patch.dict(os.environ, HOME=folder):
        os.environ.pop("NO_COLOR", None)
        for name in ("voyages", "logged"):
            shutil.copytree(ROUTES, Path(folder, name))
        import_file(str(Path(folder, "logged", "spring.toml")), str(ROUTES / "measured" / "log.csv"))
        yield Path(folder)


@contextmanager
def kept_apart() -> Iterator[None]:
    """Nothing that is kept from one run to the next."""
    with tempfile.TemporaryDirectory() as at, patch.dict(os.environ, XDG_STATE_HOME=at, XDG_CONFIG_HOME=at):
        yield


# PNG


def png(svg: str) -> bytes:
    """An exported screen as PNG in DejaVu Sans Mono, with no font from outside; it says what SVG it was made from."""
    import resvg_py

    drawn = re.sub(r"@font-face\s*\{.*?\}", "", svg, flags=re.S)
    drawn = re.sub(r"font-family:\s*(Fira Code[^;]*|arial);", 'font-family: "DejaVu Sans Mono";', drawn)
    made = bytes(resvg_py.svg_to_bytes(svg_string=drawn, font_files=FONTS))
    text = b"tEXt" + MADE_FROM + b"\0" + digest(svg).encode()
    head = struct.calcsize(">8s") + 25
    return made[:head] + struct.pack(">I", len(text) - 4) + text + struct.pack(">I", zlib.crc32(text)) + made[head:]


def digest(svg: str) -> str:
    """Of an SVG."""
    return sha256(svg.encode()).hexdigest()


def made_from(drawn: bytes) -> str:
    """The digest of the SVG that a PNG says it was made from."""
    found = re.search(MADE_FROM + rb"\0([0-9a-f]{64})", drawn)
    return found[1].decode() if found else ""


async def write(names: Iterable[str], folder: Path) -> None:
    """Take pictures into a folder."""
    async for name, svg in taken(names):
        (folder / f"{name}.svg").write_text(svg, encoding="utf-8")
        (folder / f"{name}.png").write_bytes(png(svg))
        print(f"{folder.name}/{name}", flush=True)


def main() -> None:
    """Take those named, else all, into the folder of the pictures."""
    asked = sys.argv[1:] or list(PICTURES)
    for name in asked:
        if name not in PICTURES:
            sys.exit(f"{name}: there is no such picture; there are {', '.join(PICTURES)}")
    asyncio.run(write(asked, FOLDER))


if __name__ == "__main__":
    main()
