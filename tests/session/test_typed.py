"""What a person types, read the same wherever it is typed."""

from contextlib import suppress
from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from voyager.files import units
from voyager.session import typed
from voyager.session.fields import fields
from voyager.session.sketch import numbers
from voyager.session.sketch.fields import LEG_BY_KEY
from voyager.session.sketch.reading import read as read_leg
from voyager.session.value_read import read as read_value

VALUES = {field["key"]: field for field in fields()}
TYPED = st.text(max_size=12)


@pytest.mark.parametrize("unit", ["kn", "kt", "kts", "knot", "knots", "Knots", " KN"])
def test_knots_by_any_name_in_the_sheet_and_in_the_form(unit: str) -> None:
    assert read_leg(LEG_BY_KEY["limit_kmh"], f"4{unit}") == ("limit_kn", 4)
    assert read_value(VALUES["steerable_min_kmh"], f"2{unit}") == 3.704


@pytest.mark.parametrize(("text", "metres"), [("6 ft", 6), ("6feet", 6), ("1 foot", 1)])
def test_feet_by_any_name(text: str, metres: float) -> None:
    assert read_leg(LEG_BY_KEY["depth_m"], text) == ("depth_ft", metres)
    assert read_value(VALUES["waterline_m"], text.replace("6", "40").replace("1 ", "40 ")) == 12.192


@pytest.mark.parametrize("text", ["8:30-17", "830-1700", "8.30 – 17:00", "08:30 to 17:00", "08:30 17:00",
                                  '["08:30", "17:00"]'])  # fmt: skip
def test_windows_written_in_any_way_in_the_sheet_and_in_the_form(text: str) -> None:
    assert read_leg(LEG_BY_KEY["open_hours"], text) == ("open_hours", ["08:30", "17:00"])
    assert read_value(VALUES["travel"], text) == ["08:30", "17:00"]


@pytest.mark.parametrize(("text", "yes"), [("y", True), ("Yes", True), ("t", True), ("on", True), ("n", False),
                                           ("no", False), ("FALSE", False), ("off", False)])  # fmt: skip
def test_yes_and_no_in_the_sheet_and_in_the_form(text: str, yes: bool) -> None:
    assert read_leg(LEG_BY_KEY["overnight"], text)[1] is yes
    assert read_value(VALUES["always_on"], text) is yes


@pytest.mark.parametrize("text", ["o", "", "yesterday", "1"])
def test_what_is_neither_yes_nor_no(text: str) -> None:
    with pytest.raises(ValueError, match="yes or no"):
        typed.yes_or_no(text)


@pytest.mark.parametrize(("text", "reason"), [("9", "two clock times"), ("9-9", "two different"), ("9-25", "two clock"),
                                              ("17-9", "09:00-17:00 may be meant")])  # fmt: skip
def test_what_is_no_window(text: str, reason: str) -> None:
    with pytest.raises(ValueError, match=reason):
        typed.window_of(text)


@pytest.mark.parametrize("text", ["8:60", "25", "24:01", "8:3", "eight", "", "8::30", "008:30"])
def test_what_is_no_clock_time(text: str) -> None:
    with pytest.raises(ValueError, match="a clock time as"):
        typed.minutes_of(text)


@given(st.integers(0, typed.DAY_MIN))
def test_clock_times_there_and_back(minutes: int) -> None:
    assert typed.minutes_of(typed.clock_text(minutes)) == minutes


@pytest.mark.parametrize(("text", "found"), [
    ("−5 °C", (-5.0, "°C")), ("12,5", (12.5, "")), (".5kWh", (0.5, "kWh")), ("1\u00a0km", (1.0, "km")),
    ("1 2", None), ("nan", None), ("", None), ("9" * 400, None), ("1,2,3", None)])  # fmt: skip
def test_figures_with_their_units(text: str, found: object) -> None:
    assert typed.number_of(text) == found


@pytest.mark.parametrize(("word", "meant"), [
    ("C", "°C"), ("°c", "°C"), ("kmh", "km/h"), ("KM/H", "km/h"), ("w", None), ("m3/h", "m³/h"), ("deg", "°"),
    ("°", "°"), ("/", None), ("", None)])  # fmt: skip
def test_units_as_they_are_typed(word: str, meant: str | None) -> None:
    assert typed.unit_of(word, ("", "km/h", "kW", "°C", "m³/h", "°")) == meant


@given(st.dates(date(1950, 1, 1), date(2100, 12, 31)))
def test_every_date_of_its_years_is_read(day: date) -> None:
    assert typed.date_of(f" {day.isoformat()} ") == day


@pytest.mark.parametrize(("text", "reason"), [("2027-02-30", "2027-02-30 does not"), ("1949-12-31", "1950 to 2100"),
                                              ("5.3.2027", "a date as"), ("0000-01-01", "does not")])  # fmt: skip
def test_what_is_no_date(text: str, reason: str) -> None:
    with pytest.raises(ValueError, match=reason):
        typed.date_of(text)


@given(TYPED)
def test_any_text_is_read_or_refused(text: str) -> None:
    for reader in (typed.date_of, typed.window_of, typed.minutes_of, typed.yes_or_no, typed.number_of):
        with suppress(ValueError):
            reader(text)


def test_the_second_units_are_those_of_the_files() -> None:
    assert dict(numbers.OTHER_UNIT) == {own: (other, factor) for other, (own, factor) in units.OTHER_UNIT.items()}


def test_a_choice_whole_or_begun() -> None:
    choices = ("canal", "coastal", "Open", "on", "one")
    for text, choice in (("CANAL", "canal"), ("co", "coastal"), ("op", "Open"), ("on", "on")):
        assert typed.choice_of(choices, text) == choice
    for text in ("c", "", "x"):
        with pytest.raises(ValueError, match="one of canal, coastal"):
            typed.choice_of(choices, text)


def test_numbers_without_the_dust_of_a_conversion() -> None:
    assert typed.tidy(2 * 1.852 + 1e-13) == 3.704
    assert (type(typed.tidy(3)), type(typed.neat(3.0)), type(typed.neat(3.5))) == (float, int, float)
