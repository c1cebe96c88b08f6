"""A plan's values in the words and figures of the screen. Nothing is computed here but sums and percentages."""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from rich.cells import cell_len, set_cell_size

from voyager.report.words import MONTHS, long_date, short_date
from voyager.tui.units import PLAIN, Units

Row = Mapping[str, Any]
NONE = "–"
HELD = "\N{NO-BREAK SPACE}"
TIED = re.compile(
    r"(?<=[0-9]) (?=(?:kWh|Wh|kW|W|km/h|km|kn|NM|ft|cm|m|h|min|°[CF]|%|K|V|A|Ah|kg"
    r"|days?|nights?|stops?|locks?|" + "|".join(MONTHS) + r")(?![\w/]))"
)
"""The space between a figure and its unit."""
MARKS = {"underway": ("▸", "under way"), "rest": ("·", "rest"), "charge": ("▴", "charge"), "shore": ("╧", "shore"),
         "logged": ("■", "logged")}  # fmt: skip
REASONS = {
    "going": "going", "to-shore": "to a plug", "asked": "as asked", "closed": "locks shut", "sea": "sea unfit",
    "daylight": "daylight", "recover": "recovering", "low": "charge low", "slack": "time enough", "arrived": "arrived",
}  # fmt: skip
PLUGGED = "then a plug"
CAUTIONS = {
    "not_for_navigation": "not for navigation", "fresh_air": "fresh air", "cold_charging": "cold charging",
    "shore_safety": "shore power", "deep_discharge": "deep discharge", "no_way_out": "no way out",
    "lock_hours": "lock hours", "hull_speed": "hull speed", "over_limit": "over limit", "raised_wind": "raised panels",
    "inverter_overload": "inverter overload", "climate_north": "climate far north", "climate_ocean": "climate at sea",
}  # fmt: skip
EVERYDAY = ("condensation", "shore_safety", "heater", "fresh_air")
GRAVEST = ("no_way_out", "deep_discharge", "ice", "cold_charging", "overnight", "sea", "snow", "frost", "tide",
           "raised_wind", "inverter_overload", "lock_hours", "daylight", *EVERYDAY)  # fmt: skip
CHOICES = {
    "sky": {
        "cautious": "a dull fortnight: one in five is duller",
        "middling": "an even fortnight",
        "good": "a bright fortnight: one in five is brighter",
    },
    "aim": {
        "soonest": "arrive as early as can be",
        "fewest-shore": "as few evenings on a plug as can be, in time",
        "calmest": "as little power to the propeller as can be, in time",
    },
}
NEEDS_BY = {"fewest-shore", "calmest"}


def caution_words(code: str) -> str:
    """A caution's short name."""
    return CAUTIONS.get(code, code.replace("_", " "))


def figure(value: float | None, decimals: int = 1) -> str:
    """A figure, short: one decimal below 100, none above; empty where there is none."""
    if value is None:
        return ""
    return f"{value:.{0 if abs(value) >= 99.95 else decimals}f}"


def percent(kwh: float | None, capacity_kwh: float) -> int | None:
    """Charge in whole percent of capacity, rounded down so that a floor is never flattered."""
    return None if kwh is None or capacity_kwh <= 0 else int(100.0 * kwh / capacity_kwh + 1e-6)


def percent_words(kwh: float | None, capacity_kwh: float) -> str:
    """``78%``; empty where there is none."""
    value = percent(kwh, capacity_kwh)
    return "" if value is None else f"{value}%"


def cut(text: str, width: int) -> str:
    """Text in at most ``width`` columns, the rest an ellipsis."""
    if columns(text) <= width:
        return text
    room = max(0, width - 1)
    return (text[:room] if text.isascii() else set_cell_size(text, room)) + "…"


def columns(text: str) -> int:
    """Columns of the terminal that a text takes: a name may hold signs two columns wide."""
    return len(text) if text.isascii() else cell_len(text)


def padded(text: str, width: int, left: bool = True) -> str:
    """As ``cut``, filled up to ``width`` columns."""
    text = cut(text, width)
    blank = " " * (width - columns(text))
    return text + blank if left else blank + text


def stretch(start: str, end: str, width: int) -> str:
    """``start → end`` in at most ``width`` columns, both cut alike; a day that stays names its place once."""
    if start == end or width < 9:
        return cut(end, width)
    room = width - 3
    first = min(columns(start), max(room // 2, room - columns(end)))
    return f"{cut(start, first)} → {cut(end, room - first)}"


def speed_words(leg: Row) -> str:
    """Speed through the water; ``=`` before it where it is fixed."""
    text = figure(leg.get("speed_kmh"))
    return f"={text}" if text and leg.get("fixed_speed") else text


def leg_days(leg: Row) -> str:
    """``3``, or ``3–4`` for a leg of several days."""
    first, last = leg.get("started_day"), leg.get("day")
    if first is None:
        return ""
    return str(first) if first == last else f"{first}–{'' if last is None else last}"


@dataclass(frozen=True)
class DayRow:
    """One day, ready to be drawn; percentages of capacity, None without a battery figure.

    ``share_in``, ``share_out``: kWh in and out as a share of the most on any day; ``cautions`` the gravest first;
    ``past``: the log tells it, no plan.
    """

    number: int
    date: str
    sign: str
    mark: str
    reason: str
    start: str
    end: str
    charge: int | None
    low: int | None
    floor: int | None
    gained: str
    spent: str
    held: bool
    cautions: tuple[str, ...]
    share_in: float = 0.0
    share_out: float = 0.0
    past: bool = False

    @property
    def named(self) -> str:
        """``!frost, tide``; empty where there is none."""
        return f"!{', '.join(self.cautions)}" if self.cautions else ""


def reason(day: Row) -> str:
    """Why the day is what it is; a day not held says that first, one under way that it ends at a plug in use."""
    if not day["held"]:
        return "not held"
    if day["mark"] == "underway" and day["why"] == "going" and day["shore_kwh"]:
        return PLUGGED
    return REASONS.get(day["why"], str(day["why"]))


def day_rows(days: Sequence[Row], capacity_kwh: float) -> list[DayRow]:
    """The days of a plan as their list shows them, kWh in and out on one scale."""
    most = max((kwh for day in days for kwh in gained_spent(day)), default=0.0)
    return [day_row(day, capacity_kwh, most) for day in days]


def gained_spent(day: Row) -> tuple[float, float]:
    """kWh in: solar and shore; kWh out: propulsion, hotel, heating, loss."""
    spent = sum(day[key] for key in ("propulsion_kwh", "hotel_kwh", "heating_kwh", "loss_kwh"))
    return day["solar_kwh"] + day["shore_kwh"], spent


def day_row(day: Row, capacity_kwh: float, most_kwh: float = 0.0) -> DayRow:
    """A day of the plan as the list shows it."""
    sign, mark = MARKS[day["mark"]]
    gained, spent = gained_spent(day)
    share = 1 / most_kwh if most_kwh > 0 else 0.0
    return DayRow(
        number=day["day"], date=short_date(day["date"]), sign=sign, mark=mark,
        reason=reason(day),
        start=day["from"], end=day["mooring"], charge=percent(day["charge_end_kwh"], capacity_kwh),
        low=percent(day["charge_low_kwh"], capacity_kwh), floor=percent(day["floor_kwh"], capacity_kwh),
        gained=f"+{figure(gained)}", spent=f"−{figure(spent)}",
        held=day["held"], cautions=tuple(caution_words(code) for code in sorted(day["cautions"], key=gravity)),
        share_in=gained * share, share_out=spent * share,
    )  # fmt: skip


def gravity(code: str) -> int:
    """Order of a caution among those of a day, the gravest first; what every heated evening has comes last."""
    return GRAVEST.index(code) if code in GRAVEST else len(GRAVEST) - len(EVERYDAY)


def degrees(celsius: float | None, units: Units = PLAIN, decimals: int = 0) -> str:
    """A temperature in the units shown, without its unit; a dash where there is none, never minus nought."""
    value = units.temperature_of(celsius)
    return NONE if value is None else f"{round(value, decimals) + 0.0:.{decimals}f}"


def day_heading(day: Row) -> str:
    """``Day 3, Wed 3 Mar``."""
    return f"Day {day['day']}, {' '.join(short_date(day['date']).split())}"


def day_title(day: Row) -> str:
    """``Day 3, Wed 3 Mar 2027: Lanesborough → Athlone``."""
    way = day["mooring"] if day["from"] == day["mooring"] else f"{day['from']} → {day['mooring']}"
    return f"Day {day['day']}, {long_date(day['date'])}: {way}"


def leg_title(leg: Row) -> str:
    """``Leg 3: Lanesborough → Athlone``."""
    return f"Leg {leg['leg']}: {leg['from']} → {leg['to']}"


def texts_for(plan: Row, key: str, number: int) -> list[tuple[str, str]]:
    """Short name and full text of every caution of one day or leg, each once."""
    found = {item["code"]: item["text"] for item in plan.get("cautions", ()) if item[key] == number}
    return [(caution_words(code), text) for code, text in found.items()]


def clock(instant: str | None, zone: str) -> str:
    """Civil time of an instant, ``08:30``; a dash where there is none."""
    if not instant:
        return NONE
    from datetime import UTC, datetime
    from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

    moment = datetime.strptime(instant, "%Y-%m-%dT%H:%M:%SZ").replace(tzinfo=UTC)
    try:
        return moment.astimezone(ZoneInfo(zone)).strftime("%H:%M")
    except (ZoneInfoNotFoundError, ValueError):
        return moment.strftime("%H:%M UTC")


def pairs(items: Sequence[tuple[str, str]]) -> str:
    """``name value`` pairs in one line."""
    return " · ".join(f"{name} {value}" for name, value in items if value)


def wrapped(text: str, width: int) -> list[str]:
    """Text in lines of at most ``width`` columns; a figure keeps its unit or month beside it."""
    from textwrap import wrap

    held = TIED.sub(HELD, text)
    return [line.replace(HELD, " ") for line in wrap(held, max(1, width))]
