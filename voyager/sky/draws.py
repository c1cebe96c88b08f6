"""Many skies: normal scores of the days of each member, the same for any machine and any departure date.

Every day is a finite sum over a fixed number of days before it, taken in a fixed order from integers keyed by
(seed, member, calendar date). Sums of single elements only: a product of matrices may round as the machine likes.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

import numpy as np
from numpy.typing import ArrayLike, NDArray

from voyager.sky.air import LAG1, correlation
from voyager.sky.days import FACTOR_SD, persistence
from voyager.sky.keyed import UNIT, normal, uniform, words
from voyager.sky.season import seasonal

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

PAST_DAYS = 48
"""Days before the first one that the sums go back: the air forgets all but 2e-5 of itself."""
SCORE, AIR, NOISE, SEA = range(4)
"""Which of the four integers of a member and date is for what."""
FACTOR_DAY = 0
"""The day, before all calendars, whose first integer makes a member's climate factor."""
FIFTHS = (-8416, -2533, 2533, 8416)
"""Edges of the fifths of the standard normal in 1e-4."""
_EPOCH_ORDINAL = date(1970, 1, 1).toordinal()


@dataclass(frozen=True)
class Skies:
    """Days (D) of M members.

    score: normal score of clearness (M, D); air_score: of the temperature anomaly (M, D); known: f of the sky class,
    what the skipper sees in the morning (M, D); sea: one uniform number in [0, 1) a day for the whole boat (M, D);
    factor: climate factor on clearness (M,); hours: measured global irradiance of each hour step over that of the
    smooth day (M, D, 25), None where every day is smooth; wind_mps: daily wind where it is known (M, D), else None.
    """

    score: Floats
    air_score: Floats
    known: Floats
    sea: Floats
    factor: Floats
    hours: Floats | None = None
    wind_mps: Floats | None = None


@dataclass(frozen=True)
class Course:
    """Coefficients of consecutive days (N,): persistence of score and air, their correlation, all whole 1e-4."""

    score: Floats
    air: Floats
    correlation: Floats


def draw(
    seed: int,
    members: int,
    dates: Sequence[date],
    lat_deg: float,
    skill: float,
    *,
    mean: Floats | None = None,
    spread: Floats | None = None,
) -> Skies:
    """Skies of ``members`` over ``dates`` (D,), rising; a shorter or later list sees the same days bit for bit.

    AR(1) of normal scores, Graham, Hollands & Unny 1988 (Solar Energy 40:83); the anomaly of the air is AR(1) beside
    it, correlated on the same day. ``mean`` and ``spread`` (D,) are the score's forecast, NaN on days without one:
    there the score is mean + spread times the day's own deviate, and after it returns to the path without forecast.
    """
    ordinals = np.array([day.toordinal() for day in dates], dtype=np.int64)
    first, span = int(ordinals[0]), int(ordinals[-1] - ordinals[0]) + 1
    raw = words(seed, members, first - PAST_DAYS, span + PAST_DAYS)
    course = course_of(first - PAST_DAYS, span + PAST_DAYS, lat_deg)
    own = normal(raw[..., SCORE])
    base = score_path(own, course)
    forecast = _spread_out(mean, ordinals - first, span), _spread_out(spread, ordinals - first, span)
    score = with_forecast(base, own[PAST_DAYS:], course.score[PAST_DAYS:], *forecast)
    air = air_path(own, normal(raw[..., AIR]), course)
    air += course.correlation[PAST_DAYS:, None] * (score - base)
    shown = known(score, normal(raw[PAST_DAYS:, :, NOISE]), skill)
    chosen = ordinals - first
    sea = uniform(raw[PAST_DAYS:, :, SEA])
    score, air, shown, sea = (np.ascontiguousarray(part[chosen].T) for part in (score, air, shown, sea))
    return Skies(score, air, shown, sea, climate_factor(seed, members))


def climate_factor(seed: int, members: int) -> Floats:
    """Factor on clearness (M,), mean 1, standard deviation ``FACTOR_SD``: what the climate itself does not know."""
    return np.asarray(1.0 + FACTOR_SD * normal(words(seed, members, FACTOR_DAY, 1)[0, :, SCORE]))


def known(score: Floats, noise: Floats, skill: float) -> Floats:
    """f = ρz + √(1 − ρ²)ε of scores and noise of one shape, ρ the skill of the forecast."""
    return np.asarray(skill * score + np.sqrt(1.0 - skill**2) * noise)


def class_of(known_score: ArrayLike) -> Ints:
    """Sky class 0 (dark) to 4 (bright) of f, any shape: the fifth of the standard normal it falls in."""
    whole = np.rint(np.asarray(known_score, dtype=float) * UNIT)
    return np.asarray(np.searchsorted(FIFTHS, whole, side="right"), dtype=np.int64)


def course_of(first_day: int, days: int, lat_deg: float) -> Course:
    """Coefficients of consecutive days from an ordinal on, rounded to 1e-4 so that machines agree."""
    day = day_of_year(first_day + np.arange(days))
    return Course(
        np.round(persistence(day, lat_deg), 4),
        np.round(seasonal(LAG1, day, lat_deg), 4),
        np.round(correlation(day, lat_deg), 4),
    )


def day_of_year(ordinals: Ints) -> Ints:
    """Day of the year, 1 to 366, of proleptic ordinals, any shape."""
    day = (ordinals - _EPOCH_ORDINAL).astype("datetime64[D]")
    return np.asarray((day - day.astype("datetime64[Y]")).astype(np.int64) + 1)


def score_path(own: Floats, course: Course) -> Floats:
    """Scores (N − PAST_DAYS, M) of deviates (N, M): AR(1), each day from the same number of days before it."""
    return _path(own, np.sqrt(1.0 - course.score**2)[:, None] * own, course.score)


def air_path(score_own: Floats, air_own: Floats, course: Course) -> Floats:
    """Scores of the air's anomaly (N − PAST_DAYS, M): AR(1) with ``LAG1``, correlated with the day's clearness.

    The innovations of the two are correlated by r = c(1 − αφ)/√((1 − α²)(1 − φ²)), which makes c on the same day.
    """
    fresh = np.sqrt(1.0 - course.air**2)
    shared = course.correlation * (1.0 - course.air * course.score) / (fresh * np.sqrt(1.0 - course.score**2))
    deviate = shared[:, None] * score_own + np.sqrt(1.0 - shared**2)[:, None] * air_own
    return _path(deviate, fresh[:, None] * deviate, course.air)


def _path(start: Floats, fresh: Floats, carry: Floats) -> Floats:
    """Horner's sum of ``PAST_DAYS`` fresh parts on a stationary start, for all days at once."""
    days = len(start) - PAST_DAYS
    path = start[:days].copy()
    for back in range(1, PAST_DAYS + 1):
        path *= carry[back : back + days, None]
        path += fresh[back : back + days]
    return path


def with_forecast(base: Floats, own: Floats, carry: Floats, mean: Floats | None, spread: Floats | None) -> Floats:
    """Scores (D, M): the forecast on its days, the base path before it, and back to that by AR(1) after it."""
    if mean is None or spread is None:
        return base
    score, gap = base.copy(), np.zeros(base.shape[1])
    for day in range(len(base)):
        gap = gap * carry[day]
        if np.isfinite(mean[day]):
            gap = mean[day] + spread[day] * own[day] - base[day]
        score[day] += gap
    return score


def _spread_out(values: Floats | None, chosen: Ints, days: int) -> Floats | None:
    """Values of chosen days on all consecutive days, NaN between."""
    if values is None:
        return None
    line = np.full(days, np.nan)
    line[chosen] = values
    return line
