"""How sure the plan is, drawn as lines of runs: arrival, shore, held, warmth, band of charge. No Textual here."""

import math
from collections.abc import Mapping, Sequence
from typing import Any

from voyager.report.words import figure, short_date
from voyager.tui import band, words
from voyager.tui.morning import chance_words
from voyager.tui.runs import Line, Run, beside
from voyager.tui.units import PLAIN, Units

Row = Mapping[str, Any]
EDGES = " ▏▎▍▌▋▊▉"
BARS_MAX = 9
BESIDE_FROM = 66
RIGHT = 31
LEGEND_FROM = 46
CLEAR_FROM = 6
HISTOGRAM_WORDS, RANGE_WORDS = 26, 6
RANGES_FROM = HISTOGRAM_WORDS + RANGE_WORDS
NAME = 14


def draw(plan: Row, width: int, height: int, mono: bool, units: Units = PLAIN) -> list[Line]:
    """Everything in ``width`` columns, arrival first; the bands take the height that is left, four lines at least."""
    odds = plan["odds"]
    left = max(30, width - RIGHT)
    right = _chances(odds)
    bars = _histogram(odds["arrival"], left - 1, max(4, min(BARS_MAX, height - 12)))
    lines = [*_arrival(odds, width), *beside(bars, right, left)]
    days = [day for day in odds["days"] if day["charge_end_p50_kwh"] is not None]
    free = height - len(lines) - 2
    clear = free >= CLEAR_FROM
    rows = max(4, min(12, free - clear))
    return [*lines, *_bands(plan, days, width, (rows, clear), mono, units)] if days else lines


def _bands(plan: Row, days: Sequence[Row], width: int, high: tuple[int, bool], mono: bool, units: Units) -> list[Line]:
    """Charge and way over the voyage, beside each other where there is room; ``high``: rows, and a clear one above."""
    rows, clear = high
    above: list[Line] = [[]] if clear else []
    half = (width - 2) // 2 if width >= BESIDE_FROM else width
    charge = [[Run("Charge next morning  " if half >= LEGEND_FROM else "Charge  ", "bold"), *band.LEGEND]]
    charge += above + band.draw(days, band.charge_scale(plan["boat"]["capacity_kwh"]), _floors(plan), half, rows, mono)
    km = float(plan["voyage"]["distance_km"])
    whole, middle = (f"{units.length_of(part):.0f}" for part in (km, km / 2))
    way = [[Run(f"Way made, {units.length}", "bold")]]
    way += above + band.draw(days, band.Scale("km_p{}", km, (whole, middle, "0")), {}, half, rows, mono)
    return beside(charge, way, half + 2) if width >= BESIDE_FROM else [*charge, *way]


def _floors(plan: Row) -> dict[int, float]:
    return {day["day"]: day["floor_kwh"] for day in plan["days"]}


def by_when(arrival: Row, week: bool = False, parts: Sequence[int] = (10, 50, 90)) -> str:
    """``10% by Thu 11 Mar, 50% by …``: the dates by which those shares of the skies have arrived, each date once."""
    dates = {arrival[f"p{part}"]: part for part in parts}
    return ", ".join(f"{part}% by {_date(date, week)}" for date, part in dates.items())


def _date(iso: str | None, week: bool) -> str:
    return "no date" if iso is None else " ".join(short_date(iso).split()[0 if week else 1 :])


def _arrival(odds: Row, width: int) -> list[Line]:
    arrival = odds["arrival"]
    parts = [f"{odds['members']:,} skies, seed {odds['seed']}"]
    if arrival["mean_days"] is not None:
        parts.append(f"on average after {with_error(arrival['mean_days'], arrival['se_days'])} days")
    if arrival["never"]:
        parts.append(f"never {chance_words(arrival['never'])}")
    more = words.wrapped(" · ".join(parts), width)
    first = [Run(f"{'Arrive':<{NAME}}", "bold"), Run(by_when(arrival, week=True))]
    return [first, *([Run(text, "muted")] for text in more)]


def with_error(mean: float, error: float) -> str:
    """``12.6 ± 0.1``: no digit that the standard error does not carry, two decimals at most."""
    if error < 0.005:
        return f"{round(mean, 2):g}"
    decimals = max(0, min(2, -math.ceil(math.log10(error / 5) - 1e-9)))
    return f"{mean:.{decimals}f} ± {error:.{decimals}f}"


def _histogram(arrival: Row, width: int, most: int) -> list[Line]:
    """The chance to arrive on each date, and by then; neighbouring dates share a bar where there are many."""
    rows = arrival["by_date"]
    if not rows:
        return [[Run("No date between: nearly all skies", "muted")], [Run("arrive on one day, or none.", "muted")]]
    step = -(-len(rows) // most)
    kept = [row for at, row in enumerate(rows) if (len(rows) - 1 - at) % step == 0]
    shares = [row["chance"] - before for row, before in zip(kept, [0.0, *(r["chance"] for r in kept)], strict=False)]
    top = max(shares)
    ranged = width >= RANGES_FROM
    cells = max(0, width - (RANGES_FROM if ranged else HISTOGRAM_WORDS))
    head: Line = [Run(f"{'arrives':<{10 + cells}} chance  by then", "muted")]
    bars = [_bar(row, share, top, cells, (step > 1, ranged)) for row, share in zip(kept, shares, strict=True)]
    return [head, *bars]


def _bar(row: Row, share: float, top: float, cells: int, several_ranged: tuple[bool, bool]) -> Line:
    several, ranged = several_ranged
    left = Run(f"{'to' if several else 'on':>2} {_date(row['date'], False):>6} ", "muted")
    bar = share_bar(share / top if top > 0 else 0.0, cells)
    by = Run(f"   {chance_words(row['chance']):>4}{f' {_range(row)}' if ranged else ''}", "muted")
    return [left, *bar, Run(f" {chance_words(share):>4}", "bold"), by]


def share_bar(share: float, cells: int) -> Line:
    """A share of one as a bar of ``cells``."""
    full, part = divmod(round(share * cells * 8), 8)
    bar = "█" * full + (EDGES[part] if part else "")
    return [Run(bar, "bar"), Run("·" * (cells - len(bar)), "muted")]


def _range(row: Row) -> str:
    return f"({100 * row['low']:.0f}–{100 * row['high']:.0f})"


def _chances(odds: Row) -> list[Line]:
    shore, warmth = odds["shore"], odds["warmth"]
    lines = [_chance("Shore power", shore)]
    if shore["chance"]:
        stops = f"{with_error(shore['stops_mean'], shore['stops_se'])} stops, {figure(round(shore['kwh_mean'], 1))} kWh"
        places = [f"{row['place']} {chance_words(row['chance'])}" for row in shore["places"] if row["chance"] >= 0.01]
        texts = [stops, ", ".join(places)] if places else [stops]
        lines += [[Run("  " + words.cut(text, RIGHT - 2), "muted")] for text in texts]
    lines += [_chance("Not held", odds["not_held"]), _chance("Below reserve", odds["below_reserve"])]
    return [*lines, *_warm(warmth)] if warmth["asked_hours"] else lines


def _chance(name: str, row: Row) -> Line:
    return [Run(f"{name:<{NAME}}", "bold"), Run(f"{chance_words(row['chance']):>4} {_range(row)}")]


def _warm(warmth: Row) -> list[Line]:
    asked, mean, low = (warmth[key] for key in ("asked_hours", "warm_hours_mean", "warm_hours_p10"))
    text = f"{mean:.0f} of {asked:.0f} h asked"
    first = [Run(f"{'Warm':<{min(NAME + 1, RIGHT - len(text))}}", "bold"), Run(text)]
    return [first, [Run(f"  {low:.0f} h or more in nine of ten", "muted")]]


def line(odds: Row, width: int) -> str:
    """All of it in one line, for the foot of the screen; the first of what does not fit is left to the pane."""
    arrival, members = odds["arrival"], f"{odds['members']:,} skies: "
    risks = [("shore", odds["shore"]), ("not held", odds["not_held"]), ("below reserve", odds["below_reserve"])]
    told = [f" · {name} {chance_words(row['chance'])}" for name, row in risks]
    long = members + by_when(arrival) + "".join(told)
    short = members + by_when(arrival, parts=(50, 90)) + "".join(told[:2])
    return next((text for text in (long, short) if len(text) <= width), words.cut(short, width))
