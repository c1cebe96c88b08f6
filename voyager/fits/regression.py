"""Least squares: linear and not, with standard errors and 95 % intervals. What bears wild rows is ``robust_lines``."""

from collections.abc import Callable, Sequence

import numpy as np

from voyager.errors import InputError
from voyager.fits.estimate import Estimate, Floats, aicc, enough, estimate, normal_inverse, propagated

__all__ = ["Estimate", "Floats", "aicc", "least_squares", "linear", "propagated"]

TOLERANCE = 1e-13
LEAST_LINEAR, LEAST_NUMERIC = 1e-13, 1e-9
"""Ratio of singular values below which columns are taken as the same: rounding, and that of numerical derivatives."""


def linear(design: Floats, target: Floats, *, names: Sequence[str] = ()) -> Estimate:
    """Ordinary least squares of ``target`` (n,) on the columns of ``design`` (n, p), errors by s^2 (X'X)^-1.

    InputError where rows are too few or columns can't be told apart (they are called by ``names``).
    """
    count, parameters = design.shape
    enough(count, parameters)
    inverse = normal_inverse(design, names, LEAST_LINEAR)
    size = np.linalg.norm(design, axis=0)
    orthogonal, upper = np.linalg.qr(design / size)
    values = np.linalg.solve(upper, orthogonal.T @ target) / size
    residuals = target - design @ values
    freedom = count - parameters
    return estimate(values, inverse * float(residuals @ residuals) / freedom, residuals, freedom)


def least_squares(
    residuals: Callable[[Floats], Floats],
    start: Floats,
    *,
    lower: Floats | None = None,
    upper: Floats | None = None,
    scale: Floats | None = None,
    names: Sequence[str] = (),
    eliminated: int = 0,
    tolerance: float = TOLERANCE,
    evaluations: int | None = None,
) -> Estimate:
    """Ordinary least squares of ``residuals`` (p,) -> (n,) from ``start``, errors by s^2 (J'J)^-1 at the best values.

    Without limits by Levenberg and Marquardt (Moré 1978), within ``lower`` and ``upper`` by a trust region; derivatives
    are central differences. ``scale``: usual size of each parameter (else from the derivatives). ``eliminated``:
    further linear parameters that ``residuals`` has put at their best already (Golub & Pereyra 1973); they cost degrees
    of freedom. ``evaluations``: steps after which no best values count as found. Source of the errors: Bates & Watts,
    Nonlinear Regression Analysis, 1988, ch. 2. InputError where rows are too few, no best values are found, or the data
    don't tell parameters (called by ``names``) apart.
    """
    from scipy.optimize import least_squares as minimised

    first = np.asarray(start, dtype=float)
    at_start = np.asarray(residuals(first), dtype=float)
    enough(len(at_start), len(first) + eliminated)
    if not np.isfinite(at_start).all():
        raise InputError("the model gives no number for some rows: look for values that can't be right in the file")
    limits = (-np.inf if lower is None else lower, np.inf if upper is None else upper)
    answer = minimised(
        residuals,
        first,
        jac="3-point",
        bounds=limits,
        method="lm" if lower is None and upper is None else "trf",
        x_scale="jac" if scale is None else scale,
        xtol=tolerance,
        ftol=tolerance,
        gtol=tolerance,
        max_nfev=evaluations or 400 * len(first),
    )
    if answer.status == 0:
        raise InputError("the fit comes to no end: the data hold too little of what is looked for; measure more of it")
    inverse = normal_inverse(answer.jac, names, LEAST_NUMERIC)
    freedom = len(at_start) - len(first) - eliminated
    return estimate(answer.x, inverse * float(answer.fun @ answer.fun) / freedom, answer.fun, freedom)
