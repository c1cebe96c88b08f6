"""How much of what the panels could give arrives, by part of the day: weighted least squares, errors by whole days.

A row is the sum over its sub-steps of min(limit, factor of the part x energy without loss): straight lines between the
points at which sub-steps reach the limit, so that a few linear fits in a row find the best factors.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from voyager.errors import InputError
from voyager.fits.estimate import student
from voyager.fits.panels_rows import Ints
from voyager.fits.panels_sun import PARTS, Steps
from voyager.fits.result import Floats

ROUNDS = 30
LEAST_DAYS = 4
"""Days from which on the errors are taken from whole days; with fewer the rows count as independent."""
FLOOR = 0.1
"""Readings scatter like their size, and never less than this part of the greatest row: common practice, no source."""
OWN_PART = 0.6
LEAST_ROWS = 3
SPARE_ROWS = 2
TOLD_APART = 2.5
"""Standard errors by which a part must lie below the best one to count as shaded."""
PART_ERROR = 0.03
"""Standard error of the modelled sky of one part of the day against another. At Greensboro, hours of a typical year
through another model (tests/fits), parts without shade come out within 5 % of one another."""


@dataclass(frozen=True)
class Factors:
    """Factor of each part of the day (3,) with their ``covariance`` (3, 3), alike where parts share one.

    ``shaded``: parts told apart from the best; ``resolved``: parts of which the rows tell anything of their own.
    ``modelled_kwh`` (n,) at the factors, ``freedom`` of Student's t.
    """

    values: Floats
    covariance: Floats
    shaded: tuple[int, ...]
    resolved: tuple[int, ...]
    modelled_kwh: Floats
    freedom: float

    @property
    def best(self) -> int:
        """The part with most."""
        return next(k for k in range(len(PARTS)) if k not in self.shaded)

    def shade(self, part: int) -> tuple[float, float]:
        """Part of the power lost against the best part [-], and its standard error."""
        ratio = float(self.values[part] / self.values[self.best])
        slope: Floats = np.zeros(len(PARTS))
        slope[part] -= 1 / self.values[self.best]
        slope[self.best] += ratio / self.values[self.best]
        scatter = np.sqrt(max(float(slope @ self.covariance @ slope), 0.0))
        return 1 - ratio, float(np.hypot(scatter, ratio * PART_ERROR))


def by_part(steps: Steps, rows: int) -> Floats:
    """Energy without loss and limit of the first kind of sky [kWh] (rows, 3)."""
    return _summed(steps, steps.energy_kwh[0], rows)


def _summed(steps: Steps, kwh: Floats, rows: int) -> Floats:
    flat = np.bincount(steps.row * len(PARTS) + steps.part, kwh, rows * len(PARTS))
    return np.asarray(flat.reshape(rows, len(PARTS)), dtype=float)


def fit_factors(steps: Steps, energy_kwh: Floats, day: Ints) -> Factors:
    """Factors of rows (n,) of the log; parts that can't be told from the best share its factor."""
    rows = len(energy_kwh)
    parts = by_part(steps, rows)
    total = parts.sum(axis=1)
    scatter = np.hypot(total, FLOOR * total.max())
    own = (parts > OWN_PART * total[:, None]) & (total[:, None] > 0)
    resolved = tuple(int(k) for k in np.flatnonzero(own.sum(axis=0) >= LEAST_ROWS))
    together = np.zeros(len(PARTS), dtype=np.int64)
    shaded: tuple[int, ...] = ()
    if len(resolved) > 1:
        together = np.array([int(np.argmin([abs(k - own) for own in resolved])) for k in range(len(PARTS))])
        values, covariance, _, _ = _solve(steps, energy_kwh, scatter, day, together)
        shaded = _shaded(values, covariance, resolved)
        together = np.array([shaded.index(k) + 1 if k in shaded else 0 for k in range(len(PARTS))])
    values, covariance, freedom, modelled = _solve(steps, energy_kwh, scatter, day, together)
    spread = np.eye(int(together.max()) + 1)[together]
    return Factors(spread @ values, spread @ covariance @ spread.T, shaded, resolved, modelled, freedom)


def _shaded(values: Floats, covariance: Floats, resolved: tuple[int, ...]) -> tuple[int, ...]:
    """Parts whose factor lies well below that of the best; values and covariance by resolved part."""
    best = int(np.argmax(values))
    variance = covariance[best, best] + np.diag(covariance) - 2 * covariance[best]
    common = (values[best] * PART_ERROR) ** 2
    told = values[best] - values > TOLD_APART * np.sqrt(np.maximum(variance, 0.0) + common)
    return tuple(part for part, low in zip(resolved, told, strict=True) if low)


def _solve(
    steps: Steps, energy_kwh: Floats, scatter: Floats, day: Ints, together: Ints
) -> tuple[Floats, Floats, float, Floats]:
    """Values (p,), covariance (p, p), degrees of freedom, modelled rows (n,)."""
    rows, parameters = len(energy_kwh), int(together.max()) + 1
    if rows < parameters + SPARE_ROWS:
        raise InputError(
            f"{rows} usable rows are too few to find {parameters} numbers and their errors: log at least a week"
        )
    spread = np.eye(parameters)[together]
    values = np.full(parameters, min(float(energy_kwh.sum() / by_part(steps, rows).sum()), 1.0))
    for _ in range(ROUNDS):
        offset, parts = _uncut(steps, spread @ values, rows)
        design = parts @ spread
        if not np.all(design.sum(axis=0) > 0):
            raise InputError("the controller's limit hides what the panels give in all rows: log duller days, by hour")
        before = values
        values = np.linalg.lstsq(design / scatter[:, None], (energy_kwh - offset) / scatter, rcond=None)[0]
        if np.max(np.abs(values - before)) < 1e-9:
            break
    offset, parts = _uncut(steps, spread @ values, rows)
    design = parts @ spread
    modelled = offset + design @ values
    covariance, freedom = _errors(design / scatter[:, None], (energy_kwh - modelled) / scatter, day)
    return values, covariance, freedom, modelled


def _uncut(steps: Steps, factor: Floats, rows: int) -> tuple[Floats, Floats]:
    """Energy of the sub-steps at the limit [kWh] (n,), and of the others without loss by part (n, 3)."""
    kwh = steps.energy_kwh[0]
    cut: NDArray[np.bool_] = factor[steps.part] * kwh > steps.most_kwh
    offset = np.asarray(np.bincount(steps.row[cut], steps.most_kwh[cut], rows), dtype=float)
    return offset, _summed(steps, np.where(cut, 0.0, kwh), rows)


def _errors(design: Floats, residual: Floats, day: Ints) -> tuple[Floats, float]:
    """Covariance and degrees of freedom: from whole days where rows are parts of them, since what errs at ten errs at
    eleven too (Cameron & Miller, Journal of Human Resources 50, 2015: the sandwich of clusters, G - 1 degrees)."""
    rows, parameters = design.shape
    bread = np.linalg.pinv(design.T @ design)
    index = np.unique(day, return_inverse=True)[1]
    days = int(index.max()) + 1
    if days == rows or days < max(LEAST_DAYS, parameters + 1):
        return bread * float(residual @ residual) / (rows - parameters), rows - parameters
    scores = np.zeros((days, parameters))
    np.add.at(scores, index, design * residual[:, None])
    small = days / (days - 1) * (rows - 1) / (rows - parameters)
    return small * bread @ (scores.T @ scores) @ bread, days - 1


def interval(value: float, se: float, freedom: float, common: float) -> tuple[float, float]:
    """95 % interval [same unit] of a scatter by Student's t and an error ``common`` to all rows by the normal."""
    reach = float(np.hypot(student(freedom) * se, 1.96 * common))
    return value - reach, value + reach
