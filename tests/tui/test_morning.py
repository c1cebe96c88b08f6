"""The card of a morning as it is drawn: berths, bands, strips, edges."""

import json
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.tui import fake, fake_odds
from voyager.tui import morning, morning_pick, strips
from voyager.tui.desk import Desk
from voyager.tui.morning import Band
from voyager.tui.packed import packed, unpacked
from voyager.tui.runs import length

CEILING = 26.6
CAPACITY = 28.0


def berths(rows):
    return morning.berths(rows, CAPACITY, CEILING)


STOPS = ("Ash", "Beck", "Carrick-on-Shannon", "km 107.5")


def rows(**changes):
    plan = fake.sample()
    return [{**row, **changes} for row in fake_odds.card(plan) if row["day"] == 3]


@st.composite
def bands(draw, most: int = 12) -> tuple[Band, ...]:
    """Bands of a morning from empty up, each with something to do."""
    starts = draw(st.lists(st.integers(1, 265), max_size=most - 1, unique=True))
    made = []
    for start in [0, *sorted(starts)]:
        stop = draw(st.sampled_from(range(-1, len(STOPS))))
        go = stop >= 0
        name = STOPS[stop] if go else "stay"
        made.append(Band(start / 10, "go" if go else "stay", name, f"{name} {draw(st.integers(5, 9))}"))
    return morning.merged(made)


def test_berths_stand_along_the_way_with_five_skies_each_darkest_first():
    found = berths(list(reversed(rows())))
    assert [(berth.mooring, berth.km) for berth in found] == [("Rooskey", 24.0), ("Lanesborough", 49.0)]
    assert all([sky.name for sky in berth.skies] == list(fake_odds.SKIES) for berth in found)
    assert found[0].chance == 0.07


def test_a_further_night_at_a_place_is_a_berth_of_its_own():
    found = berths([*rows(mooring="Ash", km=9.0), *rows(mooring="Ash", km=9.0)])
    assert [berth.key for berth in found] == [("Ash", 9.0, 0), ("Ash", 9.0, 1), ("Ash", 9.0, 2), ("Ash", 9.0, 3)]


def test_charges_from_which_something_holds_are_rounded_up():
    told = [morning.kwh_words(kwh) for kwh in (0.0, 11.8, 11.81, 11.86, 11.9)]
    assert told == ["0.0", "11.8", "11.9", "11.9", "11.9"]


SHARES = [(0.0, "0%"), (0.002, "<1%"), (0.005, "<1%"), (0.01, "1%"), (0.414, "41%"), (1.0, "100%")]


@pytest.mark.parametrize(("share", "text"), SHARES)
def test_chances(share, text):
    assert morning.chance_words(share) == text


def test_a_strip_has_one_band_a_stop_and_five_at_most():
    stops = [{"to": f"km {60 + at // 2}.0", "to_km": 60.0 + at // 2, "speed_kmh": 5.0 + at} for at in range(14)]
    going = [{"do": "go", "from_kwh": 9.0 + at, **stop} for at, stop in enumerate(stops)]
    sky = berths(rows(bands=[{"from_kwh": 0.0, "do": "stay"}, *going]))[1].skies[0]
    assert len(sky.bands) == 15
    assert len(sky.few) == 5
    assert (sky.few[0].part, sky.few[1].from_kwh, sky.few[1].name) == ("stay", 9.0, "km 60.0")


def test_going_back_is_told_from_going_on():
    back = {"from_kwh": 5.0, "do": "go", "to": "Rooskey", "to_km": 24.0, "speed_kmh": 4.0}
    sky = berths(rows(bands=[{"from_kwh": 0.0, "do": "stay"}, back]))[1].skies[0]
    assert sky.bands[1].text == "go back to Rooskey, km 24.0, at 4.0 km/h"
    assert sky.few[1].labels[0] == "← Rooskey"


@given(bands(), st.integers(10, 90), st.one_of(st.none(), st.floats(0, CEILING)))
def test_a_strip_has_its_cells_one_mark_and_an_edge_for_every_band_that_has_room(all_bands, cells, mark):
    line = strips.strip(all_bands, CEILING, cells, mark)
    text = "".join(run.text for run in line)
    assert length(line) == cells
    assert text.count("┃") == (mark is not None)
    starts = {strips.cell(band.from_kwh, CEILING, cells) for band in all_bands} - {0}
    marked = set() if mark is None else {strips.cell(mark, CEILING, cells)}
    assert {at for at, sign in enumerate(text) if sign == "│"} == starts - marked


def test_a_strip_tells_stay_from_go_by_hatching_and_names_the_stop():
    two = (Band(0.0, "stay", "stay", "stay"), Band(CEILING / 2, "go", "Athlone", "go"))
    text = "".join(run.text for run in strips.strip(two, CEILING, 40, None))
    assert text == "░░░░░░░ stay ░░░░░░░" + "│" + "     → Athlone     "
    short = "".join(run.text for run in strips.strip(two, CEILING, 16, None))
    assert short == "░ stay ░│Athlone"


@given(bands(6), st.integers(40, 90))
def test_the_charge_stands_at_every_edge(all_bands, cells):
    text = strips.edges(all_bands, CEILING, cells)
    assert text.split() == [morning.kwh_words(band.from_kwh) for band in all_bands[1:]]
    assert len(text) == cells


def test_an_edges_charge_stands_below_its_edge():
    two = (Band(0.0, "stay", "stay", "stay"), Band(13.3, "go", "Ash", "go"))
    assert strips.edges(two, CEILING, 40).index("13.3") == 18


@given(st.floats(0, CEILING), st.integers(20, 90))
def test_the_scale_points_at_the_plans_charge(kwh, cells):
    text = "".join(run.text for run in strips.scale(28.0, CEILING, cells, kwh))
    assert text.index("▼") == strips.cell(kwh, CEILING, cells)
    assert len(text) == cells


def test_the_page_reads_every_band_from_empty_to_full():
    berth = berths(rows())[1]
    text = [line for _, line in morning.page_lines(berth, CEILING)]
    assert text[0] == "▁ dark: go from 16.3 kWh"
    assert text[1] == "    0.0 to  16.3 kWh  stay"
    assert text[4] == "   24.3 to  26.6 kWh  go to Athlone, km 78.0, at 6.6 km/h"
    assert text[5] == "  evening: off · from 11.3 frugal"


def test_an_evening_that_is_not_held_says_so():
    evening = [
        {"from_kwh": 0.0, "comfort": "off", "plug_in": False, "held": False},
        {"from_kwh": 8.7, "comfort": "off", "plug_in": False, "held": True},
    ]
    sky = berths(rows(evening=evening))[0].skies[0]
    assert morning.evening_words(sky) == "off (not held) · from 8.7 off"


@pytest.mark.parametrize(("cells", "told"), [(40, "stay (not held)"), (24, "not held"), (12, "not…"), (6, "✗")])
def test_a_strip_never_takes_what_is_not_held_for_held(cells, told):
    two = (Band(0.0, "stay", "stay (not held)", ""), Band(CEILING / 2, "stay", "stay", "stay"))
    text = "".join(run.text for run in strips.strip(two, CEILING, cells, None))
    first, second = text.split("│")
    assert told in first
    assert "not" not in second


def test_thresholds_in_words():
    sky = berths(rows(go_from_kwh=None, shore_below_kwh=9.3))[0].skies[0]
    assert morning.thresholds(sky) == "go at no charge up to full · plug in below 9.3 kWh"
    idle = berths(rows(go_from_kwh=None, bands=[{"from_kwh": 0.0, "do": "stay"}]))[0].skies[0]
    assert morning.thresholds(idle) == "stay at any charge"


def test_a_card_is_packed_by_day_and_read_back():
    plan = {**fake.sample(), "card": fake_odds.card(fake.sample())}
    small = packed(plan)
    assert all(isinstance(text, str) for text in small["card"].values())
    assert [row for day in small["card"] for row in unpacked(small, day)] == sorted(
        json.loads(json.dumps(plan["card"])), key=lambda row: row["day"])  # fmt: skip
    assert unpacked(small, 99) == []


def test_what_is_not_held_says_so_and_a_plug_is_named():
    low = [{"from_kwh": 0.0, "do": "stay", "held": False}]
    flees = {"from_kwh": 3.0, "do": "go", "to": "Rooskey", "to_km": 24.0, "speed_kmh": 4.0, "held": False,
             "why": "to-shore"}  # fmt: skip
    rest = {"from_kwh": 9.0, "do": "stay", "held": True}
    sky = berths(rows(bands=[*low, flees, rest]))[1].skies[0]
    told = [band.text for band in sky.bands]
    assert told == ["stay (not held)", "go back to the plug at Rooskey, km 24.0, at 4.0 km/h (not held)", "stay"]
    assert [band.labels[0] for band in sky.few] == ["stay (not held)", "← plug Rooskey", "stay"]


def test_bands_too_narrow_to_be_read_off_are_left_out_of_a_strip():
    go = {"from_kwh": 12.2, "do": "go", "to": "Athlone", "to_km": 78.0, "speed_kmh": 6.0}
    few = [{"from_kwh": 0.0, "do": "stay"}, {**go, "from_kwh": 12.0}, {"from_kwh": 12.1, "do": "stay"}, go]
    sky = berths(rows(bands=few))[1].skies[0]
    assert len(sky.bands) == 4
    assert [(band.part, band.from_kwh) for band in sky.few] == [("stay", 0.0), ("go", 12.2)]


def test_a_card_still_to_come_is_not_said_to_be_rare():
    made = Desk("x.toml").read(fake.opened("x.toml"))
    plan = packed({**fake.plan("x", members=200), "card": []})
    desk = replace(made, plan=plan, plan_sketch=made.sketch, ticket=1, draft=True)
    shown, counted = morning_pick.view(desk, 1, None), morning_pick.view(replace(desk, draft=False), 1, None)
    assert shown is not None
    assert counted is not None
    assert shown.note == desk.odds_note
    assert "in fewer than one of a hundred" in str(counted.note)
