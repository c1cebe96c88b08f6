"""What is typed, read into values."""

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from voyager.tui import typed


@pytest.mark.parametrize(("text", "value"), [
    ("", None), ("  ", None), ("6", 6.0), ("6.5", 6.5), ("6,5", 6.5), (".5", 0.5), ("7 km/h", 7.0), ("7kmh", 7.0),
    ("3 kn", 5.56), ("3kt", 5.56), ("40", 40.0),
])  # fmt: skip
def test_speeds(text, value):
    assert typed.speed_kmh(text) == value


@pytest.mark.parametrize("text", ["0", "-3", "41", "6 mph", "six", "1e1", "nan", "inf", "6.5.5", "٣", "22 kn"])
def test_no_speeds(text):
    with pytest.raises(ValueError, match="speed"):
        typed.speed_kmh(text)


@pytest.mark.parametrize(("text", "value"), [("", 0), ("0", 0), ("3", 3), (" 12 ", 12), ("366", 366)])
def test_nights(text, value):
    assert typed.nights(text) == value


@pytest.mark.parametrize("text", ["-1", "1.5", "367", "two", "²", "99999"])
def test_no_nights(text):
    with pytest.raises(ValueError, match="whole nights from 0 to 366"):
        typed.nights(text)


@given(st.dates(date(1, 1, 1)))
def test_every_iso_date_is_read(day):
    assert typed.day(day.isoformat()) == day


@given(st.text(max_size=12))
def test_any_text_is_a_value_or_a_reason(text):
    for read, kinds in ((typed.speed_kmh, float | None), (typed.nights, int), (typed.day, date)):
        reason, value = "", None
        try:
            value = read(text)
        except ValueError as error:
            reason = str(error)
        assert isinstance(value, kinds) if not reason else len(reason) > 10
