"""The days as they were planned, hour by hour one after another: what a log is held against."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

import numpy as np
from numpy.typing import NDArray

from voyager.boat.battery import Battery
from voyager.boat.vessel import Vessel
from voyager.energy.loads import hotel
from voyager.logbook.readings import CLOSE_H, hour_of, shares
from voyager.route.calendar import Days

Floats = NDArray[np.float64]
Row = Mapping[str, Any]
LIT_H = (1.0, 9.0)
"""Hours after the day's start over which a day's sun is spread where a plan was kept without its hours."""
EVENING_H = 10.0
KEPT = (
    "day", "date", "starts_utc", "length_h", "mark", "why", "comfort", "from", "mooring", "start_km", "end_km",
    "casts_off_utc", "made_fast_utc", "hours_underway", "pace_w", "solar_kwh", "shore_kwh", "propulsion_kwh",
    "hotel_kwh", "heating_kwh", "loss_kwh", "spilled_kwh", "charge_start_kwh", "charge_evening_kwh", "charge_end_kwh",
)  # fmt: skip
KEPT_HOURS = (
    "ends_utc", "underway_h", "solar_kwh", "shore_kwh", "propulsion_kwh", "hotel_kwh", "heating_kwh", "spilled_kwh",
    "charge_kwh", "cabin_c", "setpoint_c", "outside_c",
)  # fmt: skip


@dataclass(frozen=True)
class Timeline:
    """T hours from ``zero`` on, the hours of D days; arrays (T,), nan where no plan was.

    Energies kWh in the hour: ``sun`` what was to be taken (offered less spilled), ``shore`` at the socket,
    ``propulsion``, ``hotel``, ``heating`` at their terminals; ``change`` of the charge. ``underway`` hours; outside and
    cabin air and setpoint degC as the hour ends. ``edges`` (D+1,) hour of each day's start.
    """

    zero: np.datetime64
    edges: Floats
    local_hour: NDArray[np.int64]
    sun: Floats
    shore: Floats
    propulsion: Floats
    hotel: Floats
    heating: Floats
    change: Floats
    underway: Floats
    outside_c: Floats
    cabin_c: Floats
    setpoint_c: Floats

    def planned(self, begins: float, ends: float) -> bool:
        """Whether every hour between two was planned."""
        return bool(np.isfinite(self.change[shares(len(self.change), begins, ends) > 0]).all())


def slim(days: Sequence[Row]) -> tuple[Row, ...]:
    """The days of a plan with what a log needs of them."""
    return tuple(
        {key: day[key] for key in KEPT if key in day}
        | {"hours": [{key: hour[key] for key in KEPT_HOURS if key in hour} for hour in day.get("hours", [])]}
        for day in days
    )


def timeline(calendar: Days, rows: Sequence[Row | None], vessel: Vessel) -> Timeline:
    """The days of a calendar as ``rows``, one for each, have them: objects of ``plan --json``; None: not planned."""
    zero = calendar.starts_utc[0]
    edges = (calendar.starts_utc - zero) / np.timedelta64(3600, "s")
    parts = [
        _day(row, float(edges[d]), int(calendar.length_h[d]), calendar.local_hour[d], zero, vessel)
        for d, row in enumerate(rows)
    ]
    clock = [calendar.local_hour[d, : int(calendar.length_h[d])] for d in range(len(rows))]
    whole = _reaching({name: np.concatenate([part[name] for part in parts]) for name in NAMES})
    return Timeline(zero, edges, np.concatenate(clock), **whole)


def _reaching(whole: dict[str, Floats]) -> dict[str, Floats]:
    """The planned hours with those beside them, as far as a reading of the charge may lie from a day's start: they are
    taken to be as the hour next to them."""
    known = np.flatnonzero(np.isfinite(whole["change"]))
    if not len(known):
        return whole
    at = np.arange(len(whole["change"]))
    place = np.searchsorted(known, at)
    before, after = known[np.maximum(place - 1, 0)], known[np.minimum(place, len(known) - 1)]
    near = np.where(np.abs(at - before) <= np.abs(at - after), before, after)
    near = np.where(np.abs(at - near) <= CLOSE_H, near, at)
    return {name: values[near] for name, values in whole.items()}


def _day(
    row: Row | None, begins: float, length: int, local_hour: NDArray[np.int64], zero: np.datetime64, vessel: Vessel
) -> dict[str, Floats]:
    if row is None:
        return {name: np.full(length, np.nan) for name in NAMES}
    if row.get("hours"):
        return _told(row, row["hours"], begins, length, zero)
    return _spread(row, begins, length, local_hour, zero, vessel)


NAMES = (
    "sun", "shore", "propulsion", "hotel", "heating", "change", "underway", "outside_c", "cabin_c", "setpoint_c",
)  # fmt: skip


def _told(row: Row, hours: Sequence[Row], begins: float, length: int, zero: np.datetime64) -> dict[str, Floats]:
    """By the plan's own hours; those before a plan that began in the day's middle are not planned."""
    out = {name: np.full(length, np.nan) for name in NAMES}
    first = round(hour_of(_instant(hours[0]["ends_utc"]), zero) - begins) - 1
    charge = np.asarray([row["charge_start_kwh"], *(hour["charge_kwh"] for hour in hours)], dtype=float)
    columns = {name: np.asarray([hour[f"{name}_kwh"] for hour in hours], dtype=float) for name in FLOWS}
    spilled = np.asarray([hour["spilled_kwh"] for hour in hours], dtype=float)
    found = {
        "sun": columns["solar"] - spilled, **{name: columns[name] for name in FLOWS[1:]}, "change": np.diff(charge),
        "underway": np.asarray([hour["underway_h"] for hour in hours], dtype=float),
        **{name: np.asarray([hour[name] for hour in hours], dtype=float) for name in NAMES[-3:]},
    }  # fmt: skip
    at = slice(max(first, 0), min(first + len(hours), length))
    for name, values in found.items():
        out[name][at] = values[: at.stop - at.start]
    return out


FLOWS = ("solar", "shore", "propulsion", "hotel", "heating")


def _instant(text: str) -> datetime:
    return datetime.fromisoformat(text)


def _spread(
    row: Row, begins: float, length: int, local_hour: NDArray[np.int64], zero: np.datetime64, vessel: Vessel
) -> dict[str, Floats]:
    """By the day's sums alone: sun in the lit hours, propulsion from casting off to making fast, the plug from the
    evening on, hotel by the boat's own hours, heating evenly; the charge straight to the evening and from there."""
    lit, evening = shares(length, *LIT_H), shares(length, EVENING_H, float(length))
    gone = np.zeros(length)
    if row.get("casts_off_utc") and row.get("made_fast_utc"):
        ends = (hour_of(_instant(str(row[name])), zero) - begins for name in ("casts_off_utc", "made_fast_utc"))
        gone = shares(length, *ends)
    aboard = np.add(*hotel(vessel, local_hour[:length]))
    marks = [float(row[f"charge_{name}_kwh"]) for name in ("start", "evening", "end")]
    charge = np.interp(np.arange(length + 1.0), [0.0, EVENING_H, float(length)], marks)
    nothing, unknown = np.zeros(length), np.full(length, np.nan)
    return {
        "sun": _shared(row["solar_kwh"] - row["spilled_kwh"], lit), "shore": _shared(row["shore_kwh"], evening),
        "propulsion": _shared(row["propulsion_kwh"], gone), "hotel": _shared(row["hotel_kwh"], aboard),
        "heating": _shared(row["heating_kwh"], nothing), "change": np.diff(charge), "underway": gone,
        "outside_c": unknown, "cabin_c": unknown, "setpoint_c": unknown,
    }  # fmt: skip


def _shared(kwh: float, weights: Floats) -> Floats:
    """A sum over the hours by their weights, evenly where all are nothing."""
    total = float(weights.sum())
    return weights * (kwh / total) if total > 0 else np.full(len(weights), kwh / len(weights))


def shared(kwh: float, weights: Floats, among: Floats) -> Floats:
    """The same among the hours of a stretch, ``among`` (T,) their shares."""
    inside = weights * among
    total = float(inside.sum())
    whole = float(among.sum())
    return inside * (kwh / total) if total > 1e-12 else among * (kwh / whole if whole > 0 else 0.0)


def net_w(battery: Battery, change_kwh: Floats) -> Floats:
    """The power at the battery's terminals, W, that changes the charge by so much in an hour (T,)."""
    gain = np.where(change_kwh > 0, 1 / battery.charge_efficiency, battery.discharge_efficiency)
    return np.asarray(change_kwh * gain * 1e3)
