"""How sure a plan is: its odds as lines of text."""

from collections.abc import Mapping, Sequence
from itertools import groupby
from operator import itemgetter
from typing import Any

from voyager.report.charts import Span, bar, chart, dates_below, scale
from voyager.report.text import entry
from voyager.report.words import between, counted, figure, listed, long_date, percent, short_date

Odds = Mapping[str, Any]
RARE = 0.1
"""Chance of a day not held above which the text says so; what to do about it stands in the assumptions."""
MOST_PLACES = 6
SHARES = {"p10": "one in ten", "p50": "half", "p90": "nine in ten"}
DATES, CHART_ROWS, CHART_COLUMNS = 16, 9, 72
LEAD = 14


def sure_lines(plan: Odds, width: int) -> list[str]:
    """Arrival, shore power, reserve, guarantee, warmth and energy; empty where no odds were asked for."""
    odds = plan["odds"]
    if not odds:
        return []
    rows = [
        *_arrival(odds, plan["voyage"]["by"]),
        *_shore(odds["shore"]),
        ("Reserve", f"{_chance(odds['below_reserve'])} fall below it at some hour"),
        ("Guarantee", _guarantee(odds["not_held"])),
        ("Warmth", _warmth(odds["warmth"])),
        ("Energy", _energy(odds["energy"])),
    ]
    return [entry(f"  {name:<{LEAD - 2}}", text, width) for name, text in rows]


def title(odds: Odds) -> str:
    """``1,000 skies, seed 1``."""
    members = odds["members"]
    return f"{members:,} {'sky' if members == 1 else 'skies'}, seed {odds['seed']}"


def _chance(row: Odds) -> str:
    return f"{percent(row['chance'])} ({between(row['low'], row['high'])})"


def _arrival(odds: Odds, by: str | None) -> list[tuple[str, str]]:
    arrival = odds["arrival"]
    rows = [("Arrival", ", ".join([*_dates(arrival), *_fewer(arrival)]))]
    if arrival["mean_days"] is not None:
        error = _error(arrival["se_days"], 0.05)
        rows.append(("", f"{_tenth(arrival['mean_days'])} days on average{error}; {_never(arrival['never'])}"))
    if by:
        rows.append(("In time", f"{chance_by(odds, by)} by {long_date(by)}, as asked"))
    return rows


def _dates(arrival: Odds) -> list[str]:
    """``one in ten and half by``: shares of one date together."""
    told = [(arrival[key], name) for key, name in SHARES.items() if arrival[key]]
    together = ((day, [name for _, name in one]) for day, one in groupby(told, key=itemgetter(0)))
    return [f"{listed(names)} by {long_date(day)}" for day, names in together]


def _fewer(arrival: Odds) -> list[str]:
    missing = next((name for key, name in SHARES.items() if not arrival[key]), None)
    return [f"fewer than {missing} in the days looked at"] if missing else []


def _never(chance: float) -> str:
    return f"{percent(chance)} never arrive in the days looked at" if chance else "all of them arrive"


def _error(se: float | None, least: float = 0.001) -> str:
    if se is None:
        return ""
    return f" (standard error {figure(se) if se >= least else f'under {least:g}'})"


def chance_by(odds: Odds, iso: str) -> str:
    """The chance of having arrived by a date, as text."""
    arrival = odds["arrival"]
    rows = {row["date"]: row["chance"] for row in arrival["by_date"]}
    if iso in rows:
        return percent(rows[iso])
    first = min(rows, default=arrival["p50"])
    if first is None or iso < first:
        return "under 0.5 %"
    return percent(1 - arrival["never"])


def _shore(shore: Odds) -> list[tuple[str, str]]:
    if not shore["chance"]:
        return [("Shore power", f"{_chance(shore)} plug in")]
    stops = f"{figure(shore['stops_mean'])} {'stop' if shore['stops_mean'] == 1 else 'stops'}"
    mean = f"{stops}{_error(shore['stops_se'])} and {_tenth(shore['kwh_mean'])} kWh"
    shown = [one for one in shore["places"] if one["chance"] >= 0.01][:MOST_PLACES]
    places = [f"{one['place']} {_chance(one)}, {_tenth(one['kwh_mean'])} kWh there" for one in shown]
    places += _other_places(shore["places"][len(shown) :], bool(shown))
    return [("Shore power", f"{_chance(shore)} plug in; {mean} on average"), *(("", text) for text in places)]


def _other_places(places: Sequence[Odds], more: bool) -> list[str]:
    if not places:
        return []
    most = max(one["chance"] for one in places)
    share = "under 1 %" if most < 0.01 else f"{percent(most)} or less"
    one, many = ("more place", "more places") if more else ("place", "places")
    return [f"{counted(len(places), one, many)}, {share}{' each' if len(places) > 1 else ''}"]


def _warmth(warmth: Odds) -> str:
    mean = f"{_tenth(warmth['warm_hours_mean'])} of {_tenth(warmth['asked_hours'])} hours as asked on average"
    return f"{mean}; nine in ten have {_tenth(warmth['warm_hours_p10'])} or more"


def _energy(energy: Odds) -> str:
    sun, spilt, heat, motor = (
        _tenth(energy[f"{name}_kwh_mean"]) for name in ("solar", "spilled", "heating", "propulsion")
    )
    return f"sun {sun} kWh ({spilt} of it spilt), motor {motor}, heat {heat} kWh on average"


def _guarantee(row: Odds) -> str:
    return f"{_chance(row)} have a day that is not held" + (": more than one in ten" if row["chance"] > RARE else "")


def _tenth(value: float) -> str:
    """At most a tenth: nobody acts on less, even where the skies would carry it."""
    return figure(round(value, 1))


def date_lines(odds: Odds) -> list[str]:
    """Chance of having arrived by each date, its 95 % interval and a bar; at most ``DATES`` of the dates."""
    rows = _chosen(odds["arrival"]["by_date"])
    return [
        f"  {short_date(row['date'])} {percent(row['chance']):>7} {between(row['low'], row['high']):>12}  "
        f"{bar(row['chance'], 40)}"
        for row in rows
    ]


def _chosen(rows: Sequence[Odds]) -> list[Odds]:
    """Rows evenly apart, the last among them, once those that add less than one in a hundred are gone."""
    told: list[Odds] = []
    for row in rows:
        if not told or row["chance"] - told[-1]["chance"] >= 0.01:
            told.append(row)
    every = -(-len(told) // DATES) or 1
    return told[::-1][::every][::-1]


def charge_lines(plan: Odds) -> list[str]:
    """Charge as each day ends: P10 to P90 with P50 in it, the reserve dotted, a column for each day or every few."""
    days, boat = plan["odds"]["days"], plan["boat"]
    days = days[:: -(-len(days) // CHART_COLUMNS) or 1]
    if not days:
        return []
    each = min(max(CHART_COLUMNS // len(days), 1), 4)
    upright = scale(0, boat["capacity_kwh"], CHART_ROWS, {boat["reserve_kwh"]: "."})
    foot = dates_below((day["date"] for day in days), each)
    return chart([_span(day) for day in days], upright, lambda value: f"{value:g}", foot, each)


def _span(day: Odds) -> Span | None:
    low, mid, high = (day[f"charge_end_{name}_kwh"] for name in ("p10", "p50", "p90"))
    return None if mid is None else Span(((mid, "o"), (low, "|"), (high, "|")))


def by_then(plan: Odds) -> str:
    """The chance of the one sky's arrival date, to stand beside it; empty without odds or arrival."""
    odds = plan["odds"]
    return f" {chance_by(odds, plan['arrives'])} of the skies have arrived by then." if odds and plan["arrives"] else ""


def everyone_alike(odds: Odds) -> str:
    """What stands in place of the table of dates where no date has a chance worth a row."""
    day = odds["arrival"]["p50"]
    return f"Hardly any arrives on another day than {long_date(day)}." if day else "Hardly any arrives in these days."
