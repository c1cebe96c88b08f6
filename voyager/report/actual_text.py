"""Planned against actual as text: a table by day, its sums, what the log says of the boat's numbers."""

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from voyager.report.tables import Column, table
from voyager.report.text import WIDTH, entry, heading, rendered
from voyager.report.words import MISSING, counted, number, short_date

if TYPE_CHECKING:
    from rich.console import RenderableType

Row = Mapping[str, Any]
PARTS = ("sky", "hull", "cabin", "hotel", "habit")
SAID = {"solar": "sun", "shore": "plug", "propulsion": "motor", "hotel": "hotel", "heating": "heat"}
MEANING = (
    ("Sky", "sun and outside air other than planned"),
    ("Hull", "propulsion other than the model's for the way and time made"),
    ("Cabin", "heating other than the model's in the air that was"),
    ("Hotel", "hotel load, and all that nothing measured explains"),
    ("Habit", "other way, pace, plug or warmth than planned"),
)


def signed(value: object, decimals: int = 1) -> str:
    """``+0.4``, ``-0.4``, ``0.0``; ``-`` where there is none."""
    text = number(value, decimals)
    return f"+{text}" if isinstance(value, int | float) and round(value, decimals) > 0 else text


def _signed(key: str) -> Column:
    return Column(key.capitalize(), lambda row: signed(row[f"{key}_kwh"]))


def _of(side: str, key: str) -> Any:
    return lambda row: number((row[side] or {}).get(key))


def _went(row: Row) -> str:
    start, end = row["actual"]["start_km"], row["actual"]["end_km"]
    return MISSING if start is None or end is None else number(end - start)


def _meant(row: Row) -> str:
    planned = row["planned"]
    return MISSING if planned is None else number(planned["end_km"] - planned["start_km"])


DAYS: tuple[Column, ...] = (
    Column("Day", lambda row: str(row["day"])),
    Column("Date", lambda row: short_date(row["date"]), left=True),
    Column("km", _went),
    Column("plan", _meant, wide=True),
    Column("Sun", _of("actual", "solar_kwh"), wide=True),
    Column("plan", lambda row: _taken(row), wide=True),
    Column("Motor", _of("actual", "propulsion_kwh"), wide=True),
    Column("plan", _of("planned", "propulsion_kwh"), wide=True),
    Column("Change", lambda row: signed(row["actual"]["change_kwh"])),
    Column("plan", lambda row: signed((row["planned"] or {}).get("change_kwh"))),
    Column("Differs", lambda row: signed(row["difference_kwh"])),
    *map(_signed, PARTS),
)


def _taken(row: Row) -> str:
    planned = row["planned"]
    return MISSING if planned is None else number(planned["solar_kwh"] - planned["spilled_kwh"])


def actual_text(result: Row, width: int = WIDTH, *, styled: bool = False) -> str:
    """The object of ``session.actual`` for a terminal of ``width`` columns; it reads the same without styles."""
    parts: list[RenderableType] = [heading("Planned against actual (kWh; + more charge left than planned)")]
    parts.append(table(DAYS, result["days"], width))
    parts += _plain(_totals(result["totals"], width))
    parts += _plain([entry(f"  {name:<7}", text, width) for name, text in MEANING])
    if notes := _notes(result["days"], width):
        parts += [heading("Of the days"), *_plain(notes)]
    parts += [heading("What the log says of the boat file"), *_plain(drift_lines(result, width))]
    return rendered(parts, width, styled=styled).lstrip("\n")


def _totals(totals: Row, width: int) -> list[str]:
    if not totals["days"]:
        return [entry("", "No day can be held against its plan yet: note the charge each morning.", width)]
    parts = ", ".join(f"{name} {signed(totals[f'{name}_kwh'])}" for name in PARTS)
    text = f"{signed(totals['difference_kwh'])} kWh in {counted(totals['days'], 'day', 'days')}: {parts}."
    lines = [entry("Together ", text, width)]
    told = [_measured(name, one) for name, one in totals["energies"].items() if one["days"]]
    return [*lines, *([entry("Measured ", "; ".join(told) + ".", width)] if told else [])]


def _measured(name: str, one: Row) -> str:
    days = counted(one["days"], "day", "days")
    return f"{SAID[name]} {number(one['actual_kwh'])} of {number(one['planned_kwh'])} planned ({days})"


def _notes(days: list[Row], width: int) -> list[str]:
    return [entry(f"  Day {day['day']}: ", "; ".join(day["notes"]) + ".", width) for day in days if day["notes"]]


def drift_lines(result: Row, width: int) -> list[str]:
    """A sentence each; those whose interval leaves the file's value out are marked with ``!``."""
    rows = sorted(result["drift"], key=lambda one: not one["pointed"])
    if not rows and not result["notes"]:
        return [entry("  ", "Nothing yet: it takes two days of measured energies with the charge at both ends.", width)]
    lines = [entry("! " if one["pointed"] else "  ", one["text"], width) for one in rows]
    return [*lines, *(entry("  ", note, width) for note in result["notes"])]


def _plain(lines: list[str]) -> "list[RenderableType]":
    from rich.text import Text

    return [Text(line, overflow="fold") for line in lines]
