"""The schemas for editors, held to the jsonschema package and to what `check` says."""

from datetime import date, time
from pathlib import Path
from typing import Any, Literal

import pytest
import tomli
from jsonschema import Draft202012Validator, FormatChecker

from tests.files.support import BOATS, PAIR, ROUTES, SMALL_BOAT, SMALL_VOYAGE, VOYAGES
from voyager.files.schema import schema

FILES = [*((ROUTES / name, "boat") for name in BOATS), *((ROUTES / name, "voyage") for name in VOYAGES),
         (PAIR / "sedge.toml", "boat"), (PAIR / "shannon.toml", "voyage")]  # fmt: skip


def as_json(value: Any) -> Any:
    """TOML data as an editor's validator sees them: dates are texts."""
    if isinstance(value, dict):
        return {key: as_json(item) for key, item in value.items()}
    if isinstance(value, list):
        return [as_json(item) for item in value]
    return value.isoformat() if isinstance(value, date | time) else value


def valid(kind: Literal["boat", "voyage"], text: str) -> bool:
    made = schema(kind)
    Draft202012Validator.check_schema(made)
    return Draft202012Validator(made, format_checker=FormatChecker()).is_valid(as_json(tomli.loads(text)))


@pytest.mark.parametrize(("path", "kind"), FILES)
def test_every_demo_is_valid(path: Path, kind: Literal["boat", "voyage"]) -> None:
    assert valid(kind, path.read_text("utf-8"))
    other: Literal["boat", "voyage"] = "voyage" if kind == "boat" else "boat"
    assert not valid(other, path.read_text("utf-8"))


@pytest.mark.parametrize(
    ("old", "new"),
    [("name = ", "nme = "), ("capacity_kwh = 20", 'capacity_kwh = "20"'), ("panel_wp = 400", "panel_wp = -400"),
     ("coefficient_w_per_mps3 = 90", ""), ("coefficient_w_per_mps3 = 90", "trial = [[1, 2], [3, 4]]"),
     ("coefficient_w_per_mps3 = 90", "coefficient_w_per_mps3 = 90\ntrial = [[1, 2], [3, 4], [5, 6]]"),
     ("[hull]", "[hull]\nbeam_m = 2\nbeam_ft = 6"), ("[hull]", "[hull]\nbeam_ft = 600"),
     ("[hull]", "[hull]\nbeam_in = 6"),
     ("[battery]", "[comfort.off]\n[battery]"), ("[battery]", "[hotel]\ndirect_w = [1, 2]\n[battery]"),
     ("[hull]", "[hull]\nmotor_max_w = true")],
)  # fmt: skip
def test_broken_boats_are_refused(old: str, new: str) -> None:
    assert valid("boat", SMALL_BOAT)
    assert not valid("boat", SMALL_BOAT.replace(old, new, 1))


@pytest.mark.parametrize(
    ("old", "new"),
    [("boat =", "ship ="), ("2027-03-01", '"2027-02-30"'), ("2027-03-01", "20270301"), ("[52.99, -6.98]", "[52.99]"),
     ("[52.99, -6.98]", "[95, -6.98]"), ("departs", 'sky = "fair"\ndeparts'),
     ("departs", 'travel = ["8:00", "17:00"]\ndeparts'),
     ("to =", 'water = "sea"\nto ='), ("to =", "distance_km = 5\ndistance_nm = 3\nto ="),
     ("to =", "nights = 1.5\nto ="),
     ("to =", "tide = { high_water = 2027-03-01T05:40:00Z }\nto ="), ("[[leg]]\nfrom", "[[leg]]\nform"),
     ("departs", "forecast = [{ date = 2027-03-01 }]\ndeparts")],
)  # fmt: skip
def test_broken_voyages_are_refused(old: str, new: str) -> None:
    assert valid("voyage", SMALL_VOYAGE)
    assert not valid("voyage", SMALL_VOYAGE.replace(old, new, 1))


@pytest.mark.parametrize(
    "new",
    ["distance_nm = 12", "tide = { high_water = 2027-03-01T05:40:00Z, flood_kn = 1 }", "lock_at_nm = [1]",
     'open_hours = ["09:00", "24:00"]', 'closed = [[2027-03-01, "2027-03-02"]]'],
)  # fmt: skip
def test_other_units_and_texts_are_valid(new: str) -> None:
    assert valid("voyage", SMALL_VOYAGE.replace("to =", f"{new}\nto =", 1))


def test_every_key_of_the_page_stands_in_the_schemas() -> None:
    """Keys as the description of the files lists them, by hand."""
    boat, voyage = schema("boat"), schema("voyage")
    tables = {"top": boat["properties"], **{name: table["properties"] for name, table in boat["$defs"].items()}}
    assert {len(keys - set(tables[name])) for name, keys in PAGE_BOAT.items()} == {0}
    tables = {"top": voyage["properties"], **{name: table["properties"] for name, table in voyage["$defs"].items()}}
    assert {len(keys - set(tables[name])) for name, keys in PAGE_VOYAGE.items()} == {0}
    assert "description" in tables["LegTable"]["fit_to_go"]


def _keys(**tables: str) -> dict[str, set[str]]:
    return {name: set(text.split()) for name, text in tables.items()}


PAGE_BOAT = _keys(
    top="format name hull array battery inverter shore hotel cabin standard_error heater comfort",
    HullTable="coefficient_w_per_mps3 trial waterline_m beam_m draught_m air_draught_m midship_area_m2 motor_max_w "
    "steerable_min_kmh underway_extra_w manoeuvre_w air_drag_area_m2 propulsive_efficiency sea_margin_percent",
    ArrayTable="name panel_wp panels tilt_deg azimuth_deg moored_tilt_deg moored_azimuth_deg moored_side mass_kg price "
    "raise_wind_max_kmh loss_percent temperature_percent_per_k low_light_percent controller_max_w "
    "controller_efficiency shade_percent rows_shade_percent",
    BatteryTable="capacity_kwh nominal_v health_percent ceiling_percent reserve_percent charge_efficiency heater_w "
    "discharge_efficiency charge_max_w discharge_max_w charging_min_c warmer_than_outside_k capacity_by_c",
    InverterTable="max_w efficiency efficiency_by_load standby_w always_on inside_cabin",
    ShoreTable="charger_max_w charger_efficiency",
    HotelTable="direct_w alternating_w",
    CabinTable="ua_w_per_k fresh_air_m3_per_h thermal_capacity_wh_per_k structure_capacity_wh_per_k structure_w_per_k "
    "people person_w window_m2 window_gain",
    HeaterTable="name max_w cop cop_by_c supply radiant_k",
    ComfortTable="hours_c otherwise_c",
)
PAGE_VOYAGE = _keys(
    top="format name boat departs time_zone day_starts travel charge_at_start_percent comfort heating_reserve_nights "
    "sky aim by shore_power mooring_every_km forecast_skill weather place leg forecast",
    PlaceTable="name at shore_kw shore_price_per_kwh moor heading_deg shade_percent height_m",
    LegTable="from to water distance_km via moor_anywhere depth_m width_m current_kmh tide shade_percent tunnel_km "
    "limit_kmh headroom_m lock_length_m lock_beam_m locks lock_min lock_kwh lock_at_km bridges bridge_min bridge_at_km "
    "open_hours closed_days closed wind_kmh wind_max_kmh fit_to_go overnight speed_kmh earliest latest nights",
    TideTable="high_water flood_kmh",
    ForecastTable="date oktas ghi_kwh_m2 air_c wind_kmh",
)
