"""The cabin's numbers from its log: one time constant or two, and how sure they are.

Output error: the inside sensor's noise is the only error, the cabin itself is exact. What the residuals of such a fit
have in common from row to row (gusts, a door, a sensor's lag) makes n rows worth fewer: with the lag-one correlation r,
m = n (1 - r) / (1 + r) of them (Bartlett 1935; Wilks, Statistical Methods in the Atmospheric Sciences, 5.2.4). The
degrees of freedom are m - p, the variances n - p over m - p times those of n rows; the models are compared over m rows.
"""

from dataclasses import dataclass

import numpy as np

from voyager.boat.cabin import Cabin
from voyager.errors import InputError
from voyager.fits.estimate import Estimate, Floats, aicc, estimate
from voyager.fits.heat_log import HeatLog
from voyager.fits.heat_response import freed, response
from voyager.fits.regression import least_squares

NAMES = ("heat-loss coefficient", "thermal capacity", "capacity of the structure", "structure to air")
LOG_LIMIT = 14.0
FITS_BETTER = 10.0
"""AICc by which two time constants must beat one: the loser then has essentially no support (Burnham & Anderson, Model
Selection and Multimodel Inference, 2.6, from memory)."""
TAU_POINTS = 16
SEARCHES, SEARCH_EVALUATIONS = 3, 60
TOLERANCE, EVALUATIONS = 1e-9, 40
AIR_SHARES = np.geomspace(0.03, 1.0, 5)
STIFF, SOLID = (0.5, 2.0, 8.0), (0.5, 2.0, 8.0)
CORRELATED_MAX = 0.98
FINEST_K = 0.01
"""No thermometer reads finer: what residuals share below it is no pattern, and no model is better for it."""


@dataclass(frozen=True)
class HeatModel:
    """``logs``: natural logarithms of UA [W/K], capacity [Wh/K] and, with two time constants, of the structure's
    capacity and its W/K, with their errors. ``fitted_c`` (n,). ``correlation``: of neighbouring residuals.
    ``effective``: rows that they are worth. ``parameters``: starting temperatures included."""

    logs: Estimate
    fitted_c: Floats
    correlation: float
    effective: float
    parameters: int

    @property
    def cabin(self) -> Cabin:
        """The cabin with the best values."""
        return cabin_of(self.logs.values)

    @property
    def share(self) -> Floats:
        """Standard errors as a share of the values."""
        return self.logs.se

    @property
    def misfit_k(self) -> float:
        """Root mean square of the residuals of a thermometer that reads to a hundredth."""
        return float(np.hypot(self.logs.rms, FINEST_K))

    @property
    def tau_h(self) -> float:
        """Capacity of the air node over its loss [h]."""
        return float(np.exp(self.logs.values[1] - self.logs.values[0]))


def cabin_of(logs: Floats) -> Cabin:
    """The cabin of the logarithms (2,) or (4,); fresh air as it was in the test."""
    ua, capacity, *structure = np.exp(np.clip(logs, -LOG_LIMIT, LOG_LIMIT)).tolist()
    if not structure:
        return Cabin(ua_w_per_k=ua, thermal_capacity_wh_per_k=capacity)
    return Cabin(
        ua_w_per_k=ua,
        thermal_capacity_wh_per_k=capacity,
        structure_capacity_wh_per_k=structure[0],
        structure_w_per_k=structure[1],
    )


def residuals(logs: Floats, log: HeatLog) -> Floats:
    """Measured less modelled inside temperature (n,) [K], the starting temperatures at their best."""
    answer = response(cabin_of(logs), log)
    return freed(log.inside_c - answer.outside - answer.heat, answer.start, log)


def one_constant(log: HeatLog) -> HeatModel:
    """The cabin with air alone. InputError where the log doesn't tell loss or capacity."""
    start = _best(log, [(tau,) for tau in np.geomspace(log.interval_h / 5, 4 * log.longest_h, TAU_POINTS)])
    if start is None:
        raise InputError(
            "the inside temperature does not follow the heat: check that heater_w holds the watts from each row to the "
            "next"
        )
    try:
        return _fitted(log, start[1])
    except InputError:
        raise InputError(
            "the log does not tell loss and capacity apart: log each minute, from cold until the temperature levels "
            "off, and the cooling after it"
        ) from None


def two_constants(log: HeatLog, one: HeatModel) -> HeatModel | None:
    """The cabin with air and structure, None where no best values exist or they could not pay for themselves.

    There are several valleys: a short search goes down from the best point of some shares of the air in the capacity,
    and the lowest that is reached is followed to the ground.
    """
    from scipy.optimize import leastsq

    ends, least = [], len(log) * FINEST_K**2
    for start in _starts(log, one.tau_h)[:SEARCHES]:
        logs = leastsq(residuals, start, args=(log,), maxfev=SEARCH_EVALUATIONS, ftol=1e-4, full_output=True)[0]
        ends.append((float(np.sum(residuals(logs, log) ** 2)), logs))
    squares, logs = min(ends, key=lambda end: end[0], default=(np.inf, one.logs.values))
    if _gain(one.misfit_k**2 * len(log), squares + least, len(log), one.parameters, 2 * one.parameters) < FITS_BETTER:
        return None
    try:
        return _fitted(log, logs)
    except InputError:
        return None


def _starts(log: HeatLog, tau_h: float) -> list[Floats]:
    guesses = []
    for tau in tau_h * AIR_SHARES:
        if best := _best(log, [(tau, solid * tau_h, stiff) for solid in SOLID for stiff in STIFF]):
            guesses.append(best)
    return [logs for _, logs in sorted(guesses, key=lambda guess: guess[0])]


def better(one: HeatModel, two: HeatModel) -> float:
    """By how much the AICc of two time constants is below that of one, rows counted as the residuals of two allow."""
    squares = [model.misfit_k**2 * two.effective for model in (one, two)]
    return _gain(squares[0], squares[1], two.effective, one.parameters, two.parameters)


def _gain(one: float, two: float, count: float, few: int, more: int) -> float:
    worth = aicc(two, count, more)
    return aicc(one, count, few) - worth if np.isfinite(worth) else -np.inf


def correlation(left: Floats, log: HeatLog, parameters: int) -> float:
    """Correlation of neighbouring errors within stretches, from 0 up.

    A fit flattens what it leaves: about (1 + r) / n for each of its parameters is added to the residuals' own (Marriott
    & Pope, Biometrika 41, 1954, for a mean; from memory).
    """
    rows, whole = log.steps, float(left @ left) + len(log) * FINEST_K**2
    own = float(left[rows] @ left[rows + 1]) / whole
    return min(max(own + parameters * (1 + own) / len(log), 0.0), CORRELATED_MAX)


def _best(log: HeatLog, grid: list[tuple[float, ...]]) -> tuple[float, Floats] | None:
    """Least sum of squares over the grid, and the logarithms there; None where heat warms in none of it.

    Of each shape (capacities and exchange per W/K of loss) the loss is a matter of one division.
    """
    best: tuple[float, Floats] | None = None
    for shape in grid:
        logs = np.log([1.0, *shape])
        answer = response(cabin_of(logs), log)
        gap = freed(log.inside_c - answer.outside, answer.start, log)
        heat = freed(answer.heat, answer.start, log)
        per_loss = float(gap @ heat) / max(float(heat @ heat), 1e-300)
        squares = float(np.sum((gap - per_loss * heat) ** 2))
        if per_loss > 0 and (best is None or squares < best[0]):
            best = squares, logs - np.log(per_loss)
    return best


def _fitted(log: HeatLog, start: Floats) -> HeatModel:
    nodes = len(start) // 2
    free = nodes * len(log.starts)
    found = least_squares(
        lambda logs: residuals(logs, log),
        start,
        names=NAMES,
        eliminated=free,
        tolerance=TOLERANCE,
        evaluations=EVALUATIONS,
    )
    if np.max(np.abs(found.values)) > LOG_LIMIT:
        raise InputError("the log does not tell loss and capacity: log the warming from cold until it levels off")
    parameters = len(start) + free
    shared = correlation(found.residuals, log, parameters)
    effective = len(log) * (1 - shared) / (1 + shared)
    freedom = max(effective - parameters, 1.0)
    wider = (len(log) - parameters) / freedom
    logs = estimate(found.values, found.covariance * wider, found.residuals, freedom)
    return HeatModel(logs, log.inside_c - found.residuals, shared, effective, parameters)
