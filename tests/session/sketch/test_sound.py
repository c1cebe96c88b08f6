"""Edits of the demo voyages give sound files, and what is broken is found by the real check."""

from pathlib import Path

import pytest
import tomli

from voyager.session.demo import demo_path
from voyager.session.sketch import edits
from voyager.session.sketch.faults import faults
from voyager.session.sketch.measure import leg_km
from voyager.session.sketch.state import Sketch, sketch_of

VOYAGES = sorted(path.name for path in Path(demo_path()).parent.glob("*.toml") if "departs" in path.read_text())


def drawn(name: str) -> tuple[str, Sketch]:
    path = Path(demo_path()).parent / name
    voyage = tomli.loads(path.read_text())
    return str(path), sketch_of({"voyage": voyage, "boat": tomli.loads((path.parent / voyage["boat"]).read_text())})


def said(path: str, sketch: Sketch) -> list[str]:
    return [fault["text"] for fault in faults(path, sketch.documents())]


def split_everywhere(sketch: Sketch) -> Sketch:
    for index in reversed(range(len(sketch.legs))):
        sketch = edits.split_leg(sketch, index, 0.4 * (leg_km(sketch, sketch.legs[index]) or 0.0))
    return sketch


@pytest.mark.parametrize("name", VOYAGES)
@pytest.mark.parametrize("edit", [
    lambda s: s, edits.reverse, edits.there_and_back, split_everywhere,
    lambda s: edits.paste_rows(s.with_rows("legs", ()), -1, edits.copy_rows(s, range(len(s.legs)))),
], ids=["as it is", "reversed", "there and back", "split", "pasted"])  # fmt: skip
def test_edits_of_sound_voyages_are_sound(name, edit):
    path, sketch = drawn(name)
    assert said(path, edit(sketch)) == []


def test_a_gap_and_a_place_without_position_are_named():
    path, sketch = drawn(VOYAGES[0])
    assert any("leg before it ends" in text for text in said(path, edits.remove_legs(sketch, [1])))
    last = len(sketch.legs) - 1
    pasted = edits.paste_rows(sketch, last, f"{sketch.legs[last].get('to')}\tNowhere")
    assert any("at" in text and "Nowhere" in text for text in said(path, pasted))
