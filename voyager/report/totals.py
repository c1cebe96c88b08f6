"""What a plan sums to over its days, as plain values."""

from collections import Counter
from collections.abc import Mapping
from itertools import groupby
from typing import Any

ENERGIES = ("solar_kwh", "shore_kwh", "propulsion_kwh", "hotel_kwh", "heating_kwh", "loss_kwh", "spilled_kwh",
            "unserved_kwh")  # fmt: skip
HOURS = ("hours_underway", "waiting_h", "warm_hours", "asked_hours")
MARKS = ("underway", "rest", "charge", "shore")


def totals(plan: Mapping[str, Any]) -> dict[str, Any]:
    """Sums of energies and hours; ``days`` by mark; the lowest charge with its day; ``shore_stops`` by place.

    ``charge_low``, ``charge_end_kwh`` and ``cabin_low_c`` are None for a plan without days (or asked hours).
    """
    days = plan["days"]
    lowest = min(days, key=lambda day: day["charge_low_kwh"], default=None)
    cold = [day["cabin_low_c"] for day in days if day["cabin_low_c"] is not None]
    return {
        "days": len(days),
        "marks": {mark: Counter(day["mark"] for day in days)[mark] for mark in MARKS},
        **{key: sum(day[key] for day in days) for key in ENERGIES + HOURS},
        "distance_km": sum(abs(day["end_km"] - day["start_km"]) for day in days),
        "locks": sum(day["locks"] for day in days),
        "charge_low": lowest and {key: lowest[key] for key in ("day", "mooring", "charge_low_kwh", "floor_kwh")},
        "charge_end_kwh": days[-1]["charge_end_kwh"] if days else None,
        "cabin_low_c": min(cold, default=None),
        "not_held": [day["day"] for day in days if not day["held"]],
        "shore_stops": shore_stops(plan),
    }


def shore_stops(plan: Mapping[str, Any]) -> list[str]:
    """The moorings of stays with a plug, in order: neighbouring days at one mooring are one stop."""
    stays = groupby(plan["days"], key=lambda day: (day["mooring"], day["end_km"]))
    return [mooring for (mooring, _), days in stays if any(day["shore_kwh"] > 0 for day in days)]
