"""How sure the plan is, drawn as lines of runs: arrival, shore, held, warmth, band of charge. No Textual here."""

import math
from collections.abc import Mapping, Sequence
from typing import Any

from voyager.report.words import figure, short_date
from voyager.tui import band, words
from voyager.tui.morning import chance_words
from voyager.tui.runs import Line, Run, beside

Row = Mapping[str, Any]
EDGES = " ▏▎▍▌▋▊▉"
BARS_MAX = 7
RIGHT = 31
NAME = 14


def draw(plan: Row, width: int, height: int, mono: bool) -> list[Line]:
    """Everything in ``width`` columns; the band of charge takes the height that is left, five lines at least."""
    odds = plan["odds"]
    left = max(30, width - RIGHT)
    lines = [*_arrival(odds, width), [], *beside(_bars(odds["arrival"]["by_date"], left - 2), _chances(odds), left)]
    days = [day for day in odds["days"] if day["charge_end_p50_kwh"] is not None]
    if not days:
        return lines
    title = [Run("Charge next morning  ", "bold"), *band.LEGEND]
    rows = max(5, min(12, height - len(lines) - 3))
    return [*lines, [], title, *band.draw(days, plan["boat"]["capacity_kwh"], _floors(plan), width, rows, mono)]


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


def _bars(rows: Sequence[Row], width: int) -> list[Line]:
    """The chance to have arrived by each date; every second or third date where there are many."""
    if not rows:
        return [[Run("No date between: nearly all skies", "muted")], [Run("arrive on one day, or none.", "muted")]]
    step = max(1, -(-len(rows) // BARS_MAX))
    kept = [row for at, row in enumerate(rows) if (len(rows) - 1 - at) % step == 0]
    return [_bar(row, width - 25) for row in kept]


def _bar(row: Row, cells: int) -> Line:
    left = Run(f"by {_date(row['date'], False):>6} ", "muted")
    return [left, *share_bar(row["chance"], cells), Run(f" {chance_words(row['chance']):>4} {_range(row)}")]


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
