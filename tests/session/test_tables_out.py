"""Tables as text and as CSV."""

import csv
import io
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from voyager.errors import NotSaved
from voyager.session.tables_out import Table, cell, comma_separated, heading, tabbed, write_table

TEXTS = st.text(st.characters(exclude_categories=("Cs",), exclude_characters="\x00"), max_size=12)
ODD = Table("odd", ("name", "says"), (('Mill "Quay"', "a, b"), ("two\nlines", "tab\there"), (None, True)))


@pytest.mark.parametrize(
    ("key", "words"),
    [
        ("charge_low_kwh", "charge low [kWh]"), ("cabin_low_c", "cabin low [°C]"), ("from", "from"),
        ("starts_utc", "starts [UTC]"), ("shore_price_per_kwh", "shore price [a kWh]"),
        ("hours_underway", "hours underway [h]"), ("sky_class", "sky class"), ("waiting_h", "waiting [h]"),
    ],
)  # fmt: skip
def test_headings_carry_their_units(key: str, words: str) -> None:
    assert heading(key) == words


@pytest.mark.parametrize(
    ("value", "text"),
    [(1.0, "1"), (0.1 + 0.2, "0.3"), (12.958963282937365, "12.9589633"), (None, ""), (True, "yes"), (["a", 2], "a; 2"),
     (-0.5, "-0.5"), (7, "7"), (1e-7, "1e-07")],
)  # fmt: skip
def test_values_are_written_in_full(value: object, text: str) -> None:
    assert cell(value) == text


def test_csv_is_as_rfc_4180_has_it() -> None:
    """RFC 4180, section 2: CR LF at line ends, quotes around what has comma, quote or line end, quotes doubled."""
    assert comma_separated(ODD) == 'name,says\r\n"Mill ""Quay""","a, b"\r\n"two\nlines",tab\there\r\n,yes\r\n'


def test_tabbed_keeps_a_row_a_line() -> None:
    assert tabbed(ODD) == 'name\tsays\nMill "Quay"\ta, b\ntwo lines\ttab here\n\tyes\n'


@given(st.lists(st.tuples(TEXTS, TEXTS), max_size=6))
def test_csv_reads_back(rows: list[tuple[str, str]]) -> None:
    read = list(csv.reader(io.StringIO(comma_separated(Table("t", ("a", "b"), tuple(rows))), newline="")))
    assert read == [["a", "b"], *map(list, rows)]


def test_nothing_is_written_over_unasked(tmp_path: Path) -> None:
    file = tmp_path / "t.csv"
    file.write_text("own")
    with pytest.raises(NotSaved, match="is there already") as caught:
        write_table(str(file), ODD)
    assert caught.value.kind == "exists"
    assert file.read_text() == "own"
    write_table(str(file), ODD, force=True)
    assert file.read_bytes() == comma_separated(ODD).encode()
    with pytest.raises(NotSaved, match="there is no folder"):
        write_table(str(tmp_path / "none" / "t.csv"), ODD)
    with pytest.raises(NotSaved, match="is a directory"):
        write_table(str(tmp_path), ODD)
