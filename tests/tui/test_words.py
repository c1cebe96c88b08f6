"""Figures and words of the screen."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from rich.cells import cell_len
from rich.style import Style

from tests.tui import fake
from voyager.tui import details, words
from voyager.tui.units import Units
from voyager.tui.widgets.bar import bar

NAMES = st.text(alphabet="abcdefghij ", min_size=1, max_size=24)


@pytest.mark.parametrize(("value", "text"), [(None, ""), (0.0, "0.0"), (9.96, "10.0"), (99.94, "99.9"), (99.96, "100")])
def test_figures(value, text):
    assert words.figure(value) == text


def test_percent_never_flatters():
    assert words.percent(4.19, 28.0) == 14
    assert words.percent(4.2, 28.0) == 15
    assert words.percent(None, 28.0) is None
    assert words.percent(1.0, 0.0) is None


@given(st.text("ab é🚢北→", max_size=24), st.integers(1, 30), st.booleans())
def test_any_text_is_fitted_into_its_columns(text, width, left):
    """Ships and Chinese signs take two columns (Unicode, East Asian Width: wide)."""
    assert cell_len(words.padded(text, width, left)) == width
    assert cell_len(words.cut(text, width)) <= width
    if len(text) + sum(sign in "🚢北" for sign in text) <= width:
        assert words.cut(text, width) == text


@given(NAMES, NAMES, st.integers(9, 40))
def test_a_stretch_fits_and_names_both_ends(start, end, width):
    text = words.stretch(start, end, width)
    assert len(text) <= width
    assert (" → " in text) == (start != end)


@given(st.integers(0, 100), st.integers(0, 100), st.integers(0, 100), st.integers(4, 30), st.booleans())
def test_a_bar_fills_its_share_of_its_cells(charge, low, floor, cells, mono):
    full, rest = Style(color="green"), Style(bgcolor="black", color="white")
    segments = bar(charge, low, floor, cells, full, rest, mono)
    assert sum(segment.cell_length for segment in segments) == cells
    plain = bar(charge, None, None, cells, full, rest, mono)
    solid = sum(s.text == "█" if mono else s.style.bgcolor == full.color for s in plain)
    assert solid == int(round(charge * cells * 8 / 100) // 8)


def test_a_day_row_adds_up():
    row = words.day_row(fake.sample()["days"][0], 28.0)
    assert (row.gained, row.spent) == ("+3.9", "−6.9")
    assert (row.charge, row.low, row.floor) == (79, 79, 20)
    assert row.cautions == ("frost", "heater")
    assert row.named == "!frost, heater"


def test_bars_of_kwh_are_on_one_scale():
    days = fake.sample()["days"]
    rows = words.day_rows(days, 28.0)
    sums = [words.gained_spent(day) for day in days]
    most = max(max(pair) for pair in sums)
    assert max(max(row.share_in, row.share_out) for row in rows) == pytest.approx(1.0)
    for row, (gained, spent) in zip(rows, sums, strict=True):
        assert (row.share_in * most, row.share_out * most) == pytest.approx((gained, spent))
    assert words.day_rows([], 28.0) == []


def test_every_caution_has_its_gravity():
    """What is not in the list stands before what every heated evening has."""
    assert words.gravity("no_way_out") < words.gravity("frost") < words.gravity("heater")
    assert words.gravity("something_new") < words.gravity("fresh_air")
    assert len(set(words.GRAVEST)) == len(words.GRAVEST)


def test_a_day_under_way_that_ends_at_a_plug_in_use_says_so():
    plan = fake.sample()
    day = plan["days"][0] | {"mark": "underway", "why": "going", "held": True, "shore_kwh": 0.0}
    plugged = day | {"shore_kwh": 12.3}
    assert [words.day_row(one, 28.0).reason for one in (day, plugged)] == ["going", "then a plug"]
    short = [details.day_lines(plan | {"days": [one]}, 0, full=False)[1][1] for one in (day, plugged)]
    assert ["shore 12.3" in line for line in short] == [False, True]
    assert words.day_row(plugged | {"held": False}, 28.0).reason == "not held"


def test_a_day_not_held_says_so_in_place_of_its_reason():
    day = {**fake.sample()["days"][0], "held": False}
    assert words.day_row(day, 28.0).reason == "not held"


@pytest.mark.parametrize(
    ("zone", "text"), [("Europe/Dublin", "09:30"), ("America/New_York", "04:30"), ("No/Where", "08:30 UTC")]
)
def test_clock(zone, text):
    assert words.clock("2027-07-01T08:30:00Z", zone) == text


def test_every_caution_of_a_day_is_read_in_full():
    plan = fake.sample()
    for index, day in enumerate(plan["days"]):
        text = "\n".join(line for _, line in details.day_lines(plan, index, full=True))
        for item in plan["cautions"]:
            if item["day"] == day["day"]:
                assert item["text"] in text


def test_totals_of_the_sample():
    line = details.total_line(fake.sample())
    assert line == ("arrives Fri 12 Mar 2027, day 12 · 2 shore stops, 23.1 kWh · lowest charge 41% on 4 Mar"
                    " · warm 66 of 66 h · 263 km")  # fmt: skip
    assert details.total_line(fake.sample(), room=90).endswith("41% on 4 Mar")
    assert details.total_line(fake.sample(), room=20) == "arrives Fri 12 Mar 2027, day 12"


def test_hours_that_are_not_warm_stand_before_the_charge():
    plan = fake.sample()
    plan["days"][3]["warm_hours"] -= 4
    line = details.total_line(plan)
    assert line.index("warm 62 of 66 h") < line.index("lowest charge")


def test_a_plan_that_does_not_arrive_says_so():
    plan = {**fake.sample(), "arrives": None}
    assert details.total_line(plan).startswith("✗ does not arrive · 2 shore stops")
    assert details.short_lines(plan) == [("alarm", "✗ This plan does not arrive within its days.")]
    assert details.total_line({**plan, "days": []}) == "no days are planned"


def test_a_plan_that_is_stuck_says_on_which_leg_and_what_to_try():
    plan = {**fake.sample(), "arrives": None, "short": None, "stuck": {"text": "Nobody gets on from Beck."}}
    assert details.short_lines(plan)[1] == ("plain", "Nobody gets on from Beck.")


def test_a_leg_not_yet_planned_is_named_once_and_has_no_length_that_is_not_known():
    leg = {"leg": 1, "from": "Ash", "to": "Beck", "water": "canal", "distance_km": None, "locks": 2}
    lines = details.leg_lines({"legs": [leg], "boat": {}}, 0, full=False)
    assert lines == [("title", "Leg 1: Ash → Beck"), ("plain", "canal · locks 2")]


def test_the_day_of_arrival_is_counted_without_the_nights_after_it():
    plan = fake.sample()
    later = {**plan["days"][-1], "day": 13, "date": "2027-03-13", "mark": "rest"}
    assert details.total_line({**plan, "days": [*plan["days"], later]}).startswith("arrives Fri 12 Mar 2027, day 12 ·")


def test_shortfall_without_a_mend():
    plan = {**fake.sample(), "short": {**fake.SHORT, "mends": []}}
    assert details.short_lines(plan)[1][1].startswith("Nothing tried would mend it")


def test_lengths_speeds_and_warmth_in_the_units_chosen():
    """One nautical mile is 1852 m, 32 °F is 0 °C: worked out here by hand."""
    units = Units("kn", "NM", "°F")
    leg = {
        "leg": 1,
        "from": "A",
        "to": "B",
        "water": "river",
        "distance_km": 18.52,
        "speed_kmh": 9.26,
        "ground_kmh": 11.112,
        "power_w": 900,
        "hours": 1.7,
        "energy_kwh": 1.5,
        "day": 1,
        "started_day": 1,
    }
    text = "\n".join(line for _, line in details.leg_lines({"legs": [leg], "boat": {}}, 0, full=True, units=units))
    assert "river 10.0 NM" in text
    assert "5.0 kn, 6.0 over the ground" in text
    plan = fake.sample()
    plan["voyage"]["distance_km"], plan["days"][0]["cabin_low_c"] = 185.2, 10.0
    assert " · 100 NM" in details.total_line(plan, units)
    assert "cabin low 50.0 °F" in "\n".join(line for _, line in details.day_lines(plan, 0, True, units))


def test_one_day_or_leg_is_said_in_the_singular():
    item = {"code": "tide", "text": "Mind the tide.", "day": 7, "leg": 3}
    heads = [text for _, text in details.caution_page({"cautions": [item]})]
    assert heads[0] == "! tide  (day 7, leg 3)"
    heads = [text for _, text in details.caution_page({"cautions": [item, {**item, "day": 8, "leg": None}]})]
    assert heads[0] == "! tide  (days 7-8, leg 3)"


@pytest.mark.parametrize("told", ["12.5 kWh", "3 °C", "50 %", "30 km/h", "2 h", "14 NM", "4 Mar", "1 day"])
@given(width=st.integers(12, 40))
def test_a_figure_keeps_its_unit_when_lines_are_broken(told, width):
    text = f"Raise them: {told} more than lying flat, {told}, and before {told}."
    lines = words.wrapped(text, width)
    assert " ".join(lines) == text
    assert sum(line.count(told) for line in lines) == 3
    assert all(len(line) <= width for line in lines)
