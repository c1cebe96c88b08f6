"""Typed text and values of the files, there and back; what is refused and why; nudges."""

from datetime import date, time
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from voyager.session.fields import fields
from voyager.session.typed import tidy
from voyager.session.value_nudge import nudged
from voyager.session.value_read import read
from voyager.session.value_text import Scale, limits_text, text_of

BY_KEY = {(field["table"], field["key"]): field for field in fields()}
KNOTS = Scale("kn", lambda kmh: kmh / 1.852, lambda kn: kn * 1.852)


def field(path: str) -> dict[str, Any]:
    table, _, key = path.rpartition(".")
    return BY_KEY[table, key]


READ: list[tuple[str, str, object]] = [
    ("battery.capacity_kwh", "28", 28),
    ("battery.capacity_kwh", " 28,5 kWh", 28.5),
    ("battery.capacity_kwh", "28.5kwh", 28.5),
    ("battery.capacity_kwh", ".5", 0.5),
    ("battery.charging_min_c", "−5", -5),
    ("battery.charging_min_c", "-5 °C", -5),
    ("hull.steerable_min_kmh", "3", 3),
    ("hull.steerable_min_kmh", "2 kn", 3.704),
    ("hull.waterline_m", "40 ft", 12.192),
    ("array.panels", "4", 4),
    ("departs", "2027-3-5", date(2027, 3, 5)),
    ("day_starts", "7", "07:00"),
    ("day_starts", "730", "07:30"),
    ("day_starts", "7:30", "07:30"),
    ("travel", "d", "daylight"),
    ("travel", "8:30-17", ["08:30", "17:00"]),
    ("travel", "08:30 24:00", ["08:30", "24:00"]),
    ("travel", '["08:30", "17:00"]', ["08:30", "17:00"]),
    ("aim", "c", "calmest"),
    ("sky", "good", "good"),
    ("inverter.always_on", "y", True),
    ("inverter.always_on", "off", False),
    ("hotel.direct_w", "45", 45),
    ("hotel.direct_w", " ".join(["1"] * 24), [1] * 24),
    ("hotel.direct_w", f"[{', '.join(['0.5'] * 24)}]", [0.5] * 24),
    ("battery.capacity_by_c", "[[-20, 0.65], [20, 1.0]]", [[-20, 0.65], [20, 1.0]]),
    ("hull.trial", "[[4,200],[6,700],[8,1700]]", [[4, 200], [6, 700], [8, 1700]]),
    ("comfort.hours_c", '"6:30-8:30" = 14, "18:00-22:00" = 15.5', {"06:30-08:30": 14, "18:00-22:00": 15.5}),
    ("comfort.hours_c", '{ "22:00-06:00" = 10 }', {"22:00-06:00": 10}),
    ("time_zone", "Europe/Dublin", "Europe/Dublin"),
    ("battery.reserve_percent", "", None),
]
REFUSED = [
    ("battery.capacity_kwh", "0", "above 0, up to"),
    ("battery.capacity_kwh", "28 W", "in kWh"),
    ("battery.capacity_kwh", "much", "a number in kWh"),
    ("battery.capacity_kwh", "", "given"),
    ("battery.capacity_kwh", "1e400", "a number"),
    ("battery.capacity_kwh", "nan", "a number"),
    ("battery.reserve_percent", "100", "0 to below 100"),
    ("battery.reserve_percent", "-1", "0 to below 100"),
    ("hull.steerable_min_kmh", "12 kn", "up to 20 km/h"),
    ("array.panels", "2.5", "a whole number"),
    ("array.panels", "0", "1 to 1000"),
    ("departs", "2027-02-30", "does not"),
    ("departs", "5.3.2027", "a date as"),
    ("departs", "1815-06-18", "in the years"),
    ("day_starts", "24:00", "a clock time"),
    ("day_starts", "8:75", "a clock time"),
    ("travel", "17-8:30", "earlier time first"),
    ("travel", "8:30", "two clock times"),
    ("aim", "fast", "one of soonest"),
    ("inverter.always_on", "o", "yes or no"),
    ("inverter.always_on", "maybe", "yes or no"),
    ("hotel.direct_w", "1 2 3", "24 numbers for the hours from midnight, not 3"),
    ("hotel.direct_w", "[1, 'a']", "24 numbers"),
    ("hotel.direct_w", "-5", "0 W or more"),
    ("battery.capacity_by_c", "[[0, 1.2], [20, 1]]", "in row 1"),
    ("battery.capacity_by_c", "[[0, 0.9]]", "2 rows or more"),
    ("battery.capacity_by_c", "[0, 0.9]", "rows of 2 numbers"),
    ("battery.capacity_by_c", "[[0, 0.9", "rows of 2 numbers"),
    ("hull.trial", "[[4,200],[6,700]]", "3 rows or more, not 2"),
    ("comfort.hours_c", '"25:00-26:00" = 14', "a span of hours"),
    ("comfort.hours_c", '"06:00-07:00" = 50', "-10 to 35"),
    ("comfort.hours_c", "14", "setpoints by hours"),
    ("name", "a" * 201, "a text of up to 200"),
    ("name", "a\x1b[2J", "a text"),
]


@pytest.mark.parametrize(("path", "text", "value"), READ)
def test_read(path: str, text: str, value: object) -> None:
    found = read(field(path), text)
    assert found == value
    assert type(found) is type(value)


@pytest.mark.parametrize(("path", "text", "reason"), REFUSED)
def test_refused_with_its_reason(path: str, text: str, reason: str) -> None:
    with pytest.raises(ValueError) as caught:
        read(field(path), text)
    assert reason in str(caught.value)
    assert "\n" not in str(caught.value)


@pytest.mark.parametrize(("path", "value"), [(path, value) for path, _, value in READ if value is not None])
def test_what_was_read_is_read_again_from_its_text(path: str, value: object) -> None:
    assert read(field(path), text_of(field(path), value)) == value


def test_a_date_stays_of_the_kind_it_was() -> None:
    assert read(field("departs"), "2027-03-05", now="2027-03-01") == "2027-03-05"
    assert read(field("departs"), "2027-03-05", now=date(2027, 3, 1)) == date(2027, 3, 5)
    assert nudged(field("departs"), "2027-02-28", 1) == "2027-03-01"
    assert nudged(field("departs"), date(2027, 3, 1), -10) == date(2027, 2, 19)


def test_times_of_toml_are_shown_as_clock_times() -> None:
    assert text_of(field("day_starts"), time(8, 30)) == "08:30"
    assert text_of(field("travel"), [time(8, 30), "17:00"]) == "08:30-17:00"


def test_a_number_typed_bare_is_in_the_unit_shown() -> None:
    speed = field("hull.steerable_min_kmh")
    assert read(speed, "2", scale=KNOTS) == 3.704
    assert read(speed, "4 km/h", scale=KNOTS) == 4
    assert text_of(speed, 3.704, KNOTS) == "2"
    assert limits_text(speed, KNOTS) == "above 0, up to 10.8 kn"
    with pytest.raises(ValueError, match=r"10\.8 kn"):
        read(speed, "11", scale=KNOTS)
    assert nudged(speed, 3.704, 1, KNOTS) == pytest.approx(2.5 * 1.852)


@given(st.floats(0.01, 9999))
def test_any_number_is_read_back_as_it_was(value: float) -> None:
    capacity = field("battery.capacity_kwh")
    assert read(capacity, text_of(capacity, tidy(value))) == tidy(value)


@given(st.floats(0.1, 19.9), st.integers(-30, 30))
def test_a_nudge_keeps_to_the_limits_or_says_why_not(value: float, steps: int) -> None:
    speed = field("hull.steerable_min_kmh")
    try:
        moved = nudged(speed, value, steps)
    except ValueError:
        assert value + steps * 0.5 <= 0 or steps == 0
    else:
        assert 0 < moved <= 20
        assert moved == pytest.approx(min(20, value + steps * 0.5))


@pytest.mark.parametrize(
    ("path", "value", "steps", "wanted"),
    [
        ("battery.reserve_percent", None, 1, 16),
        ("battery.reserve_percent", 3, -10, 0),
        ("battery.capacity_kwh", 28.0, 10, 33),
        ("heating_reserve_nights", 1, -1, 0),
        ("day_starts", "08:00", 1, "08:15"),
        ("day_starts", "00:05", -1, "00:00"),
        ("day_starts", "23:50", 10, "23:45"),
        ("sky", "good", 1, "cautious"),
        ("sky", None, 1, "middling"),
        ("inverter.always_on", None, 1, True),
        ("hotel.direct_w", None, -1, 45),
        ("cabin.window_gain", 1.0, -1, 0.95),
    ],
)
def test_nudges(path: str, value: object, steps: int, wanted: object) -> None:
    assert nudged(field(path), value, steps) == wanted


@pytest.mark.parametrize(
    ("path", "value", "steps", "reason"),
    [
        ("battery.reserve_percent", 0, -1, "0 to below 100"),
        ("battery.reserve_percent", 99.5, 1, "0 to below 100"),
        ("battery.charge_max_w", None, 1, "typed first"),
        ("by", None, 1, "typed first"),
        ("hotel.direct_w", [1] * 24, 1, "no single figure"),
        ("travel", ["08:30", "17:00"], 1, "no single figure"),
        ("name", "Sedge", 1, "no single figure"),
    ],
)
def test_nudges_refused(path: str, value: object, steps: int, reason: str) -> None:
    with pytest.raises(ValueError) as caught:
        nudged(field(path), value, steps)
    assert reason in str(caught.value)


UNSOUND = [10**400, float("nan"), float("inf"), [1], [[1, 10**400]], {"a": 10**400}, "x", True, date(1, 1, 1)]


@pytest.mark.parametrize("value", UNSOUND, ids=lambda value: str(value)[:9])
def test_whatever_a_file_holds_has_a_text(value: object) -> None:
    for one in BY_KEY.values():
        assert text_of(one, value)


@pytest.mark.parametrize("value", [10**400, float("nan")], ids=["huge", "nan"])
def test_what_is_no_figure_is_not_nudged(value: float) -> None:
    with pytest.raises(ValueError, match="no single figure"):
        nudged(field("battery.capacity_kwh"), value, 1)
