"""The one table of physical quantities: name, meaning, unit, valid range.

A quantity's name ends in its unit (``distance_km``, ``speed_mps``); ``UNITS`` says what the endings mean. Where the
field's symbol or word is the name (``lat``, ``fit_to_go``), the table says the unit. Ranges are what a value may be
and still make sense here, ends included; they are wide on purpose. Azimuth clockwise from north, an array's from the
bow; charge counts from a flat battery; charging is positive.
"""

from dataclasses import dataclass
from math import inf

UNITS = {
    "w": "W",
    "wp": "Wp",
    "kw": "kW",
    "wh": "Wh",
    "kwh": "kWh",
    "wh_per_km": "Wh/km",
    "price_per_kwh": "money/kWh",
    "w_m2": "W/m2",
    "kwh_m2": "kWh/m2",
    "w_per_k": "W/K",
    "wh_per_k": "Wh/K",
    "w_per_mps3": "W/(m/s)3",
    "percent_per_k": "%/K",
    "m3_per_h": "m3/h",
    "c": "degC",
    "k": "K",
    "pa": "Pa",
    "mps": "m/s",
    "m2_s": "m2/s",
    "m2_s2": "m2/s2",
    "kmh": "km/h",
    "kn": "kn",
    "m": "m",
    "m2": "m2",
    "mps2": "m/s2",
    "kg_m3": "kg/m3",
    "km": "km",
    "nm": "NM",
    "kg": "kg",
    "v": "V",
    "h": "h",
    "min": "min",
    "s": "s",
    "utc": "UTC",
    "deg": "deg",
    "percent": "%",
}
SHARE, COUNT, MONEY, DEGREE = "share", "count", "money", "deg"


@dataclass(frozen=True)
class Quantity:
    """One row of the table; ``unit`` as a person writes it."""

    name: str
    meaning: str
    unit: str
    low: float
    high: float

    def holds(self, value: float) -> bool:
        """Whether a value lies in the valid range; NaN never does."""
        return self.low <= value <= self.high


def suffix(name: str) -> str | None:
    """The longest known unit ending of a name: ``ua_w_per_k`` gives ``w_per_k``; None if it ends in no unit."""
    parts = name.split("_")
    endings = ("_".join(parts[i:]) for i in range(len(parts)))
    return next((e for e in endings if e in UNITS), None)


def unit_of(name: str) -> str | None:
    """Unit of a quantity by the table, else by its ending; None if neither knows it."""
    if name in QUANTITIES:
        return QUANTITIES[name].unit
    ending = suffix(name)
    return None if ending is None else UNITS[ending]


_SKY = (
    ("clearness", "daily global horizontal irradiation over its extraterrestrial value", SHARE, 0, 1),
    ("ghi_kwh_m2", "daily global irradiation on the horizontal", None, 0, 14),
    ("ghi_w_m2", "global irradiance on the horizontal", None, 0, 1600),
    ("dhi_w_m2", "diffuse irradiance on the horizontal", None, 0, 1000),
    ("dni_w_m2", "beam irradiance facing the sun", None, 0, 1400),
    ("glass_w_m2", "irradiance on an upright pane", None, 0, 1600),
    ("oktas", "sky covered by cloud, in eighths", "eighths", 0, 8),
    ("air_c", "air temperature", None, -60, 60),
    ("outside_c", "air outside the boat", None, -60, 60),
    ("wind_mps", "wind over the water", None, 0, 60),
    ("humidity_percent", "relative humidity of the air", None, 0, 100),
    ("zenith_deg", "angle of the sun from straight above", None, 0, 180),
)
_PLACE = (
    ("lat", "latitude, north positive", DEGREE, -90, 90),
    ("lon", "longitude, east positive", DEGREE, -180, 180),
    ("west", "western edge of a box, beyond 180 where it goes over the date line", DEGREE, -inf, inf),
    ("east", "eastern edge of a box, likewise", DEGREE, -inf, inf),
    ("south", "southern edge of a box", DEGREE, -90, 90),
    ("north", "northern edge of a box", DEGREE, -90, 90),
    ("height_m", "height above the sea", None, -430, 5000),
    ("heading_deg", "where the bow points when made fast", None, 0, 360),
    ("shore_w", "most that the shore socket gives", None, 0, 100_000),
    ("shore_price_per_kwh", "price of energy at the shore socket", None, 0, inf),
    ("shade_percent", "light that trees and buildings take, beam and diffuse alike", None, 0, 100),
)
_LEG = (
    ("via", "points of the line, latitude and longitude", DEGREE, -180, 180),
    ("distance_km", "length along the way", None, 0, 25_000),
    ("depth_m", "least depth of the water", None, 0, 12_000),
    ("width_m", "width of the water at its surface", None, 0, 1_000_000),
    ("current_mps", "current along the leg, positive with it", None, -10, 10),
    ("tide_flood_mps", "strongest flood stream along the leg, positive with it", None, -10, 10),
    ("tunnel_km", "part of the leg in tunnels", None, 0, 100),
    ("limit_mps", "speed limit over the ground", None, 0, 30),
    ("headroom_m", "least height under bridges", None, 0, 500),
    ("lock_length_m", "length that the locks take", None, 0, 500),
    ("lock_beam_m", "beam that the locks take", None, 0, 100),
    ("locks", "locks on the leg", COUNT, 0, 500),
    ("lock_min", "time in a lock", None, 0, 1440),
    ("lock_kwh", "energy in a lock", None, 0, 10),
    ("lock_at_km", "where the locks are, from the leg's start", None, 0, 25_000),
    ("bridges", "bridges on the leg that must open", COUNT, 0, 500),
    ("bridge_min", "time at a bridge that must open", None, 0, 1440),
    ("bridge_at_km", "where those bridges are, from the leg's start", None, 0, 25_000),
    ("open_min", "working hours of locks and bridges, in the civil day", None, 0, 1440),
    ("wind_max_mps", "wind above which the leg is not gone", None, 0, 60),
    ("fit_to_go", "chance that a morning's sea allows the leg", SHARE, 0, 1),
    ("nights", "nights to stay at the leg's end", COUNT, 0, 1000),
)
_VOYAGE = (
    ("day_starts_min", "start of a day, in the civil day", None, 0, 1439),
    ("travel_min", "hours of travel, in the civil day", None, 0, 1440),
    ("charge_at_start_percent", "charge at departure, of capacity", None, 0, 100),
    ("heating_reserve_nights", "cold nights without sun that an evening's charge must cover", COUNT, 0, 30),
    ("mooring_every_km", "distance between moorings where a leg allows them anywhere", None, 0.5, 1000),
    ("forecast_skill", "correlation of the morning's forecast with the day", SHARE, 0, 1),
)
_HULL = (
    ("coefficient_w_per_mps3", "c of P = c v^3, at the battery, calm deep water", None, 0, 1_000_000),
    ("speed_mps", "speed through the water", None, 0, 30),
    ("power_w", "the motor's power at the battery", None, 0, 1_000_000),
    ("pace_w", "the one number that sets all speeds of a day", None, 0, 1_000_000),
    ("waterline_m", "length of the waterline", None, 1, 500),
    ("beam_m", "greatest breadth", None, 0.3, 100),
    ("draught_m", "depth of the keel under water", None, 0.02, 30),
    ("air_draught_m", "height above the water", None, 0, 100),
    ("midship_area_m2", "area of the midship section under water", None, 0, 3000),
    ("motor_max_w", "greatest power of the motor, at the battery", None, 0, 1_000_000),
    ("steerable_min_mps", "speed below which the boat can't be steered", None, 0, 5),
    ("underway_extra_w", "load that runs only under way", None, 0, 100_000),
    ("manoeuvre_w", "power while manoeuvring", None, 0, 1_000_000),
    ("air_drag_area_m2", "drag coefficient times frontal area", None, 0, 1000),
    ("propulsive_efficiency", "thrust power over power at the battery", SHARE, 0.05, 1),
    ("sea_margin_percent", "added to calm-water power on coastal and open water", None, 0, 200),
)
_ARRAY = (
    ("panel_wp", "rated power of one panel", None, 0, 2000),
    ("panels", "panels in the array", COUNT, 1, 1000),
    ("tilt_deg", "slope from the horizontal", None, 0, 90),
    ("azimuth_deg", "where the slope faces, from the bow", None, -360, 360),
    ("moored_tilt_deg", "slope when moored", None, 0, 90),
    ("moored_azimuth_deg", "where the slope faces when moored, from the bow", None, -360, 360),
    ("raise_wind_max_mps", "wind up to which panels may stand raised", None, 0, 60),
    ("loss_percent", "fixed losses of an array", None, 0, 100),
    ("temperature_percent_per_k", "change of power with cell temperature", None, -2, 1),
    ("low_light_percent", "change of efficiency at 200 W/m2", None, -50, 20),
    ("controller_max_w", "most that the charge controller gives", None, 0, 1_000_000),
    ("controller_efficiency", "power out of the charge controller over power in", SHARE, 0.3, 1),
    ("rows_shade_percent", "loss to the neighbour when raised, sun under 20 deg", None, 0, 100),
    ("mass_kg", "mass added to the boat", None, 0, 100_000),
    ("price", "price of a part", MONEY, 0, inf),
)
_ELECTRICITY = (
    ("capacity_kwh", "capacity times health, counted from flat", None, 0, 10_000),
    ("charge_kwh", "energy in the battery, 0 = flat", None, 0, 10_000),
    ("nominal_v", "nominal voltage", None, 3, 1500),
    ("ceiling_percent", "charge that charging goes up to", None, 0, 100),
    ("reserve_percent", "charge kept back", None, 0, 100),
    ("charge_efficiency", "energy stored over energy at the terminals", SHARE, 0.3, 1),
    ("discharge_efficiency", "energy at the terminals over energy drawn", SHARE, 0.3, 1),
    ("charge_max_w", "most that the battery takes", None, 0, 10_000_000),
    ("discharge_max_w", "most that the battery gives", None, 0, 10_000_000),
    ("charging_min_c", "cell temperature below which nothing is stored", None, -60, 60),
    ("warmer_than_outside_k", "how much warmer the cells are than the lagged outside", None, -20, 60),
    ("lag_c", "outside temperature behind a lag of 24 h", None, -60, 60),
    ("heater_w", "the battery's own heater", None, 0, 10_000),
    ("capacity_by_c", "usable share of the capacity by cell temperature", SHARE, 0, 1.2),
    ("max_w", "most that a heater, inverter or charger gives", None, 0, 1_000_000),
    ("efficiency", "power out over power in", SHARE, 0.3, 1),
    ("efficiency_by_load", "efficiency by share of the rated load", SHARE, 0, 1),
    ("standby_w", "the inverter's own draw while on", None, 0, 5000),
    ("direct_w", "direct-current load aboard by civil hour", None, 0, 100_000),
    ("alternating_w", "alternating-current load aboard by civil hour", None, 0, 100_000),
)
_CABIN = (
    ("ua_w_per_k", "heat loss per kelvin, its test's ventilation included", None, 0.1, 10_000),
    ("fresh_air_m3_per_h", "ventilation in the test that gave the UA", None, 0, 10_000),
    ("thermal_capacity_wh_per_k", "heat capacity of air and light furnishings", None, 0.01, 10_000),
    ("structure_capacity_wh_per_k", "heat capacity of the slow parts", None, 0.01, 100_000),
    ("structure_w_per_k", "exchange between air and the slow parts", None, 0.01, 100_000),
    ("people", "people aboard", COUNT, 0, 100),
    ("person_w", "heat of one person", None, 0, 500),
    ("window_m2", "uncovered glass", None, 0, 100),
    ("window_gain", "share of the light on the glass that becomes heat inside", SHARE, 0, 1),
    ("cop", "heat over electric power", "ratio", 0.1, 10),
    ("cop_by_c", "heat over electric power by outside temperature", "ratio", 0.1, 10),
    ("radiant_k", "how far the air may stay below the setpoint", None, 0, 10),
    ("hours_c", "setpoints by civil minutes", None, -5, 40),
    ("otherwise_c", "setpoint outside of those hours", None, -5, 40),
    ("setpoint_c", "temperature asked for", None, -5, 40),
    ("structure_c", "temperature of the slow parts", None, -60, 80),
    ("heat_kwh", "heat given by heaters", None, 0, 10_000),
    ("hours", "length of a stretch of time", "h", 0, 25),
    ("held_h", "hours in which the setpoint was kept", None, 0, 25),
    ("gains_w", "heat of people, sun and machines in the cabin", None, 0, 100_000),
)


def _row(name: str, meaning: str, unit: str | None, low: float, high: float) -> Quantity:
    ending = suffix(name)
    if unit is None and ending is None:
        raise ValueError(f"quantities: {name} ends in no known unit and names none")
    return Quantity(name, meaning, unit or UNITS[ending or ""], float(low), float(high))


QUANTITIES = {
    row[0]: _row(*row) for table in (_SKY, _PLACE, _LEG, _VOYAGE, _HULL, _ARRAY, _ELECTRICITY, _CABIN) for row in table
}
"""By name."""
