"""The days past of a plan that goes on from the log, as they were."""

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from voyager.report.tables import Column, table
from voyager.report.text import entry
from voyager.report.words import MISSING, number, short_date

if TYPE_CHECKING:
    from rich.table import Table

Row = Mapping[str, Any]


def _value(key: str) -> Any:
    return lambda row: number(row[key])


def _went(row: Row) -> str:
    if row["start_km"] is None or row["end_km"] is None:
        return MISSING
    return number(row["end_km"] - row["start_km"]) if row["end_km"] != row["start_km"] else ""


PAST: tuple[Column, ...] = (
    Column("Day", lambda row: str(row["voyage_day"])),
    Column("Date", lambda row: short_date(row["date"]), left=True),
    Column("Mark", lambda row: str(row["mark"]), left=True),
    Column("Mooring", lambda row: row["mooring"] or MISSING, left=True, gives_way=True),
    Column("km", _went),
    Column("Sun", _value("solar_kwh")),
    Column("Plug", _value("shore_kwh")),
    Column("Motor", _value("propulsion_kwh")),
    Column("Heat", _value("heating_kwh")),
    Column("Hotel", _value("hotel_kwh")),
    Column("Outside", _value("outside_c"), wide=True),
    Column("Start", _value("charge_start_kwh")),
    Column("End", _value("charge_end_kwh")),
)


def past_lines(plan: Row, width: int) -> list[str]:
    """Where the boat is by the log, and how the plan's days are counted."""
    told = plan.get("log")
    if not told:
        return []
    count = f" The plan's day 1 is the voyage's day {told['voyage_day']}." if told["voyage_day"] > 1 else ""
    return [entry("  By the log  ", told["text"].removeprefix("By the log at ") + count, width)]


def past_table(plan: Row, width: int) -> "Table | None":
    """One row a day by its number in the voyage; ``-``: the log does not say."""
    return table(PAST, plan["past"], width) if plan.get("past") else None
