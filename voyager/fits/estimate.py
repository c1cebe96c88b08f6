"""An estimate with its errors, and what follows from it: Student's intervals, the delta method, AICc."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from voyager.errors import InputError

Floats = NDArray[np.float64]
CONFIDENCE = 0.95
_ROOT = float(np.finfo(float).eps) ** (1 / 3)


@dataclass(frozen=True)
class Estimate:
    """Parameters ``values`` (p,) with standard errors, 95 % limits and ``covariance`` (p, p).

    ``residuals`` (n,) at the values, ``rms`` the root of their mean square, ``count`` the rows used.
    """

    values: Floats
    se: Floats
    low: Floats
    high: Floats
    covariance: Floats
    residuals: Floats
    rms: float
    count: int


def estimate(values: Floats, covariance: Floats, residuals: Floats, freedom: float) -> Estimate:
    """Symmetric 95 % intervals by Student's t with ``freedom`` degrees of freedom (Draper & Smith, Applied Regression
    Analysis, ch. 5 and 24)."""
    se = np.sqrt(np.diag(covariance))
    reach = student(freedom) * se
    rms = float(np.sqrt(np.mean(residuals**2)))
    return Estimate(values, se, values - reach, values + reach, covariance, residuals, rms, len(residuals))


def student(freedom: float) -> float:
    """Two-sided 95 % quantile of Student's t [-]."""
    from scipy.special import stdtrit

    return float(stdtrit(freedom, 0.5 + CONFIDENCE / 2))


def enough(count: int, parameters: int) -> None:
    """Refuses what leaves no row over to tell the error from; InputError."""
    if count <= parameters:
        raise InputError(
            f"{count} usable rows are too few to find {parameters} numbers and their errors: "
            f"measure at least {parameters + 1}, better three times as many"
        )


def normal_inverse(jacobian: Floats, names: Sequence[str], least: float) -> Floats:
    """(J'J)^-1 (p, p) of a Jacobian (n, p) by singular values of its scaled columns.

    InputError where the smallest is below ``least`` of the largest: some parameters, named in the sentence, then make
    the same difference to all rows.
    """
    size = np.linalg.norm(jacobian, axis=0)
    if not np.isfinite(size).all() or not size.all():
        raise InputError(_not_told([_name(names, int(i)) for i in np.flatnonzero(~(size > 0))] or ["the parameters"]))
    _, singular, rows = np.linalg.svd(jacobian / size, full_matrices=False)
    if singular[-1] < least * singular[0]:
        weights = np.abs(rows[-1])
        raise InputError(_not_told([_name(names, int(i)) for i in np.flatnonzero(weights > 0.1 * weights.max())]))
    half = rows.T / singular / size[:, None]
    return np.asarray(half @ half.T)


def _name(names: Sequence[str], index: int) -> str:
    return names[index] if index < len(names) else f"parameter {index + 1}"


def _not_told(names: Sequence[str]) -> str:
    if len(names) == 1:
        return f"the data say nothing of {names[0]}: measure where it makes a difference"
    listed = ", ".join(names[:-1]) + " and " + names[-1]
    return f"the data do not tell {listed} apart: measure over a wider range, where each makes a difference of its own"


def propagated(function: Callable[[Floats], float], fitted: Estimate) -> tuple[float, float]:
    """A number that follows from the parameters, with its standard error, by the delta method g'Cg.

    Central differences: the function is asked a little beside the values too. Casella & Berger, Statistical Inference,
    section 5.5.4.
    """
    steps = np.maximum(1e-3 * fitted.se, _ROOT * np.maximum(np.abs(fitted.values), 1e-6))
    slope = np.zeros_like(steps)
    for i, width in enumerate(steps):
        beside = np.zeros_like(steps)
        beside[i] = width
        slope[i] = (function(fitted.values + beside) - function(fitted.values - beside)) / (2 * width)
    variance = float(slope @ fitted.covariance @ slope)
    return float(function(fitted.values)), float(np.sqrt(max(variance, 0.0)))


def aicc(residual_sum: float, count: float, parameters: int) -> float:
    """Akaike's criterion for small samples, smaller is better; inf where the rows are too few to be judged.

    ``parameters`` without the variance, ``residual_sum`` of squares. Hurvich & Tsai, Biometrika 76, 1989.
    """
    known = parameters + 1
    if count <= known + 1:
        return float("inf")
    plain = count * float(np.log(max(residual_sum, 1e-300) / count)) + 2 * known
    return plain + 2 * known * (known + 1) / (count - known - 1)
