"""The morning card on one page: what stands where, what fits, cautions at the foot."""

from copy import deepcopy
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.report.samples import sure_plan
from tests.report.test_plan_text import against_golden
from voyager.errors import InputError
from voyager.report.card import Row, said
from voyager.report.card_page import card_page, first_lines, rows_of

GOLDEN = Path(__file__).parents[1] / "golden" / "card-80.txt"


@pytest.fixture
def plan() -> dict[str, Any]:
    return sure_plan()


def words(text: str) -> str:
    return " ".join(text.split())


def test_golden(plan: dict[str, Any]) -> None:
    """The sample read by eye: its figures are hand-made, the layout is what the file keeps."""
    against_golden(card_page(plan), GOLDEN)


def test_each_sky_has_its_column(plan: dict[str, Any]) -> None:
    """Lanesborough: to Athlone from 13.4, 12.0, 10.6 and 9.5 kWh, never under a dark sky; further when bright."""
    lines = card_page(plan).splitlines()
    here = next(n for n, line in enumerate(lines) if "Lanesborough (km 49)" in line)
    assert lines[here + 2].split() == ["Athlone", "-", "13.4", "5.8", "12.0", "6.0", "10.6", "6.0", "9.5", "5.8"]
    assert lines[here + 3].split() == ["km", "83", "-", "-", "-", "19.0", "6.4", "14.8", "6.2"]
    head = next(line for line in lines if "dark" in line and "bright" in line and "mixed" in line and "Sky" in line)
    assert head.index("fair") <= lines[here + 2].index("10.6") <= head.index("bright")


def test_evenings_stand_below_their_mornings(plan: dict[str, Any]) -> None:
    text = words(card_page(plan))
    assert "Evening: plug in, comfort frugal; from 9.1 kWh comfort frugal" in text
    assert "Evening, dark: comfort off (not held); from 9.8 kWh comfort frugal" in text


def test_what_is_not_held_and_the_way_to_a_plug_are_called_so(plan: dict[str, Any]) -> None:
    for row in plan["card"]:
        row["chance"] = 0.2
    text = words(card_page(plan, 2))
    assert "stay (not held)" in text
    assert "to the plug at 0.0 4.4" in text.replace(" -", "")
    assert "Carrick-on-Shannon (not held)" in text


def test_going_back_is_called_so(plan: dict[str, Any]) -> None:
    plan["card"][5]["chance"] = 0.2
    del plan["card"][5]["bands"][0]["why"]
    assert "back to" in card_page(plan, 2)


def test_the_sea_is_spoken_of_where_there_is_any(plan: dict[str, Any]) -> None:
    assert words(card_page(plan)).count("on which the sea is fit") == 1
    assert words("\n".join(first_lines(plan, 80))).count("on which the sea is fit") == 1
    for leg in plan["legs"]:
        leg["water"] = "river"
    assert "the sea is fit" not in words(card_page(plan))


def long_card(plan: dict[str, Any], count: int) -> dict[str, Any]:
    """The sample's mornings of Lanesborough over and over, a day apart."""
    rows = [row for row in plan["card"] if row["mooring"] == "Lanesborough"]
    plan["card"] = [row | {"day": day} for day in range(1, count + 1) for row in deepcopy(rows)]
    return plan


def days(text: str) -> list[int]:
    return [int(line.split(",")[0][4:]) for line in text.splitlines() if line.startswith("Day ")]


@pytest.mark.parametrize("count", [1, 2, 3, 4, 17])
@pytest.mark.parametrize("first", [1, 2, 3, 17])
def test_one_page(plan: dict[str, Any], count: int, first: int) -> None:
    """60 lines of 80 columns at most, no form feed, mornings in order from the day asked for, cautions at the foot."""
    long_card(plan, count)
    if first > count:
        with pytest.raises(InputError, match=f"write --card {count} or less"):
            card_page(plan, first)
        return
    text = card_page(plan, first)
    assert "\f" not in text
    assert len(text.splitlines()) <= 60
    assert max(map(len, text.splitlines())) <= 80
    for caution in ("not for navigation", "never run it asleep or unattended", "licensed electrician"):
        assert caution in words(text)
    shown = days(text)
    assert shown == list(range(first, first + len(shown)))
    assert len(shown) >= min(3, count - first + 1), "three mornings fit where bands are simple"
    left = count - shown[-1]
    assert (f"go on with --card {shown[-1] + 1}, to day {count}" in words(text)) is (left > 0)


def test_names_of_any_length_keep_to_the_page(plan: dict[str, Any]) -> None:
    for row in plan["card"]:
        row["mooring"] = "The quay below the old mill with the three wheels"
        for band in row["bands"]:
            band["to"] = "Llanfairpwllgwyngyllgogerychwyrndrobwllllantysiliogogogoch"
        for band in row["evening"]:
            band["comfort"] = "warm-mornings-and-evenings-when-somebody-is-aboard"
    page = card_page(plan).splitlines()
    assert len(page) <= 60
    assert max(map(len, page)) <= 80


def test_a_large_battery_keeps_its_columns(plan: dict[str, Any]) -> None:
    """Above 99.9 kWh no tenths, rounded up."""
    plan["boat"] |= {"capacity_kwh": 280.0, "ceiling_kwh": 266.0}
    for row in plan["card"]:
        for band in row["bands"]:
            band["from_kwh"] *= 10
    lines = card_page(plan).splitlines()
    assert any(line.split() == ["Rooskey", "139", "5.6", "131", "6.0", "122", "6.0", "110", "6.0", "110", "6.0"]
               for line in lines)  # fmt: skip
    assert max(map(len, lines)) <= 80


def test_a_card_without_likely_mornings_says_so(plan: dict[str, Any]) -> None:
    plan["card"] = []
    assert "No mooring is woken at in 5 of 100 skies." in card_page(plan)
    with pytest.raises(InputError, match="no morning at all"):
        card_page(plan, 2)
    assert first_lines(plan, 80) == []


def test_the_plan_holds_the_first_mornings_and_says_what_is_left(plan: dict[str, Any]) -> None:
    text = "\n".join(first_lines(long_card(plan, 17), 80))
    shown = len(days(text))
    assert 1 <= shown < 17
    assert f"{17 - shown} more mornings: voyager plan VOYAGE --card, --card DAY." in words(text)


def band(do: str, km: int, from_kwh: float) -> Row:
    where = {"to": f"km {km}", "to_km": km} if do == "go" else {}
    return {"do": do, "from_kwh": from_kwh} | where


columns = st.lists(
    st.lists(st.tuples(st.sampled_from(["go", "stay"]), st.integers(0, 5)), max_size=5).map(
        lambda rows: [band(*row, 2.0 * n) for n, row in enumerate(rows)]
    ),
    min_size=5, max_size=5,
)  # fmt: skip


@given(columns)
def test_every_column_is_read_from_the_top_down(skies: list[list[Row]]) -> None:
    """Each sky's bands stand in its column, all of them, in their order; a row asks for one thing."""
    rows = rows_of(skies, 0)
    assert [[cells[n] for cells in rows if cells[n]] for n in range(5)] == skies
    assert all(len({said(cell) for cell in cells if cell}) == 1 for cells in rows)
