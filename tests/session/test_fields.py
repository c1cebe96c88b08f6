"""The fields of the form against the file models and FILES' own words."""

import pickle

import pytest

from tests.session import write_fields
from voyager.files.boat_model import BoatFile
from voyager.files.voyage_model import VoyageFile
from voyager.session.fields import fields, known_fields
from voyager.session.value_nudge import nudged
from voyager.session.value_read import read
from voyager.session.value_text import text_of

FIELDS = fields()
BY_KEY = {(field["table"], field["key"]): field for field in FIELDS}
ROWS = {"place", "leg", "forecast"}
ELSEWHERE = {"format", "boat", "standard_error"}
"""Not in the form: the files' format, which boat file it is, and what fits write."""


def in_the_models() -> set[tuple[str, str]]:
    found = {("", key) for key in VoyageFile.model_fields if key not in ROWS | ELSEWHERE}
    for table, of in BoatFile.model_fields.items():
        inner = [
            one for one in (of.annotation, *getattr(of.annotation, "__args__", ())) if hasattr(one, "model_fields")
        ]
        if table not in ELSEWHERE:
            found |= {(table, key) for key in inner[0].model_fields} if inner else {("", table)}
    return found


def test_every_key_of_both_files_has_one_field() -> None:
    assert set(BY_KEY) == in_the_models()
    assert len(FIELDS) == len(BY_KEY) + 1, "name stands in both files"


def test_the_packaged_table_is_that_of_the_models() -> None:
    assert write_fields.PATH.read_text("utf-8") == write_fields.table(), "run python -m tests.session.write_fields"
    assert known_fields() == FIELDS


def test_a_field_is_plain_and_says_what_it_is() -> None:
    assert pickle.loads(pickle.dumps(FIELDS)) == FIELDS
    for field in FIELDS:
        assert field["label"], field
        assert len(field["label"]) <= 24, field["label"]
        assert field["help"], field


@pytest.mark.parametrize(
    ("table", "key", "unit", "least", "most", "above", "default"),
    [
        ("battery", "capacity_kwh", "kWh", 0, 1e4, True, None),
        ("battery", "reserve_percent", "%", 0, 100, False, 15.0),
        ("hull", "steerable_min_kmh", "km/h", 0, 20, True, 2.5),
        ("hull", "coefficient_w_per_mps3", "W/(m/s)³", 0, 1e5, True, None),
        ("cabin", "ua_w_per_k", "W/K", 0, 1e4, True, 70.0),
        ("array", "moored_tilt_deg", "°", 0, 90, False, None),
        ("array", "temperature_percent_per_k", "%/K", -2, 1, False, -0.35),
        ("", "heating_reserve_nights", "nights", 0, 30, False, 1),
    ],
)
def test_units_limits_and_defaults(
    table: str, key: str, unit: str, least: float, most: float, above: bool, default: object
) -> None:
    field = BY_KEY[table, key]
    assert (field["unit"], field["least"], field["most"], field["above"]) == (unit, least, most, above)
    assert field["default"] == default


def test_the_essentials_are_needed_and_nothing_else() -> None:
    """FILES section 2 and 3: name, battery capacity; departs; of an array and a heater what has no default."""
    needed = {(field["table"], field["key"]) for field in FIELDS if field["needed"]}
    names = {("", "name"), ("array", "name"), ("heater", "name")}
    figures = {("array", "panel_wp"), ("heater", "max_w"), ("battery", "capacity_kwh"), ("", "departs")}
    assert needed == names | figures


def test_where_two_units_are_usual_both_are_there() -> None:
    twins = {field["key"]: field["twin"]["key"] for field in FIELDS if field["twin"]}
    assert twins["waterline_m"] == "waterline_ft"
    assert twins["steerable_min_kmh"] == "steerable_min_kn"
    assert twins["mooring_every_km"] == "mooring_every_nm"
    assert BY_KEY["hull", "waterline_m"]["twin"]["most"] == pytest.approx(200 / 0.3048)
    assert BY_KEY["hull", "waterline_m"]["twin"]["unit"] == "ft"


def test_every_default_is_read_back_from_its_own_text() -> None:
    for field in FIELDS:
        if field["default"] not in (None, {}):
            assert read(field, text_of(field, field["default"])) == field["default"], field["key"]


def test_every_figure_with_a_default_can_be_nudged_within_its_limits() -> None:
    for field in FIELDS:
        if field["kind"] in {"number", "integer"} and field["default"] is not None:
            moved = {nudged(field, None, steps) for steps in (1, -1) if field["default"] not in (field["least"],)}
            assert all(field["least"] <= value <= field["most"] for value in moved), field["key"]
            assert nudged(field, None, 1) > field["default"], field["key"]


def test_what_can_hurt_has_its_caution() -> None:
    for at in [("battery", "charging_min_c"), ("battery", "charge_max_w"), ("battery", "discharge_max_w"),
               ("inverter", "max_w"), ("shore", "charger_max_w"), ("heater", "max_w"), ("battery", "heater_w"),
               ("cabin", "fresh_air_m3_per_h"), ("array", "raise_wind_max_kmh")]:  # fmt: skip
        assert BY_KEY[at]["caution"], at
