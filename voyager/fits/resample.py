"""Robust least squares: outliers pull less, and the errors come from a bootstrap, never from the derivatives.

A covariance (J'J)^-1 under a robust loss is wrong: the loss is not a likelihood and its weights depend on the data.
Rows (or whole groups of rows) are drawn anew with replacement and fitted again, from the best values on.

Intervals are expanded percentiles (Hesterberg, What Teachers Should Know About the Bootstrap, The American
Statistician 69, 2015, 3.3 and 4.3): plain percentiles are too narrow for few rows, by the same factors as a normal
interval without n - p and Student's t; BCa intervals keep that fault and need a fit without each row besides.
"""

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from voyager.errors import InputError
from voyager.fits.estimate import Estimate, Floats, enough, student

Rows = NDArray[np.int64]
Residuals = Callable[[Floats, Rows], Floats]
NORMAL_PER_MAD = 1.4826
"""Standard deviation of a normal distribution per median absolute deviation."""
SCALE_ROUNDS = 3
LEAST_SHARE = 0.5
FAINT = 1e-9


def robust(
    residuals: Residuals,
    start: Floats,
    rows: Rows,
    rng: np.random.Generator,
    *,
    draws: int = 400,
    groups: NDArray[np.int64] | None = None,
    lower: Floats | None = None,
    upper: Floats | None = None,
) -> Estimate:
    """Soft-L1 fit of ``residuals(values, rows)`` over ``rows`` (n,), bootstrap errors and 95 % intervals.

    ``groups`` (n,): rows of one group (runs of one pair, readings of one day) are drawn together. The scale beyond
    which a residual counts as an outlier is the residuals' own median absolute deviation. ``rms`` is of all residuals,
    outliers included. InputError where units (rows or groups) are too few or most drawn sets have no best values.
    """
    first = np.asarray(start, dtype=float)
    units = [rows[i : i + 1] for i in range(len(rows))] if groups is None else _together(rows, groups)
    enough(len(units), len(first))
    limits = (lower, upper)
    values, scale = _scaled(residuals, first, rows, limits)
    drawn = _drawn(residuals, values, scale, units, rng, draws, limits)
    return _estimate(values, drawn, residuals(values, rows), len(units))


def _together(rows: Rows, groups: NDArray[np.int64]) -> list[Rows]:
    return [rows[groups == group] for group in np.unique(groups)]


def _scaled(
    residuals: Residuals, start: Floats, rows: Rows, limits: tuple[Floats | None, Floats | None]
) -> tuple[Floats, float]:
    """Best values, and the scale found with them: from plain residuals first, then from those of the robust fit."""
    values = _minimum(residuals, start, rows, np.inf, limits)
    scale = np.inf
    for _ in range(SCALE_ROUNDS):
        left = residuals(values, rows)
        scale = NORMAL_PER_MAD * float(np.median(np.abs(left - np.median(left))))
        if scale <= FAINT * max(float(np.abs(left).max()), FAINT):
            return values, np.inf
        values = _minimum(residuals, values, rows, scale, limits)
    return values, scale


def _softened(left: Floats, scale: float) -> Floats:
    """Residuals whose squares are the soft-L1 loss 2 s^2 (sqrt(1 + (r/s)^2) - 1), smooth through 0.

    A robust fit is then an ordinary one (Triggs et al., Bundle Adjustment, 2000, section 4.3).
    """
    return np.asarray(left * np.sqrt(2.0 / (1.0 + np.sqrt(1.0 + (left / scale) ** 2))))


def _minimum(
    residuals: Residuals, start: Floats, rows: Rows, scale: float, limits: tuple[Floats | None, Floats | None]
) -> Floats:
    """Values of the least soft-L1 loss; InputError where none is found."""
    from scipy.optimize import least_squares, leastsq

    def softened(values: Floats) -> Floats:
        return _softened(residuals(values, rows), scale)

    lower, upper = limits
    if lower is None and upper is None:
        values, _, _, _, reason = leastsq(softened, start, xtol=1e-10, ftol=1e-10, full_output=True)
        found = reason not in (0, 5)
    else:
        bounds = (-np.inf if lower is None else lower, np.inf if upper is None else upper)
        answer = least_squares(softened, start, bounds=bounds, x_scale="jac", xtol=1e-10, ftol=1e-10)
        values, found = answer.x, answer.status > 0
    if not found or not np.isfinite(values).all():
        raise InputError("the fit comes to no end: the data hold too little of what is looked for; measure more of it")
    return np.asarray(values, dtype=float)


def _drawn(
    residuals: Residuals,
    values: Floats,
    scale: float,
    units: list[Rows],
    rng: np.random.Generator,
    draws: int,
    limits: tuple[Floats | None, Floats | None],
) -> Floats:
    """Values (m, p) of the drawn sets, without those that have no more distinct units than parameters."""
    found = []
    for chosen in rng.integers(len(units), size=(draws, len(units))):
        if len(np.unique(chosen)) <= len(values) and len(units) > len(values) + 1:
            continue
        try:
            found.append(_minimum(residuals, values, np.concatenate([units[i] for i in chosen]), scale, limits))
        except InputError:
            continue
    if len(found) < LEAST_SHARE * draws:
        raise InputError("the result hangs on single rows: measure more runs, and each of them more than once")
    return np.asarray(found)


def _estimate(values: Floats, drawn: Floats, left: Floats, units: int) -> Estimate:
    from scipy.special import ndtr

    freedom = units - len(values)
    wider = np.sqrt(units / freedom)
    covariance = np.atleast_2d(np.cov(drawn, rowvar=False)) * wider**2
    level = float(ndtr(-wider * student(freedom)))
    low, high = np.quantile(drawn, [level, 1.0 - level], axis=0)
    rms = float(np.sqrt(np.mean(left**2)))
    return Estimate(values, np.sqrt(np.diag(covariance)), low, high, covariance, left, rms, len(left))
