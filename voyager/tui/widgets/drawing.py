"""A leg between two typed positions, asked for."""

from typing import Any

from voyager.session.sketch import edits
from voyager.session.sketch.state import Sketch
from voyager.tui import places_view as view
from voyager.tui.messages import Edited, Told
from voyager.tui.widgets.cellgrid import CellGrid


async def draw(asking: CellGrid, sketch: Sketch, index: int) -> None:
    """Ask for two positions and post the leg between them, below leg ``index``."""
    from voyager.tui.screens.draw import DrawScreen

    def taken(ends: tuple[str, str] | None) -> None:
        if ends is None:
            return
        (first, start), (second, end) = (view.end_of(sketch, text) for text in ends)
        try:
            made = edits.leg_from_positions(sketch, index, start, end, (first, second))
        except ValueError as error:
            asking.post_message(Told(f"✗ {error}"))
        else:
            asking.post_message(Edited(made, f"leg drawn, {view.drawn(sketch, *ends)}"))

    above = str(sketch.legs[index].get("to") or "") if 0 <= index < len(sketch.legs) else ""
    known = above if any(name == above and at for name, at in _positions(sketch)) else ""
    await asking.app.push_screen(DrawScreen(sketch, known), taken)


def _positions(sketch: Sketch) -> list[tuple[str, Any]]:
    return [(str(row.get("name")), row.get("at")) for row in sketch.places]
