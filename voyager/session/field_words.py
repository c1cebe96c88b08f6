"""Words and steps for the keys of both files, as a form shows them. Figures of use are common practice, no source."""

from typing import Final

LABELS: Final = {
    "coefficient_w_per_mps3": "Hull coefficient", "trial": "Trial points", "motor_max_w": "Motor takes at most",
    "steerable_min_kmh": "Steers from", "underway_extra_w": "Extra under way", "manoeuvre_w": "Manoeuvring",
    "panel_wp": "One panel", "moored_tilt_deg": "Tilt when moored", "moored_azimuth_deg": "Azimuth when moored",
    "moored_side": "Side when moored", "raise_wind_max_kmh": "Raised up to wind of", "loss_percent": "Fixed losses",
    "temperature_percent_per_k": "Change per kelvin", "low_light_percent": "In low light",
    "controller_max_w": "Controller at most", "shade_percent": "Shade", "rows_shade_percent": "Shade of the next row",
    "nominal_v": "Voltage", "charge_efficiency": "Charging efficiency", "discharge_efficiency": "Giving efficiency",
    "charge_max_w": "Takes at most", "discharge_max_w": "Gives at most", "charging_min_c": "Charges from",
    "heater_w": "Heater of the cells", "capacity_by_c": "Capacity by cold", "max_w": "Power at most",
    "charger_max_w": "Charger at most", "direct_w": "Direct", "alternating_w": "Alternating",
    "ua_w_per_k": "Heat loss (UA)", "fresh_air_m3_per_h": "Fresh air in the test",
    "thermal_capacity_wh_per_k": "Heat held by the air", "structure_capacity_wh_per_k": "Heat held by the rest",
    "structure_w_per_k": "Between air and rest", "person_w": "Heat of a person", "window_m2": "Glass",
    "window_gain": "Sun through the glass", "cop": "Heat over power", "cop_by_c": "Heat over power by cold",
    "radiant_k": "Felt as warmer by", "hours_c": "Setpoints by hour", "otherwise_c": "Otherwise", "by": "Arrive by",
    "travel": "Travel hours", "shore_power": "Shore power", "mooring_every_km": "A mooring every",
    "day_starts": "Day starts at", "charge_at_start_percent": "Charge at the start",
    "heating_reserve_nights": "Heating reserve", "weather": "Weather file", "mass_kg": "Mass",
}  # fmt: skip

GROUPS: Final = {
    "Departure & aim": ("name", "departs", "aim", "by", "sky", "charge_at_start_percent", "forecast_skill", "weather"),
    "Travel & rests": ("travel", "day_starts", "time_zone", "shore_power", "mooring_every_km"),
    "Heating & comfort": ("comfort", "heating_reserve_nights"),
}
"""The voyage's keys; the boat's are grouped by their tables."""
TABLES: Final = {
    "": "Boat", "hull": "Hull", "array": "Array", "battery": "Battery", "inverter": "Inverter", "shore": "Shore",
    "hotel": "Hotel", "cabin": "Cabin", "heater": "Heater", "comfort": "Comfort",
}  # fmt: skip

SIGNS: Final = {"degC": "°C", "deg": "°", "m2": "m²", "m3/h": "m³/h", "W/(m/s)3": "W/(m/s)³"}

STEPS: Final = {
    "percent": 1, "kwh": 0.5, "w": 10, "wp": 5, "kmh": 0.5, "km": 1, "m": 0.1, "m2": 0.1, "deg": 5, "c": 0.5,
    "k": 0.5, "v": 1, "kg": 1, "w_per_k": 1, "wh_per_k": 1, "m3_per_h": 5, "w_per_mps3": 1, "percent_per_k": 0.01,
    "kn": 0.5, "nm": 1, "ft": 0.5, "nights": 1,
}  # fmt: skip
"""What one nudge adds, by the key's ending; a few keys have their own."""
OWN_STEPS: Final = {
    "motor_max_w": 100, "charge_max_w": 100, "discharge_max_w": 100, "charger_max_w": 100, "controller_max_w": 50,
    "inverter.max_w": 100, "heater.max_w": 50, "manoeuvre_w": 50, "direct_w": 5, "alternating_w": 5, "standby_w": 1,
    "underway_extra_w": 5, "person_w": 5, "raise_wind_max_kmh": 1, "raise_wind_max_kn": 1, "price": 50,
    "efficiency": 0.01, "charge_efficiency": 0.01, "discharge_efficiency": 0.01, "controller_efficiency": 0.01,
    "charger_efficiency": 0.01, "propulsive_efficiency": 0.01, "window_gain": 0.05, "forecast_skill": 0.05, "cop": 0.1,
    "low_light_percent": 0.5, "structure_capacity_wh_per_k": 10,
}  # fmt: skip
CLOCK_STEP_MIN: Final = 15

OTHERWISE: Final = {
    "midship_area_m2": "0.75 × beam × draught", "motor_max_w": "the trial's largest, else 4000 W",
    "moored_tilt_deg": "as under way", "moored_azimuth_deg": "as under way", "controller_max_w": "no limit",
    "charge_max_w": "half the capacity in an hour", "discharge_max_w": "the capacity in an hour",
    "inverter.max_w": "none aboard", "fresh_air_m3_per_h": "15 m³/h a person", "time_zone": "of the first place",
    "comfort": "the boat's first", "name": "the file's name", "by": "no date", "weather": "the built-in climate",
}  # fmt: skip
"""What holds where nothing is given and there is no figure for it."""

CAUTIONS: Final = {
    "charging_min_c": "Charging cells that are too cold can ruin them and start a fire: the battery maker's figure "
    "holds, never a lower one.",
    "capacity_by_c": "Take it from the battery maker's sheet.",
    "charge_max_w": "No more than the least that the battery's maker, its protection, cables and fuses allow.",
    "discharge_max_w": "No more than the least that the battery's maker, its protection, cables and fuses allow.",
    "ceiling_percent": "Within what the battery's maker allows.",
    "reserve_percent": "Within what the battery's maker allows; leave enough to reach shelter.",
    "battery.heater_w": "Only a heater that the battery's maker provides for.",
    "inverter.max_w": "Its maker's continuous rating; cables and fuses must bear it.",
    "charger_max_w": "No more than shore socket, cable and breaker bear; have shore wiring looked at.",
    "motor_max_w": "The maker's continuous rating, of motor and controller.",
    "heater.max_w": "Keep textiles clear of it, never leave it unattended, keep the vents open.",
    "fresh_air_m3_per_h": "Never shut the vents to save heat.",
    "raise_wind_max_kmh": "No more than hinges, props and deck fastenings bear.",
    "controller_max_w": "The maker's rating holds.",
    "cop": "From the maker's sheet.",
    "otherwise_c": "Below 5 °C water pipes may freeze.",
}  # fmt: skip
