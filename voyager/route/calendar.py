"""The days of a voyage: from ``day_starts`` to the next by the civil clock, in whole hours."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from functools import cached_property
from zoneinfo import ZoneInfo

import numpy as np
from numpy.typing import ArrayLike, NDArray

from voyager.errors import InputError

STEPS = 25
DAY_MIN = 1440
HOUR = timedelta(hours=1)

Ints = NDArray[np.int64]
Floats = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class Days:
    """D days. ``starts_utc`` (D+1,) datetime64[s]; ``length_h`` (D,) 23, 24 or 25; ``dates`` civil, day d = first + d.

    ``start_min`` (D,) minute of the civil day at the start; ``shift_min`` (D,) minutes by which clocks are put
    forward within the day (back: negative) and ``shift_at_min`` (D,) when, minutes from its start (inf: never).
    ``local_hour``, ``local_min`` (D, 25): civil hour and minute of the civil day as each hour step begins; steps
    past ``length_h`` already belong to the next day.
    """

    first: date
    time_zone: str
    dates: tuple[date, ...]
    starts_utc: NDArray[np.datetime64]
    length_h: Ints
    start_min: Ints
    shift_min: Ints
    shift_at_min: Floats

    @cached_property
    def local_min(self) -> Ints:
        """(D, 25) minute of the civil day at the start of each step."""
        elapsed = 60 * np.arange(STEPS)
        shift = np.where(elapsed >= self.shift_at_min[:, None], self.shift_min[:, None], 0)
        minute: Ints = (self.start_min[:, None] + elapsed + shift) % DAY_MIN
        return minute

    @cached_property
    def local_hour(self) -> Ints:
        """(D, 25) civil hour at the start of each step."""
        hour: Ints = self.local_min // 60
        return hour

    @cached_property
    def month(self) -> Ints:
        """(D,) month of the civil date, 1-12."""
        return np.array([day.month for day in self.dates], dtype=np.int64)

    @cached_property
    def day_of_year(self) -> Ints:
        """(D,) day of the civil year, 1-366."""
        return np.array([day.timetuple().tm_yday for day in self.dates], dtype=np.int64)

    def hours_from_start(self, d: ArrayLike, local_minute: ArrayLike) -> Floats:
        """Hours from the start of day(s) ``d`` to the next time the civil clock shows ``local_minute``; broadcast.

        0 <= hours < 25. Of a time shown twice the first counts; one that is skipped when clocks go forward is
        reached as if they had not been (PEP 495, fold 0): 02:30 becomes 03:30 by the new time.
        """
        day = np.asarray(d, dtype=np.int64)
        elapsed = (np.asarray(local_minute, dtype=np.float64) - self.start_min[day]) % DAY_MIN
        changed = elapsed - self.shift_min[day]
        after = (elapsed >= self.shift_at_min[day]) & (changed >= self.shift_at_min[day])
        hours: Floats = np.where(after, changed, elapsed) / 60.0
        return hours


def days(first: date, count: int, time_zone: str, day_starts_min: int) -> Days:
    """``count`` days from civil date ``first``, each from ``day_starts_min`` [minute of the civil day] to the next.

    A start that the clocks skip falls where it would have been without the change (PEP 495, fold 0), one that
    they show twice is the first. Days are whole hours, 23 to 25: where a zone shifts by half an hour (Lord Howe)
    or by two (Troll), starts stay whole hours apart and lie as near to ``day_starts_min`` as that allows.
    """
    zone = _zone(time_zone)
    starts = list(_starts(first, count, zone, day_starts_min))
    offsets = np.array([_offset_min(start, zone) for start in starts])
    utc = np.array([start.replace(tzinfo=None) for start in starts], dtype="datetime64[s]")
    minute = utc.astype("datetime64[m]").astype(np.int64) + offsets
    shift = np.diff(offsets)
    at = [_shift_at_min(start, zone) if moved else np.inf for start, moved in zip(starts, shift, strict=False)]
    return Days(
        first=first,
        time_zone=time_zone,
        dates=tuple(first + timedelta(days=d) for d in range(count)),
        starts_utc=utc,
        length_h=(np.diff(utc) // np.timedelta64(3600, "s")).astype(np.int64),
        start_min=minute[:-1] % DAY_MIN,
        shift_min=shift,
        shift_at_min=np.array(at, dtype=np.float64),
    )


def _zone(time_zone: str) -> ZoneInfo:
    try:
        return ZoneInfo(time_zone)
    except (ValueError, OSError, KeyError):
        text = f'time zone "{time_zone}" is not known; use a name of the tz database such as "Europe/Dublin"'
        raise InputError(text) from None


def _starts(first: date, count: int, zone: ZoneInfo, day_starts_min: int) -> Iterator[datetime]:
    """The count + 1 starts in UTC."""
    start = _asked_start(first, zone, day_starts_min)
    yield start
    for d in range(1, count + 1):
        gap = (_asked_start(first + timedelta(days=d), zone, day_starts_min) - start) / HOUR
        start += min(max(round(gap), 23), 25) * HOUR
        yield start


def _asked_start(day: date, zone: ZoneInfo, day_starts_min: int) -> datetime:
    clock = datetime(day.year, day.month, day.day) + timedelta(minutes=day_starts_min)
    return clock.replace(tzinfo=zone).astimezone(UTC)


def _offset_min(moment: datetime, zone: ZoneInfo) -> int:
    offset = moment.astimezone(zone).utcoffset() or timedelta()
    return int(offset // timedelta(minutes=1))


def _shift_at_min(start: datetime, zone: ZoneInfo) -> float:
    """Minutes from ``start`` to the first minute with the offset of the day's end, by bisection."""
    before, after = 0, 60 * STEPS
    was = _offset_min(start, zone)
    while after - before > 1:
        middle = (before + after) // 2
        if _offset_min(start + timedelta(minutes=middle), zone) == was:
            before = middle
        else:
            after = middle
    return float(after)
