"""The log as lines: a table that leaves out what has no room, and all of one entry below it. No Textual here."""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from voyager.report.words import MONTHS, long_date, short_date
from voyager.session.log_line import EXAMPLE, WORDS
from voyager.tui import words
from voyager.tui.units import PLAIN, Units

Row = Mapping[str, Any]
LEAST_PLACE, MOST_PLACE, LEAST_NOTE = 10, 22, 11
WIDE = 100
GAP = " "
SOURCES = {"screen": "noted here", "command": "noted by voyager log"}
MORE = ("propulsion_kwh", "heating_kwh", "hotel_kwh")
"""What has a column only where there is room for all of them."""
SPARED = (("Shore",), ("kWh",), ("In", "Out"), ("Sun",))
"""Columns that a narrow table does without, in this order: half a figure would be another one."""


@dataclass(frozen=True)
class Column:
    """``width`` 0: takes what is left."""

    name: str
    width: int
    cell: Callable[[Row, Units], str]
    left: bool = False


def _figure(key: str, decimals: int = 1) -> Callable[[Row, Units], str]:
    return lambda row, _: words.figure(row[key], decimals)


def _air(key: str) -> Callable[[Row, Units], str]:
    return lambda row, units: "" if row[key] is None else words.degrees(row[key], units)


def _km(row: Row, units: Units) -> str:
    return "" if row["km"] is None else f"{units.length_of(row['km']):.1f}"


def _percent(row: Row, _: Units) -> str:
    return "" if row["charge_percent"] is None else f"{int(row['charge_percent'] + 1e-6)}"


def place(row: Row, decimals: int = 2) -> str:
    """The place, else the position where that alone is known."""
    if row["place"]:
        return str(row["place"])
    return position(row, decimals) if row["km"] is None else ""


def position(row: Row, decimals: int) -> str:
    """Latitude and longitude in degrees; empty where the entry has none."""
    return "" if row["lat"] is None else f"{row['lat']:.{decimals}f}, {row['lon']:.{decimals}f}"


def moment(row: Row, weekday: bool = False) -> str:
    """``2 Mar 14:00`` by the voyage's clock; UTC where that alone is known."""
    text = row["time_local"] or row["time_utc"]
    day = short_date(text[:10]) if weekday else f"{int(text[8:10]):>2} {MONTHS[int(text[5:7]) - 1]}"
    return f"{day} {text[11:16]}{'' if row['time_local'] else 'Z'}"


def columns(width: int, units: Units = PLAIN) -> tuple[Column, ...]:
    """What the table shows in a width."""
    wide = width >= WIDE
    more = tuple(Column(WORDS[key].capitalize(), 5, _figure(key)) for key in MORE) if wide else ()
    fixed: tuple[Column, ...] = (
        Column(units.length, 6, _km), Column("%", 3, _percent), Column("kWh", 5, _figure("charge_kwh")),
        Column("Sun", 5, _figure("solar_kwh")), Column("Shore", 5, _figure("shore_kwh")), *more,
        Column("In", 3, _air("inside_c")), Column("Out", 3, _air("outside_c")),
    )  # fmt: skip
    when = Column("Time", 17 if wide else 13, lambda row, _: moment(row, wide), True)
    for names in SPARED:
        if _room(width, when, fixed) < LEAST_PLACE:
            fixed = tuple(column for column in fixed if column.name not in names)
    room = _room(width, when, fixed)
    named = max(LEAST_PLACE, min(MOST_PLACE, room - LEAST_NOTE))
    remark = Column("Remark", room - named, lambda row, _: row["note"], True)
    told = remark.width >= len(remark.name)
    where = Column("Place", named if told else max(LEAST_PLACE, room + 1), lambda row, _: place(row), True)
    return (when, where, *fixed, remark) if told else (when, where, *fixed)


def _room(width: int, when: Column, fixed: Sequence[Column]) -> int:
    """What is left for the place and the remark."""
    return width - when.width - sum(one.width for one in fixed) - len(GAP) * (len(fixed) + 2) - 1


def head(width: int, units: Units = PLAIN) -> str:
    """The names of the columns."""
    cells = columns(width, units)
    return _line([column.name for column in cells], cells, width)


def line(row: Row, width: int, units: Units = PLAIN, former: Row | None = None) -> str:
    """One entry; its day is left away where that of the entry before is the same."""
    cells = columns(width, units)
    texts = [column.cell(row, units) for column in cells]
    if former is not None and _day(former) == _day(row):
        texts[0] = texts[0][-len(_clock(row)) :].rjust(len(texts[0]))
    return _line(texts, cells, width)


def _day(row: Row) -> str:
    return str(row["time_local"] or row["time_utc"])[:10]


def _clock(row: Row) -> str:
    return "14:00" if row["time_local"] else "14:00Z"


def _line(texts: Sequence[str], cells: Sequence[Column], width: int) -> str:
    parts = [words.padded(text, column.width, column.left) for text, column in zip(texts, cells, strict=True)]
    return words.padded(GAP.join(parts), width)


# one entry


def places(legs: Iterable[Any]) -> list[str]:
    """Where legs end."""
    return [str(leg.get("to") or "") for leg in legs]


def example(places: Sequence[str]) -> str:
    """A line to go by, with a place of the voyage where it has any."""
    known = next((name for name in places if name and ":" not in name), None)
    return EXAMPLE if known is None else EXAMPLE.replace("Kingston", known)


def title(row: Row, units: Units = PLAIN) -> str:
    """``Tue 2 Mar 2027 14:00, Kingston, km 63.0, 61 %`` of an entry, as far as it says."""
    text = row["time_local"] or row["time_utc"]
    when = f"{long_date(text[:10])} {text[11:16]}{'' if row['time_local'] else ' UTC'}"
    km = f"{units.length} {_km(row, units)}" if row["km"] is not None else ""
    percent = _percent(row, units)
    kwh = "" if row["charge_kwh"] is None else f"{row['charge_kwh']:.1f} kWh"
    charge = f"{percent} % ({kwh})" if percent else kwh
    return ", ".join(part for part in (when, place(row, 4), km, charge) if part)


def flows(row: Row, units: Units = PLAIN) -> str:
    """Energies and air that the entry has."""
    told = [
        (name, f"{row[key]:.2f} kWh") for key, name in WORDS.items() if key.endswith("_kwh") and row[key] is not None
    ]
    told += [
        (name, f"{words.degrees(row[key], units, 1)} {units.temperature}")
        for key, name in (("inside_c", "inside"), ("outside_c", "outside"))
        if row[key] is not None
    ]
    return words.pairs(told)


def about(row: Row, units: Units = PLAIN) -> list[tuple[str, str]]:
    """All that an entry says."""
    source = SOURCES.get(row["source"], f"from {row['source']}")
    lines = [("title", title(row, units))]
    lines += [("plain", text) for text in (flows(row, units), row["note"]) if text]
    at = position(row, 4) if row["place"] or row["km"] is not None else ""
    return [*lines, ("plain", " · ".join(part for part in (at, source) if part))]


def foot(row: Row, width: int, units: Units = PLAIN) -> list[tuple[str, str]]:
    """The same in as few lines of a width as it goes: what the table may have cut."""
    first, *rest = about(row, units)
    told = " · ".join(text for _, text in rest)
    return [first, *(("plain", text) for text in words.wrapped(told, max(30, width)))]
