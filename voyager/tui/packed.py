"""The morning card as text by day: text crosses from the worker in a moment, thousands of rows hold the screen up."""

import json
from collections.abc import Mapping, Sequence
from typing import Any

Row = Mapping[str, Any]


def packed(plan: Row) -> dict[str, Any]:
    """The plan with its card as one JSON text a day."""
    days: dict[int, list[Row]] = {}
    for row in plan["card"]:
        days.setdefault(row["day"], []).append(row)
    return {**plan, "card": {day: json.dumps(rows) for day, rows in sorted(days.items())}}


def unpacked(plan: Row, day: int) -> Sequence[Row]:
    """The rows of one day, none where there are none."""
    rows: list[Row] = json.loads(plan["card"].get(day, "[]"))
    return rows
