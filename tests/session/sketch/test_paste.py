"""Rows from spreadsheets: what they may look like, and what is said of a bad cell."""

import pytest
from hypothesis import given

from tests.session.sketch.sketches import plain, sketches, voyage
from voyager.session.sketch.gaps import gaps
from voyager.session.sketch.paste import copy_rows, paste_rows
from voyager.session.sketch.state import Sketch


@given(sketches())
def test_copied_rows_come_back_the_same(sketch):
    text = copy_rows(sketch, range(len(sketch.legs)))
    again = paste_rows(sketch.with_rows("legs", ()), -1, text)
    assert plain(again) == plain(sketch)


@pytest.mark.parametrize("text", [
    "D\tE\tcoastal\t12,5\t2\t6.5\t1",
    "D;E;coastal;12,5;2;6,5;1",
    "D,E,coastal,12.5,2,6.5,1",
    "From\tTo\tWater\tkm\tLocks\tkm/h\tStay\nD\tE\tcoastal\t12.5\t2\t6.5\t1\n",
    "to;from;nights;speed_kmh;water;locks;distance_km\r\nE;D;1;6.5;coastal;2;12.5\r\n",
    "From\tTo\tWater\tkm\tLocks\tkm/h\th\tkWh\tDay\tShore\tStay\nD\tE\tcoastal\t12.5\t2\t6.5\t3\t4\t2\tplug\t1",
])  # fmt: skip
def test_rows_in_any_usual_form(text):
    after = paste_rows(voyage(), 2, text)
    assert plain(after)[3] == {
        "from": "D", "to": "E", "water": "coastal", "distance_km": 12.5, "locks": 2, "speed_kmh": 6.5, "nights": 1,
    }  # fmt: skip
    assert plain(after, "places")[-1] == {"name": "E"}
    assert gaps(after) == []


def test_units_in_the_heading():
    text = "From\tTo\tDistance (NM)\tSpeed [kn]\tlimit kn\tDepth (ft)\nD\tE\t10\t4\t5\t6\n"
    leg = plain(paste_rows(voyage(), 2, text))[3]
    assert leg == {"from": "D", "to": "E", "distance_nm": 10, "speed_kn": 4, "limit_kn": 5, "depth_ft": 6}


def test_rows_go_below_the_leg_and_into_an_empty_voyage():
    after = paste_rows(voyage(), 0, "B\tX\nX\tB\n")
    assert [leg.get("to") for leg in after.legs] == ["B", "X", "B", "C", "D"]
    assert [row.get("name") for row in paste_rows(Sketch(), -1, "A\tB\nB\tC").places] == ["A", "B", "C"]


@pytest.mark.parametrize(("text", "reason"), [
    ("", "nothing to paste"),
    ("From\tTo", "headings and nothing below"),
    ("A\tB\tpond", r'row 1, column 3 \(water\): "pond" must be one of canal, river'),
    ("A\tB\ncanal", "row 2: to is missing"),
    ("A\tB\tlake\tfar", r'row 1, column 4 \(distance_km\): "far" must be a figure in km such as 12.5'),
    ("From\tTo\tkm\nA\tB\t0", r'row 2, column 3 \(distance_km\): "0" must be a figure above 0'),
    ("From\tTo\tFlavour\nA\tB\tx", 'row 1, column 3: the heading "Flavour" is not known'),
    ("From\tTo\tkm\tNM\nA\tB\t1\t1", r"column 4 \(distance_nm\): it stands in its other unit too"),
    ("A,B,lake,1,2,3,4,5", "row 1 has 8 cells, 7 columns are known"),
    ('A,"B', "quotation mark"),
    ("From\tTo\tvia\nA\tB\t" + "[" * 2000, r"column 3 \(via\)"),
    ("From\tTo\tvia\nA\tB\t" + "[" * 2000 + "]" * 2000, r"column 3 \(via\)"),
])  # fmt: skip
def test_a_bad_cell_is_named_and_nothing_taken(text, reason):
    sketch = voyage()
    with pytest.raises(ValueError, match=reason):
        paste_rows(sketch, 2, text)
    assert sketch == voyage()
