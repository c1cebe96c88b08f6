"""Boat and voyage files in a directory of their own, and the problems that they give."""

from collections.abc import Callable
from pathlib import Path

import pytest

from voyager.errors import Problem, Problems
from voyager.files.voyage_file import load_voyage

ROOT = Path(__file__).parents[2]
ROUTES = ROOT / "routes"
PAIR = Path(__file__).parent / "pair"
VOYAGES = ("spring.toml", "autumn.toml", "winter.toml")
BOATS = ("quillet.toml", "ambersand.toml")

SMALL_BOAT = """name = "Small"
[hull]
coefficient_w_per_mps3 = 90
[[array]]
name = "roof"
panel_wp = 400
[battery]
capacity_kwh = 20
"""
SMALL_VOYAGE = """boat = "boat.toml"
departs = 2027-03-01
place = [
  { name = "Athy", at = [52.99, -6.98] },
  { name = "Carlow", at = [52.84, -6.93] },
  { name = "Graiguenamanagh", at = [52.54, -6.95] },
]
[[leg]]
from = "Athy"
to = "Carlow"
[[leg]]
from = "Carlow"
to = "Graiguenamanagh"
"""

Edit = tuple[str, str]


def pair(directory: Path, *, voyage: Edit | None = None, boat: Edit | None = None) -> Path:
    """The small pair in ``directory``, one text replaced in either; the path of the voyage."""
    for name, text, edit in (("voyage.toml", SMALL_VOYAGE, voyage), ("boat.toml", SMALL_BOAT, boat)):
        old, new = edit or ("", "")
        assert old in text
        (directory / name).write_text(text.replace(old, new, 1) if edit else text, "utf-8")
    return directory / "voyage.toml"


def problems(load: Callable[[], object]) -> tuple[Problem, ...]:
    """The problems that loading raises."""
    with pytest.raises(Problems) as caught:
        load()
    return caught.value.problems


def voyage_problems(path: Path) -> list[tuple[str, int, str, str]]:
    """(file name, line, key, text) of every problem of a voyage and its boat."""
    return [(Path(p.file).name, p.line, p.key, p.text) for p in problems(lambda: load_voyage(path))]
