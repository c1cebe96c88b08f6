"""Planned against actual: every day of the log beside the day as it was planned, and what the log says of the boat."""

from collections.abc import Callable, Mapping, Sequence
from typing import TYPE_CHECKING, Any

import numpy as np

from voyager.session.values import after, kwh, utc

if TYPE_CHECKING:
    from voyager.files.voyage_file import Loaded
    from voyager.logbook.actual import DayActual
    from voyager.logbook.drift import Drift
    from voyager.logbook.entries import Entry, KeptPlan
    from voyager.logbook.timeline import Timeline
    from voyager.planner.outlook import Outlook
    from voyager.route.calendar import Days
    from voyager.route.voyage import SkyName

Json = dict[str, Any]
Progress = Callable[[float, str], None]
PLANNED = (
    "charge_start_kwh", "charge_end_kwh", "solar_kwh", "spilled_kwh", "shore_kwh", "propulsion_kwh", "hotel_kwh",
    "heating_kwh", "loss_kwh", "start_km", "end_km", "mooring", "mark",
)  # fmt: skip
SUMMED = ("solar", "shore", "propulsion", "hotel", "heating")
SKY: "SkyName" = "middling"
"""The even fortnight: the sun that the climate has in the mean, against which panels are held."""


def actual(
    voyage: str,
    documents: Mapping[str, Any] | None = None,
    *,
    progress: Progress | None = None,
    cancelled: Callable[[], bool] | None = None,
) -> Json:
    """``{"days", "totals", "drift", "notes", "cautions"}``: what each part of a difference is, see ``logbook.split``.

    A day is held against the last plan kept in the log that was made before it began; where there is none, against the
    plan of the file as it stands, under its one sky. Raises InputError where the log is empty, Problems for unsound
    files, Cancelled where ``cancelled`` says so.
    """
    from voyager.errors import InputError
    from voyager.files.voyage_file import load_voyage
    from voyager.session.plan import ticker

    tick = ticker(progress, cancelled)
    tick(0.0, "files")
    loaded = load_voyage(voyage, documents=documents)
    entries, kept = _log(voyage)
    if not entries:
        raise InputError("the log is empty; note the charge each morning to hold the days against the plan")
    return told(loaded, entries, kept, tick)


def _log(voyage: str) -> "tuple[tuple[Entry, ...], tuple[KeptPlan, ...]]":
    from voyager.files.log import Log, log_path

    with Log(log_path(voyage)) as log:
        return log.entries(), tuple(log.plans())


def told(
    loaded: "Loaded", entries: "Sequence[Entry]", kept: "Sequence[KeptPlan]", tick: Progress
) -> Json:
    """The same from what has been read."""
    from voyager.errors import InputError
    from voyager.logbook.actual import actual_days, log_days
    from voyager.logbook.drift import drift
    from voyager.session.sun_done import sun_done

    calendar = log_days(entries, loaded.voyage)
    if calendar is None:
        raise InputError(f"all of the log lies before the departure, {loaded.voyage.departs}")
    rows = _kept_rows(calendar, kept)
    if None in rows:
        own = _days_of(_planned_under(loaded, None, lambda share, text: tick(0.1 + 0.4 * share, text)))
        rows = [own.get(day.isoformat()) if row is None else row for day, row in zip(calendar.dates, rows, strict=True)]
    even = _planned_under(loaded, SKY, lambda share, text: tick(0.5 + 0.4 * share, text))

    def lying(line: "Timeline", places: Sequence[tuple[float, float]]) -> Any:
        return sun_done(even.frame, line, places, rows)

    days = actual_days(entries, loaded.voyage, loaded.vessel, rows, sun_done=lying)
    days = days[:-1] if len(days) > 1 and _hardly_begun(days[-1], entries) else days
    tick(0.9, "drift")
    drifts = drift(days, loaded.vessel.battery.ceiling_kwh, _climate_suns(loaded, days, calendar, _days_of(even)))
    told_days = [_day(day, row, calendar) for day, row in zip(days, rows, strict=False)]
    return {
        "format": 1,
        "voyage": loaded.voyage.name,
        "capacity_kwh": loaded.vessel.battery.capacity_kwh,
        "days": told_days,
        "totals": _totals(told_days),
        "drift": [_drift(one) for one in drifts],
        "notes": _notes(days, drifts),
        "cautions": [],
    }


def _notes(days: "Sequence[DayActual]", drifts: "Sequence[Drift]") -> list[str]:
    """What the log cannot tell though it holds readings of it."""
    suns = sum(day.flows_kwh["solar"] is not None for day in days)
    if suns < 2 or any(one.kind.flow == "solar" for one in drifts):
        return []
    return [
        "panels: nothing can be said, for on too few days would a bright day's sun have had room in the battery; "
        "log the sun while it is well below full, or use voyager fit panels."
    ]


def _kept_rows(calendar: "Days", kept: "Sequence[KeptPlan]") -> "list[Mapping[str, Any] | None]":
    """Of each day the row of the last plan that was made before it began and has it."""
    out: list[Mapping[str, Any] | None] = []
    for date, starts in zip(calendar.dates, calendar.starts_utc[:-1], strict=True):
        found = None
        for plan in sorted(kept, key=lambda one: (one.made_utc, one.ident)):
            made = np.datetime64(plan.made_utc.replace(tzinfo=None), "s")
            row = next((day for day in plan.days if day["date"] == date.isoformat()), None)
            if made <= starts and row is not None:
                found = {**row, "made_utc": f"{plan.made_utc:%Y-%m-%dT%H:%M:%SZ}"}
        out.append(found)
    return out


def _hardly_begun(day: "DayActual", entries: "Sequence[Entry]") -> bool:
    """A last day of which the log has no more than the reading of its morning."""
    from voyager.logbook.readings import CLOSE_H, hour_of

    return day.split is None and hour_of(entries[-1].time_utc, day.starts) <= CLOSE_H


def _planned_under(loaded: "Loaded", sky: "SkyName | None", tick: Progress) -> "Outlook":
    """The file's own plan under its one sky; under another without its forecast, which is not climate."""
    from dataclasses import replace

    from voyager.planner.outlook import look

    voyage = loaded.voyage if sky is None else replace(loaded.voyage, sky=sky, forecast=())
    return look(loaded.vessel, voyage, tick, record=loaded.record)


def _days_of(found: "Outlook") -> dict[str, Mapping[str, Any]]:
    """The days of a plan by date."""
    from voyager.session.telling import days_told

    return {str(day["date"]): day for day in days_told(found.frame, found.built, found.schedule)}


def _climate_suns(
    loaded: "Loaded", days: "Sequence[DayActual]", calendar: "Days", even: Mapping[str, Mapping[str, Any]]
) -> list[float | None]:
    """Mean sun of the climate between the two charges of each day, by the plan of the even sky; None where it has none,
    or where some of it would be spilled: then the log's sun says less of the panels than of the room for it."""
    from voyager.logbook.readings import within
    from voyager.logbook.timeline import timeline

    line = timeline(calendar, [_all_taken(even.get(date.isoformat())) for date in calendar.dates], loaded.vessel)
    out: list[float | None] = []
    for day in days:
        known = day.start is not None and day.end is not None and line.planned(day.start.hour, day.end.hour)
        out.append(within(line.sun, day.start.hour, day.end.hour) if known and day.start and day.end else None)
    return out


def _all_taken(row: Mapping[str, Any] | None) -> Mapping[str, Any] | None:
    """The day if all but a fiftieth of its sun is taken."""
    return None if row is None or row["spilled_kwh"] > 0.02 * row["solar_kwh"] else row


def _day(day: "DayActual", row: Mapping[str, Any] | None, calendar: "Days") -> Json:
    split, zero = day.split, calendar.starts_utc[0]
    return {
        "day": day.day,
        "date": day.date.isoformat(),
        "starts_utc": utc(day.starts),
        "length_h": day.length_h,
        "from_utc": None if day.start is None else after(zero, day.start.hour),
        "to_utc": None if day.end is None else after(zero, day.end.hour),
        "planned": None if row is None else _planned(row, day),
        "actual": _measured(day),
        **_parts(day),
        "rest_kwh": None if split is None else round(split.rest_kwh, 4) + 0.0,
        "shared": [] if split is None else list(split.shared),
        "notes": list(day.notes),
    }


def _planned(row: Mapping[str, Any], day: "DayActual") -> Json:
    change = None if day.split is None else kwh(day.split.planned_kwh)
    return {key: row.get(key) for key in PLANNED} | {"change_kwh": change, "made_utc": row.get("made_utc")}


def _measured(day: "DayActual") -> Json:
    """What the log says; null where it does not."""
    start, end = day.start, day.end
    change = None if start is None or end is None else kwh(end.charge_kwh - start.charge_kwh)
    return {
        "charge_start_kwh": None if start is None else kwh(start.charge_kwh),
        "charge_end_kwh": None if end is None else kwh(end.charge_kwh),
        "change_kwh": change,
        **{f"{name}_kwh": _kwh(value) for name, value in day.flows_kwh.items()},
        "start_km": _kwh(day.start_km, 3),
        "end_km": _kwh(day.end_km, 3),
        "outside_c": _kwh(day.outside_c, 1),
    }


def _kwh(value: float | None, places: int = 4) -> float | None:
    return None if value is None else round(value, places) + 0.0


def _parts(day: "DayActual") -> Json:
    """The difference and its five parts, rounded so that they still add up."""
    from voyager.logbook.split import PARTS

    if day.split is None:
        return {"difference_kwh": None, **{f"{name}_kwh": None for name in PARTS}}
    whole = round(day.split.difference_kwh, 4) + 0.0
    parts = {name: round(day.split.kwh[name], 4) + 0.0 for name in PARTS}
    parts["hotel"] = round(whole - sum(value for name, value in parts.items() if name != "hotel"), 4) + 0.0
    return {"difference_kwh": whole, **{f"{name}_kwh": parts[name] for name in PARTS}}


def _totals(days: list[Json]) -> Json:
    """Sums over the days that are split; energies over those in which they were measured and planned."""
    from voyager.logbook.split import PARTS

    split = [day for day in days if day["difference_kwh"] is not None]
    names = ("difference", *PARTS)
    parts: Json = {f"{name}_kwh": round(sum(day[f"{name}_kwh"] for day in split), 4) + 0.0 for name in names}
    known = [km for d in days for km in (d["actual"]["start_km"], d["actual"]["end_km"]) if km is not None]
    went = known[-1] - known[0] if known else 0.0
    both = {}
    for name in SUMMED:
        pairs = [
            (_taken(d["planned"], name), d["actual"][f"{name}_kwh"])
            for d in split if d["planned"] and d["actual"][f"{name}_kwh"] is not None
        ]  # fmt: skip
        sums = [round(sum(values), 3) + 0.0 for values in zip(*pairs, strict=True)] or [None, None]
        both[name] = {"days": len(pairs), "planned_kwh": sums[0], "actual_kwh": sums[1]}
    return {"days": len(split), **parts, "actual_km": round(went, 3) + 0.0, "energies": both}


def _taken(planned: Json, name: str) -> float:
    """A day's planned energy; of the sun what was to be taken, for that is what a log has."""
    return float(planned[f"{name}_kwh"]) - (float(planned["spilled_kwh"]) if name == "solar" else 0.0)


def _drift(one: "Drift") -> Json:
    return {
        "key": one.kind.key, "name": one.kind.name, "ratio": round(one.ratio, 4), "se": round(one.se, 4),
        "low": round(one.low, 4), "high": round(one.high, 4), "days": one.days, "trend_30_days": _kwh(one.trend),
        "trend_se": _kwh(one.trend_se), "pointed": one.pointed, "text": one.text, "test": one.kind.test,
    }  # fmt: skip
