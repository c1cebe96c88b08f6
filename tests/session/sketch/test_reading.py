"""What is typed for each key, and that keys and limits are those of the files."""

from contextlib import suppress
from datetime import UTC, date, datetime

import annotated_types
import pytest
from hypothesis import given
from hypothesis import strategies as st

from voyager.files.voyage_model import LegTable, PlaceTable, TideTable
from voyager.session.sketch.fields import LEG_BY_KEY, LEG_FIELDS, PLACE_BY_KEY, PLACE_FIELDS
from voyager.session.sketch.reading import read, text_of, words


def model_keys(model):
    return {field.alias or name for name, field in model.model_fields.items()}


def test_every_key_of_a_leg_and_a_place_has_its_field():
    tide = {f"tide.{key}" for key in model_keys(TideTable)}
    assert set(LEG_BY_KEY) == model_keys(LegTable) - {"tide", "via"} | tide
    assert set(PLACE_BY_KEY) == model_keys(PlaceTable)


def limits(model, key):
    found = next(field for name, field in model.model_fields.items() if (field.alias or name) == key)
    metadata = list(found.metadata)
    low = next((m.ge for m in metadata if isinstance(m, annotated_types.Ge)), None)
    above = next((m.gt for m in metadata if isinstance(m, annotated_types.Gt)), None)
    high = next((m.le for m in metadata if isinstance(m, annotated_types.Le)), None)
    return (low if above is None else above), above is not None, high


@pytest.mark.parametrize(
    ("model", "field"),
    [
        *((LegTable, field) for field in LEG_FIELDS if "tide" not in field.key),
        *((PlaceTable, f) for f in PLACE_FIELDS),
        (TideTable, LEG_BY_KEY["tide.flood_kmh"]),
    ],
)
def test_limits_are_those_of_the_file(model, field):
    low, above, high = limits(model, field.key.removeprefix("tide."))
    if field.kind not in {"number", "count"} or (low is None and high is None):
        return
    assert (field.low, field.above, field.high) == (low, above, high)


@pytest.mark.parametrize(
    ("key", "text", "value"),
    [
        ("distance_km", "12,5", ("distance_km", 12.5)),
        ("distance_km", "12 NM", ("distance_nm", 12)),
        ("speed_kmh", "3.5 kn", ("speed_kn", 3.5)),
        ("speed_kmh", "6 km/h", ("speed_kmh", 6)),
        ("speed_kmh", " ", ("speed_kmh", None)),
        ("depth_m", "6ft", ("depth_ft", 6)),
        ("water", "co", ("water", "coastal")),
        ("locks", "3", ("locks", 3)),
        ("overnight", "yes", ("overnight", True)),
        ("open_hours", "9-17:30", ("open_hours", ["09:00", "17:30"])),
        ("closed_days", "sun, Mon", ("closed_days", ["mon", "sun"])),
        ("lock_at_km", "1.5, 3 7", ("lock_at_km", [1.5, 3, 7])),
        ("earliest", "2027-3-5", ("earliest", date(2027, 3, 5))),
        (
            "closed",
            "2027-03-05 to 2027-03-09, 2027-04-01",
            ("closed", [[date(2027, 3, 5), date(2027, 3, 9)], [date(2027, 4, 1)] * 2]),
        ),
        ("tide.high_water", "2027-03-01 05:40 UTC", ("tide.high_water", datetime(2027, 3, 1, 5, 40, tzinfo=UTC))),
        ("tide.flood_kmh", "-2 kn", ("tide.flood_kn", -2)),
        ("current_kmh", "−0.5", ("current_kmh", -0.5)),
    ],
)
def test_what_is_typed_is_read(key, text, value):
    assert read(LEG_BY_KEY[key], text) == value


def test_bare_figures_are_in_the_unit_shown():
    assert read(LEG_BY_KEY["speed_kmh"], "3.5", second=True) == ("speed_kn", 3.5)
    assert read(LEG_BY_KEY["speed_kmh"], "6 km/h", second=True) == ("speed_kmh", 6)
    assert read(LEG_BY_KEY["lock_min"], "15", second=True) == ("lock_min", 15)


@pytest.mark.parametrize(
    ("key", "text", "reason"),
    [
        ("speed_kmh", "fast", "a figure in km/h such as 6.5, or 3.5 kn"),
        ("speed_kmh", "101", "a figure above 0 and up to 100 km/h"),
        ("speed_kmh", "60 kn", "up to 100"),
        ("distance_km", "3 kn", "a figure in km"),
        ("locks", "1.5", "a whole number from 0 to 200"),
        ("water", "c", "one of canal, river"),
        ("overnight", "maybe", "yes or no"),
        ("open_hours", "17-9", "the earlier time first"),
        ("open_hours", "9", "two clock times"),
        ("open_hours", "9-25", "two clock times"),
        ("closed_days", "someday", "days of the week"),
        ("earliest", "2027-02-30", "a day that exists"),
        ("earliest", "soon", "a date as"),
        ("closed", "2027-03-09 to 2027-03-05", "earlier"),
        ("tide.high_water", "2027-03-01 05:40", "with its offset"),
        ("tide.high_water", "noon", "a date and time"),
        ("lock_at_km", "1 x", "a figure in km"),
        ("fit_to_go", "0", "from 0.01 to 1"),
    ],
)
def test_what_can_not_be_is_refused_with_the_reason(key, text, reason):
    with pytest.raises(ValueError, match=reason.replace("(", r"\(")):
        read(LEG_BY_KEY[key], text)


@pytest.mark.parametrize(
    ("key", "value"),
    [
        ("speed_kmh", 6.25),
        ("water", "open"),
        ("overnight", True),
        ("open_hours", ["09:00", "17:00"]),
        ("closed_days", ["sat", "sun"]),
        ("closed", [[date(2027, 3, 5), date(2027, 3, 9)]]),
        ("lock_at_km", [1.5, 7]),
        ("latest", date(2027, 3, 5)),
        ("tide.high_water", datetime(2027, 3, 1, 5, 40, tzinfo=UTC)),
        ("moor_anywhere", False),
        ("nights", 3),
    ],
)
def test_words_are_read_again(key, value):
    assert read(LEG_BY_KEY[key], words(value)) == (key, value)


def test_positions_in_the_places():
    field = PLACE_BY_KEY["at"]
    assert read(field, "53°25.2'N 7°56.4'W") == ("at", [53.42, -7.94])
    assert text_of(field, [53.42, -7.94]) == "53.42, -7.94"
    assert text_of(field, ["x", 1]) == "x 1"


@pytest.mark.parametrize("text", ["0", "-3", "6 mph", "six", "1e1", "nan", "inf", "6.5.5", "٣", "55 kn"])
def test_no_speeds(text):
    with pytest.raises(ValueError, match="a figure"):
        read(LEG_BY_KEY["speed_kmh"], text)


@pytest.mark.parametrize("text", ["-1", "1.5", "367", "two", "²", "99999"])
def test_no_nights(text):
    with pytest.raises(ValueError, match="a whole number from 0 to 366"):
        read(LEG_BY_KEY["nights"], text)


@given(st.text(max_size=12), st.sampled_from(LEG_FIELDS + PLACE_FIELDS), st.booleans())
def test_any_text_is_a_value_or_a_reason(text, field, second):
    with suppress(ValueError):
        key, value = read(field, text, second)
        if value is not None and field.kind in {"choice", "count", "bool", "date", "window", "days", "list", "spans"}:
            assert read(field, words(value), key != field.key) == (key, value)


@pytest.mark.parametrize("value", [10**400, float("nan"), [1], [10**400, 1], {"a": 1}, "x", True], ids=str)
def test_whatever_a_file_holds_has_a_text(value):
    for field in (*LEG_FIELDS, *PLACE_FIELDS):
        assert isinstance(text_of(field, value), str)
    assert isinstance(words(value), str)
