"""What moved between two plans of one voyage: was, is, and by how much, in words."""

from collections.abc import Callable, Iterator, Mapping
from datetime import date
from typing import Any, NamedTuple

from voyager.report.odds import chance_by
from voyager.report.totals import totals
from voyager.report.words import MISSING, counted, percent, short_date

Plan = Mapping[str, Any]


class Moved(NamedTuple):
    """One figure that moved. ``by`` says how much, with its unit; ``good``: for the better or not, None for neither."""

    name: str
    was: str
    now: str
    by: str
    good: bool | None = None

    def __str__(self) -> str:
        return f"{self.name} {self.was} → {self.now}" + (f" ({self.by})" if self.by else "")


SAME = Moved("", "", "", "")
LEAST_POINTS = 0.5
"""A chance that moved by less is not told: it would be read as news."""
NEVER = "not in the days looked at"


def moved(before: Plan, after: Plan) -> list[Moved]:
    """All that differs as it is shown, the most telling first; empty where nothing does.

    Days and energies are those of the two schedules; the shares of the odds come after them, where both plans have
    odds. Both look at the same skies day by day, so that a difference is not chance alone; where they are of different
    numbers of skies the last row says so.
    """
    rows = [*_dates(before, after), *_schedule(totals(before), totals(after), before, after), *_odds(before, after)]
    return [row for row in rows if row.was != row.now]


def moved_lines(before: Plan, after: Plan) -> list[str]:
    """The same as lines of text; one line saying so where nothing moved."""
    return [str(row) for row in moved(before, after)] or ["nothing moved"]


def _dates(before: Plan, after: Plan) -> Iterator[Moved]:
    yield _date("departs", before["voyage"]["departs"], after["voyage"]["departs"], None)
    yield _date("arrives", before["arrives"], after["arrives"], False)
    if before["arrives"] and after["arrives"]:
        yield _number("days on the way", len(before["days"]), len(after["days"]), 0, "", less=True)


def _date(name: str, was: str | None, now: str | None, later_good: bool | None) -> Moved:
    if not was or not now:
        return Moved(name, _day(was) if was else NEVER, _day(now) if now else NEVER, "", bool(now))
    days = (date.fromisoformat(now) - date.fromisoformat(was)).days
    by = f"{counted(abs(days), 'day', 'days')} {'later' if days > 0 else 'earlier'}"
    return Moved(name, _day(was, now), _day(now, was), by, None if later_good is None else (days > 0) == later_good)


def _day(iso: str, other: str | None = None) -> str:
    words = " ".join(short_date(iso).split())
    return words if other is None or other[:4] == iso[:4] else f"{words} {iso[:4]}"


def _schedule(was: Plan, now: Plan, before: Plan, after: Plan) -> Iterator[Moved]:
    yield _number("days not held", len(was["not_held"]), len(now["not_held"]), 0, "", less=True)
    yield _number("shore stops", len(was["shore_stops"]), len(now["shore_stops"]), 0, "", less=True)
    yield _number("shore", was["shore_kwh"], now["shore_kwh"], 1, "kWh", less=True)
    yield _number("lowest charge", _lowest(was, before), _lowest(now, after), 0, "%", less=False)
    yield _warm(was, now)
    yield _number("heating", was["heating_kwh"], now["heating_kwh"], 1, "kWh", None)
    yield _number("sun", was["solar_kwh"], now["solar_kwh"], 1, "kWh", None)
    yield _number("sun spilt", was["spilled_kwh"], now["spilled_kwh"], 1, "kWh", None)
    yield _number("motor", was["propulsion_kwh"], now["propulsion_kwh"], 1, "kWh", None)
    yield _number("under way", was["hours_underway"], now["hours_underway"], 1, "h", None)


def _lowest(sums: Plan, plan: Plan) -> float | None:
    """In whole percent of capacity, rounded down so that a floor is never flattered."""
    low, full = sums["charge_low"], plan["boat"]["capacity_kwh"]
    return None if low is None or not full else int(100.0 * low["charge_low_kwh"] / full + 1e-6)


def _warm(was: Plan, now: Plan) -> Moved:
    first, second = (f"{one['warm_hours']:.0f} of {one['asked_hours']:.0f} h" for one in (was, now))
    shares = [one["warm_hours"] / one["asked_hours"] if one["asked_hours"] else 1.0 for one in (was, now)]
    points = round(100 * (shares[1] - shares[0]))
    return Moved(
        "warm", first, second, _points(points, str(abs(points))) if points else "", points > 0 if points else None
    )


def _number(name: str, was: float | None, now: float | None, decimals: int, unit: str, less: bool | None) -> Moved:
    """``less``: whether less is better, None where neither is."""
    texts = [MISSING if one is None else _plain(one, decimals) for one in (was, now)]
    after = texts[1] if now is None else f"{texts[1]} {unit}".strip()
    if texts[0] == texts[1]:
        return SAME
    if was is None or now is None:
        return Moved(name, texts[0], after, "")
    change = round(now, decimals) - round(was, decimals)
    size = _plain(abs(change), decimals)
    by = _points(change, size) if unit == "%" else f"{'+' if change > 0 else '−'}{size} {unit}".strip()
    return Moved(name, texts[0], after, by, None if less is None else (change < 0) == less)


def _plain(value: float, decimals: int) -> str:
    text = f"{value:.{decimals}f}"
    return text.removeprefix("-") if not float(text) else text.replace("-", "−")


CHANCES: tuple[tuple[str, Callable[[Plan], float]], ...] = (
    ("chance of shore power", lambda odds: odds["shore"]["chance"]),
    ("chance below the reserve", lambda odds: odds["below_reserve"]["chance"]),
    ("chance of a day not held", lambda odds: odds["not_held"]["chance"]),
    ("chance never to arrive", lambda odds: odds["arrival"]["never"]),
)


def _odds(before: Plan, after: Plan) -> Iterator[Moved]:
    was, now = before["odds"], after["odds"]
    if not was or not now:
        return
    yield _date("half arrive by", was["arrival"]["p50"], now["arrival"]["p50"], False)
    yield _date("nine in ten arrive by", was["arrival"]["p90"], now["arrival"]["p90"], False)
    if before["voyage"]["by"] and after["voyage"]["by"]:
        first, second = (chance_by(plan["odds"], plan["voyage"]["by"]) for plan in (before, after))
        yield Moved("in time", first, second, "")
    for name, chance in CHANCES:
        yield _chance(name, chance(was), chance(now))
    if was["members"] != now["members"]:
        yield Moved("odds from", f"{was['members']:,}", f"{now['members']:,} skies", "")


def _chance(name: str, was: float, now: float) -> Moved:
    points = round(100 * now, 1) - round(100 * was, 1)
    if abs(points) < LEAST_POINTS:
        return SAME
    return Moved(name, percent(was).removesuffix(" %"), percent(now), _points(points, f"{abs(points):.3g}"), points < 0)


def _points(change: float, figure: str) -> str:
    return f"{'+' if change > 0 else '−'}{figure} {'point' if figure == '1' else 'points'}"
