"""Departures compared: the table, the chart and the sentence that answers when it is too late."""

from copy import deepcopy
from pathlib import Path
from typing import Any

import pytest

from tests.report.samples import ODDS
from tests.report.test_plan_text import against_golden
from voyager.report.depart_text import depart_text, too_late
from voyager.report.words import WEEKDAYS

GOLDEN = Path(__file__).parents[1] / "golden" / "depart-80.txt"


@pytest.fixture
def result() -> dict[str, Any]:
    found: dict[str, Any] = deepcopy(ODDS["depart"])
    return found


def test_golden(result: dict[str, Any]) -> None:
    """The sample read by eye: its figures are hand-made, the layout is what the file keeps."""
    against_golden(depart_text(result), GOLDEN)


def test_every_departure_has_its_row(result: dict[str, Any]) -> None:
    rows = [" ".join(line.split()) for line in depart_text(result).splitlines()]
    assert "Wed 17 Mar Sun 28 Mar Fri 2 Apr 86 % 84-88 % 0.27 99 % 0.5 %" in rows
    assert "Thu 25 Mar Sun 4 Apr - 4 % 3-5 % 0.2 99 % 0.4 %" in rows


def rows_of(text: str) -> dict[str, str]:
    """The chart's lines by their dates, highest first."""
    lines = text.splitlines()
    begins = next(n for n, line in enumerate(lines) if line.startswith("Arrival against"))
    rows = lines[begins : lines.index("", begins)]
    return {line[:10]: line[11:] for line in rows if line[:3] in WEEKDAYS}


def test_the_chart_shows_half_and_nine_in_ten(result: dict[str, Any]) -> None:
    """The first departure arrives on 13 March in half the skies, on the 17th in nine in ten; rows of two days."""
    rows = rows_of(depart_text(result))
    assert rows["Sat 13 Mar"].strip() == "o"
    assert rows["Wed 17 Mar"].split()[0] == "x"
    assert rows["Sat 13 Mar"].index("o") == rows["Wed 17 Mar"].index("x")


def test_one_row_of_both_has_its_own_mark(result: dict[str, Any]) -> None:
    """Rows of two days from 13 March: the 15th and 16th share one; a half without nine in ten stays an o."""
    result["departures"][0] |= {"arrival_p50": "2027-03-15", "arrival_p90": "2027-03-16"}
    rows = rows_of(depart_text(result))
    assert sum(row.count("*") for row in rows.values()) == 1
    assert sum(row.count("o") for row in rows.values()) == 6


def test_without_a_date_asked_for_no_column_is_empty(result: dict[str, Any]) -> None:
    result |= {"by": None, "latest": None}
    for one in result["departures"]:
        one["in_time"] = None
    text = depart_text(result)
    assert "In time" not in text
    assert "Wed 17 Mar Sun 28 Mar Fri 2 Apr 0.27 99 % 0.5 %" in [" ".join(line.split()) for line in text.splitlines()]


def test_what_comes_late_stands_above_the_row_of_the_date_asked_for(result: dict[str, Any]) -> None:
    """1 April ends its row; the fifth departure is late in one of ten skies, the last in half of them."""
    rows = rows_of(depart_text(result))
    asked = [day for day, row in rows.items() if "-" in row]
    assert asked == ["Wed 31 Mar"]
    above = list(rows.values())[: list(rows).index(asked[0])]
    assert sum(row.count("o") for row in above) == 1
    assert sum(row.count("x") for row in above) == 2


def test_the_last_departure_that_is_sure_enough(result: dict[str, Any]) -> None:
    text = too_late(result)
    assert text.startswith("Wed 17 Mar 2027 is the last of these departures in time for Thu 1 Apr 2027")
    assert "at least 80 %; Sun 21 Mar 2027 is too late" in text


def test_none_is_sure_enough(result: dict[str, Any]) -> None:
    assert "None of these departures is in time" in too_late(result | {"latest": None})


def test_the_last_is_still_sure_enough(result: dict[str, Any]) -> None:
    assert too_late(result | {"latest": "2027-03-25"}).startswith("Not yet on the last of these dates: Thu 25 Mar 2027")


def test_without_a_date_of_arrival_nothing_is_too_late(result: dict[str, Any]) -> None:
    for one in result["departures"]:
        one["in_time"] = None
    result.update(by=None, latest=None)
    text = depart_text(result)
    assert "give one with --by" in text
    assert "asked for)" not in text


def test_departures_that_never_arrive_have_no_chart(result: dict[str, Any]) -> None:
    for one in result["departures"]:
        one.update(arrival_p50=None, arrival_p90=None)
    assert "Arrival against departure" not in depart_text(result)


@pytest.mark.parametrize("count", [1, 2, 15, 60])
def test_width(result: dict[str, Any], count: int) -> None:
    result["departures"] = (result["departures"] * 60)[:count]
    assert max(map(len, depart_text(result).splitlines())) <= 80
