"""From a boat file to the frozen vessel."""

import os

from voyager.boat.arrays import PanelArray
from voyager.boat.battery import Battery
from voyager.boat.cabin import FROST_GUARD_C, Cabin, Comfort, Heater
from voyager.boat.hull import Hull
from voyager.boat.inverter import Inverter, ShoreCharger
from voyager.boat.vessel import Hotel, Vessel
from voyager.errors import Problems
from voyager.files.boat_check import OFF
from voyager.files.boat_model import (
    ArrayTable,
    BatteryTable,
    BoatFile,
    CabinTable,
    ComfortTable,
    HeaterTable,
    HullTable,
    motor_max_w,
)
from voyager.files.clock import window
from voyager.files.examine import read_boat
from voyager.files.toml import read_toml
from voyager.files.units import MPS_PER_KMH


def load_boat(path: str | os.PathLike[str]) -> Vessel:
    """The vessel of a boat file. Raises Problems with all that is wrong in it."""
    boat, faults = read_boat(read_toml(path))
    if faults.problems:
        raise Problems(faults.in_order())
    return build_vessel(boat)


def build_vessel(boat: BoatFile) -> Vessel:
    """The vessel of a sound boat file."""
    return Vessel(
        name=boat.name,
        hull=_hull(boat.hull),
        arrays=tuple(map(_array, boat.array)),
        battery=_battery(boat.battery),
        inverter=Inverter(
            max_w=boat.inverter.max_w,
            efficiency=boat.inverter.efficiency,
            efficiency_by_load=tuple(boat.inverter.efficiency_by_load or ()),
            standby_w=boat.inverter.standby_w,
            always_on=boat.inverter.always_on,
            inside_cabin=boat.inverter.inside_cabin,
        ),
        shore=ShoreCharger(boat.shore.charger_max_w, boat.shore.charger_efficiency),
        hotel=Hotel(tuple(boat.hotel.direct_w), tuple(boat.hotel.alternating_w)),
        cabin=_cabin(boat.cabin),
        heaters=tuple(map(_heater, boat.heater)),
        comfort=(*(_comfort(name, step) for name, step in boat.comfort.items()), Comfort(OFF, (), FROST_GUARD_C)),
        standard_error=tuple(boat.standard_error.items()),
    )


def _hull(hull: HullTable) -> Hull:
    trial = tuple(sorted((speed * MPS_PER_KMH, power) for speed, power in hull.trial or ()))
    return Hull(
        coefficient_w_per_mps3=hull.coefficient_w_per_mps3,
        trial=trial,
        waterline_m=hull.waterline_m,
        beam_m=hull.beam_m,
        draught_m=hull.draught_m,
        air_draught_m=hull.air_draught_m,
        midship_area_m2=hull.midship_area_m2,
        motor_max_w=motor_max_w(hull),
        steerable_min_mps=hull.steerable_min_kmh * MPS_PER_KMH,
        underway_extra_w=hull.underway_extra_w,
        manoeuvre_w=hull.manoeuvre_w,
        air_drag_area_m2=hull.air_drag_area_m2,
        propulsive_efficiency=hull.propulsive_efficiency,
        sea_margin_percent=hull.sea_margin_percent,
    )


def _array(array: ArrayTable) -> PanelArray:
    moored_tilt, moored_azimuth = array.moored_tilt_deg, array.moored_azimuth_deg
    return PanelArray(
        name=array.name,
        panel_wp=array.panel_wp,
        panels=array.panels,
        tilt_deg=array.tilt_deg,
        azimuth_deg=array.azimuth_deg % 360,
        moored_tilt_deg=array.tilt_deg if moored_tilt is None else moored_tilt,
        moored_azimuth_deg=(array.azimuth_deg if moored_azimuth is None else moored_azimuth) % 360,
        sunward=array.moored_side == "sunward",
        raise_wind_max_mps=array.raise_wind_max_kmh * MPS_PER_KMH,
        loss_percent=array.loss_percent,
        temperature_percent_per_k=array.temperature_percent_per_k,
        low_light_percent=array.low_light_percent,
        controller_max_w=array.controller_max_w,
        controller_efficiency=array.controller_efficiency,
        shade_percent=array.shade_percent,
        rows_shade_percent=array.rows_shade_percent,
        mass_kg=array.mass_kg,
        price=array.price,
    )


def _battery(battery: BatteryTable) -> Battery:
    charge_max_w, discharge_max_w = battery.charge_max_w, battery.discharge_max_w
    capacity_kwh = battery.capacity_kwh * battery.health_percent / 100
    return Battery(
        capacity_kwh=capacity_kwh,
        nominal_v=battery.nominal_v,
        ceiling_percent=battery.ceiling_percent,
        reserve_percent=battery.reserve_percent,
        charge_efficiency=battery.charge_efficiency,
        discharge_efficiency=battery.discharge_efficiency,
        charge_max_w=capacity_kwh * 500 if charge_max_w is None else charge_max_w,
        discharge_max_w=capacity_kwh * 1000 if discharge_max_w is None else discharge_max_w,
        charging_min_c=battery.charging_min_c,
        warmer_than_outside_k=battery.warmer_than_outside_k,
        heater_w=battery.heater_w,
        capacity_by_c=tuple(battery.capacity_by_c),
    )


def _cabin(cabin: CabinTable) -> Cabin:
    return Cabin(
        ua_w_per_k=cabin.ua_w_per_k,
        fresh_air_m3_per_h=cabin.fresh_air_m3_per_h,
        thermal_capacity_wh_per_k=cabin.thermal_capacity_wh_per_k,
        structure_capacity_wh_per_k=cabin.structure_capacity_wh_per_k,
        structure_w_per_k=cabin.structure_w_per_k,
        people=cabin.people,
        person_w=cabin.person_w,
        window_m2=cabin.window_m2,
        window_gain=cabin.window_gain,
    )


def _heater(heater: HeaterTable) -> Heater:
    return Heater(
        name=heater.name,
        max_w=heater.max_w,
        cop=heater.cop,
        cop_by_c=tuple(heater.cop_by_c or ()),
        alternating=heater.supply == "alternating",
        radiant_k=heater.radiant_k,
    )


def _comfort(name: str, step: ComfortTable) -> Comfort:
    pieces = ((*piece, setpoint) for text, setpoint in step.hours_c.items() for piece in window(text))
    return Comfort(name, tuple(sorted(pieces)), step.otherwise_c)
