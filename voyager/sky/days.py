"""Days as normal scores of clearness: persistence, classes, the three five-day rounds, the poor day.

South of the equator the year of the persistence runs half a year later (``lat_deg``); that is a judgement, the
measurements are from the northern temperate zone.
"""

import numpy as np
from numpy.typing import ArrayLike, NDArray

from voyager.sky.normal import normal_cdf, normal_quantile
from voyager.sky.season import YEAR_DAYS

CLASSES = ("dark", "dull", "mixed", "fair", "bright")
ROUND = (0.52, -0.52, 1.28, -1.28, 0.0)
"""Five-day round of scores: the quantiles .70, .30, .90, .10, .50, a dark day always after a bright one."""
SKY_PROBABILITY = {"cautious": 0.2, "middling": 0.5, "good": 0.8}
"""Share of fortnights that are darker than the one sky of that name."""
FORTNIGHT_DAYS = 14
POOR_PROBABILITY = 0.10
COLD_SD = 1.28
"""The poor day's air is this many standard deviations colder than its mean (its 10th percentile)."""
WIND_POOR = 1.6
"""Wind of the poor day over its mean: the 90th percentile of daily means."""
FACTOR_SD = 0.06
"""Standard deviation of the climate factor, one draw a member."""


def persistence(day_of_year: ArrayLike, lat_deg: ArrayLike = 45.0) -> NDArray[np.float64]:
    """Lag-1 correlation of the scores [-], day and latitude broadcast.

    Graham, Hollands & Unny 1988 (Solar Energy 40:83) give AR(1) of normal scores with 0.29; the seasonal form
    was fitted to measured daily records in Europe (winter .28, spring .40, summer .38, autumn .30).
    """
    later = np.where(np.asarray(lat_deg, dtype=float) < 0, YEAR_DAYS / 2, 0.0)
    day = np.asarray(day_of_year, dtype=float) + later
    return np.asarray(0.34 + 0.07 * np.cos(2 * np.pi * (day - 148) / YEAR_DAYS))


def fortnight_sd(day_of_year: ArrayLike, lat_deg: ArrayLike = 45.0) -> NDArray[np.float64]:
    """Standard deviation of the mean of 14 days' scores [-] under AR(1), day and latitude broadcast."""
    phi = persistence(day_of_year, lat_deg)
    lag = np.arange(1, FORTNIGHT_DAYS)
    pairs = ((1 - lag / FORTNIGHT_DAYS) * phi[..., None] ** lag).sum(axis=-1)
    return np.asarray(np.sqrt((1 + 2 * pairs) / FORTNIGHT_DAYS))


def round_scores(sky_name: str, day_of_year: ArrayLike, lat_deg: ArrayLike = 45.0) -> NDArray[np.float64]:
    """Scores (D,) of the one sky named ``cautious``, ``middling`` or ``good`` over consecutive days (D,).

    The round plus Φ⁻¹(p)·s₁₄: the fortnight that one in five falls below, an even one, one that one in five exceeds.
    """
    shift = normal_quantile(SKY_PROBABILITY[sky_name]) * fortnight_sd(day_of_year, lat_deg)
    return np.asarray(np.resize(np.array(ROUND), shift.shape[-1]) + shift)


def poor_score(classes: int = 1, skill: float = 1.0) -> NDArray[np.float64]:
    """Score (classes,) that a day of each class falls below with chance 0.1, the darkest class first.

    The class is an equal share of f = skill·z + √(1 − skill²)·ε, so that z given f is N(skill·f, 1 − skill²).
    """
    if skill >= 1.0:
        return normal_quantile((np.arange(classes) + POOR_PROBABILITY) / classes)
    spread = np.sqrt(1 - skill**2)
    nodes = 200
    known = normal_quantile((np.arange(classes * nodes) + 0.5) / (classes * nodes)).reshape(classes, nodes)
    low, high = np.full(classes, -8.0), np.full(classes, 8.0)
    for _ in range(40):
        middle = (low + high) / 2
        below = normal_cdf((middle[:, None] - skill * known) / spread).mean(axis=1) < POOR_PROBABILITY
        low, high = np.where(below, middle, low), np.where(below, high, middle)
    return np.asarray((low + high) / 2)


def poor_margin(lat_deg: ArrayLike, month: ArrayLike) -> NDArray[np.float64]:
    """Factor on the poor day's clearness [-], latitude and month (1-12) broadcast: 0.90; 0.80 at 30-46° in winter.

    Fog basins and mountain lee of the subtropical winter are where the climate errs most; south of the equator
    winter is June to August.
    """
    lat, months = np.asarray(lat_deg, dtype=float), np.asarray(month)
    winter = np.where(lat < 0, np.isin(months, (6, 7, 8)), np.isin(months, (12, 1, 2)))
    return np.asarray(np.where(winter & (np.abs(lat) >= 30) & (np.abs(lat) <= 46), 0.80, 0.90))
