"""The days and the legs of a plan as tables that fit 80 columns; a wider terminal gets more columns."""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from string import ascii_letters
from typing import TYPE_CHECKING, Any

from voyager.report.words import number, short_date

if TYPE_CHECKING:
    from rich.table import Table

WIDE = 104
Row = Mapping[str, Any]


@dataclass(frozen=True)
class Column:
    """A heading, the text of a row below it, and where it stands; ``wide`` ones need a wide terminal."""

    heading: str
    cell: Callable[[Row], str]
    left: bool = False
    wide: bool = False
    gives_way: bool = False


def _value(key: str, decimals: int = 1) -> Callable[[Row], str]:
    return lambda row: number(row[key], decimals)


def _text(key: str) -> Callable[[Row], str]:
    return lambda row: str(row[key])


def _why(day: Row) -> str:
    return "" if day["why"] == "going" else str(day["why"])


def _went(day: Row) -> str:
    return number(day["end_km"] - day["start_km"]) if day["end_km"] != day["start_km"] else ""


def _leg_days(leg: Row) -> str:
    if leg["day"] is None:
        return "" if leg["started_day"] is None else f"{leg['started_day']}-"
    return str(leg["day"]) if leg["started_day"] == leg["day"] else f"{leg['started_day']}-{leg['day']}"


DAYS: tuple[Column, ...] = (
    Column("Day", _text("day")),
    Column("Date", lambda day: short_date(day["date"]), left=True),
    Column("Sky", lambda day: day["sky_class"] or "", left=True, wide=True),
    Column("Mark", _text("mark"), left=True),
    Column("Why", _why, left=True),
    Column("Mooring", _text("mooring"), left=True, gives_way=True),
    Column("km", _went),
    Column("h", lambda day: number(day["hours_underway"]) if day["hours_underway"] else "", wide=True),
    Column("Sun", _value("solar_kwh")),
    Column("Plug", lambda day: number(day["shore_kwh"]) if day["shore_kwh"] else ""),
    Column("Motor", lambda day: number(day["propulsion_kwh"]) if day["propulsion_kwh"] else ""),
    Column("Heat", _value("heating_kwh")),
    Column("Warm h", lambda day: f"{number(day['warm_hours'])}/{number(day['asked_hours'])}", wide=True),
    Column("Spilt", _value("spilled_kwh"), wide=True),
    Column("Low", _value("charge_low_kwh"), wide=True),
    Column("End", _value("charge_end_kwh")),
)
LEGS: tuple[Column, ...] = (
    Column("Leg", _text("leg")),
    Column("From", _text("from"), left=True, gives_way=True),
    Column("To", _text("to"), left=True, gives_way=True),
    Column("Water", _text("water"), left=True),
    Column("km", _value("distance_km")),
    Column("Locks", lambda leg: str(leg["locks"] or "")),
    Column("Course", _value("course_deg", 0), wide=True),
    Column("km/h", _value("speed_kmh")),
    Column("Watts", _value("power_w", 0), wide=True),
    Column("h", _value("hours")),
    Column("kWh", _value("energy_kwh")),
    Column("Days", _leg_days),
    Column("End", _value("charge_end_kwh")),
    Column("Plug", lambda leg: "yes" if leg["needs_shore"] else "", left=True),
)


def days_table(plan: Row, width: int = 80) -> "Table":
    """One row a day; energies and charge in kWh, ``End`` the charge at the next day's start, ``Care`` by letters."""
    letters = caution_letters(plan)
    care = Column("Care", lambda day: "".join(sorted(letters[code] for code in day["cautions"])), left=True)
    return table((*DAYS, care), plan["days"], width)


def caution_letters(plan: Row) -> dict[str, str]:
    """A letter for every caution code that stands beside a day, in the order in which the days meet them."""
    codes = dict.fromkeys(code for day in plan["days"] for code in day["cautions"])
    return dict(zip(codes, ascii_letters, strict=False))


def legs_table(plan: Row, width: int = 80) -> "Table":
    """One row a leg; speed through the water, ``End`` the charge on arrival, ``Plug`` where shore power is taken."""
    return table(LEGS, plan["legs"], width)


def table(columns: Iterable[Column], rows: Iterable[Row], width: int) -> "Table":
    """One line a row; wide columns in a terminal of at least ``WIDE``, those that give way cut to fit."""
    from rich.text import Text

    shown = [column for column in columns if width >= WIDE or not column.wide]
    lines = [[column.heading for column in shown], *([column.cell(row) for column in shown] for row in rows)]
    made = plain_table()
    for column, wide in zip(shown, _widths(shown, lines, width), strict=True):
        made.add_column(column.heading, justify="left" if column.left else "right", no_wrap=True, width=wide)
    for line in lines[1:]:
        made.add_row(*map(Text, line))
    return made


def _widths(columns: list[Column], lines: list[list[str]], width: int) -> list[int]:
    """Every column as wide as its longest cell; those that give way share what is left, 8 at least."""
    from rich.cells import cell_len

    widths = [max(map(cell_len, cells)) for cells in zip(*lines, strict=True)]
    while sum(widths) + len(widths) - 1 > width:
        yielding = [place for place, column in enumerate(columns) if column.gives_way and widths[place] > 8]
        if not yielding:
            break
        widths[max(yielding, key=lambda place: widths[place])] -= 1
    return widths


def plain_table() -> "Table":
    """An empty table with a rule below its headings and one space between columns."""
    from rich import box
    from rich.table import Table

    return Table(box=box.SIMPLE_HEAD, padding=(0, 0), show_edge=False, header_style="bold")
