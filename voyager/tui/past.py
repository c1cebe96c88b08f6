"""The days past of a plan that goes on from the log, as they were, before those that are planned. No Textual here.

In the lists they bear the numbers …, -2, -1 and, for the hours of today so far, 0: the plan's own days begin with 1.
"""

from collections.abc import Mapping, Sequence
from typing import Any

from voyager.report.words import long_date, short_date
from voyager.tui import words
from voyager.tui.runs import Line, Run, length
from voyager.tui.units import PLAIN, Units
from voyager.tui.words import DayRow

Row = Mapping[str, Any]
LOGGED, SO_FAR = "logged", "so far"
OVER = "This day is over: what stands here is what the log says of it."
TODAY = "These hours are over: what stands here is what the log says of them. The rest of today is the plan's day 1."
UNKNOWN = "?"
FLOWS = (("sun", "solar"), ("shore", "shore"), ("motor", "propulsion"), ("hotel", "hotel"), ("heating", "heating"))


def listed(plan: Row | None) -> list[Row]:
    """The days of a plan, those past before them."""
    if plan is None:
        return []
    return [*({**row, "day": min(row["day"], 0)} if row["day"] < 1 else {**row, "day": 0}
              for row in plan.get("past", ())), *plan["days"]]  # fmt: skip


def is_past(day: Row) -> bool:
    """Whether a listed day is one that the log tells."""
    return bool(day.get("mark") == LOGGED)


def begins(plan: Row | None, today: str) -> str:
    """``from 14:00 km 63, 61 %`` where the plan goes on from the log; with the date where that is not ``today``."""
    told = None if plan is None or not plan.get("log") else plan.get("from")
    if plan is None or told is None:
        return ""
    zone = str(plan["voyage"]["time_zone"])
    date = civil_date(told["time_utc"], zone)
    day = "" if date == today else f"{' '.join(short_date(date).split()[1:])} "
    return f"from {day}{words.clock(told['time_utc'], zone)} km {told['km']:.0f}, {told['charge_percent']:.0f} %"


def civil_date(instant: str, zone: str) -> str:
    """The date of an instant in a time zone, ISO."""
    from datetime import datetime
    from zoneinfo import ZoneInfo

    return datetime.fromisoformat(instant).astimezone(ZoneInfo(zone)).date().isoformat()


def now_lines(plan: Row) -> list[tuple[str, str]]:
    """What to do now, and what the log leaves open; none for the whole voyage."""
    log, told = plan.get("log"), plan.get("from")
    if not log or not told:
        return []
    lines = [("title", told["text"])]
    if not told["held"]:
        lines.append(("alarm", "✗ On a poor day this is not held: the charge would end too low."))
    first, _, more = log["text"].partition("in the battery.")
    return [*lines, *([("caution", f"!{more}")] if more.strip() else [])] if first else lines


# the list


def day_rows(days: Sequence[Row], capacity_kwh: float) -> list[DayRow]:
    """Listed days as their list shows them, kWh in and out on one scale."""
    ahead = [day for day in days if not is_past(day)]
    most = max((kwh for day in ahead for kwh in words.gained_spent(day)), default=0.0)
    most = max([most, *(kwh for day in days if is_past(day) for kwh in gained_spent(day) if kwh)])
    return [
        _day_row(day, capacity_kwh, most) if is_past(day) else words.day_row(day, capacity_kwh, most) for day in days
    ]


def gained_spent(day: Row) -> tuple[float | None, float | None]:
    """kWh in and out, as far as they were measured; None where nothing was."""
    return tuple(_known(day, names) for names in (("solar", "shore"), ("propulsion", "hotel", "heating")))  # type: ignore[return-value]


def _known(day: Row, names: Sequence[str]) -> float | None:
    known = [day[f"{name}_kwh"] for name in names if day[f"{name}_kwh"] is not None]
    return sum(known) if known else None


def _day_row(day: Row, capacity_kwh: float, most_kwh: float) -> DayRow:
    sign, mark = words.MARKS[LOGGED]
    gained, spent = gained_spent(day)
    share = 1 / most_kwh if most_kwh > 0 else 0.0
    return DayRow(
        number=day["day"], date=short_date(day["date"]), sign=sign, mark=mark,
        reason=SO_FAR if day["day"] == 0 else words.REASONS["going"],
        start=day["from"] or UNKNOWN, end=day["mooring"] or UNKNOWN,
        charge=words.percent(day["charge_end_kwh"], capacity_kwh), low=None, floor=None,
        gained="" if gained is None else f"+{words.figure(gained)}",
        spent="" if spent is None else f"−{words.figure(spent)}",
        held=True, cautions=(), share_in=(gained or 0.0) * share, share_out=(spent or 0.0) * share, past=True,
    )  # fmt: skip


# one of them


def title(day: Row) -> str:
    """``Logged, Wed 3 Mar 2027, day 3 of the voyage: A → B``."""
    start, end = (day[key] or UNKNOWN for key in ("from", "mooring"))
    way = end if start == end else f"{start} → {end}"
    return f"Logged, {long_date(day['date'])}, day {day['voyage_day']} of the voyage: {way}"


def day_lines(plan: Row, day: Row, units: Units = PLAIN) -> list[tuple[str, str]]:
    """All that the log says of a day."""
    capacity, zone = plan["boat"]["capacity_kwh"], str(plan["voyage"]["time_zone"])
    told = [_way(day, units), _charge(day, capacity, zone), _energy(day), _outside(day, units)]
    notes = [("plain", f"- {note}") for note in day["notes"]]
    return [("title", title(day)), *(("plain", text) for text in told if text), *notes]


def _way(day: Row, units: Units) -> str:
    start, end = day["start_km"], day["end_km"]
    if start is None or end is None:
        return "The log does not say how far."
    first, last = (f"{units.length_of(km):.1f}" for km in (start, end))
    return f"at {units.length} {last}" if first == last else f"{units.length} {first} to {last}"


def _charge(day: Row, capacity_kwh: float, zone: str) -> str:
    if day["charge_start_kwh"] is None or day["charge_end_kwh"] is None:
        return "charge: the log has fewer than two readings of it"
    percents = (words.percent_words(day[f"charge_{at}_kwh"], capacity_kwh) for at in ("start", "end"))
    clocks = (words.clock(day[f"charge_{edge}_utc"], zone) for edge in ("from", "to"))
    return f"charge: {' → '.join(f'{one} at {at}' for one, at in zip(percents, clocks, strict=True))}"


def _energy(day: Row) -> str:
    known = [(name, words.figure(day[f"{key}_kwh"])) for name, key in FLOWS if day[f"{key}_kwh"] is not None]
    return f"kWh measured: {words.pairs(known)}" if known else "no energies were measured"


def _outside(day: Row, units: Units) -> str:
    told = words.degrees(day["outside_c"], units)
    return "" if day["outside_c"] is None else f"outside {told} {units.temperature}, mean of the readings"


def sheet(plan: Row, day: Row, width: int, units: Units = PLAIN) -> list[Line]:
    """A pane of one day on a day that is over."""
    heading = f" Logged, {' '.join(short_date(day['date']).split())} "
    head: Line = [Run("◂", "accent", "day(-1)"), Run(heading, "bold"), Run("▸", "accent", "day(1)")]
    head += [Run(" " * max(0, width - length(head) - 2)), Run(" ×", "accent", "close")]
    lines: list[Line] = [head, []]
    for kind, text in (("title", TODAY if day["day"] == 0 else OVER), *day_lines(plan, day, units)[:1]):
        lines += [[Run(line, "bold" if kind == "title" else "plain")] for line in words.wrapped(text, width)]
    for _, text in day_lines(plan, day, units)[1:]:
        lines += [[Run(line)] for line in words.wrapped(text, width)]
    return lines
