"""The morning card as lines: a table a mooring, the five skies as its columns, on one page that a printer takes."""

from collections.abc import Sequence
from itertools import groupby
from math import ceil
from textwrap import wrap

from voyager.errors import InputError
from voyager.report.card import Bands, Morning, Row, held, mornings, printed, said, thick, up
from voyager.report.odds import title
from voyager.report.text import WIDTH, entry
from voyager.report.words import SKIES, figure, long_date, number, percent, short_date

PAGE_LINES, PLAN_LINES = 60, 26
CELL, LABEL = 11, 23
INDENT = "  "
HEAD = (
    f"{INDENT}{'Sky this morning:':<{LABEL}}{''.join(f'{sky:<{CELL}}' for sky in SKIES)}".rstrip(),
    f"{'':<{LABEL + len(INDENT)}}{' kWh km/h  ' * len(SKIES)}".rstrip(),
)
HOW = (
    "How to read it: choose the column of this morning's sky, as it looks for the season, from dark to bright in "
    "fifths. Go down it to the last kWh that the battery has. Do what stands at the left of that line, at that speed; "
    "all kWh are rounded up. Evening: where you lie that night, by the charge once made fast. Not held: on a poor day "
    "the charge would end too low."
)
SEA = "On coastal and open water the card is for a morning on which the sea is fit; on any other do not put to sea."
FOOT = (
    "Illustrative, not for navigation: charts, notices, locks, weather and your own eyes come first.",
    "Heater: keep textiles clear of it, never run it asleep or unattended, keep the vents open. Shore power: "
    "earth-leakage protection and galvanic isolation, fitted by a licensed electrician to local codes.",
)
NONE = "No mooring is woken at in 5 of 100 skies."


def card_page(plan: Row, first_day: int = 1) -> str:
    """The card alone: one page of at most 60 lines, 80 columns wide, of the mornings from a day on that fit.

    Raises
    ------
    InputError
        No morning of the card is of that day or later.
    """
    found = mornings(plan["card"], first_day)
    if not found and first_day > 1:
        raise InputError(_beyond(plan, first_day))
    blocks = [morning_lines(one, plan["boat"]) for one in found] or [[NONE]]
    foot = _foot(plan)
    room = PAGE_LINES - len(_top(plan)) - len(foot) - 3
    shown = _fitting(blocks, room)
    body = [line for block in shown for line in ["", *block]]
    more = _lines(_more(found, len(shown)))
    return "\n".join([*_top(plan), *body, "", *more, *foot]) + "\n"


def _beyond(plan: Row, first_day: int) -> str:
    last = max((one.first["day"] for one in mornings(plan["card"])), default=None)
    ends = f"its last morning is of day {last}; write --card {last} or less" if last else "it has no morning at all"
    return f"voyager plan: the morning card has none of day {first_day} or later; {ends}"


def first_lines(plan: Row, width: int) -> list[str]:
    """The first mornings of the card, for the text of the plan, and how many more there are."""
    found = mornings(plan["card"])
    if not found:
        return []
    shown = _fitting([morning_lines(one, plan["boat"]) for one in found], PLAN_LINES)
    lines = [line for block in shown for line in ["", *block]]
    left = len(found) - len(shown)
    more = f"{left} more {'morning' if left == 1 else 'mornings'}: voyager plan VOYAGE --card, --card DAY."
    how = [entry(INDENT, text, width) for text in (HOW, *_sea(plan))]
    return [*how, "", *HEAD, *lines, *(["", entry(INDENT, more, width)] if left else [])]


def _top(plan: Row) -> list[str]:
    name = f"Morning card: {plan['voyage']['name']}, {plan['boat']['name']}"
    departs = f"Departs {long_date(plan['voyage']['departs'])}; {title(plan['odds'])}"
    return [*_lines(name, departs, HOW), *_shares(plan["boat"]["capacity_kwh"]), "", *HEAD]


def _shares(capacity_kwh: float) -> list[str]:
    """Tenths of the battery in kWh, for those who read their monitor in per cent."""
    tenths = range(1, 11)
    shares = f"Battery %   {''.join(f'{tenth * 10:>6}' for tenth in tenths)}"
    return [shares, f"Battery kWh {''.join(f'{_kwh(capacity_kwh * tenth / 10):>6}' for tenth in tenths)}"]


def _sea(plan: Row) -> list[str]:
    return [SEA] if any(leg["water"] in ("coastal", "open") for leg in plan["legs"]) else []


def _foot(plan: Row) -> list[str]:
    return _lines(*_sea(plan), *FOOT)


def _more(found: Sequence[Morning], shown: int) -> str:
    left = found[shown:]
    if not left:
        return "No more mornings."
    day = left[0].first["day"]
    return f"{len(left)} more mornings; go on with --card {day}, to day {left[-1].first['day']}."


def _lines(*texts: str, lead: str = "") -> list[str]:
    return [line for text in texts for line in entry(lead, text, WIDTH).split("\n")]


def _fitting(blocks: list[list[str]], room: int) -> list[list[str]]:
    """Blocks from the first on, as many as there is room for, each with an empty line above; the first cut to it."""
    shown: list[list[str]] = [blocks[0][: room - 1]]
    for block in blocks[1:]:
        if sum(len(one) + 1 for one in [*shown, block]) > room:
            break
        shown.append(block)
    return shown


def morning_lines(morning: Morning, boat: Row) -> list[str]:
    """The mooring, a line for each thing to do with the charge it takes under each sky, and the evening."""
    row, size = morning.first, (boat["capacity_kwh"], boat["ceiling_kwh"])
    columns = {sky["sky_class"]: printed(sky["bands"], sky["km"], *size) for sky in morning.skies}
    rows = rows_of([columns.get(sky, []) for sky in SKIES], row["km"])
    return [
        *_lines(_where(row)),
        *(line for cells in rows for line in _row(cells, row["km"])),
        *(line for text in _evenings(morning, *size) for line in _lines(text, lead=INDENT)),
    ]


def _where(row: Row) -> str:
    name, km = row["mooring"], figure(round(row["km"], 1))
    place = name if name.startswith("km ") else f"{name} (km {km})"
    date = " ".join(short_date(row["date"]).split())
    return f"Day {row['day']}, {date}, {place}: {percent(row['chance'])} of the skies wake here"


def rows_of(columns: Sequence[Bands], km: float) -> list[list[Row | None]]:
    """Bands that ask for the same side by side, each column's own in their order from the lowest charge up."""
    left = [list(column) for column in columns]
    rows: list[list[Row | None]] = []
    while any(left):
        heads = {said(column[0]): column[0] for column in left if column}
        later = {said(band) for column in left for band in column[1:]}
        ready = [key for key in heads if key not in later] or list(heads)
        pick = min(ready, key=lambda key: _order(heads[key], km))
        rows.append([column.pop(0) if column and said(column[0]) == pick else None for column in left])
    return rows


def _order(band: Row, km: float) -> tuple[bool, bool, float]:
    going = band["do"] == "go"
    return held(band), going, abs(band["to_km"] - km) if going else 0.0


def _row(cells: Sequence[Row | None], km: float) -> list[str]:
    from rich.cells import set_cell_size

    band = next(cell for cell in cells if cell)
    first, *more = wrap(_doing(band, km), LABEL - 1)
    line = f"{INDENT}{set_cell_size(first, LABEL)}{''.join(_cell(cell) for cell in cells)}"
    return [line.rstrip(), *(f"{INDENT}{rest}" for rest in more)]


def _cell(band: Row | None) -> str:
    if band is None:
        return f"{'-':>4}{'':{CELL - 4}}"
    speed = number(band["speed_kmh"]) if band["do"] == "go" else ""
    return f"{_kwh(band['from_kwh']):>4} {speed:>4}  "


def _kwh(kwh: float) -> str:
    """Rounded up, in four columns at most up to 9999 kWh."""
    return number(up(kwh)) if up(kwh) < 100 else str(ceil(kwh - 1e-6))


def _doing(band: Row, km: float) -> str:
    return _where_to(band, km) + ("" if held(band) else " (not held)")


def _where_to(band: Row, km: float) -> str:
    if band["do"] != "go":
        return "stay"
    if band.get("why") == "to-shore":
        return f"to the plug at {band['to']}"
    return f"back to {band['to']}" if band["to_km"] < km else str(band["to"])


def _evenings(morning: Morning, capacity_kwh: float, ceiling_kwh: float) -> list[str]:
    """The evening in a sentence; one for each run of skies where they differ."""
    rows = [(sky["sky_class"], _evening(sky["evening"], capacity_kwh, ceiling_kwh)) for sky in morning.skies]
    runs = [(text, [name for name, _ in one]) for text, one in groupby(rows, key=lambda row: row[1])]
    if len(runs) == 1:
        return [f"Evening: {runs[0][0]}"]
    return [f"Evening, {_span(names)}: {text}" for text, names in runs]


def _span(names: Sequence[str]) -> str:
    return names[0] if len(names) == 1 else f"{names[0]} to {names[-1]}"


def _evening(bands: Sequence[Row], capacity_kwh: float, ceiling_kwh: float) -> str:
    kept = thick([{"do": "night", **band} for band in bands], capacity_kwh, ceiling_kwh)
    first, *rest = kept
    return "; ".join([_night(first), *(f"from {_kwh(band['from_kwh'])} kWh {_night(band)}" for band in rest)])


def _night(band: Row) -> str:
    plug = "plug in, " if band["plug_in"] else ""
    return f"{plug}comfort {band['comfort']}" + ("" if held(band) else " (not held)")
