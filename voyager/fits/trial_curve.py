"""Power against speed: a cube law, a power law, or a cube law that breaks off; which of them the runs support."""

from dataclasses import dataclass

import numpy as np

from voyager.fits.estimate import aicc, student
from voyager.fits.result import Floats
from voyager.fits.robust_lines import LEAST_SCALE, chance_weights, fit_lines, robust_line, soft_cost, spread, widening

CUBE, POWER, BROKEN = "cube", "power", "broken"
PARAMETERS = {CUBE: 1, POWER: 2, BROKEN: 3}
RUNS_FOR = {CUBE: 3, POWER: 5, BROKEN: 8}
"""Fewest runs for which a curve is tried."""
BELOW, ABOVE = 3, 3
"""Fewest runs on either side of a break."""
LEAST_RANGE = 1.2
"""Ratio of the fastest to the slowest run without which an exponent can't be told."""
BREAKS = 24
WILD_SPREADS, WILD_LEAST = 4.0, 0.03
"""A run is wild beyond four times the others' spread, and 3 % of power."""
ONE_SIGMA = (0.158655, 0.841345)
BETTER_BY = 2.0
"""AICc must be lower by this for more than a cube law: less is no support (Burnham & Anderson, Sociological Methods &
Research 33, 2004)."""


@dataclass(frozen=True)
class Curve:
    """One curve through runs, and many more through weighted copies of them.

    ln P = a + 3 ln v (``cube``); a + n (ln v - m) (``power``); a + 3 ln v + k max(0, ln v - b) (``broken``), v in m/s,
    P in W. ``values`` (3,): a, n or k, b or m; ``drawn`` (d, 3) likewise. ``residuals`` (r,) of ln P, ``scale`` their
    spread without wild ones.
    """

    kind: str
    values: Floats
    drawn: Floats
    residuals: Floats
    scale: float

    @property
    def freedom(self) -> int:
        """Degrees of freedom left."""
        return len(self.residuals) - PARAMETERS[self.kind]

    def error(self, drawn: Floats) -> Floats:
        """Standard error of a quantity from its values in the draws (d, ...).

        Half of their middle 68 %: a draw in which a wild run weighs most is itself wild, and would spoil a variance.
        """
        low, high = np.quantile(drawn, ONE_SIGMA, axis=0)
        return np.asarray((high - low) / 2 * widening(len(self.residuals), PARAMETERS[self.kind]))

    def break_error(self) -> float:
        """Standard error of ln v of the break; its places are bounded, so that all draws count."""
        return float(self.drawn[:, 2].std() * widening(len(self.residuals), PARAMETERS[self.kind]))

    def reach(self) -> float:
        """Student's factor from a standard error to half of a 95 % interval."""
        return student(self.freedom)

    def log_power(self, speed_mps: Floats) -> Floats:
        """ln P (s,) at speeds (s,)."""
        return _log_power(self.kind, self.values, speed_mps)

    def band(self, speed_mps: Floats) -> Floats:
        """Half width of the 95 % band of ln P (s,) at speeds (s,)."""
        return self.reach() * self.error(_log_power(self.kind, self.drawn[:, None, :], speed_mps))

    def wild(self) -> np.ndarray:
        """Runs (r,) too far off to be chance."""
        return np.asarray(np.abs(self.residuals) > np.maximum(WILD_SPREADS * self.scale, WILD_LEAST))


def _log_power(kind: str, values: Floats, speed_mps: Floats) -> Floats:
    """ln P (..., s) at speeds (s,) of ``values`` (..., 3), one curve or many with an axis of 1 for the speeds."""
    log_speed = np.log(speed_mps)
    a, n, b = np.moveaxis(values, -1, 0)
    if kind == POWER:
        return np.asarray(a + n * (log_speed - b))
    return np.asarray(a + 3 * log_speed + n * np.maximum(0.0, log_speed - b))


def possible(speed_mps: Floats) -> list[str]:
    """Curves that runs at these speeds can tell apart at all."""
    wide = speed_mps.max() / speed_mps.min() >= LEAST_RANGE
    kinds = [kind for kind in (POWER, BROKEN) if wide and len(speed_mps) >= RUNS_FOR[kind]]
    if BROKEN in kinds and not _breaks(np.log(speed_mps)).size:
        kinds.remove(BROKEN)
    return [CUBE, *kinds]


def fit_curve(kind: str, speed_mps: Floats, power_w: Floats, rng: np.random.Generator, draws: int) -> Curve:
    """The curve ``kind`` through runs (r,), wild ones pulling little; errors from ``draws`` weighted copies."""
    log_speed, target, breaks = _target(kind, speed_mps, power_w)
    weights = chance_weights(rng, draws, len(log_speed))
    if kind != BROKEN:
        design = _design(kind, log_speed)
        line = robust_line(design, target)
        drawn = fit_lines(design, target, line.scale, weights)
        best, copies = (_three(kind, values, log_speed) for values in (line.values, drawn))
        return Curve(kind, best, copies, line.residuals, line.scale)
    values, residuals, scale = _robust_break(log_speed, target, breaks)
    return Curve(kind, values, _break(log_speed, target, breaks, scale, weights), residuals, scale)


def best_kind(speed_mps: Floats, power_w: Floats) -> str:
    """The curve that the runs support by AICc; a cube law unless another is clearly better.

    Instead of squares it counts the robust loss, for all curves with the same scale, the smallest found: no curve is
    chosen for the sake of a wild run.
    """
    kinds = possible(speed_mps)
    scale = min(_scale(kind, speed_mps, power_w) for kind in kinds)
    marks = {kind: _mark(kind, speed_mps, power_w, scale) for kind in kinds}
    other = min(kinds, key=lambda kind: marks[kind])
    return other if marks[other] < marks[CUBE] - BETTER_BY else CUBE


def _scale(kind: str, speed_mps: Floats, power_w: Floats) -> float:
    """Spread of the runs about one curve."""
    log_speed, target, breaks = _target(kind, speed_mps, power_w)
    if kind == BROKEN:
        return _robust_break(log_speed, target, breaks)[2]
    return robust_line(_design(kind, log_speed), target).scale


def _mark(kind: str, speed_mps: Floats, power_w: Floats, scale: float) -> float:
    log_speed, target, breaks = _target(kind, speed_mps, power_w)
    once = np.ones((1, len(target)))
    if kind == BROKEN:
        cost = float(_break_costs(log_speed, target, breaks, scale, once)[1].min())
    else:
        design = _design(kind, log_speed)
        cost = float(soft_cost(target - design @ fit_lines(design, target, scale, once)[0], scale))
    count = len(target)
    return aicc(max(cost, count * LEAST_SCALE**2), count, PARAMETERS[kind])


def _target(kind: str, speed_mps: Floats, power_w: Floats) -> tuple[Floats, Floats, Floats]:
    """ln v (r,), what the line is laid through (r,), places for a break."""
    log_speed, log_power = np.log(speed_mps), np.log(power_w)
    if kind == POWER:
        return log_speed, log_power, np.empty(0)
    return log_speed, log_power - 3 * log_speed, _breaks(log_speed) if kind == BROKEN else np.empty(0)


def _design(kind: str, log_speed: Floats) -> Floats:
    one = np.ones_like(log_speed)
    return np.stack([one, log_speed - log_speed.mean()] if kind == POWER else [one], axis=-1)


def _three(kind: str, values: Floats, log_speed: Floats) -> Floats:
    """a, n or k, b or m from the line's own coefficients (..., p)."""
    if kind == POWER:
        return np.concatenate([values, np.full((*values.shape[:-1], 1), log_speed.mean())], axis=-1)
    return np.concatenate([values, np.zeros((*values.shape[:-1], 2))], axis=-1)


def _breaks(log_speed: Floats) -> Floats:
    """Places for a break in ln v, evenly between the runs that must stay below it and above it."""
    speeds = np.sort(log_speed)
    low, high = speeds[BELOW - 1], speeds[-ABOVE] - 1e-6
    distinct = np.unique(np.round(speeds, 3))
    if high <= low or len(distinct) < BELOW + ABOVE:
        return np.empty(0)
    return np.linspace(low, high, BREAKS)


def _robust_break(log_speed: Floats, target: Floats, breaks: Floats) -> tuple[Floats, Floats, float]:
    """Values (3,), residuals (r,), scale: first nearly by least absolute residuals, which finds the scale."""
    scale, one = 10 * LEAST_SCALE, np.ones((1, len(target)))
    for _ in range(3):
        values = _break(log_speed, target, breaks, scale, one)[0]
        residuals = target - values[0] - values[1] * np.maximum(0.0, log_speed - values[2])
        scale = spread(residuals, PARAMETERS[BROKEN])
    return values, residuals, scale


def _break(log_speed: Floats, target: Floats, breaks: Floats, scale: float, weights: Floats) -> Floats:
    """a, k, b (d, 3) of the least cost for each row of ``weights`` (d, r)."""
    values, costs = _break_costs(log_speed, target, breaks, scale, weights)
    best = costs.argmin(axis=0)
    chosen = values[best, np.arange(len(best))]
    return np.concatenate([chosen, breaks[best][:, None]], axis=-1)


def _break_costs(
    log_speed: Floats, target: Floats, breaks: Floats, scale: float, weights: Floats
) -> tuple[Floats, Floats]:
    """a, k (breaks, d, 2) and cost (breaks, d) at each place; a break after which power grows less costs most."""
    beyond = np.maximum(0.0, log_speed - breaks[:, None])
    design = np.stack([np.ones_like(beyond), beyond], axis=-1)
    values = fit_lines(design, target, scale, weights)
    costs = soft_cost(target - values @ np.swapaxes(design, -1, -2), scale, weights)
    return values, np.asarray(np.where(values[..., 1] > 0, costs, costs + 1e6))
