"""The morning card: bands merged as FILES section 5 says, pages that a printer takes, cautions at the foot."""

from copy import deepcopy
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.report.samples import sure_plan
from tests.report.test_plan_text import against_golden
from voyager.report.card import card_text, first_page, merged, mornings, up

GOLDEN = Path(__file__).parents[1] / "golden" / "card-80.txt"


@pytest.fixture
def plan() -> dict[str, Any]:
    return sure_plan()


def go(from_kwh: float, to_km: float, pace_w: float = 400) -> dict[str, Any]:
    return {"from_kwh": from_kwh, "do": "go", "to": f"km {to_km:g}", "to_km": to_km, "pace_w": pace_w, "speed_kmh": 6.0}


STAY = {"from_kwh": 0.0, "do": "stay"}


def test_golden(plan: dict[str, Any]) -> None:
    """The sample read by eye: its figures are hand-made, the layout is what the file keeps."""
    against_golden(card_text(plan), GOLDEN)


def test_five_bands_are_left_alone() -> None:
    bands = [STAY, go(5, 20), go(10, 25), go(15, 30), go(20, 35)]
    assert merged(bands, 0) == bands


def test_the_nearest_neighbours_become_one_with_the_nearer_stop() -> None:
    """25 and 26 km lie closest: the merged band begins where the lower did and goes to the lower's stop."""
    bands = [STAY, go(5, 20), go(10, 25), go(15, 26), go(20, 35), go(25, 45)]
    assert merged(bands, 0) == [STAY, go(5, 20), go(10, 25), go(20, 35), go(25, 45)]


def test_a_band_that_stays_is_never_merged() -> None:
    bands = [go(0, 20), {**STAY, "from_kwh": 5.0}, go(10, 25), {**STAY, "from_kwh": 15.0}, go(20, 35), go(25, 45)]
    assert merged(bands, 0) == bands[:5]


def test_going_back_to_a_plug_is_not_merged_with_going_on() -> None:
    """At km 30: from empty back to km 28, which is nearer than any stop ahead, and yet no stop to go on to."""
    bands = [go(0, 28), go(8, 33), go(10, 40), go(15, 46), go(20, 52), go(25, 57)]
    kept = merged(bands, 30)
    assert kept[0] == bands[0]
    assert [band["to_km"] for band in kept] == [28, 33, 40, 46, 52]


bands = st.lists(st.tuples(st.sampled_from(["go", "stay"]), st.integers(0, 60)), min_size=1, max_size=12).map(
    lambda rows: [go(2.0 * n, km) if do == "go" else {**STAY, "from_kwh": 2.0 * n} for n, (do, km) in enumerate(rows)]
)


@given(bands, st.integers(0, 60))
def test_every_charge_of_a_merged_band_holds_what_it_does(rows: list[dict[str, Any]], km: int) -> None:
    """What is printed for any charge is what the policy does there or at a lower charge that also goes: held there."""
    printed = merged(rows, km)
    assert printed[0] == rows[0]
    for band in rows:
        shown = max((one for one in printed if one["from_kwh"] <= band["from_kwh"]), key=lambda one: one["from_kwh"])
        assert shown["do"] == band["do"]
        assert shown in rows
    going = [low["do"] == high["do"] == "go" for low, high in pairwise(printed)]
    assert len(printed) <= 5 or not any(going)


@given(st.lists(st.integers(1, 60), min_size=6, max_size=12, unique=True))
def test_where_more_charge_goes_further_the_nearest_stop_is_kept(kms: list[int]) -> None:
    rows = [go(2.0 * n, km) for n, km in enumerate(sorted(kms))]
    printed = merged(rows, 0)
    assert len(printed) == 5
    for band in rows:
        shown = max((one for one in printed if one["from_kwh"] <= band["from_kwh"]), key=lambda one: one["from_kwh"])
        assert shown["to_km"] <= band["to_km"]


def test_unlikely_mornings_are_left_out(plan: dict[str, Any]) -> None:
    assert [(m.first["day"], m.first["mooring"]) for m in mornings(plan["card"])] == [
        (1, "Carrick-on-Shannon"), (3, "Lanesborough"), (4, "Athlone")
    ]  # fmt: skip
    assert "Rooskey (km 24)" not in card_text(plan)


@given(st.floats(0, 100))
def test_charges_are_rounded_up(kwh: float) -> None:
    assert kwh - 1e-6 <= up(kwh) < kwh + 0.1


def test_bands_thresholds_and_evenings_stand_beside_each_other(plan: dict[str, Any]) -> None:
    lines = card_text(plan).splitlines()
    assert "  fair to bright  0.0   0  stay" in lines
    assert "                 13.4  48  Athlone, 5.8 km/h           9.3  34  frugal" in lines
    text = " ".join(" ".join(lines).split())
    assert "Go on from: dark not at any charge, dull 13.4 kWh, mixed 12.0 kWh, fair 10.6 kWh, bright 9.5 kWh." in text
    assert "Plug in below: 9.1 kWh." in text
    assert "0.0 0 plug in, frugal" in text


def test_going_back_is_called_so(plan: dict[str, Any]) -> None:
    plan["card"][5]["chance"] = 0.2
    lines = [line.strip() for line in card_text(plan).splitlines()]
    place = next(n for n, line in enumerate(lines) if line.startswith("mixed") and "back to Carrick-on-" in line)
    assert lines[place + 1].startswith("Shannon, 4.4 km/h")


def long_card(plan: dict[str, Any], count: int) -> dict[str, Any]:
    """The sample's mornings of Lanesborough over and over, a day apart."""
    rows = [row for row in plan["card"] if row["mooring"] == "Lanesborough"]
    plan["card"] = [row | {"day": day} for day in range(1, count + 1) for row in deepcopy(rows)]
    return plan


@pytest.mark.parametrize("count", [1, 2, 3, 4, 17])
def test_pages(plan: dict[str, Any], count: int) -> None:
    """60 lines of 80 columns at most, form feeds between pages only, cautions on each, mornings in order."""
    text = card_text(long_card(plan, count))
    pages = text.split("\f")
    assert not text.startswith("\f")
    assert not text.endswith("\f")
    for page in pages:
        assert len(page.splitlines()) <= 60
        assert max(map(len, page.splitlines())) <= 80
        words = " ".join(page.split())
        assert "not for navigation" in words
        assert "never run it asleep or unattended" in words
        assert "licensed electrician" in words
    days = [line.split(",")[0] for line in text.splitlines() if line.startswith("Day ")]
    assert days == [f"Day {day}" for day in range(1, count + 1)]


def test_names_of_any_length_keep_to_the_page(plan: dict[str, Any]) -> None:
    for row in plan["card"]:
        row["mooring"] = "The quay below the old mill with the three wheels"
        for band in row["bands"]:
            band["to"] = "Llanfairpwllgwyngyllgogerychwyrndrobwllllantysiliogogogoch"
        for band in row["evening"]:
            band["comfort"] = "warm-mornings-and-evenings-when-somebody-is-aboard"
    for page in card_text(plan).split("\f"):
        assert len(page.splitlines()) <= 60
        assert max(map(len, page.splitlines())) <= 80


def test_a_card_without_likely_mornings_says_so(plan: dict[str, Any]) -> None:
    plan["card"] = []
    assert "No mooring is woken at in 5 of 100 skies." in card_text(plan)


def test_the_plan_holds_the_first_page_and_says_what_is_left(plan: dict[str, Any]) -> None:
    text = " ".join(first_page(long_card(plan, 17), 80))
    shown = text.count("of the skies wake here")
    assert 1 <= shown < 17
    assert f"{17 - shown} more mornings: voyager plan VOYAGE --card" in " ".join(text.split())
