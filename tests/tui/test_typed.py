"""What is typed, read into values."""

from contextlib import suppress
from datetime import date

from hypothesis import given
from hypothesis import strategies as st

from voyager.tui import typed


@given(st.dates(date(1, 1, 1)))
def test_every_iso_date_is_read(day):
    assert typed.day(day.isoformat()) == day


@given(st.text(max_size=12))
def test_any_text_is_a_date_or_refused(text):
    with suppress(ValueError):
        assert isinstance(typed.day(text), date)
