"""CSV and JSON: keys in the order of FILES section 5, nothing that is not JSON."""

import csv
import io
import json
import math
from datetime import date

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.cli.support import sample
from voyager.report.export import DAY_KEYS, csv_text, days_csv, json_text

FILES_ORDER = [
    "day", "date", "starts_utc", "length_h", "mark", "why", "sky_class", "comfort", "from", "mooring",
    "shore_here", "start_km", "end_km", "casts_off_utc", "made_fast_utc", "hours_underway", "waiting_h",
    "locks", "pace_w", "solar_kwh", "shore_kwh", "propulsion_kwh", "hotel_kwh", "heating_kwh", "loss_kwh",
    "spilled_kwh", "unserved_kwh", "charge_start_kwh", "charge_low_kwh", "charge_evening_kwh", "charge_end_kwh",
    "floor_kwh", "heating_reserve_kwh", "poor_low_kwh", "poor_evening_kwh", "held", "warm_hours", "asked_hours",
    "cabin_low_c",
]  # fmt: skip


def test_csv_has_the_scalar_keys_in_order() -> None:
    rows = list(csv.reader(io.StringIO(days_csv(sample()))))
    assert rows[0] == FILES_ORDER
    assert len(rows) == 13


def test_no_scalar_key_of_a_day_is_left_out() -> None:
    day = sample()["days"][0]
    assert tuple(key for key, value in day.items() if not isinstance(value, list)) == DAY_KEYS


def test_csv_reads_back() -> None:
    rows = list(csv.DictReader(io.StringIO(days_csv(sample()))))
    for row, day in zip(rows, sample()["days"], strict=True):
        assert float(row["charge_end_kwh"]) == day["charge_end_kwh"]
        assert row["held"] == "true"
        assert row["sky_class"] == ""
        assert row["mooring"] == day["mooring"]


def test_csv_quotes_what_needs_it() -> None:
    assert csv_text(("a", "b"), [{"a": 'quay, "north"', "b": None}]) == 'a,b\n"quay, ""north""",\n'


def test_json_has_format_first_and_keeps_the_order_of_keys() -> None:
    text = json_text({"b": 1, "format": 1, "a": 2})
    assert list(json.loads(text)) == ["format", "b", "a"]


def test_json_has_no_nan_no_infinity_and_plain_numbers() -> None:
    value = {
        "x": math.nan, "y": [math.inf, -math.inf], "z": np.float64("nan"), "n": np.int64(3), "t": np.bool_(True),
        "a": np.array([[1.0, np.nan]]), "d": date(2027, 3, 1), "u": ("one", 2),
    }  # fmt: skip
    assert json.loads(json_text(value)) == {
        "format": 1, "x": None, "y": [None, None], "z": None, "n": 3, "t": True,
        "a": [[1.0, None]], "d": "2027-03-01", "u": ["one", 2],
    }  # fmt: skip


def test_json_in_ascii_reads_back_the_same() -> None:
    value = {"format": 1, "place": "Ærø"}
    text = json_text(value, ascii_only=True)
    assert text.isascii()
    assert json.loads(text) == value


def test_json_refuses_what_it_cannot_hold() -> None:
    with pytest.raises(TypeError, match="object has no form in JSON"):
        json_text({"x": object()})


values = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(),
    lambda inner: st.lists(inner) | st.dictionaries(st.text(), inner),
    max_leaves=20,
)


@given(st.dictionaries(st.text(), values))
def test_any_plain_value_becomes_strict_json(value: dict[str, object]) -> None:
    def refuse(word: str) -> None:
        raise ValueError(word)

    json.loads(json_text(value), parse_constant=refuse)
