"""A whole plan as text: tables in the middle, the reasons and cautions around them."""

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from voyager.report import odds, summary
from voyager.report.card_page import first_lines
from voyager.report.midday import midday_lines
from voyager.report.past import past_lines, past_table
from voyager.report.tables import days_table, legs_table
from voyager.report.text import WIDTH, heading, rendered

if TYPE_CHECKING:
    from rich.console import RenderableType


def plan_text(plan: Mapping[str, Any], width: int = WIDTH, *, styled: bool = False) -> str:
    """The plan for a terminal of ``width`` columns; it reads the same without styles."""
    parts: list[RenderableType] = _past(plan, width)
    parts += _section("From here", [*past_lines(plan, width), *midday_lines(plan, width)])
    parts += _lines([""] if parts else [])
    parts += _lines(summary.opening(plan, width))
    parts += _sure(plan, width)
    parts += _section("Short", summary.short_lines(plan, width))
    parts += [heading("Days (kWh; End: charge at the next day's start)"), days_table(plan, width)]
    parts += _lines(summary.notes(plan, width))
    parts += [heading("Legs (km/h through the water; End: charge on arrival)"), legs_table(plan, width)]
    parts += _section("Totals", summary.totals_lines(plan, width))
    parts += _section("Morning card", first_lines(plan, width))
    parts += _section("Cautions", summary.caution_lines(plan, width))
    parts += _section("Taken for granted", summary.assumption_lines(plan, width))
    return rendered(parts, width, styled=styled).lstrip("\n")


def _past(plan: Mapping[str, Any], width: int) -> "list[RenderableType]":
    found = past_table(plan, width)
    return [] if found is None else [heading("Days past, by the log (kWh; -: not noted)"), found]


def _sure(plan: Mapping[str, Any], width: int) -> "list[RenderableType]":
    """The odds: in words, by date, and the charge of the days; nothing where there are none."""
    told = plan["odds"]
    if not told:
        return []
    dates = odds.date_lines(told) or [odds.everyone_alike(told)]
    charge = "Charge as each day ends (kWh and up; o half, | one to nine in ten, . reserve)"
    return [
        *_section(f"How sure ({odds.title(told)}; in brackets: 95 % interval)", odds.sure_lines(plan, width)),
        *_section("Arrived by", dates),
        *_section(charge, odds.charge_lines(plan)),
    ]


def _section(title: str, lines: list[str]) -> "list[RenderableType]":
    return [heading(title), *_lines(lines)] if lines else []


def _lines(lines: list[str]) -> "list[RenderableType]":
    from rich.text import Text

    return [Text(line, overflow="fold") for line in lines]
