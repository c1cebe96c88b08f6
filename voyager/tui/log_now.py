"""Where the plan has the boat at this moment: beside the line in which a reading is noted. No Textual here."""

from collections.abc import Mapping
from datetime import datetime, timedelta
from typing import Any

from voyager.report.words import long_date
from voyager.tui import words
from voyager.tui.packed import hours_of
from voyager.tui.units import PLAIN, Units

Row = Mapping[str, Any]


def planned(plan: Row | None, now: datetime, units: Units = PLAIN) -> str:
    """One sentence; empty where there is no plan. ``now`` aware."""
    if plan is None or not plan["days"]:
        return ""
    days = plan["days"]
    if now < _time(days[0]["starts_utc"]):
        return f"By the plan the boat leaves {days[0]['from']} on {long_date(days[0]['date'])}."
    day = next((one for one in reversed(days) if _time(one["starts_utc"]) <= now), days[0])
    hour = next((one for one in hours_of(day) if _time(one["ends_utc"]) > now), None)
    if hour is None and now >= _time(day["starts_utc"]) + timedelta(hours=float(day["length_h"])):
        return f"By the plan the boat lay at {day['mooring']} on {long_date(day['date'])}, its last day."
    return _there(plan, day, hour, units)


def _there(plan: Row, day: Row, hour: Row | None, units: Units) -> str:
    kwh = day["charge_end_kwh"] if hour is None else hour["charge_kwh"]
    km = day["end_km"] if hour is None else hour["km"]
    zone = str(plan["voyage"]["time_zone"])
    until = "" if hour is None else f" by {words.clock(hour['ends_utc'], zone)}"
    where = f"at {day['mooring']}"
    if hour is not None and float(hour.get("underway_h") or 0.0) > 0:
        where = f"under way to {day['mooring']}"
    elif km != day["end_km"]:
        where = f"at {day['from']}" if km == day["start_km"] else f"on the way to {day['mooring']}"
    charge = words.percent(kwh, float(plan["boat"]["capacity_kwh"]))
    return (
        f"By the plan: {words.day_heading(day)}, {where}, {units.length} {units.length_of(km):.1f}, {charge} %{until}."
    )


def _time(text: str) -> datetime:
    return datetime.fromisoformat(text)
