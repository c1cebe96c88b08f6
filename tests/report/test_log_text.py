"""The log as text: every figure and note stands, whatever the width."""

from typing import Any

import pytest
from rich.cells import cell_len

from voyager.report.log_text import done_text, log_text

EMPTY = dict.fromkeys(
    ("place", "km", "lat", "lon", "charge_kwh", "charge_percent", "solar_kwh", "shore_kwh", "propulsion_kwh",
     "heating_kwh", "hotel_kwh", "inside_c", "outside_c")
)  # fmt: skip


def row(ident: int, **values: object) -> dict[str, Any]:
    times = {"time_utc": "2027-03-02T14:00:00Z", "time_local": "2027-03-02T14:00"}
    return {**EMPTY, "ident": ident, **times, "kind": "reading", "note": "", "source": "command", **values}


FULL = row(
    12, place="Llanfairpwllgwyngyllgogerychwyrndrobwll", km=123.4, charge_kwh=12.2, charge_percent=61.0, solar_kwh=3.2,
    shore_kwh=10.1, propulsion_kwh=2.5, heating_kwh=1.7, hotel_kwh=1.1, inside_c=17.0, outside_c=-4.0,
    note="word " * 40,
)  # fmt: skip
FIGURES = (
    "12",
    "Tue  2 Mar 14:00",
    "Llanfair",
    "123.4",
    "61",
    "12.2",
    "3.2",
    "10.1",
    "2.5",
    "1.7",
    "1.1",
    "17.0",
    "-4.0",
)


@pytest.mark.parametrize("width", [80, 120])
def test_every_figure_and_note_stands_within_the_width(width: int) -> None:
    text = log_text({"file": "v.log.sqlite", "entries": [FULL, row(13)]}, 5, width)
    assert [one for one in FIGURES if one not in text] == []
    assert text.split().count("word") == 40
    assert max(map(cell_len, text.splitlines())) <= width
    assert ("motor 2.5, heat 1.7, hotel 1.1" in text) == (width < 104)


def test_columns_that_say_nothing_are_left_away() -> None:
    head = log_text({"file": "f", "entries": [row(1, charge_kwh=5.0)]}, 5).splitlines()[2]
    assert head.split() == ["No", "Time", "Charge"]


def test_a_position_off_the_route_and_utc_where_the_clock_is_not_known() -> None:
    text = log_text({"file": "f", "entries": [row(1, lat=48.0, lon=2.0, time_local=None)]}, 5)
    assert "48.000, 2.000" in text
    assert "Tue  2 Mar 14:00 UTC" in text


def test_an_empty_log_says_how_to_begin() -> None:
    assert "--add" in log_text({"file": "f", "entries": []}, 5)


def test_an_import_says_what_was_left_out_and_why() -> None:
    left = [{"row": n, "why": "in the log already"} for n in (2, 3, 4, 9)] + [{"row": 5, "why": "duplicate time"}]
    result = {
        "done": "imported", "file": "m.csv", "kind": "csv", "rows": 6, "added": 1, "left_out": left, "notes": ["odd"],
        "first_utc": "2027-03-02T14:00:00Z", "last_utc": "2027-03-02T14:00:00Z",
    }  # fmt: skip
    assert done_text(result) == (
        "m.csv: 1 entry of 6 rows, from Tue 2 Mar 14:00 to Tue 2 Mar 14:00 UTC.\n"
        "  row 2-4, 9: in the log already\n  row 5: duplicate time\nnote: odd\n"
    )
