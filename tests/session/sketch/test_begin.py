"""Voyages begun."""

from datetime import date
from pathlib import Path

import pytest
import tomli
from hypothesis import given
from hypothesis import strategies as st

from voyager.errors import NotSaved
from voyager.session.sketch.begin import begin, file_name, text
from voyager.session.sketch.opened import opened

DAY = date(2027, 3, 1)
NAMES = st.text(max_size=12)


@pytest.mark.parametrize(
    ("name", "file"),
    [
        ("Home by canal", "home-by-canal.toml"),
        ("Göta älv!", "gota-alv.toml"),
        ("", "voyage.toml"),
        ("東京", "voyage.toml"),
    ],
)
def test_file_names_are_plain(name: str, file: str) -> None:
    assert file_name(name) == file


@given(NAMES, NAMES, NAMES, NAMES)
def test_whatever_is_typed_makes_toml_that_says_it(name: str, boat: str, start: str, end: str) -> None:
    data = tomli.loads(text("/x/v.toml", name, "", (start, end), DAY))
    assert data["departs"] == DAY
    assert len(data["leg"]) == 1
    assert data["leg"][0].get("from", "") == "".join(filter(str.isprintable, start))


def test_it_opens_with_its_boat_seen_from_there(tmp_path: Path) -> None:
    (tmp_path / "boats").mkdir()
    (tmp_path / "trips").mkdir()
    boat = tmp_path / "boats" / "sedge.toml"
    boat.write_text('name = "Sedge"\n[hull]\ncoefficient_w_per_mps3 = 90\n[battery]\ncapacity_kwh = 20\n')
    path = tmp_path / "trips" / "home.toml"
    begin(str(path), "Home", str(boat), ("A", "B"), DAY)
    body = opened(path)
    assert body["documents"]["voyage"]["boat"] == "../boats/sedge.toml"
    assert body["documents"]["boat"]["name"] == "Sedge"
    assert any("at" in problem["key"] for problem in body["problems"])
    with pytest.raises(NotSaved, match="is there already"):
        begin(str(path), "Home", str(boat), ("A", "B"), DAY)
