"""What a log says, made up by hand from the sample's days: not a result."""

from collections.abc import Mapping, Sequence
from datetime import datetime, timedelta
from typing import Any

from voyager.errors import InputError

Json = dict[str, Any]
GONE = 3
"""Days of the sample that are past; of the next one six hours are."""
FLOWS = ("solar", "shore", "propulsion", "hotel", "heating")
TEXT = "By the log at 2027-03-04 14:00: km 78.0, 61 % in the battery."


def onward(path: str, documents: Mapping[str, Any]) -> Json | None:
    """Where the boat is; none without a log, refused where it says too little."""
    if "lacking" in path:
        raise InputError("the log has no charge to plan on from; note a reading with a charge first")
    return None if "logless" in path else {"day": GONE + 1, "text": TEXT}


def gone_on(plan: Json) -> Json:
    """The sample's plan from its fourth day on, day 1 anew; the days before as a log might have them."""
    days, by = plan["days"], GONE
    past = [_past(day, day["day"] - by - 1) for day in days[:by]]
    past.append(_past(days[by], 1) | {"length_h": 6.0, "heating_kwh": None, "shore_kwh": None})
    past[1] |= {"charge_start_kwh": None, "charge_end_kwh": None, "notes": ["fewer than two readings of the charge"]}
    past[2]["notes"] = ["weed in the propeller"]
    first = days[by]
    return {
        **plan, "past": past, "days": [{**day, "day": day["day"] - by} for day in days[by:]],
        "log": {"voyage_day": by + 1, "time_utc": "2027-03-04T14:00:00Z", "text": TEXT},
        "from": {
            "time_utc": "2027-03-04T14:00:00Z", "km": first["start_km"], "at": first["at"], "charge_kwh": 17.1,
            "charge_percent": 61.0, "held": True, "text": "Stop at Athlone for today: recovering.",
            "fallback": None, "no_return": None,
        },
        "evenings": [{**one, "day": one["day"] - by} for one in plan["evenings"] if one["day"] > by],
        "card": [{**row, "day": row["day"] - by} for row in plan["card"] if row["day"] > by],
        "cautions": [_moved(one, by) for one in plan["cautions"] if not one["day"] or one["day"] > by],
        "legs": [_behind(leg, by) for leg in plan["legs"]],
    }  # fmt: skip


def _moved(one: Json, by: int) -> Json:
    return {**one, "day": one["day"] - by} if one["day"] else one


def _behind(leg: Json, by: int) -> Json:
    if leg["day"] is not None and leg["day"] <= by:
        return {**leg, "started_day": None, "day": None, "speed_kmh": None, "hours": None, "charge_end_kwh": None}
    days = {key: leg[key] and max(1, leg[key] - by) for key in ("started_day", "day")}
    return {**leg, **days}


def _past(day: Json, number: int) -> Json:
    return {
        "day": number, "voyage_day": day["day"], "date": day["date"], "starts_utc": day["starts_utc"], "length_h": 24.0,
        "mark": "logged", "from": day["from"], "mooring": day["mooring"], "at": day["at"],
        "start_km": day["start_km"], "end_km": day["end_km"],
        "charge_start_kwh": day["charge_start_kwh"], "charge_end_kwh": day["charge_end_kwh"] - 0.4,
        "charge_from_utc": day["starts_utc"], "charge_to_utc": day["starts_utc"],
        **{f"{name}_kwh": round(day[f"{name}_kwh"] * 1.1, 2) for name in FLOWS}, "outside_c": 5.5, "notes": [],
    }  # fmt: skip


# planned against actual

PARTS = ("sky", "hull", "cabin", "hotel", "habit")
SPLIT = ((-0.31, -0.92, 0.12, -0.24, 0.0), (0.8, -0.55, -0.2, -0.1, 0.35), None, (-1.1, -0.61, 0.0, 0.15, -0.4),
         (0.42, -0.7, 0.05, 0.0, 0.23))  # fmt: skip


def actual(path: str, documents: Mapping[str, Any], **watch: Any) -> Json:
    """Five days of the sample held against a log; refused where there is none."""
    from tests.tui.fake import sample

    if "logless" in path:
        raise InputError("the log is empty; note the charge each morning to hold the days against the plan")
    days = [_day(day, parts) for day, parts in zip(sample()["days"], SPLIT, strict=False)]
    split = [day for day in days if day["difference_kwh"] is not None]
    sums = {f"{name}_kwh": round(sum(day[f"{name}_kwh"] for day in split), 4) for name in ("difference", *PARTS)}
    energies: dict[str, Json] = {name: {"days": 0, "planned_kwh": None, "actual_kwh": None} for name in FLOWS}
    energies["propulsion"] = {"days": 4, "planned_kwh": 9.1, "actual_kwh": 11.6}
    return {
        "format": 1, "voyage": "Carrick to Kilrush", "capacity_kwh": 28.0, "days": days,
        "totals": {"days": len(split), **sums, "actual_km": 120.0, "energies": energies},
        "drift": DRIFT, "notes": [], "cautions": [],
    }  # fmt: skip


def _day(day: Json, parts: Sequence[float] | None) -> Json:
    whole = None if parts is None else round(sum(parts), 4)
    change = round(day["charge_end_kwh"] - day["charge_start_kwh"], 4)
    start = None if whole is None else day["charge_start_kwh"]
    planned = {key: day[key] for key in ("charge_start_kwh", "charge_end_kwh", "start_km", "end_km", "mooring", "mark",
                                         "loss_kwh", "spilled_kwh", *(f"{name}_kwh" for name in FLOWS))}  # fmt: skip
    return {
        "day": day["day"], "date": day["date"], "starts_utc": day["starts_utc"], "length_h": 24,
        "from_utc": day["starts_utc"], "to_utc": _later(day["starts_utc"]),
        "planned": planned | {"change_kwh": None if whole is None else change, "made_utc": None},
        "actual": {
            "charge_start_kwh": start, "charge_end_kwh": None if whole is None else start + change + whole,
            "change_kwh": None if whole is None else round(change + whole, 4),
            "solar_kwh": day["solar_kwh"] * 0.9, "shore_kwh": None, "propulsion_kwh": day["propulsion_kwh"] * 1.25,
            "heating_kwh": None, "hotel_kwh": day["hotel_kwh"], "start_km": day["start_km"], "end_km": day["end_km"],
            "outside_c": 5.0,
        },
        "difference_kwh": whole,
        **{f"{name}_kwh": None if parts is None else parts[at] for at, name in enumerate(PARTS)},
        "rest_kwh": None if whole is None else -0.1, "shared": ["heating"],
        "notes": ["fewer than two readings of the charge"] if whole is None else
                 ["not measured, and taking what is left: heating", "weed in the propeller"],
    }  # fmt: skip


def _later(instant: str) -> str:
    return f"{datetime.fromisoformat(instant) + timedelta(days=1):%Y-%m-%dT%H:%M:%SZ}"


DRIFT = [
    {"key": "hull.coefficient_w_per_mps3", "name": "hull", "ratio": 1.21, "se": 0.05, "low": 1.1, "high": 1.32,
     "days": 6, "trend_30_days": None, "trend_se": None, "pointed": True, "test": "voyager fit trial",
     "text": "hull: measured 1.21 of the model over 6 days (1.10 to 1.32): the file's value no longer fits, growth on "
             "the hull perhaps; test it: voyager fit trial."},
    {"key": "hotel.direct_w", "name": "hotel load", "ratio": 1.01, "se": 0.02, "low": 0.95, "high": 1.07, "days": 3,
     "trend_30_days": None, "trend_se": None, "pointed": False, "test": "the battery monitor read every hour",
     "text": "hotel load: measured 1.01 of the model over 3 days (0.95 to 1.07): too few days to tell."},
]  # fmt: skip
