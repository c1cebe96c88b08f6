"""The factor of panels from a log without measured sun: its best days against the best days of the climate.

A log's days never all are clear, and in a short or dull one none may be. So the statistic is the day at the 0.9
quantile of energy over that of a clear sky, and what the same statistic gives without loss is drawn from the climate
of the same dates: clearness by its quantiles and persistence, a factor for what the climate does not know, a scatter
a day. The clear sky is but the yardstick: its turbidity falls out of the ratio, and the climate's factor stands for
what remains. Against 15 European records of daily irradiation (tests/fits/test_panels_records.py) the factor so found
is 1 % too high, with a spread of 12, 10, 8, 7 % for 10, 20, 40, 80 days, 94 to 98 % of its intervals right; where H0 is
below ``DULL_KWH_M2`` 2 to 10 % too high, with a spread of 11 to 16 %, 85 to 97 % right: loss comes out too low there.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from voyager.boat.arrays import PanelArray
from voyager.fits.panels_factors import Factors, by_part, fit_factors
from voyager.fits.panels_rows import Ints, Spans
from voyager.fits.panels_sun import PARTS, Steps, Where, clear_sky, days_sky, steps_of
from voyager.fits.result import Floats
from voyager.sky.clearness import clearness, quantiles
from voyager.sky.days import FACTOR_SD, persistence
from voyager.sky.extra import extraterrestrial_kwh_m2
from voyager.sky.measured import day_of_year
from voyager.sky.sun import DAY_S, SOLAR_DAY_S_PER_DEG

QUANTILE = 0.9
DRAWS = 1000
DAY_SD = 0.03
"""Of a day's air, haze and readings: common practice, no source."""
DULL_KWH_M2 = 3.3
"""Daily extraterrestrial irradiation below which the climate is known half as well (as in ``clearness.corrected``)."""
DULL_FACTOR_SD = 0.15
KNOTS: Floats = np.linspace(0.0, 1.0, 11)
SUNNY = 0.9
"""Days of at least this part of the statistic are sunny enough to show shade by part of the day."""
LEAST_SUNNY = 4
IN_THE_SUN = 0.25
"""Of the greatest power under a clear sky: below it a plane faces away from the sun, and clouds rather add to it."""
ROUNDS = 3
HALVINGS = 45
MOST = 1e4


@dataclass(frozen=True)
class Envelope:
    """Factor of the arrays [-] with its error and 95 % limits.

    ``best`` the statistic, ``expected`` its middle without loss, ``ratio`` (d,) of each day, ``sunny`` (n,) rows of the
    best days, ``shade`` found from them, None where they are too few.
    """

    factor: float
    se: float
    low: float
    high: float
    best: float
    expected: float
    ratio: Floats
    shade: Factors | None
    sunny: NDArray[np.bool_]


def envelope(steps: Steps, spans: Spans, expected: Floats) -> Envelope:
    """Envelope of the rows of a log (n,) under a clear sky; ``expected`` (draws,) as ``expected_best`` gives it."""
    index = np.unique(spans.day, return_inverse=True)[1]
    relative: Floats = np.ones(len(PARTS))
    shade: Factors | None = None
    for _ in range(ROUNDS):
        ratio = day_ratio(steps, spans.energy_kwh, index, relative)
        best = float(np.quantile(ratio, QUANTILE))
        sunny = (ratio >= SUNNY * best)[index]
        if len(np.unique(index[sunny])) < LEAST_SUNNY or np.all(spans.whole_day):
            break
        shade = _shade(steps, spans, index, ratio, sunny)
        if not shade.shaded or np.allclose(shade.values / shade.values[shade.best], relative, atol=1e-4):
            break
        relative = shade.values / shade.values[shade.best]
    found = best / expected
    low, high = np.quantile(found, (0.025, 0.975))
    middle = float(np.median(expected))
    se = float(np.std(found))
    return Envelope(best / middle, se, float(low), float(high), best, middle, ratio, shade, sunny)


def day_ratio(steps: Steps, energy_kwh: Floats, day: Ints, relative: Floats) -> Floats:
    """Factor (d,) by which each day's sub-steps, cut at the controllers' limits, add up to its energy; ``day`` (n,)."""
    at, kwh = day[steps.row], steps.energy_kwh[0] * relative[steps.part]
    whole = np.bincount(day, energy_kwh)
    plain = np.asarray(whole / np.maximum(np.bincount(at, kwh, len(whole)), 1e-9))
    if not np.any(np.isfinite(steps.most_kwh)):
        return plain
    low, high = np.minimum(plain, MOST), np.full(len(whole), 3.0 + 2 * plain.max())
    for _ in range(HALVINGS):
        middle = (low + high) / 2
        more = np.bincount(at, np.minimum(middle[at] * kwh, steps.most_kwh), len(whole)) >= whole
        low, high = np.where(more, low, middle), np.where(more, middle, high)
    return np.asarray((low + high) / 2)


def expected_best(spans: Spans, arrays: Sequence[PanelArray], where: Where, rng: np.random.Generator) -> Floats:
    """The statistic of days without loss (``DRAWS``,) as the climate draws the dates of the log."""
    first = np.unique(spans.day, return_index=True)[1]
    days = spans.take(first)
    start: Floats = np.asarray(days.day * DAY_S - SOLAR_DAY_S_PER_DEG * where.lon, dtype=float)
    days = replace(days, start_s=start, end_s=np.asarray(start + DAY_S, dtype=float))
    clear = steps_of(clear_sky(days, where), days, arrays, where).by_row(len(days))[0]
    curve = steps_of(days_sky(days, where, KNOTS), days, arrays, where).by_row(len(days)) / np.maximum(clear, 1e-9)
    k = drawn_clearness(days.day, where, rng, DRAWS)
    ratio = np.stack([np.interp(k[:, d], KNOTS, curve[:, d]) for d in range(len(days))], axis=1)
    return np.asarray(np.quantile(ratio * (1 + DAY_SD * rng.standard_normal(ratio.shape)), QUANTILE, axis=1))


def drawn_clearness(day: Ints, where: Where, rng: np.random.Generator, draws: int) -> Floats:
    """Clearness (draws, d) of rising days since 1970, not all in a row: AR(1) of scores, a climate factor a draw."""
    of_year = day_of_year(day.astype("datetime64[D]"))
    carry = persistence(of_year, where.lat) ** np.diff(day, prepend=day[0] - 1)
    own = rng.standard_normal((draws, len(day)))
    score = own.copy()
    for d in range(1, len(day)):
        score[:, d] = carry[d] * score[:, d - 1] + np.sqrt(1 - carry[d] ** 2) * own[:, d]
    k = clearness(quantiles(where.lat, where.lon, of_year), score)
    spread = np.where(dull_days(day, where), DULL_FACTOR_SD, FACTOR_SD)
    return np.asarray(k * (1 + spread * rng.standard_normal((draws, 1))))


def dull_days(day: Ints, where: Where) -> NDArray[np.bool_]:
    """Whether days since 1970 (d,) have less than ``DULL_KWH_M2`` above the air."""
    extra = extraterrestrial_kwh_m2(where.lat, day_of_year(day.astype("datetime64[D]")))
    return np.asarray(extra < DULL_KWH_M2)


def _shade(steps: Steps, spans: Spans, index: Ints, ratio: Floats, sunny: NDArray[np.bool_]) -> Factors:
    """Factors of the parts on sunny days, each day's own ratio taken off."""
    mean_kw = by_part(steps, len(spans)).sum(axis=1) / spans.hours
    use = np.flatnonzero(sunny & (mean_kw > IN_THE_SUN * mean_kw.max()))
    place: Ints = np.full(len(spans), -1, dtype=np.int64)
    place[use] = np.arange(len(use))
    on = place[steps.row] >= 0
    day = ratio[index]
    part = Steps(
        place[steps.row[on]], steps.part[on], steps.energy_kwh[:1, on], steps.most_kwh[on] / day[steps.row[on]]
    )
    return fit_factors(part, spans.energy_kwh[use] / day[use], spans.day[use])
