"""All there is to say about one day or leg, and about a whole plan, as lines of (kind, text)."""

from collections.abc import Mapping, Sequence
from typing import Any

from voyager.report.totals import totals
from voyager.report.words import counted, long_date, runs, short_date
from voyager.tui import words
from voyager.tui.units import PLAIN, Units

Row = Mapping[str, Any]
Line = tuple[str, str]


def day_lines(plan: Row, index: int, full: bool, units: Units = PLAIN) -> list[Line]:
    """One day: everything where there is room, else three lines."""
    day, capacity = plan["days"][index], plan["boat"]["capacity_kwh"]
    head = [("title", words.day_title(day)), *_held(day)]
    if not full:
        return [*head, ("plain", _charge(day, capacity, short=True)), *_names(plan, "day", day["day"])]
    body = [_going(day, plan["voyage"]["time_zone"]), _energy(day), _charge(day, capacity), _poor(day, capacity)]
    notes = _texts(plan, "day", day["day"])
    return [*head, *(("plain", line) for line in (*body, _warmth(day, units), *[""] * bool(notes))), *notes]


def leg_lines(plan: Row, index: int, full: bool, units: Units = PLAIN) -> list[Line]:
    """One leg, likewise; a leg not yet planned says what the file says."""
    leg, capacity = plan["legs"][index], plan["boat"].get("capacity_kwh") or 0.0
    length = "" if leg["distance_km"] is None else f" {_length(leg['distance_km'], units)}"
    known = words.pairs([
        ("locks", str(leg.get("locks") or "")),
        ("course", f"{leg['course_deg']:.0f}°" if leg.get("course_deg") is not None else ""),
        ("night to stay" if leg.get("nights") == 1 else "nights to stay", str(leg.get("nights") or "")),
    ])  # fmt: skip
    facts = f"{leg['water']}{length}" + (f" · {known}" if known else "")
    lines = [("title", words.leg_title(leg)), ("plain", facts)]
    if leg.get("hours") is not None:
        lines += [("plain", _leg_way(leg, units)), ("plain", _leg_energy(leg, capacity))]
    number = leg.get("plan_leg", leg["leg"])
    notes = _texts(plan, "leg", number) if full else _names(plan, "leg", number)
    return [*lines, *notes] if full else [lines[0], *lines[1:][-2:], *notes]


def _length(km: float, units: Units) -> str:
    return f"{words.figure(units.length_of(km))} {units.length}"


def _leg_way(leg: Row, units: Units) -> str:
    fixed = " fixed" if leg.get("fixed_speed") else ""
    locks = " with its locks" if leg.get("locks") else ""
    return (
        f"{words.figure(units.speed_of(leg['speed_kmh']))} {units.speed}{fixed}, "
        f"{words.figure(units.speed_of(leg['ground_kmh']))} over the ground · "
        f"{leg['power_w']:.0f} W at the motor · {words.figure(leg['hours'])} h{locks}"
    )


def _leg_energy(leg: Row, capacity: float) -> str:
    shore = "shore power on this leg" if leg.get("needs_shore") else "no shore power"
    day = words.leg_days(leg)
    end = words.percent_words(leg.get("charge_end_kwh"), capacity)
    return f"day {day} · {words.figure(leg['energy_kwh'])} kWh · charge {end} at its end · {shore}"


def _going(day: Row, zone: str) -> str:
    if day["mark"] != "underway":
        sign, mark = words.MARKS[day["mark"]]
        return f"{sign} {mark}: {words.REASONS.get(day['why'], day['why'])} · comfort {day['comfort']}"
    waits = f", waiting {words.figure(day['waiting_h'])} h" if day["waiting_h"] else ""
    locks = f", {counted(day['locks'], 'lock', 'locks')}" if day["locks"] else ""
    off, fast = words.clock(day["casts_off_utc"], zone), words.clock(day["made_fast_utc"], zone)
    return f"under way {words.figure(day['hours_underway'])} h, {off} to {fast}{waits}{locks} · pace {day['pace_w']} W"


def _energy(day: Row) -> str:
    names = ("solar", "shore", "propulsion", "hotel", "heating", "loss", "spilled", "unserved")
    said = {"solar": "sun", "propulsion": "motor", "spilled": "spilt"}
    return "kWh: " + words.pairs([(said.get(name, name), words.figure(day[f"{name}_kwh"] or None)) for name in names])


def _charge(day: Row, capacity: float, short: bool = False) -> str:
    start, low, evening, end = (
        words.percent_words(day[f"charge_{at}_kwh"], capacity) for at in ("start", "low", "evening", "end")
    )
    if short:
        shore = f"shore {words.figure(day['shore_kwh'])}, " if day["shore_kwh"] else ""
        energies = f"sun {words.figure(day['solar_kwh'])}, {shore}motor {words.figure(day['propulsion_kwh'])}"
        return f"charge {start} → {end}, low {low} · {energies}, heating {words.figure(day['heating_kwh'])} kWh"
    return f"charge: {start} at the start, lowest {low}, evening {evening}, next morning {end}"


def _poor(day: Row, capacity: float) -> str:
    low, evening = (words.percent_words(day[key], capacity) for key in ("poor_low_kwh", "poor_evening_kwh"))
    floor, reserve = (words.percent_words(day[key], capacity) for key in ("floor_kwh", "heating_reserve_kwh"))
    held = "held" if day["held"] else "not held"
    return f"poor day: low {low}, evening {evening}, {held} · floor {floor}, heating reserve {reserve}"


def _warmth(day: Row, units: Units) -> str:
    asked, cold = day["asked_hours"], day["cabin_low_c"]
    if not asked:
        return f"comfort {day['comfort']}: no warmth asked for"
    low = "" if cold is None else f", cabin low {units.temperature_of(cold):.1f} {units.temperature}"
    return f"comfort {day['comfort']}: warm {words.figure(day['warm_hours'])} of {words.figure(asked)} h{low}"


def _held(day: Row) -> list[Line]:
    if day["held"]:
        return []
    return [("alarm", "✗ Not held: on a poor day this could run short. Have another way out.")]


def _texts(plan: Row, key: str, number: int) -> list[Line]:
    return [("caution", f"! {text}") for _, text in words.texts_for(plan, key, number)]


def _names(plan: Row, key: str, number: int) -> list[Line]:
    names = [name for name, _ in words.texts_for(plan, key, number)]
    return [("caution", f"! {', '.join(names)} (i reads them)")] if names else []


def total_line(plan: Row, units: Units = PLAIN, room: int | None = None) -> str:
    """Arrival, stops, lowest charge, warm hours, length of the whole plan; in ``room`` columns what fits whole."""
    if not plan["days"]:
        return "no days are planned"
    sums, capacity = totals(plan), plan["boat"]["capacity_kwh"]
    weak = [_lowest(plan, capacity), _warm(sums)]
    if sums["warm_hours"] < sums["asked_hours"] - 0.5:
        weak.reverse()
    parts = [_arrival(plan), _stops(sums), *weak, _length(plan["voyage"]["distance_km"], units)]
    parts = [part for part in parts if part]
    while room is not None and len(parts) > 1 and len(" · ".join(parts)) > room:
        parts.pop()
    return " · ".join(parts)


def _warm(sums: Row) -> str:
    if not sums["asked_hours"]:
        return ""
    return f"warm {sums['warm_hours']:.0f} of {sums['asked_hours']:.0f} h"


def _arrival(plan: Row) -> str:
    date = plan.get("arrives")
    if date is None:
        return "✗ does not arrive"
    last = plan["days"][-1]["day"]
    number = next((day["day"] for day in plan["days"] if day["date"] == date), last)
    return f"arrives {long_date(date)}, day {number}"


def _stops(sums: Row) -> str:
    if not sums["shore_stops"]:
        return "no shore stop"
    return f"{counted(len(sums['shore_stops']), 'shore stop', 'shore stops')}, {words.figure(sums['shore_kwh'])} kWh"


def _lowest(plan: Row, capacity: float) -> str:
    day = min(plan["days"], key=lambda one: one["charge_low_kwh"])
    date = " ".join(short_date(day["date"]).split()[1:])
    return f"lowest charge {words.percent_words(day['charge_low_kwh'], capacity)} on {date}"


def caution_line(plan: Row) -> str:
    """The short names of all cautions with the number of their days."""
    days: dict[str, set[int]] = {}
    for item in plan.get("cautions", ()):
        days.setdefault(item["code"], set()).update([item["day"]] if item["day"] else [])
    names = [(words.caution_words(code), len(on)) for code, on in days.items() if code != "not_for_navigation"]
    return " · ".join(f"{name} {counted(on, 'day', 'days')}" if on else name for name, on in names)


def caution_page(plan: Row) -> list[Line]:
    """Every caution once, with the days and legs that lean on it, the general ones first."""
    pages: dict[str, tuple[str, list[int], list[int]]] = {}
    for item in plan.get("cautions", ()):
        _, days, legs = pages.setdefault(item["code"], (item["text"], [], []))
        days += [item["day"]] if item["day"] else []
        legs += [item["leg"]] if item["leg"] else []
    lines: list[Line] = []
    for code, (text, days, legs) in sorted(pages.items(), key=lambda page: bool(page[1][1] or page[1][2])):
        on = [_on(numbers, one) for numbers, one in ((days, "day"), (legs, "leg")) if numbers]
        lines += [("title", f"! {words.caution_words(code)}" + (f"  ({', '.join(on)})" if on else "")), ("plain", text)]
    return [*lines, ("title", "Stands on"), *(("plain", f"- {text}") for text in plan.get("assumptions", ()))]


def _on(numbers: Sequence[int], one: str) -> str:
    """``day 7``, ``days 7-9``."""
    return f"{one if len(set(numbers)) == 1 else one + 's'} {runs(numbers)}"


def short_lines(plan: Row) -> list[Line]:
    """What is short and what would mend it; empty when every day is held."""
    short = plan.get("short")
    if not short:
        return [] if plan.get("arrives") else [("alarm", "✗ This plan does not arrive within its days."), *_stuck(plan)]
    head = f"✗ Day {short['day']}, {long_date(short['date'])}, {short['place']}: {short['short_kwh']:.1f} kWh short."
    mends = "; or ".join(mend["text"].rstrip(".") for mend in short["mends"])
    fallback = "Nothing tried would mend it: try another sky, comfort or date."
    return [("alarm", head), ("plain", f"Would mend it: {mends}." if mends else fallback)]


def _stuck(plan: Row) -> list[Line]:
    """On which leg nobody gets on, and what to try."""
    stuck = plan.get("stuck")
    return [("plain", stuck["text"])] if stuck else []
