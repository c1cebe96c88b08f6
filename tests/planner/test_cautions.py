"""Cautions: each made to appear, and shown to stay away where it has no place."""

from dataclasses import replace
from datetime import UTC, date, datetime
from types import SimpleNamespace
from typing import Any

import pytest

from tests.planner.samples import LEGS, PLACES, battery, vessel, voyage
from voyager.boat.arrays import PanelArray
from voyager.boat.cabin import Heater
from voyager.boat.hull import Hull
from voyager.boat.vessel import Hotel
from voyager.planner import cautions
from voyager.planner.damp import condenses
from voyager.planner.frame import build_frame
from voyager.planner.outlook import Outlook, look, plan_frame
from voyager.route.leg import Leg
from voyager.route.place import Place

CODES = (
    "not_for_navigation", "heater", "fresh_air", "condensation", "frost", "cold_charging", "ice", "snow",
    "shore_safety", "deep_discharge", "no_way_out", "daylight", "overnight", "sea", "tide", "lock_hours", "shallow",
    "hull_speed", "over_limit", "raised_wind", "inverter_overload", "land", "climate_north", "climate_ocean",
    "deadline",
)  # fmt: skip
JUNE = {"departs": date(2027, 6, 7), "comfort": "off", "travel_min": (600, 780)}
JANUARY = {"departs": date(2027, 1, 10), "travel_min": (600, 780)}
INLAND = tuple(replace(p, lat=p.lat + 9, lon=25.0) for p in PLACES)


def _days(found: Outlook) -> list[list[str]]:
    at = found.built.stops.mooring
    return [cautions.of_day(found.frame, day, int(at[day.end])) for day in found.schedule.days]


def _any_day(found: Outlook) -> set[str]:
    return {code for codes in _days(found) for code in codes}


def _plan(found: Outlook) -> list[str]:
    return [c.code for c in cautions.of_plan(found.frame, found.schedule)]


def test_every_code_is_one_of_the_documented_and_has_a_sentence() -> None:
    assert set(cautions.TEXT) <= set(CODES)
    for text in cautions.TEXT.values():
        assert text.endswith(".")
        assert len(text) > 15
    assert set(cautions.TEXT) == set(CODES)


def test_a_day_in_june_needs_no_caution() -> None:
    assert _any_day(look(vessel(), voyage(**JUNE))) == set()


def test_heating_in_january_brings_its_cautions() -> None:
    found = look(vessel(), voyage(**JANUARY))
    for day, codes in zip(found.schedule.days, _days(found), strict=True):
        heated = float(day.ledger.total("heating_kwh")[0]) > 0.01
        assert ({"heater", "fresh_air"} <= set(codes)) is heated
        assert ("condensation" in codes) is (heated and condenses(day.ledger.air_c[0], day.outside_c))
        assert ("frost" in codes) is (float(day.outside_c.min()) < 0.0)
    assert {"heater", "condensation"} <= _any_day(found)


def test_frozen_north_brings_ice_snow_and_cells_too_cold() -> None:
    """Finland in January, some 9 degrees of frost: cells 3 K warmer than the air cannot be charged."""
    found = plan_frame(build_frame(vessel(), voyage(places=INLAND, **JANUARY), 3))
    assert {"frost", "ice", "snow", "cold_charging"} <= _any_day(found)
    assert "ice" not in _any_day(look(vessel(), voyage(**JANUARY)))


def test_cells_kept_warm_are_not_too_cold() -> None:
    warm = vessel(battery=battery(warmer_than_outside_k=25.0))
    assert "cold_charging" not in _any_day(plan_frame(build_frame(warm, voyage(places=INLAND, **JANUARY), 3)))


def test_plug_brings_shore_safety_on_the_days_that_use_it() -> None:
    found = look(vessel(battery=battery(10.0)), voyage(**JANUARY))
    for day, codes in zip(found.schedule.days, _days(found), strict=True):
        assert ("shore_safety" in codes) is day.plugged
    assert "shore_safety" in _any_day(found)


def test_what_is_not_held_says_so_and_below_the_floor_too() -> None:
    here = voyage(shore_power="never", charge_at_start_percent=15.0, departs=date(2027, 1, 10), comfort="off")
    found = plan_frame(build_frame(vessel(arrays=(PanelArray("none", 0.0),)), here, 2))
    for day, codes in zip(found.schedule.days, _days(found), strict=True):
        assert not day.choice.held
        assert {"no_way_out", "deep_discharge"} <= set(codes)
    assert "no_way_out" not in _any_day(look(vessel(), voyage(**JUNE)))


def test_making_fast_near_dusk_is_daylight() -> None:
    """Sunset in January is before half past four: travel by the clock until then is close."""
    legs = (replace(LEGS[0], moor_anywhere=False, locks=0, distance_km=34.0),)
    here = voyage(places=PLACES[:2], legs=legs, departs=date(2027, 1, 10), travel_min=(540, 1020), comfort="off")
    found = look(vessel(hull=Hull(20.0, motor_max_w=4000.0)), replace(here, legs=(replace(legs[0], speed_mps=1.3),)))
    assert "daylight" in _any_day(found)
    early = replace(here, legs=(replace(legs[0], speed_mps=3.0),))
    assert "daylight" not in _any_day(look(vessel(hull=Hull(20.0, motor_max_w=4000.0)), early))


def _coast(**leg: object) -> Outlook:
    places = (Place("Cove", 53.0, -6.0), Place("Haven", 53.2, -6.0))
    one = Leg("Cove", "Haven", "coastal", distance_km=20.0, moor_anywhere=False)
    return look(vessel(), voyage(places=places, legs=(replace(one, **leg),), departs=date(2027, 6, 7), comfort="off"))


DOVER, BORDEAUX = Place("Dover", 51.05, 1.45), Place("Gironde", 45.6, -1.5)
ROUND_BRITTANY = ((50.0, -1.0), (49.0, -6.0), (47.0, -5.0))


@pytest.mark.parametrize(
    ("changes", "told"),
    [
        ({}, True),
        ({"water": "open"}, True),
        ({"via": ROUND_BRITTANY}, False),
        ({"distance_km": 1100.0}, False),
        ({"water": "canal"}, False),
    ],
)
def test_a_measured_leg_across_land_says_so_on_exposed_water(changes: dict[str, Any], told: bool) -> None:
    leg = replace(Leg(DOVER.name, BORDEAUX.name, "coastal"), **changes)
    route = SimpleNamespace(legs=(leg,))
    frame: Any = SimpleNamespace(route=route, vessel=vessel(), voyage=voyage(places=(DOVER, BORDEAUX), legs=(leg,)))
    assert ("land" in cautions.of_leg(frame, 0, 1.5)) is told


def test_coastal_water_is_sea_and_a_stream_is_tide() -> None:
    assert _days(_coast()) == [["sea"]]
    tidal = _coast(tide_high_water=datetime(2027, 6, 7, 6, tzinfo=UTC), tide_flood_mps=0.5)
    assert set(_days(tidal)[-1]) == {"sea", "tide"}
    assert cautions.of_leg(_coast().frame, 0, 1.5) == ["sea"]


def test_waiting_at_a_lock_is_lock_hours() -> None:
    legs = (replace(LEGS[0], lock_at_km=(0.5, 1.0), open_min=(720, 1020), moor_anywhere=False), LEGS[1])
    here = voyage(legs=legs, **(JUNE | {"travel_min": (600, 1080)}))
    found = look(vessel(), here)
    waited = [day.sail is not None and float(day.sail.path.wait_h[0]) > 0.01 for day in found.schedule.days]
    assert [("lock_hours" in codes) for codes in _days(found)] == waited
    assert any(waited)


@pytest.mark.parametrize(("limit_mps", "warned"), [(0.5, True), (30.0, False)])
def test_raised_panels_mind_the_poor_days_wind(limit_mps: float, warned: bool) -> None:
    roof = PanelArray("roof", 400.0, 8, moored_tilt_deg=30.0, raise_wind_max_mps=limit_mps)
    assert ("raised_wind" in _any_day(look(vessel(arrays=(roof,)), voyage(**JUNE)))) is warned


def test_flat_panels_mind_no_wind() -> None:
    roof = PanelArray("roof", 400.0, 8, raise_wind_max_mps=0.1)
    assert "raised_wind" not in _any_day(look(vessel(arrays=(roof,)), voyage(**JUNE)))


@pytest.mark.parametrize(("heater_w", "warned"), [(3000.0, True), (700.0, False)])
def test_heaters_beyond_the_inverter_overload_it(heater_w: float, warned: bool) -> None:
    found = look(vessel(heaters=(Heater("big", heater_w),)), voyage(**JANUARY))
    assert ("inverter_overload" in _any_day(found)) is warned


@pytest.mark.parametrize(("hotel_w", "warned"), [(2600.0, True), (100.0, False)])
def test_a_hotel_load_beyond_the_inverter_overloads_it_without_any_heating(hotel_w: float, warned: bool) -> None:
    found = look(vessel(heaters=(), hotel=Hotel(alternating_w=(0.0,) * 23 + (hotel_w,))), voyage(**JUNE))
    assert ("inverter_overload" in _any_day(found)) is warned


def test_fast_in_shallow_water() -> None:
    """Critical speed of 1.0 m is sqrt(9.81) = 3.13 m/s; 0.7 of it is 2.19 m/s."""
    legs = (replace(LEGS[0], depth_m=1.0), LEGS[1])
    frame = build_frame(vessel(), voyage(legs=legs), 1)
    assert "shallow" in cautions.of_leg(frame, 0, 2.2)
    assert "shallow" not in cautions.of_leg(frame, 0, 2.18)
    assert "shallow" not in cautions.of_leg(frame, 1, 2.2)


def test_beyond_the_cube_law() -> None:
    """Froude 0.35 on a waterline of 12 m is 0.35 sqrt(9.81 · 12) = 3.80 m/s."""
    frame = build_frame(vessel(), voyage(), 1)
    assert cautions.of_leg(frame, 0, 3.82) == ["hull_speed"]
    assert cautions.of_leg(frame, 0, 3.78) == []


def test_fixed_speed_beyond_the_limit() -> None:
    legs = (replace(LEGS[0], speed_mps=3.0, limit_mps=2.0), replace(LEGS[1], speed_mps=2.0, limit_mps=2.0))
    frame = build_frame(vessel(), voyage(legs=legs), 1)
    assert cautions.of_leg(frame, 0, 2.0) == ["over_limit"]
    assert cautions.of_leg(frame, 1, 2.0) == []


def test_plan_is_never_for_navigation_and_minds_the_date_asked_for() -> None:
    assert _plan(look(vessel(), voyage(**JUNE))) == ["not_for_navigation"]
    late = look(vessel(), voyage(by=date(2027, 6, 7), **(JUNE | {"travel_min": (600, 660)})))
    assert _plan(late) == ["not_for_navigation", "deadline"]
    in_time = look(vessel(), voyage(by=date(2027, 6, 30), **JUNE))
    assert _plan(in_time) == ["not_for_navigation"]


def test_far_north_in_winter_only() -> None:
    north = tuple(replace(p, lat=p.lat + 11, lon=25.0) for p in PLACES)
    winter = plan_frame(build_frame(vessel(), voyage(places=north, **JANUARY), 2))
    summer = plan_frame(build_frame(vessel(), voyage(places=north, **JUNE), 2))
    assert "climate_north" in _plan(winter)
    assert "climate_north" not in _plan(summer)


def test_far_from_land_the_climate_is_a_guess() -> None:
    ocean = tuple(replace(p, lat=p.lat - 23, lon=-40.0) for p in PLACES)
    legs = tuple(replace(leg, water="open", moor_anywhere=False) for leg in LEGS)
    found = plan_frame(build_frame(vessel(), voyage(places=ocean, legs=legs, **JUNE), 2))
    assert "climate_ocean" in _plan(found)
