"""The morning card: what to do at each mooring by the charge and the look of the day, for print."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby, zip_longest
from math import ceil
from textwrap import wrap
from typing import Any

from voyager.report.odds import title
from voyager.report.text import WIDTH, entry
from voyager.report.words import figure, long_date, number, percent, short_date

Row = Mapping[str, Any]
Bands = list[Row]
LIKELY = 0.05
"""Least chance of a morning that is printed."""
MOST_BANDS = 5
PAGE_LINES = 60
SKY, DO, EVENING = 14, 24, 16
HEAD = f"  {'Sky':<{SKY}}{'kWh':>5}{'%':>4}  {'Morning':<{DO + 2}}{'kWh':>5}{'%':>4}  Evening"
HOW = (
    "Sky: what the day looks like this morning, by fifths of its own season: dark, dull, mixed, fair, bright. From "
    "that kWh or % in the battery up, to the next line; both are rounded up."
)
FOOT = (
    "Illustrative, not for navigation: charts, notices, locks, weather and your own eyes come first.",
    "Heater: keep textiles clear of it, never run it asleep or unattended, keep the vents open. Shore power: "
    "earth-leakage protection and galvanic isolation, fitted by a licensed electrician to local codes.",
)


@dataclass(frozen=True)
class Morning:
    """One day at one mooring; ``skies`` are its rows of the card, darkest first."""

    skies: tuple[Row, ...]

    @property
    def first(self) -> Row:
        """A row that tells day, mooring and chance."""
        return self.skies[0]


def mornings(card: Iterable[Row]) -> list[Morning]:
    """Mornings likely enough to be printed, in the order of the card."""
    likely = [row for row in card if row["chance"] >= LIKELY]
    together = groupby(likely, key=lambda row: (row["day"], row["km"], row["mooring"]))
    return [Morning(tuple(rows)) for _, rows in together]


def merged(bands: Sequence[Row], km: float, most: int = MOST_BANDS) -> Bands:
    """At most ``most`` bands: neighbouring bands that go become one, which does what the lower does.

    What is held at one charge is held at every higher one, so the lower band's stop and pace hold for all of the merged
    band. Pairs whose lower stop is the nearer are taken first, of these the one that gives up the fewest kilometres.
    Bands that have no such neighbour stay as they are.
    """
    kept = list(bands)
    while len(kept) > most:
        pairs = [n for n in range(len(kept) - 1) if kept[n]["do"] == kept[n + 1]["do"] == "go"]
        if not pairs:
            break
        del kept[min(pairs, key=lambda n: _given_up(kept[n], kept[n + 1], km)) + 1]
    return kept


def _given_up(lower: Row, upper: Row, km: float) -> tuple[bool, float]:
    """Whether the lower band's stop is not the nearer one on the same side, and how far the two are apart."""
    near, far = lower["to_km"] - km, upper["to_km"] - km
    return not 0 <= near * far >= near * near, abs(far - near)


def morning_lines(morning: Morning, capacity_kwh: float) -> list[str]:
    """The mooring, a table of bands beside the evening's, and from which charge up to go or below which to plug in."""
    row = morning.first
    place = f"{row['mooring']} (km {figure(round(row['km'], 1))})"
    date = " ".join(short_date(row["date"]).split())
    lines = _lines(f"Day {row['day']}, {date}, {place}: {percent(row['chance'])} of the skies wake here")
    before: list[str] = []
    for names, bands, evening in _alike(morning):
        right = [line for band in evening for line in _band(band, capacity_kwh, _evening(band), EVENING)]
        left = [line for band in bands for line in _band(band, capacity_kwh, _doing(band, row["km"]), DO)]
        lines += _beside(_span(names), left, [] if right == before else right)
        before = right
    return [*lines, *_lines(_thresholds(morning), lead="  ")]


def _alike(morning: Morning) -> list[tuple[list[str], Bands, Bands]]:
    """Neighbouring skies that ask for the same, with their bands as printed."""
    rows = [(sky["sky_class"], merged(sky["bands"], sky["km"]), list(sky["evening"])) for sky in morning.skies]
    return [([row[0] for row in one], *_same(one)) for one in (list(g) for _, g in groupby(rows, key=lambda r: r[1:]))]


def _same(rows: list[tuple[str, Bands, Bands]]) -> tuple[Bands, Bands]:
    return rows[0][1], rows[0][2]


def _span(names: list[str]) -> str:
    return names[0] if len(names) == 1 else f"{names[0]} to {names[-1]}"


def _band(band: Row, capacity_kwh: float, text: str, width: int) -> list[str]:
    """The lines of one band: charge, per cent, what to do, wrapped below itself."""
    first, *more = wrap(text, width) or [""]
    share = ceil(band["from_kwh"] / capacity_kwh * 100 - 1e-6)
    lead = f"{number(up(band['from_kwh'])):>5}{share:>4}  "
    return [lead + first, *(" " * len(lead) + line for line in more)]


def up(kwh: float) -> float:
    """A charge rounded up to a tenth: nobody goes on less than the band asks for."""
    return ceil(kwh * 10 - 1e-6) / 10


def _doing(band: Row, km: float) -> str:
    if band["do"] != "go":
        return "stay"
    back = "back to " if band["to_km"] < km else ""
    return f"{back}{band['to']}, {number(band['speed_kmh'])} km/h"


def _evening(band: Row) -> str:
    return f"plug in, {band['comfort']}" if band["plug_in"] else str(band["comfort"])


def _beside(name: str, left: list[str], right: list[str]) -> list[str]:
    from rich.cells import set_cell_size

    wide = 5 + 4 + 2 + DO + 2
    rows = zip_longest([name], left, right, fillvalue="")
    return [f"  {name:<{SKY}}{set_cell_size(one, wide)}{other}".rstrip() for name, one, other in rows]


def _thresholds(morning: Morning) -> str:
    go = _by_charge(morning.skies, "go_from_kwh", "not at any charge")
    shore = {sky["shore_below_kwh"] for sky in morning.skies} - {None}
    plug = _by_charge(morning.skies, "shore_below_kwh", "no") if shore else ""
    return f"Go on from: {go}." + (f" Plug in below: {plug}." if plug else "")


def _by_charge(skies: Sequence[Row], key: str, none: str) -> str:
    """``dark to mixed 12.4 kWh, fair 11.0 kWh``; the charge alone where all skies share it."""
    runs = [(value, [one["sky_class"] for one in rows]) for value, rows in groupby(skies, key=lambda sky: sky[key])]
    texts = [(none if value is None else f"{number(up(value))} kWh", names) for value, names in runs]
    return texts[0][0] if len(texts) == 1 else ", ".join(f"{_span(names)} {text}" for text, names in texts)


def first_page(plan: Row, width: int) -> list[str]:
    """The mornings of the card's first page, for the text of the plan, and how many more there are."""
    if not plan["card"]:
        return []
    blocks = [morning_lines(one, plan["boat"]["capacity_kwh"]) for one in mornings(plan["card"])]
    shown = _packed(blocks, plan)[0] if blocks else []
    left = len(blocks) - len(shown)
    more = f"{left} more {'morning' if left == 1 else 'mornings'}: voyager plan VOYAGE --card prints them all."
    lines = [line for block in shown for line in block]
    return [entry("  ", HOW, width), "", HEAD, *lines, *([entry("  ", more, width)] if left else [])]


def card_text(plan: Row) -> str:
    """The card alone, 80 columns wide, pages of at most 60 lines with a form feed between them."""
    blocks = [morning_lines(one, plan["boat"]["capacity_kwh"]) for one in mornings(plan["card"])]
    pages = _packed(blocks or [["No mooring is woken at in 5 of 100 skies."]], plan)
    return "\f".join(_page(plan, blocks, number, len(pages)) for number, blocks in enumerate(pages, 1))


def _page(plan: Row, blocks: list[list[str]], page: int, pages: int) -> str:
    lines = [*_top(plan, page, pages), *(line for block in blocks for line in block), "", *_bottom()]
    return "\n".join(lines) + "\n"


def _top(plan: Row, page: int, pages: int) -> list[str]:
    name = f"Morning card: {plan['voyage']['name']}, {plan['boat']['name']}"
    departs = f"Departs {long_date(plan['voyage']['departs'])}; {title(plan['odds'])}; page {page} of {pages}"
    return [*_lines(name, departs, HOW), "", HEAD]


def _bottom() -> list[str]:
    return _lines(*FOOT)


def _lines(*texts: str, lead: str = "") -> list[str]:
    return [line for text in texts for line in entry(lead, text, WIDTH).split("\n")]


def _packed(blocks: list[list[str]], plan: Row) -> list[list[list[str]]]:
    """Blocks by page, each with an empty line above it but the first; one longer than a page is cut."""
    room = PAGE_LINES - len(_top(plan, 99, 99)) - len(_bottom()) - 1
    pages: list[list[list[str]]] = [[]]
    for block in (piece for one in blocks for piece in _pieces(one, room - 1)):
        if sum(map(len, pages[-1])) + len(block) + 1 > room:
            pages.append([])
        pages[-1].append(["", *block])
    return pages


def _pieces(block: list[str], most: int) -> list[list[str]]:
    return [block[start : start + most] for start in range(0, len(block), most)]
