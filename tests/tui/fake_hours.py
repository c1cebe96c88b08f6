"""Hours and evenings in the shape of a plan's, made up by hand from the sample's days: not a result."""

from collections.abc import Callable, Mapping
from datetime import UTC, datetime, timedelta
from typing import Any

Day = Mapping[str, Any]
SUN = (0, 1, 2, 4, 5, 5, 4, 2, 1, *(0,) * 16)
"""A day's sun from 08:00 on, in 24ths of its sum."""
FROM_STEP: dict[str, Callable[[int], float]] = {
    "solar_kwh": lambda h: SUN[h] / sum(SUN), "hotel_kwh": lambda h: 1 / 24, "loss_kwh": lambda h: 1 / 24,
    "heating_kwh": lambda h: 0.25 if 10 <= h < 14 else 0.0,
}  # fmt: skip


def hours(day: Day) -> list[dict[str, Any]]:
    """24 hours that add up to the day, the motor in the five from 09:00 on where it was under way."""
    begins = datetime.fromisoformat(day["starts_utc"])
    made, charge = [], day["charge_start_kwh"]
    for h in range(24):
        share = {key: part(h) for key, part in FROM_STEP.items()}
        going = 1 <= h < 6 and day["mark"] == "underway"
        flows = {key: day[key] * part for key, part in share.items()}
        flows |= {"propulsion_kwh": day["propulsion_kwh"] / 5 if going else 0.0, "spilled_kwh": 0.0,
                  "unserved_kwh": 0.0}
        flows["shore_kwh"] = day["shore_kwh"] / 14 if h >= 10 else 0.0
        spent = sum(flows[key] for key in ("propulsion_kwh", "hotel_kwh", "heating_kwh", "loss_kwh"))
        charge += flows["solar_kwh"] + flows["shore_kwh"] - spent
        asked = 10 <= h < 14
        made.append({
            "ends_utc": f"{(begins + timedelta(hours=h + 1)).astimezone(UTC):%Y-%m-%dT%H:%M:%SZ}",
            "km": day["start_km"] if h < 3 else day["end_km"], "at": day["at"], "course_deg": 170 if going else None,
            "underway_h": 0.0 if not going else 0.25 if h == 3 else 1.0,
            "waiting_h": 0.75 if going and h == 3 else 0.0,
            **flows, "charge_kwh": charge, "floor_kwh": day["floor_kwh"],
            "cabin_c": 13.0 if h == 10 else 15.0 if asked else 9.0, "setpoint_c": 15.0 if asked else 5.0,
            "asked": asked, "outside_c": -1.0 if h > 20 else 6.0,
        })  # fmt: skip
    return made


def evenings(plan: Mapping[str, Any]) -> list[dict[str, Any]]:
    """One for each day but the tenth, which is told to be at sea."""
    days = plan["days"]
    return [_evening(day, after) for day, after in zip(days, [*days[1:], None], strict=True) if day["day"] != 10]


def _evening(day: Day, after: Day | None) -> dict[str, Any]:
    date = day["date"]
    roof = {"name": "roof", "do": "raise", "why": None, "side": "port", "tilt_deg": 30.0, "faces_deg": 170,
            "gain_kwh": 0.41, "raise_wind_max_kmh": 30.0}  # fmt: skip
    tomorrow = None if after is None else {
        "day": after["day"], "date": after["date"], "mark": after["mark"], "why": after["why"], "to": after["mooring"],
        "casts_off_utc": after["casts_off_utc"], "made_fast_utc": after["made_fast_utc"], "waiting_h": 0.0,
        "propulsion_kwh": after["propulsion_kwh"], "needs_kwh": 11.2, "charge_start_kwh": after["charge_start_kwh"],
        "plug_in": False, "plug_at": None,
        "opens": [{"from": after["from"], "to": after["mooring"], "locks": 2, "bridges": 0,
                   "opens_utc": f"{after['date']}T09:00:00Z", "shuts_utc": f"{after['date']}T17:00:00Z"}],
    }  # fmt: skip
    return {
        "day": day["day"], "mooring": day["mooring"], "made_fast_utc": f"{date}T13:20:00Z",
        "until_utc": f"{date}T08:30:00Z",
        "lie": {"heading": "bank", "heading_deg": 260, "gain_kwh": 0.2, "sun_deg": 185, "sun_side": "port"},
        "arrays": [roof], "panels_kwh": 2.4, "gain_kwh": 0.41, "wind_kmh": 14.0, "poor_wind_kmh": 22.0,
        "heat": {"comfort": day["comfort"],
                 "hours": [{"from_utc": f"{date}T18:00:00Z", "to_utc": f"{date}T22:00:00Z", "setpoint_c": 15.0}],
                 "otherwise_c": 5.0, "kwh": day["heating_kwh"], "runs_h": 4,
                 "heaters": [{"name": "panel", "max_w": 700.0, "kwh": day["heating_kwh"]}]},
        "charge_evening_kwh": day["charge_evening_kwh"], "charge_end_kwh": day["charge_end_kwh"],
        "wanted_kwh": day["floor_kwh"] + day["heating_reserve_kwh"], "plug_in": day["shore_kwh"] > 0,
        "shore_kwh": day["shore_kwh"], "tomorrow": tomorrow,
        "cautions": [code for code in day["cautions"] if code in {"heater", "frost"}],
    }  # fmt: skip
