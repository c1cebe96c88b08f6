"""The log's tables in SQLite, and entries to rows and back."""

from collections.abc import Sequence
from dataclasses import fields
from datetime import UTC, datetime
from math import isfinite
from typing import Any, Final

from voyager.errors import InputError
from voyager.files.printable import shown
from voyager.logbook.entries import EVENT, READING, Entry

FORMAT: Final = 1
APPLICATION: Final = 0x566F796C
"""``Voyl``: what SQLite's ``application_id`` is set to, so that a log is told from another program's file."""
LEAST_SQLITE: Final = (3, 38, 0)
LIMITS: Final[dict[str, tuple[float, float]]] = {
    "km": (0, 1_000_000),
    "lat": (-90, 90),
    "lon": (-180, 180),
    "charge_kwh": (0, 10_000),
    "solar_kwh": (0, 100_000),
    "shore_kwh": (0, 100_000),
    "propulsion_kwh": (0, 100_000),
    "heating_kwh": (0, 100_000),
    "hotel_kwh": (0, 100_000),
    "inside_c": (-60, 80),
    "outside_c": (-60, 60),
}
"""Lowest and highest value of each number of an entry, ends included."""
ENERGIES: Final = ("solar_kwh", "shore_kwh", "propulsion_kwh", "heating_kwh", "hotel_kwh")
LONGEST_TEXT: Final = 10_000
FIRST_YEAR, LAST_YEAR = 1900, 2200
KINDS: Final = (READING, EVENT)
COLUMNS: Final = tuple(field.name for field in fields(Entry) if field.name != "ident")
TIME: Final = "%Y-%m-%dT%H:%M:%S.%fZ"
_GLOB = "[0-9][0-9][0-9][0-9]-[0-1][0-9]-[0-3][0-9]T[0-2][0-9]:[0-5][0-9]:[0-5][0-9].[0-9][0-9][0-9][0-9][0-9][0-9]Z"


def statements(version: str) -> tuple[str, ...]:
    """What makes an empty file a log; ``version`` of the program that does it. ``entry`` has a column a field."""
    numbers = ",\n".join(f"  {name} REAL CHECK ({name} BETWEEN {a:g} AND {b:g})" for name, (a, b) in _numbers())
    return (
        f"""CREATE TABLE entry (
  ident INTEGER PRIMARY KEY AUTOINCREMENT,
  time_utc TEXT NOT NULL CHECK (time_utc GLOB '{_GLOB}'),
  kind TEXT NOT NULL CHECK (kind IN ('{READING}', '{EVENT}')),
  place TEXT CHECK (place <> ''),
{numbers},
  note TEXT NOT NULL CHECK (length(note) <= {LONGEST_TEXT}),
  source TEXT NOT NULL CHECK (length(source) <= {LONGEST_TEXT}),
  CHECK ((lat IS NULL) = (lon IS NULL))
) STRICT""",
        "CREATE INDEX entry_by_time ON entry (time_utc, ident)",
        f"""CREATE TABLE plan (
  ident INTEGER PRIMARY KEY AUTOINCREMENT,
  made_utc TEXT NOT NULL CHECK (made_utc GLOB '{_GLOB}'),
  days TEXT NOT NULL CHECK (json_valid(days))
) STRICT""",
        "CREATE TABLE about (name TEXT PRIMARY KEY, value TEXT NOT NULL) STRICT",
        f"INSERT INTO about VALUES ('written_by', '{version}')",
        f"PRAGMA application_id = {APPLICATION}",
        f"PRAGMA user_version = {FORMAT}",
    )


def _numbers() -> list[tuple[str, tuple[float, float]]]:
    return [(name, LIMITS[name]) for name in COLUMNS if name in LIMITS]


def row_of(entry: Entry) -> tuple[Any, ...]:
    """The values of ``COLUMNS``. Raises InputError, one sentence, for an entry that a log cannot hold."""
    for name in LIMITS:
        _check_number(name, getattr(entry, name))
    if entry.kind not in KINDS:
        raise InputError(f"kind must be {' or '.join(KINDS)}, is {shown(entry.kind)}")
    if (entry.lat is None) != (entry.lon is None):
        raise InputError("latitude and longitude go together; give both or neither")
    for name in ("place", "note", "source"):
        _check_text(name, getattr(entry, name) or "")
    values = {name: getattr(entry, name) for name in COLUMNS}
    numbers = {name: None if values[name] is None else float(values[name]) for name in LIMITS}
    return tuple({**values, **numbers, "time_utc": time_text(entry.time_utc), "place": entry.place or None}.values())


def _check_number(name: str, value: float | None) -> None:
    low, high = LIMITS[name]
    if value is not None and not (isfinite(value) and low <= value <= high):
        raise InputError(f"{name} must lie between {low:g} and {high:g}, is {value:g}")


def _check_text(name: str, text: str) -> None:
    if len(text) > LONGEST_TEXT:
        raise InputError(f"{name} is longer than {LONGEST_TEXT} signs; part it over several entries")
    try:
        text.encode()
    except UnicodeEncodeError as error:
        half = f"U+{ord(error.object[error.start]):04X}"
        raise InputError(f"{name} holds half a sign ({half}); type that text anew") from None


def time_text(time: datetime) -> str:
    """An aware time in the log's own form, which sorts as time does. Raises InputError out of 1900 to 2200."""
    if time.tzinfo is None:
        raise InputError(f"the time {time} has no offset from UTC; give it one")
    if not FIRST_YEAR < time.year < LAST_YEAR:
        raise InputError(f"the year {time.year} is out of range; it lies between {FIRST_YEAR} and {LAST_YEAR}")
    return time.astimezone(UTC).strftime(TIME)


def time_of(text: str) -> datetime:
    """The inverse of ``time_text``."""
    return datetime.fromisoformat(text)


def entry_of(row: Sequence[Any]) -> Entry:
    """An entry of a row: its number, then the values of ``COLUMNS``."""
    values = dict(zip(("ident", *COLUMNS), row, strict=True))
    return Entry(**{**values, "time_utc": time_of(values["time_utc"])})
