"""Odds and a morning card in the shape of a plan's, made up by hand from the sample's days: not a result."""

from collections.abc import Mapping, Sequence
from datetime import date, timedelta
from typing import Any

Plan = Mapping[str, Any]
SKIES = ("dark", "dull", "mixed", "fair", "bright")
GO_FROM = {"dark": 16.3, "dull": 14.0, "mixed": 11.86, "fair": 9.9, "bright": 8.4}
ARRIVED = (0.02, 0.12, 0.35, 0.58, 0.76, 0.88, 0.95, 0.98, 0.994)
FAR_DAY = 14


def odds(plan: Plan, members: int, seed: int) -> dict[str, Any]:
    """Every key of ``odds``."""
    last = date.fromisoformat(plan["arrives"])
    dates = [(last + timedelta(days=at - 2)).isoformat() for at in range(len(ARRIVED))]
    by_date = [{"date": day, **_share(share)} for day, share in zip(dates, ARRIVED, strict=True)]
    place = {"place": "Athlone", **_share(0.22), "kwh_mean": 9.8}
    return {
        "members": members, "seed": seed,
        "arrival": {"p10": dates[1], "p50": dates[3], "p90": dates[6], "mean_days": 13.2, "se_days": 0.06,
                    "by_date": by_date, "never": 0.002},
        "shore": {"stops_mean": 0.4, "stops_se": 0.02, **_share(0.31), "kwh_mean": 3.9, "places": [place]},
        "below_reserve": _share(0.01), "not_held": _share(0.03),
        "energy": {"solar_kwh_mean": 71.0, "spilled_kwh_mean": 2.1, "heating_kwh_mean": 24.5,
                   "propulsion_kwh_mean": 38.8},
        "warmth": {"asked_hours": 66.0, "warm_hours_mean": 63.9, "warm_hours_p10": 57.0},
        "days": [_day(day) for day in plan["days"]],
    }  # fmt: skip


def _share(chance: float) -> dict[str, float]:
    return {"chance": chance, "low": round(max(0.0, chance - 0.03), 2), "high": round(min(1.0, chance + 0.03), 2)}


def _day(day: Plan) -> dict[str, Any]:
    end, spread = day["charge_end_kwh"], 0.8 + 0.45 * day["day"]
    return {
        "day": day["day"], "date": day["date"], "charge_end_p10_kwh": max(4.5, end - spread),
        "charge_end_p50_kwh": end, "charge_end_p90_kwh": min(26.6, end + spread),
        "km_p10": day["start_km"], "km_p50": day["end_km"], "km_p90": day["end_km"], "arrived": 0.0,
    }  # fmt: skip


def card(plan: Plan) -> list[dict[str, Any]]:
    """Rows for the plan's own berths but that of day 11, a second berth on day 3, and a day past the plan's last."""
    days = plan["days"]
    rows = [row for day in days if day["day"] != 11 for row in _berth(day, day["from"], day["start_km"], 0.41)]
    rows += _berth(days[2], "Rooskey", 24.0, 0.07)
    late = {**days[-1], "day": FAR_DAY, "date": "2027-03-14"}
    return rows + _berth(late, "Limerick", 195.0, 0.05)


def _berth(day: Plan, mooring: str, km: float, chance: float) -> list[dict[str, Any]]:
    return [_row(day, mooring, km, chance, sky) for sky in SKIES]


def _row(day: Plan, mooring: str, km: float, chance: float, sky: str) -> dict[str, Any]:
    go = GO_FROM[sky]
    plug = mooring == "Athlone"
    return {
        "day": day["day"], "date": day["date"], "mooring": mooring, "km": km, "sky_class": sky, "chance": chance,
        "bands": [{"from_kwh": 0.0, "do": "stay"}, *_going(day, go)],
        "evening": (evening := _evening(plug, sky if day["day"] == 5 else "mixed")),
        "go_from_kwh": go, "shore_below_kwh": evening[1]["from_kwh"] if plug else None,
    }  # fmt: skip


def _going(day: Plan, go: float) -> Sequence[dict[str, Any]]:
    near, far = f"km {day['start_km'] + 12:.1f}", day["mooring"]
    return [
        {"from_kwh": go, "do": "go", "to": near, "to_km": day["start_km"] + 12, "pace_w": 440, "speed_kmh": 6.0},
        {"from_kwh": go + 4.2, "do": "go", "to": far, "to_km": day["end_km"], "pace_w": 440, "speed_kmh": 6.0},
        {"from_kwh": go + 8.0, "do": "go", "to": far, "to_km": day["end_km"], "pace_w": 600, "speed_kmh": 6.6},
    ]


def _evening(plug: bool, sky: str) -> list[dict[str, Any]]:
    warm = 9.3 + SKIES.index(sky)
    return [
        {"from_kwh": 0.0, "comfort": "off", "plug_in": plug},
        {"from_kwh": warm, "comfort": "frugal", "plug_in": False},
    ]
