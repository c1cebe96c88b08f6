"""Dates, instants, clock times and windows of hours as they are written in the files."""

import re
from datetime import date, datetime, time

from voyager.files.printable import shown
from voyager.files.toml import date_exists, no_such_date

DAY_MIN = 24 * 60
_CLOCK = re.compile(r"([01]\d|2[0-4]):([0-5]\d)")
_WINDOW = re.compile(r"\s*(\S+?)\s*[-–]\s*(\S+)\s*")
FIRST_YEAR, LAST_YEAR = 1950, 2100


def civil_date(value: object) -> date:
    """A TOML date or "YYYY-MM-DD". Raises ValueError with the sentence for the user."""
    if isinstance(value, str):
        if not date_exists(value):
            raise ValueError(no_such_date(value) if value[:4].isdigit() else _no_date(value))
        value = date.fromisoformat(value)
    if not isinstance(value, date) or isinstance(value, datetime):
        raise ValueError(_no_date(value))
    if not FIRST_YEAR <= value.year <= LAST_YEAR:
        raise ValueError(f"must lie in the years {FIRST_YEAR} to {LAST_YEAR}, is {value}")
    return value


def _no_date(value: object) -> str:
    return f"must be a date such as 2027-03-01, without a time, is {shown(value)}"


def instant(value: object) -> datetime:
    """A TOML date and time with its offset. Raises ValueError with the sentence for the user."""
    if isinstance(value, str):
        try:
            value = datetime.fromisoformat(value)
        except ValueError:
            raise ValueError(_no_instant(value)) from None
    if not isinstance(value, datetime):
        raise ValueError(_no_instant(value))
    if value.tzinfo is None:
        raise ValueError(f"needs its offset from UTC, such as {value.isoformat()}Z for UTC")
    civil_date(value.date())
    return value


def _no_instant(value: object) -> str:
    return f"must be a date and time with offset such as 2027-03-01T05:40:00Z, is {shown(value)}"


def clock(value: object) -> int:
    """Minutes since midnight of "HH:MM" (or a TOML time), 0 to 1440. Raises ValueError with the sentence."""
    if isinstance(value, time):
        return value.hour * 60 + value.minute
    match = _CLOCK.fullmatch(value) if isinstance(value, str) else None
    if match is None or (minutes := int(match[1]) * 60 + int(match[2])) > DAY_MIN:
        raise ValueError(f'must be a clock time "HH:MM" such as "08:30", is {shown(value)}')
    return minutes


def time_of_day(value: object) -> int:
    """As ``clock``, without the 24:00 that only an end can be."""
    if (minutes := clock(value)) == DAY_MIN:
        raise ValueError('must be a clock time before "24:00"; midnight is "00:00"')
    return minutes


def clock_text(minutes: int) -> str:
    """The inverse of ``clock``."""
    return f"{minutes // 60:02}:{minutes % 60:02}"


def window(text: str) -> tuple[tuple[int, int], ...]:
    """Pieces in minutes of "22:00-06:00", split at midnight. Raises ValueError with the sentence."""
    match = _WINDOW.fullmatch(text)
    if match is None:
        raise ValueError('must be a span of hours such as "06:30-08:30"')
    opens, shuts = clock(match[1]), clock(match[2])
    if opens in (shuts, DAY_MIN):
        raise ValueError('holds no time; the whole day is "00:00-24:00"')
    if opens < shuts:
        return ((opens, shuts),)
    return tuple(piece for piece in ((opens, DAY_MIN), (0, shuts)) if piece[0] < piece[1])
