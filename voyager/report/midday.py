"""The answer from the middle of a day: go on, slow down or stop, what if it turns out worse, and where return ends."""

from collections.abc import Mapping
from datetime import datetime
from typing import Any
from zoneinfo import ZoneInfo

from voyager.report.text import entry
from voyager.report.words import figure, long_date, number

Plan = Mapping[str, Any]


def midday_lines(plan: Plan, width: int) -> list[str]:
    """Empty where no ``from`` was asked for."""
    told = plan.get("from")
    if not told:
        return []
    rows = [
        ("Now", f"{_clock(told['time_utc'], plan)}, km {figure(round(told['km'], 1))}, {_charge(told)}"),
        ("Do", told["text"]),
        *([] if told["held"] else [("Take care", "On a poor day this is not held: the charge would end too low.")]),
        *([("Else", told["fallback"]["text"])] if told["fallback"] else []),
        *([("No return", told["no_return"]["text"])] if told["no_return"] else []),
    ]
    return [entry(f"  {name:<12}", text, width) for name, text in rows]


def _charge(told: Plan) -> str:
    return f"{number(told['charge_kwh'])} kWh ({figure(round(told['charge_percent'], 1))} %) in the battery"


def _clock(instant: str, plan: Plan) -> str:
    local = datetime.fromisoformat(instant).astimezone(ZoneInfo(plan["voyage"]["time_zone"]))
    return f"{long_date(local.date().isoformat())}, {local:%H:%M} local time"
