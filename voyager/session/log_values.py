"""Entries of the log as plain values, and plain values as entries."""

from collections.abc import Mapping
from dataclasses import fields, replace
from datetime import UTC, datetime
from typing import Any, Final
from zoneinfo import ZoneInfo

from voyager.errors import InputError
from voyager.files.printable import printable
from voyager.logbook.entries import EVENT, READING, Entry

Json = dict[str, Any]
NUMBERS: Final = (
    "km", "lat", "lon", "charge_kwh", "solar_kwh", "shore_kwh", "propulsion_kwh", "heating_kwh", "hotel_kwh",
    "inside_c", "outside_c",
)  # fmt: skip
TEXTS: Final = ("place", "note")
WHERE: Final = ("place", "km", "lat", "lon")
KEYS: Final = ("time_utc", "kind", *TEXTS, *NUMBERS, "charge_percent")
"""What ``add`` and ``change`` take."""
DIGITS: Final = 6


def entry_told(entry: Entry, capacity_kwh: float | None, time_zone: str | None) -> Json:
    """All fields; ``time_utc`` as ISO text, ``time_local`` by the voyage's clock and ``charge_percent`` beside them.

    Both are None where the voyage's files are unsound and cannot say.
    """
    told = {field.name: getattr(entry, field.name) for field in fields(Entry) if field.name != "time_utc"}
    charge = entry.charge_kwh
    percent = None if charge is None or not capacity_kwh else round(100 * charge / capacity_kwh, DIGITS)
    numbers = {name: None if told[name] is None else round(told[name], DIGITS) for name in NUMBERS}
    times = {"time_utc": utc_text(entry.time_utc), "time_local": _local(entry.time_utc, time_zone)}
    return {"ident": entry.ident, **times, **told, **numbers, "charge_percent": percent}


def utc_text(time: datetime) -> str:
    """``2027-03-02T14:00:00Z``."""
    return time.astimezone(UTC).replace(tzinfo=None).isoformat() + "Z"


def _local(time: datetime, time_zone: str | None) -> str | None:
    """``2027-03-02T14:00`` by the voyage's clock."""
    if time_zone is None:
        return None
    return time.astimezone(ZoneInfo(time_zone)).replace(tzinfo=None).isoformat(timespec="minutes")


def with_values(entry: Entry, values: Mapping[str, object], capacity_kwh: float) -> Entry:
    """The entry with these values in the place of its own; None, or an empty text, takes one away.

    A new place without a kilometre, or a new position, does away with the old ones, which belonged to another. Raises
    InputError for unknown names and values that are none.
    """
    for name in values:
        if name not in KEYS:
            from difflib import get_close_matches

            near = get_close_matches(name, KEYS, 1)
            raise InputError(f"an entry has no {name}" + (f"; did you mean {near[0]}?" if near else ""))
    new: Json = {name: _value(name, value) for name, value in values.items()}
    if (percent := new.pop("charge_percent", None)) is not None:
        if "charge_kwh" in new:
            raise InputError("the charge is given in percent and in kWh; give one of them")
        new["charge_kwh"] = percent * capacity_kwh / 100
    _check_charge(new.get("charge_kwh"), capacity_kwh)
    where: Json = dict.fromkeys(WHERE) if new.keys() & set(WHERE) else {}
    changed = replace(entry, **where | new)
    return changed if "kind" in new else replace(changed, kind=_kind(changed))


def _kind(entry: Entry) -> str:
    """A note without any figure is an event."""
    return EVENT if entry.note and all(getattr(entry, name) is None for name in NUMBERS[3:]) else READING


def _check_charge(charge_kwh: float | None, capacity_kwh: float) -> None:
    if charge_kwh is not None and not 0 <= charge_kwh <= capacity_kwh * (1 + 1e-9):
        raise InputError(
            f"a charge of {charge_kwh:g} kWh cannot be; the battery holds 0 to {capacity_kwh:g} kWh (100 %)"
        )


def _value(name: str, value: object) -> object:
    if name == "time_utc":
        return _time(value)
    if name in (*TEXTS, "kind"):
        if value is not None and not isinstance(value, str):
            raise InputError(f"{name} is a text, not {value!r}")
        text = printable(" ".join((value or "").split()))
        return text if name == "note" else text or None
    if value is None:
        return None
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise InputError(f"{name} is a number, not {value!r}")
    return float(value)


def _time(value: object) -> datetime:
    try:
        time = datetime.fromisoformat(value) if isinstance(value, str) else value
    except ValueError:
        time = None
    if not isinstance(time, datetime):
        raise InputError(f"{value!r} is no time; write it like 2027-03-02T14:00+00:00")
    return time if time.tzinfo else time.replace(tzinfo=UTC)
