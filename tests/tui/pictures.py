"""Pictures of the real app on the demo voyage with the real planner: ``python -m tests.tui.pictures [FOLDER]``."""

import asyncio
import os
import re
import sys
from pathlib import Path

from tests.tui.harness import opened, press, settled
from voyager.session.demo import demo_path
from voyager.tui.worker import PlanWorker

FOLDER = Path(__file__).parents[2] / "screenshots"
FONTS = [f"/usr/share/fonts/truetype/dejavu/DejaVuSansMono{cut}.ttf" for cut in ("", "-Bold")]
DAY = ("tab", "down", "down")
PICTURES = {
    "days-80x24": ((80, 24), "voyager-dark", DAY),
    "days-120x40": ((120, 40), "voyager-dark", DAY),
    "days-120x40-light": ((120, 40), "voyager-light", DAY),
    "days-120x40-16-colours": ((120, 40), "ansi-dark", DAY),
    "morning-80x24": ((80, 24), "voyager-dark", ("m", "right", "right")),
    "morning-120x40": ((120, 40), "voyager-light", ("m", "right", "right")),
    "sure-120x40": ((120, 40), "voyager-dark", ("o",)),
    "edit-80x24": ((80, 24), "voyager-dark", ("down", "9", "9", "enter")),
    "departs-120x40": ((120, 40), "voyager-light", ("d", "right")),
}


def png(svg: str) -> bytes:
    """An exported screen as PNG in DejaVu Sans Mono, with no font from outside."""
    import resvg_py

    svg = re.sub(r"@font-face\s*\{.*?\}", "", svg, flags=re.S)
    svg = re.sub(r"font-family:\s*(Fira Code[^;]*|arial);", 'font-family: "DejaVu Sans Mono";', svg)
    return bytes(resvg_py.svg_to_bytes(svg_string=svg, font_files=FONTS))


async def take(name: str, folder: Path) -> None:
    """One picture, as SVG and PNG."""
    size, theme, keys = PICTURES[name]
    async with opened(demo_path(), size, theme, PlanWorker()) as (app, pilot):
        await press(app, pilot, *keys)
        for field in app.screen.query("Input"):
            field.cursor_blink = False
        await settled(app, pilot)
        svg = re.sub(r"terminal-\d+", "terminal", app.export_screenshot(title="voyager open", simplify=True))
    (folder / f"{name}.svg").write_text(svg, encoding="utf-8")
    (folder / f"{name}.png").write_bytes(png(svg))


def main() -> None:
    """Take them all."""
    os.environ.pop("NO_COLOR", None)
    folder = Path(sys.argv[1]) if len(sys.argv) > 1 else FOLDER
    for name in PICTURES:
        asyncio.run(take(name, folder))
        print(folder.name + "/" + name)


if __name__ == "__main__":
    main()
