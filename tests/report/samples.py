"""Shapes of results: they show the shape, they are no results."""

import json
from copy import deepcopy
from pathlib import Path
from typing import Any

from tests.cli.support import sample

SPREAD = {"mean": 1.8, "p10": 0.8, "p50": 1.8, "p90": 2.8}
SUN: dict[str, Any] = {
    "lat": 53.4, "lon": -7.9, "date": "2027-03-03", "sunrise_utc": "2027-03-03T07:15:17Z",
    "sunset_utc": "2027-03-03T18:12:45Z", "day_length_h": 10.96, "extraterrestrial_kwh_m2": 4.8,
    "clear_sky_kwh_m2": 3.0, "air_temp_c": 6.1, "tilt_deg": 0, "azimuth_deg": 180,
    "ghi_kwh_m2": SPREAD, "tilted_kwh_m2": SPREAD,
}  # fmt: skip
SPEED = {"speed_kmh": 6.0, "speed_kn": 3.24, "power_w": 440, "wh_per_km": 73.3, "range_km": 286, "froude": 0.15}
SPEEDS: dict[str, Any] = {
    "place": "Carrick-on-Shannon", "date": "2027-03-01", "charge_kwh": 25.2,
    "speeds": [{**SPEED, "limit": None}, {**SPEED, "speed_kmh": 14.5, "froude": None, "limit": "cube_law"}],
    "by_hour": [{"hour": "11:00", "solar_w": {"p10": 380, "p50": 950, "p90": 2300},
                 "speed_kmh": {"p10": 5.3, "p50": 7.5, "p90": 10.3}}],
    "limits_kmh": {"steerable": 2.5, "motor": 13.5, "cube_law": None},
}  # fmt: skip
ODDS: dict[str, Any] = json.loads((Path(__file__).parents[1] / "reference" / "sample_odds.json").read_text("utf-8"))


def sure_plan() -> dict[str, Any]:
    """The sample plan with the odds, the morning card and the answer from midday of the other sample."""
    plan, more = sample(), deepcopy(ODDS)
    plan["voyage"] |= {"members": more["odds"]["members"], "seed": more["odds"]["seed"]}
    return plan | {key: more[key] for key in ("odds", "card", "from")}
