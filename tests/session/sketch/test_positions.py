"""Typed positions. Athlone's is at hand: 53.42 N, 7.94 W is 53 deg 25.2 min, 7 deg 56.4 min."""

from contextlib import suppress

import pytest
from hypothesis import given
from hypothesis import strategies as st

from voyager.session.sketch.positions import parse_position, position_words


@pytest.mark.parametrize("text", [
    "53.42, -7.94", "53.42 -7.94", "53,42 -7,94", "53,42; -7,94", "53,42,-7,94", "(53.42, −7.94)", "+53.42-7.94",
    "N53.42 W7.94", "53.42N7.94W", "53.42° N, 7.94° W", "7.94W 53.42N",
    "53 25.2 N, 7 56.4 W", "53°25.2'N 7°56.4'W", "53° 25,2′ N 7° 56,4′ W", "N 53 25.2 W 007 56.4", "53°25.2' -7°56.4'",
    "53°25'12\"N 7°56'24\"W", "53°25′12″N7°56′24″W", "53 25 12 n 7 56 24 w", "53º25’12''N / 7º56’24''W",
])  # fmt: skip
def test_every_usual_way_to_write_it(text):
    assert parse_position(text) == pytest.approx((53.42, -7.94), abs=1e-9)


@pytest.mark.parametrize(("text", "reason"), [
    ("53 25", "more than one way"), ("53,42", "more than one way"), ("53 25.2", "more than one way"),
    ("53 25 7 56", "more than one way"), ("53 25 12 7", "more than one way"),
    ("53°25.2'N", "one figure only"), ("53.42N, 7.94N", "one of N or S and one of E or W"),
    ("-53.42N 7.94W", "a sign and a letter"), ("53°75'N 7°W", "60 or more"), ("53 42 N 7", "can't be read"),
    ("52 40 N 8 37 O", "has an O, which may mean east or west"),
    ("98.0, 7.0", r"^has latitude 98.0°, the most is 90°, .* first; 7.0, 98.0 may be"),
    ("53, 190", "^has longitude 190.0°, the most is 180"), ("", "^is missing"),
    ("Portumna", "is no position"), ("5" * 90, "longer than"),
])  # fmt: skip
def test_what_can_be_misread_is_refused_with_the_reason(text, reason):
    with pytest.raises(ValueError, match=reason):
        parse_position(text)


LATS, LONS = st.floats(-90, 90), st.floats(-180, 180)


@given(LATS, LONS)
def test_its_own_words_are_read_again(lat, lon):
    at = (round(lat, 6), round(lon, 6))
    assert parse_position(position_words(at)) == pytest.approx(at, abs=1e-9)


@given(LATS, LONS)
def test_degrees_and_minutes_with_letters(lat, lon):
    def half(value, letters):
        degrees, minutes = divmod(round(abs(value) * 60, 3), 60)
        return f"{degrees:.0f}°{minutes:.3f}'{letters[value < 0]}"

    read = parse_position(f"{half(lat, 'NS')} {half(lon, 'EW')}")
    assert read == pytest.approx((lat, lon), abs=1e-5)


@given(st.text("0123456789 ,.;-+°'\"NSEWx", max_size=30))
def test_any_text_is_read_or_refused(text):
    with suppress(ValueError):
        lat, lon = parse_position(text)
        assert abs(lat) <= 90
        assert abs(lon) <= 180
