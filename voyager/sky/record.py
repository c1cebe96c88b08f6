"""The climate that a weather file makes, and members that live through its real sequences of days.

A year of the file stands for any year: days are matched by their place in a year of 365 days, 29 February by the 28th.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date

import numpy as np
from numpy.typing import ArrayLike, NDArray

from voyager.sky.air import correlation
from voyager.sky.clearness import PROBABILITIES, score
from voyager.sky.days import persistence
from voyager.sky.draws import Skies, draw, with_forecast
from voyager.sky.draws import known as known_scores
from voyager.sky.keyed import words
from voyager.sky.measured import HOUR_S, MAX_HOUR, DailyRecord, Record, daily, day_of_year
from voyager.sky.sun import SOLAR_DAY_S_PER_DEG, unix_s

__all__ = ["DailyRecord", "Record", "RecordClimate", "climate_of", "daily", "record_skies"]

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Times = NDArray[np.datetime64]
Dates = NDArray[np.datetime64]

YEAR = 365
WIDEST_DAYS, NARROWEST_DAYS, WANTED_DAYS = 30, 10, 75
"""Half width of the window around a day of the year: what one year needs, what many may, over their number."""
LEAST_DAYS = 30
"""A short file lends its nearest days where the window holds fewer than these."""
LEVEL_DAYS = 5.0
"""A window off its centre by more than this has no slope of temperature to trust."""
MAX_SCORE = 3.0
SHIFT_DAYS, LEAST_SHIFT_DAYS, SHORT_SHIFT_DAYS = 15, 2, 7
"""Days either way that a sequence of a single year is shifted by, fewer with more years; the fewest; in a season."""
MISSING_DAYS = 5
"""A year may lack this many days and still count as one."""
CHOICE_STREAM = 1
"""Stream of the keyed integers that choose each member's year and shift."""


@dataclass(frozen=True)
class RecordClimate:
    """The file's own distributions on days of the year (D,).

    table: quantiles (D, 16) of clearness at ``PROBABILITIES``; mean_c, sd_c of the daily air; lag1 of the clearness
    scores; correlation of the air's anomaly with them; wind_mps mean and wind_table (D, 16) quantiles, None if unknown.
    """

    table: Floats
    mean_c: Floats
    sd_c: Floats
    lag1: Floats
    correlation: Floats
    wind_mps: Floats | None
    wind_table: Floats | None


def climate_of(record: Record, day_of_year: ArrayLike) -> RecordClimate:
    """The record's climate on days of the year (D,), from the days of all its years around each of them.

    The window is 30 days either way for a single year and narrows to 10 with more; a file that ends before it lends
    the days nearest to it. The air's mean follows its slope over the window.
    """
    days = record.days
    wanted, back = np.unique(np.asarray(day_of_year, dtype=np.int64), return_inverse=True)
    base = _of_days(days, record.years, wanted)
    own = _of_days(days, record.years, np.arange(1, YEAR + 2))
    near = _nearest(days.day_of_year, record.years, wanted)[0]
    z, a = _scores(days, own)
    pair = np.minimum(near, len(z) - 2)
    lag1 = _correlation(z[pair], z[pair + 1]) if len(z) > 2 else np.zeros(len(wanted))
    return _picked(replace(base, lag1=lag1, correlation=_correlation(z[near], a[near])), back)


def _picked(found: RecordClimate, rows: Ints) -> RecordClimate:
    """Rows of a climate by number, which may repeat."""
    wind, quantiles = found.wind_mps, found.wind_table
    return RecordClimate(
        found.table[rows],
        found.mean_c[rows],
        found.sd_c[rows],
        found.lag1[rows],
        found.correlation[rows],
        None if wind is None else wind[rows],
        None if quantiles is None else quantiles[rows],
    )


def _nearest(of_days: Ints, years: int, wanted: Ints) -> tuple[Ints, Floats]:
    """Numbers (U, n) of the record's days nearest in the year to each wanted one, and how many days later they are."""
    later = np.asarray((of_days[None, :] - wanted[:, None] + 182.5) % 365.25 - 182.5, dtype=float)
    half = min(max(WANTED_DAYS // years, NARROWEST_DAYS), WIDEST_DAYS)
    count = min(len(of_days), max(LEAST_DAYS, (2 * half + 1) * years))
    near = np.argsort(np.abs(later), axis=1, kind="stable")[:, :count]
    return near, np.take_along_axis(later, near, axis=1)


def _of_days(days: DailyRecord, years: int, wanted: Ints) -> RecordClimate:
    near, later = _nearest(days.day_of_year, years, wanted)
    mean, sd = _air(days.air_c[near], later)
    nothing = np.zeros(len(wanted))
    wind = None if days.wind_mps is None else days.wind_mps[near]
    return RecordClimate(
        table=_quantiles(days.clearness[near]),
        mean_c=mean,
        sd_c=sd,
        lag1=nothing,
        correlation=nothing,
        wind_mps=None if wind is None else wind.mean(axis=1),
        wind_table=None if wind is None else _quantiles(wind),
    )


def _quantiles(values: Floats) -> Floats:
    """Quantiles (U, 16) at ``PROBABILITIES``; the i-th of n is that of probability (i - 1/2)/n (Hazen 1914)."""
    return np.asarray(np.quantile(values, PROBABILITIES, axis=1, method="hazen").T)


def _air(air: Floats, later: Floats) -> tuple[Floats, Floats]:
    """Mean of the day itself and standard deviation about the straight line through the window."""
    centre, level = later.mean(axis=1, keepdims=True), air.mean(axis=1, keepdims=True)
    offset = later - centre
    slope = (offset * (air - level)).sum(axis=1, keepdims=True) / np.maximum((offset**2).sum(axis=1, keepdims=True), 1)
    mean = level - np.where(np.abs(centre) <= LEVEL_DAYS, slope * centre, 0.0)
    rest = ((air - level - slope * offset) ** 2).sum(axis=1) / max(air.shape[1] - 2, 1)
    return mean[:, 0], np.maximum(np.sqrt(rest), 0.1)


def _scores(days: DailyRecord, year: RecordClimate) -> tuple[Floats, Floats]:
    """Normal scores (N,) of clearness and air of the record's days, each in the climate of its own day."""
    number = days.day_of_year - 1
    z = score(year.table[number], days.clearness)
    a = (days.air_c - year.mean_c[number]) / year.sd_c[number]
    return np.clip(z, -MAX_SCORE, MAX_SCORE), np.asarray(np.clip(a, -MAX_SCORE, MAX_SCORE))


def _correlation(x: Floats, y: Floats) -> Floats:
    """Correlation (U,) of rows (U, n)."""
    dx, dy = x - x.mean(axis=1, keepdims=True), y - y.mean(axis=1, keepdims=True)
    scale = np.sqrt((dx**2).sum(axis=1) * (dy**2).sum(axis=1))
    return np.asarray(np.divide((dx * dy).sum(axis=1), scale, out=np.zeros(len(x)), where=scale > 0))


def record_skies(
    record: Record,
    seed: int,
    members: int,
    dates: Sequence[date],
    skill: float,
    *,
    starts_utc: Times | None = None,
    lon_deg: float | None = None,
    mean: Floats | None = None,
    spread: Floats | None = None,
) -> Skies:
    """Skies (M, D) that are real sequences of the record, the same for any departure date.

    Each member draws a year of the file and a shift of a few days; noise and sea are those of ``draw``; the file is
    taken at its word (factor 1). ``starts_utc`` (D,) or (D + 1,) instants at which the voyage's days start: with them
    ``hours`` are as measured, at ``lon_deg`` (default the record's) by solar time, else None. ``mean`` and ``spread``
    (D,) are a forecast's, nan on days without: there the record's scores are drawn to it, and its air with them.
    """
    days = record.days
    rows = _sequence(days, seed, members, dates)
    year = _of_days(days, record.years, np.arange(1, YEAR + 2))
    z, air = _scores(days, year)
    base = draw(seed, members, dates, record.lat, 0.0)
    number = day_of_year(np.array(dates, dtype="datetime64[D]"))
    carry = persistence(number, record.lat)
    found = z[rows] if mean is None else with_forecast(z[rows].T, z[rows].T, carry, mean, spread).T
    return Skies(
        score=found,
        air_score=air[rows] + correlation(number, record.lat) * (found - z[rows]),
        known=known_scores(found, base.known, skill),
        sea=base.sea,
        factor=np.ones(members),
        hours=None if starts_utc is None else _hours(record, rows, dates, starts_utc, lon_deg),
        wind_mps=None if days.wind_mps is None else days.wind_mps[rows],
    )


def _of_calendar(dates: Dates) -> Ints:
    """Days counted in years of 365, 29 February like the 28th."""
    year = dates.astype("datetime64[Y]").astype(np.int64)
    number = day_of_year(dates)
    leap = ((year + 1970) % 4 == 0) & (((year + 1970) % 100 != 0) | ((year + 1970) % 400 == 0))
    return np.asarray(year * YEAR + number - 1 - (leap & (number >= 60)))


def _sequence(days: DailyRecord, seed: int, members: int, dates: Sequence[date]) -> Ints:
    """Numbers (M, D) of the record's days that stand for ``dates``."""
    counted = _of_calendar(days.dates)
    kept = np.flatnonzero(np.diff(counted, prepend=counted[0] - 1))
    years = (len(kept) + MISSING_DAYS) // YEAR
    raw = words(seed, members, 0, 1, CHOICE_STREAM)[0]
    ahead = _of_calendar(np.array(dates, dtype="datetime64[D]")) - counted[0]
    if years:
        widest = max(SHIFT_DAYS // years, LEAST_SHIFT_DAYS)
        start = (raw[:, 0] % np.uint64(years)).astype(np.int64) * YEAR + _shift(raw, widest)
        place = (ahead + start[:, None]) % (YEAR * years)
    else:
        late = (len(kept) + YEAR) // 2
        season = (ahead + YEAR - late) % YEAR - (YEAR - late)
        place = (season + _shift(raw, min(SHORT_SHIFT_DAYS, len(kept) // 10))[:, None]) % len(kept)
    return np.asarray(kept[np.minimum(place, len(kept) - 1)])


def _shift(raw: NDArray[np.uint64], widest: int) -> Ints:
    return np.asarray((raw[:, 1] % np.uint64(2 * widest + 1)).astype(np.int64) - widest)


def _hours(record: Record, rows: Ints, dates: Sequence[date], starts_utc: Times, lon_deg: float | None) -> Floats:
    """Measured over smooth irradiance (M, D, 25) of the hour steps of the voyage's days, by solar time."""
    days, lon = record.days, record.lon if lon_deg is None else lon_deg
    midnight = unix_s(np.array(dates, dtype="datetime64[D]")) - SOLAR_DAY_S_PER_DEG * lon
    first = (unix_s(starts_utc)[: len(dates)] - midnight) / HOUR_S
    step = np.floor(first[:, None] + np.arange(25) + 0.5 - days.offset_h).astype(np.int64)
    day = np.clip(rows[..., None] + step // 24, 0, len(days.dates) - 1)
    other = days.clearness[day] / days.clearness[rows][..., None]
    return np.asarray(np.clip(days.hours[day, step % 24] * other, 0.0, MAX_HOUR))
