"""The plan with its larger parts as text by day: text crosses from the worker in a moment, thousands of rows hold the
screen up; a day's text is read when that day is looked at."""

import json
from collections.abc import Mapping, Sequence
from typing import Any

Row = Mapping[str, Any]


def packed(plan: Row) -> dict[str, Any]:
    """The plan with its card, its evenings and the hours of its days as one JSON text a day."""
    cards: dict[int, list[Row]] = {}
    for row in plan["card"]:
        cards.setdefault(row["day"], []).append(row)
    days = [{**day, "hours": json.dumps(day.get("hours", []))} for day in plan["days"]]
    evenings = {row["day"]: json.dumps(row) for row in plan.get("evenings", [])}
    card = {day: json.dumps(rows) for day, rows in sorted(cards.items())}
    return {**plan, "days": days, "card": card, "evenings": evenings}


def unpacked(plan: Row, day: int) -> Sequence[Row]:
    """The card's rows of one day, none where there are none."""
    rows: list[Row] = json.loads(plan["card"].get(day, "[]"))
    return rows


def hours_of(day: Row) -> Sequence[Row]:
    """The hours of a day of a packed plan."""
    rows: list[Row] = json.loads(day["hours"])
    return rows


def evening_of(plan: Row, day: int) -> Row | None:
    """The evening of one day of a packed plan, None where it ends on the water."""
    row: Row | None = json.loads(plan["evenings"].get(day, "null"))
    return row
