"""Nothing from a file can steer the terminal."""

from hypothesis import given
from hypothesis import strategies as st

from voyager.files.printable import nearest, printable, proposal, shown


@given(st.text())
def test_all_that_is_printed_is_printable(text: str) -> None:
    assert printable(text).isprintable()
    assert printable(text) == text or not text.isprintable()


@given(st.recursive(st.none() | st.booleans() | st.integers() | st.floats() | st.text(), st.lists))
def test_values_are_shown_in_one_short_line(value: object) -> None:
    assert len(shown(value)) <= 60
    assert shown(value).isprintable()


def test_escapes_and_overrides_are_made_visible() -> None:
    assert printable("a\x1b[31m\u202eb\n\udcff é") == "a\\x1b[31m\\u202eb\\n\\udcff é"
    assert shown(10**5000) == "a number of thousands of digits"
    assert shown(["a", True, {"b": 1.5}]) == '["a", true, {b = 1.5}]'


def test_the_nearest_word_is_proposed_whatever_its_case() -> None:
    assert nearest("ROOSKY", ["Athlone", "Rooskey"]) == "Rooskey"
    assert proposal("xyz", ["Athlone"]) == ""
