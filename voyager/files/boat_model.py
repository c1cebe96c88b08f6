"""The keys of a boat file: their types, ranges, defaults and meaning."""

from typing import Literal

from pydantic import Field

from voyager.files.kinds import (
    CapacityPoint,
    CopPoint,
    Format,
    HourlyWatts,
    LoadPoint,
    Name,
    Percent,
    Share,
    Table,
    TrialPoint,
    Watts,
)


class HullTable(Table):
    """Power through the water: a coefficient or trial points."""

    coefficient_w_per_mps3: float | None = Field(default=None, gt=0, le=1e5, description="c of P = c v³ at the battery")
    trial: list[TrialPoint] | None = Field(
        default=None, max_length=200, description="[[speed_kmh, power_w], …] in deep calm water"
    )
    waterline_m: float | None = Field(default=None, gt=0, le=200, description="length at the waterline")
    beam_m: float | None = Field(default=None, gt=0, le=50, description="greatest beam")
    draught_m: float | None = Field(default=None, gt=0, le=20, description="draught")
    air_draught_m: float | None = Field(default=None, gt=0, le=100, description="height above the water")
    midship_area_m2: float | None = Field(default=None, gt=0, le=500, description="immersed midship section")
    motor_max_w: float | None = Field(default=None, gt=0, le=1e6, description="most the motor takes from the battery")
    steerable_min_kmh: float = Field(default=2.5, gt=0, le=20, description="slowest speed at which she steers")
    underway_extra_w: Watts = Field(default=0.0, description="instruments, lights, steering while under way")
    manoeuvre_w: Watts = Field(default=500.0, description="mean power in locks and at moorings")
    air_drag_area_m2: float = Field(default=0.0, ge=0, le=500, description="drag coefficient times frontal area")
    propulsive_efficiency: Share = Field(default=0.5, description="battery to thrust, a share from 0 to 1")
    sea_margin_percent: float = Field(default=15.0, ge=0, le=300, description="more power on coastal and open legs")


class ArrayTable(Table):
    """A group of panels with one mounting."""

    name: Name = Field(description="name of the array")
    panel_wp: float = Field(gt=0, le=1e5, description="rated power of one panel")
    panels: int = Field(default=1, ge=1, le=1000, description="number of panels")
    tilt_deg: float = Field(default=0.0, ge=0, le=90, description="from the horizontal, under way")
    azimuth_deg: float = Field(default=0.0, ge=-360, le=360, description="clockwise from the bow, under way")
    moored_tilt_deg: float | None = Field(default=None, ge=0, le=90, description="from the horizontal, moored")
    moored_azimuth_deg: float | None = Field(default=None, ge=-360, le=360, description="as azimuth_deg, moored")
    moored_side: Literal["fixed", "sunward"] = Field(default="fixed", description="sunward: the day's better side")
    raise_wind_max_kmh: float = Field(default=30.0, ge=0, le=300, description="in more wind the array stays down")
    loss_percent: Percent = Field(default=8.0, description="fixed losses")
    temperature_percent_per_k: float = Field(default=-0.35, ge=-2, le=1, description="change of power per kelvin")
    low_light_percent: float = Field(default=-4.0, ge=-50, le=20, description="change of efficiency at 200 W/m²")
    controller_max_w: float | None = Field(default=None, gt=0, le=1e6, description="most the controller puts out")
    controller_efficiency: Share = Field(default=0.97, description="a share from 0 to 1")
    shade_percent: Percent = Field(default=0.0, description="lost to masts and cabin")
    rows_shade_percent: Percent = Field(default=0.0, description="lost to the neighbour when raised, sun under 20°")
    mass_kg: float | None = Field(default=None, ge=0, le=1e6, description="mass of the array")
    price: float | None = Field(default=None, ge=0, le=1e9, description="price of the array")


class BatteryTable(Table):
    """The house battery that also drives the motor."""

    capacity_kwh: float = Field(gt=0, le=1e4, description="rated capacity")
    nominal_v: float = Field(default=48.0, gt=0, le=2000, description="nominal voltage")
    health_percent: float = Field(default=100.0, gt=0, le=110, description="of the rated capacity that is left")
    ceiling_percent: float = Field(default=95.0, gt=0, le=100, description="charging ends here")
    reserve_percent: float = Field(default=15.0, ge=0, lt=100, description="never planned below this")
    charge_efficiency: Share = Field(default=0.98, description="a share from 0 to 1")
    discharge_efficiency: Share = Field(default=0.98, description="a share from 0 to 1")
    charge_max_w: float | None = Field(default=None, gt=0, le=1e7, description="most the battery takes")
    discharge_max_w: float | None = Field(default=None, gt=0, le=1e7, description="most the battery gives")
    charging_min_c: float = Field(default=0.0, ge=-60, le=40, description="no charging of cells colder than this")
    warmer_than_outside_k: float = Field(default=3.0, ge=-10, le=40, description="cells above the air around the boat")
    heater_w: Watts = Field(default=0.0, description="heater of the cells")
    capacity_by_c: list[CapacityPoint] = Field(
        default=[(-20.0, 0.65), (0.0, 0.90), (20.0, 1.0)], max_length=100, description="[[cell °C, usable share], …]"
    )


class InverterTable(Table):
    """Battery to alternating current."""

    max_w: float | None = Field(default=None, gt=0, le=1e6, description="none: no inverter aboard")
    efficiency: Share = Field(default=0.92, description="a share from 0 to 1")
    efficiency_by_load: list[LoadPoint] | None = Field(
        default=None, max_length=100, description="[[share of max_w, efficiency], …]"
    )
    standby_w: Watts = Field(default=20.0, description="drawn while on")
    always_on: bool = Field(default=False, description="false: on only in hours with an alternating load")
    inside_cabin: bool = Field(default=True, description="its losses warm the cabin")


class ShoreTable(Table):
    """The charger on shore power."""

    charger_max_w: float = Field(default=1500.0, gt=0, le=1e6, description="output of the shore charger")
    charger_efficiency: Share = Field(default=0.90, description="a share from 0 to 1")


class HotelTable(Table):
    """Everything aboard that is neither propulsion nor heating."""

    direct_w: HourlyWatts = Field(default=[50.0] * 24, description="a number, or 24 numbers by civil hour")
    alternating_w: HourlyWatts = Field(default=[0.0] * 24, description="a number, or 24 numbers by civil hour")


class CabinTable(Table):
    """Heat balance of the cabin."""

    ua_w_per_k: float = Field(default=70.0, gt=0, le=1e4, description="heat-loss coefficient")
    fresh_air_m3_per_h: float | None = Field(default=None, ge=0, le=1e4, description="in the test that gave the UA")
    thermal_capacity_wh_per_k: float = Field(default=12.0, gt=0, le=1e5, description="air and light furniture")
    structure_capacity_wh_per_k: float | None = Field(default=None, gt=0, le=1e5, description="second, slower part")
    structure_w_per_k: float | None = Field(default=None, gt=0, le=1e5, description="between air and the slower part")
    people: float = Field(default=1.0, ge=0, le=50, description="people aboard")
    person_w: Watts = Field(default=80.0, description="heat of one person")
    window_m2: float = Field(default=0.0, ge=0, le=200, description="uncovered glass")
    window_gain: float = Field(default=0.5, ge=0, le=1, description="share of the sun on the glass that gets in")


class HeaterTable(Table):
    """One heater."""

    name: Name = Field(description="name of the heater")
    max_w: float = Field(gt=0, le=1e6, description="most it takes")
    cop: float = Field(default=1.0, gt=0, le=10, description="heat out over power in")
    cop_by_c: list[CopPoint] | None = Field(default=None, max_length=100, description="[[outside °C, cop], …]")
    supply: Literal["alternating", "direct"] = Field(default="alternating", description="through the inverter or not")
    radiant_k: float = Field(default=0.0, ge=0, le=10, description="how far the air may stay below the setpoint")


class ComfortTable(Table):
    """One step of the comfort ladder."""

    hours_c: dict[str, float] = Field(default={}, description='setpoints by hours: { "06:30-08:30" = 14 }')
    otherwise_c: float = Field(default=5.0, ge=-10, le=35, description="setpoint outside of those hours")


class BoatFile(Table):
    """A boat file of voyager."""

    format: Format = Field(default=1, description="format of the file")
    name: Name = Field(description="name of the boat")
    hull: HullTable = Field(description="with coefficient_w_per_mps3 or trial")
    array: list[ArrayTable] = Field(min_length=1, max_length=100, description="groups of panels, [[array]]")
    battery: BatteryTable = Field(description="with capacity_kwh")
    inverter: InverterTable = Field(default=InverterTable(), description="battery to alternating current")
    shore: ShoreTable = Field(default=ShoreTable(), description="charger on shore power")
    hotel: HotelTable = Field(default=HotelTable(), description="loads aboard")
    cabin: CabinTable = Field(default=CabinTable(), description="heat balance of the cabin")
    standard_error: dict[str, float] = Field(default={}, description="written by fits")
    heater: list[HeaterTable] = Field(default=[], max_length=100, description="heaters, [[heater]]")
    comfort: dict[str, ComfortTable] = Field(default={}, description="the ladder, warmest first, [comfort.NAME]")


MOTOR_MAX_W = 4000.0


def motor_max_w(hull: HullTable) -> float:
    """Most the motor takes: as given, else the largest trial power, else 4000 W."""
    return hull.motor_max_w or max((power for _, power in hull.trial or ()), default=MOTOR_MAX_W)
