"""What a log says about the numbers of the boat file: measured over modelled energy, and whether it changes.

The measured energy m of a day is taken as R x + e, x the model's for what was really done, the variance of e growing
with x: the ratio R is then the sum of m over the sum of x, its error from the days' own scatter, its 95 % interval
Student's (W. G. Cochran, Sampling Techniques, 3rd ed. 1977, ch. 6, ratio estimators; from memory). Sun is held against
the mean of the climate, so its interval is as wide as the sky makes it: days that follow one another are alike (AR(1),
rho 0.29 of the scores, Graham, Hollands and Unny 1988), and the climate itself is known to 6 %.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from voyager.fits.regression import linear
from voyager.logbook.actual import DayActual

Floats = NDArray[np.float64]
LEAST_DAYS = 5
LEAST_KWH = 0.05
ALIKE = 0.29
CLIMATE_SD = 0.06
BRIGHT = 1.8
"""Sun is held against the climate on days with room for this much of its mean: whether a day counts must not depend on
how bright it was."""
LEAST_OFF = 0.03
"""Closer to the file than this nothing is pointed out: meters are no better (common practice, no source)."""
TREND_DAYS = 30.0


@dataclass(frozen=True)
class Kind:
    """A flow and the number of the boat file behind it; ``more``, ``less``: what it may mean; ``test``: what tells."""

    flow: str
    key: str
    name: str
    more: str
    less: str
    test: str


KINDS = (
    Kind(
        "propulsion", "hull.coefficient_w_per_mps3", "hull", "a fouled hull, or more load than the trial had",
        "a cleaner or lighter boat than in the file", "voyager fit trial",
    ),
    Kind(
        "solar", "array.loss_percent", "panels", "less loss than in the file, or a bright spell",
        "dirty or shaded panels, or a dark spell", "voyager fit panels",
    ),
    Kind(
        "heating", "cabin.ua_w_per_k", "cabin", "more heat lost than in the file: hatches, vents, damp insulation",
        "less heat lost than in the file, or heat from elsewhere", "voyager fit heat",
    ),
    Kind(
        "hotel", "hotel.direct_w", "hotel load", "more switched on than in the file",
        "less switched on than in the file",
        "a day at a mooring with the battery monitor read every hour",
    ),
)  # fmt: skip


@dataclass(frozen=True)
class Drift:
    """``ratio`` of measured to modelled energy with its standard error and 95 % interval over ``days``; ``trend`` of
    the ratio in 30 days with its error, None with fewer than five days. ``pointed``: at least five days, the
    interval leaves 1 out, and it is 3 % or more off."""

    kind: Kind
    ratio: float
    se: float
    low: float
    high: float
    days: int
    trend: float | None
    trend_se: float | None
    pointed: bool
    text: str


def drift(
    rows: Sequence[DayActual], ceiling_kwh: float, climate_kwh: Sequence[float | None] | None = None
) -> tuple[Drift, ...]:
    """Of every flow that was measured on two days or more. ``climate_kwh``, one for each row: the mean sun of the
    climate between its two readings of the charge, None where not all of it would have been taken; without it nothing
    is said of the panels."""
    out = []
    for kind in KINDS:
        if kind.flow == "solar":
            at, measured, model = _suns(rows, ceiling_kwh, climate_kwh)
        else:
            at, measured, model = _pairs(rows, kind.flow)
        if len(at) >= 2:
            out.append(_drift(kind, at, measured, model))
    return tuple(out)


def _pairs(rows: Sequence[DayActual], flow: str) -> tuple[Floats, Floats, Floats]:
    """Day, measured and modelled energy of the days with both; propulsion where the time under way is known."""
    found = []
    for row in rows:
        part = None if row.split is None or (flow == "propulsion" and not row.timed) else row.split.flows[flow]
        if part is not None and part.measured_kwh is not None and part.expected_kwh >= LEAST_KWH:
            found.append((float(row.day), part.measured_kwh, part.expected_kwh))
    return _columns(found)


def _suns(
    rows: Sequence[DayActual], ceiling_kwh: float, climate_kwh: Sequence[float | None] | None
) -> tuple[Floats, Floats, Floats]:
    found = []
    for row, mean in zip(rows, climate_kwh or [None] * len(rows), strict=True):
        sun, room = row.flows_kwh["solar"], 0.0 if row.start is None else ceiling_kwh - row.start.charge_kwh
        if sun is not None and mean is not None and mean >= LEAST_KWH and BRIGHT * mean <= room:
            found.append((float(row.day), sun, mean))
    return _columns(found)


def _columns(found: list[tuple[float, float, float]]) -> tuple[Floats, Floats, Floats]:
    values = np.asarray(found, dtype=float).reshape(-1, 3)
    return values[:, 0], values[:, 1], values[:, 2]


def _drift(kind: Kind, at: Floats, measured: Floats, model: Floats) -> Drift:
    root = np.sqrt(model)
    found = linear(root[:, None], measured / root)
    ratio, se, half = float(found.values[0]), float(found.se[0]), float(found.high[0] - found.values[0])
    if kind.flow == "solar":
        wide = np.sqrt((1 + ALIKE) / (1 - ALIKE))
        half = float(np.hypot(half * wide, 1.96 * CLIMATE_SD * ratio))
        se = float(np.hypot(se * wide, CLIMATE_SD * ratio))
    trend, trend_se = _trend(at, measured, model)
    pointed = len(at) >= LEAST_DAYS and abs(ratio - 1) >= LEAST_OFF and not ratio - half <= 1 <= ratio + half
    text = _said(kind, ratio, half, len(at), pointed, trend, trend_se)
    return Drift(kind, ratio, se, ratio - half, ratio + half, len(at), trend, trend_se, pointed, text)


def _trend(at: Floats, measured: Floats, model: Floats) -> tuple[float | None, float | None]:
    if len(at) < LEAST_DAYS or np.ptp(at) < LEAST_DAYS - 1:
        return None, None
    root = np.sqrt(model)
    since = (at - np.average(at, weights=model)) / TREND_DAYS
    found = linear(np.stack([root, root * since], axis=1), measured / root)
    return float(found.values[1]), float(found.se[1])


def _said(
    kind: Kind, ratio: float, half: float, days: int, pointed: bool, trend: float | None, trend_se: float | None
) -> str:
    what = f"{kind.name}: measured {ratio:.2f} of the model over {days} days ({ratio - half:.2f} to {ratio + half:.2f})"
    if not pointed:
        few = (
            f"too few days to tell; {LEAST_DAYS} at the least"
            if days < LEAST_DAYS
            else "as the file has it, as far as these days tell"
        )
        return f"{what}: {few}."
    why = kind.more if ratio > 1 else kind.less
    grows = ""
    if trend is not None and trend_se is not None and abs(trend) > 2.5 * trend_se:
        grows = f"; it {'grows' if trend > 0 else 'falls'} by {abs(trend):.2f} in 30 days"
    return f"{what}: {why}{grows}. To tell: {kind.test}."
