"""This morning in a few lines: go, slow or stay, the forecast that is in, what is left if it turns out worse. No
Textual here."""

from collections.abc import Mapping, Sequence
from datetime import date
from typing import Any

from voyager.report.evening import STAYS
from voyager.report.words import long_date, short_date
from voyager.session.sketch.state import Sketch
from voyager.tui import words
from voyager.tui.units import PLAIN, Units

Row = Mapping[str, Any]
CLOUD = ("clear sky", "next to none", "a quarter", "three eighths", "half", "five eighths", "three quarters",
         "nearly overcast", "overcast")  # fmt: skip
NONE = "none"
ELSEWHERE = "Another berth than the plan's: read off the strip of this morning's sky what your charge says."


def headline(
    day: Row | None, rows: Sequence[Row], zone: str, units: Units = PLAIN, slow: bool = False
) -> str:
    """Go, slow or stay, for the plan's own morning (``day``); ``rows``: the card's rows of its berth.

    ``slow``: no faster way is held from this charge; the charge from which the card goes there faster is told.
    """
    if day is None:
        return ELSEWHERE
    if day["mark"] != "underway":
        why = STAYS.get(day["why"], words.reason(day))
        return f"STAY at {day['mooring']}: {why}{_held(day)}."
    band, faster = _bands(day, rows)
    speed = "" if band is None else f" at {_speed(band, units)}"
    if slow:
        more = "" if faster is None else f"; from {faster['from_kwh']:.1f} kWh on {_speed(faster, units)}"
        return f"SLOW to {day['mooring']}{speed}{_times(day, zone)}: no faster way is held{more}{_held(day)}."
    back = "back " if day["end_km"] < day["start_km"] else ""
    plug = " and plug in" if day["why"] == "to-shore" else ""
    return f"GO {back}to {day['mooring']}{speed}{_times(day, zone)}{plug}{_held(day)}."


def _held(day: Row) -> str:
    return "" if day["held"] else "; not held on a poor day"


def _times(day: Row, zone: str) -> str:
    off, fast = (words.clock(day[key], zone) for key in ("casts_off_utc", "made_fast_utc"))
    return f", cast off {off}, made fast {fast}"


def _speed(band: Row, units: Units) -> str:
    return f"{units.speed_of(band['speed_kmh']):.1f} {units.speed}"


def _bands(day: Row, rows: Sequence[Row]) -> tuple[Row | None, Row | None]:
    """The card's band of the plan's charge and sky; the next above it that goes to the same stop faster."""
    row = next((row for row in rows if row["sky_class"] == day["sky_class"]), None)
    below = [band for band in row["bands"] if band["from_kwh"] <= day["charge_start_kwh"] + 1e-6] if row else []
    band = below[-1] if below else None
    if row is None or band is None or band["do"] != "go":
        return None, None
    above = (one for one in row["bands"] if one["from_kwh"] > band["from_kwh"] and one["do"] == "go")
    faster = (one for one in above if one["to_km"] == band["to_km"] and one["speed_kmh"] > band["speed_kmh"])
    return band, next(faster, None)


def left_lines(left: Row | None, day: Row | None) -> list[str]:
    """The first fallback and the point of no return, as far as they are known, a short sentence each."""
    if left is None or day is None:
        return []
    near, last = left.get("fallback"), left.get("no_return")
    told = []
    if near:
        turn = "turn back to" if near["to_km"] < day["start_km"] else "go no further than"
        told.append(f"If it turns out worse: {turn} {_place(near)}, at the slowest pace.")
    if last:
        past = "once cast off" if last["km"] <= day["start_km"] + 1e-3 else f"past km {last['km']:.1f}"
        told.append(f"No return {past} on a poor day: {_place(last)}, last {last['kind']} behind.")
    return told


def _place(told: Row) -> str:
    name = str(told["to"])
    return name if name.startswith("km ") else f"{name}, km {told['to_km']:.0f}"


def forecast_row(sketch: Sketch, iso: str) -> Row | None:
    """The sketch's forecast of a date."""
    for row in sketch.forecast:
        value = row.get("date")
        if (value.isoformat()[:10] if isinstance(value, date) else str(value)[:10]) == iso:
            return row.values
    return None


def forecast_line(sketch: Sketch, saved: Sketch, iso: str, key: str, drop: str) -> str:
    """Which forecast is in for a date and whence, or how to put one in."""
    row = forecast_row(sketch, iso)
    if row is None:
        return f"{key} 0–8 enters a forecast for {_day(iso)} (eighths of cloud)."
    whence = "in the file" if forecast_row(saved, iso) == row else "not yet saved"
    return f"Forecast {_day(iso)}: {told(row)}, {whence} ({key} changes it, {drop} takes it out)."


def told(row: Row) -> str:
    """``3 eighths of cloud, air 7 °C``."""
    parts = []
    if row.get("oktas") is not None:
        parts.append(f"{row['oktas']} {'eighth' if row['oktas'] == 1 else 'eighths'} of cloud")
    if row.get("ghi_kwh_m2") is not None:
        parts.append(f"{row['ghi_kwh_m2']} kWh/m²")
    if row.get("air_c") is not None:
        parts.append(f"air {row['air_c']} °C")
    if row.get("wind_kmh") is not None:
        parts.append(f"wind {row['wind_kmh']} km/h")
    return ", ".join(parts)


def _day(iso: str) -> str:
    return " ".join(short_date(iso).split())


def options() -> list[tuple[str, str]]:
    """The figures that may be typed after the key of the forecast."""
    return [*((str(eighths), text) for eighths, text in enumerate(CLOUD)), (NONE, "no forecast: the climate's skies")]


def heading(iso: str) -> str:
    """Of the list of figures."""
    return f"Cloud on {long_date(iso)}, eighths"


def first_not_past(days: Sequence[Row], today: date) -> int | None:
    """The number of the first day that is not over, None where all are."""
    return next((day["day"] for day in days if day["date"] >= today.isoformat()), None)
