"""Straight lines through scattered points that a few wild ones do not pull away, many weighted copies at once."""

from dataclasses import dataclass

import numpy as np

from voyager.fits.result import Floats

STEPS = 60
CLOSE_ENOUGH = 1e-4
"""Steps end when no coefficient moves by more than this share of the scale."""
SD_PER_MAD = 1.4826
"""Standard deviation of a normal distribution over its median absolute deviation."""
LEAST_SCALE = 1e-4
"""Residuals of data without noise are not taken for finer than this: values here are logarithms, so 0.01 %."""


def soft_cost(residuals: Floats, scale: Floats | float, weights: Floats | float = 1.0) -> Floats:
    """Sum over the last axis of 2 s^2 (sqrt(1 + (r / s)^2) - 1): r^2 for small residuals, 2 s |r| for wild ones.

    The smooth L1 loss, as scipy's ``soft_l1`` has it with ``f_scale`` s.
    """
    return np.asarray((weights * 2 * scale**2 * (np.sqrt(1 + (residuals / scale) ** 2) - 1)).sum(axis=-1))


def fit_lines(design: Floats, target: Floats, scale: float, weights: Floats) -> Floats:
    """Coefficients (..., d, p) of least ``soft_cost`` for each row of ``weights`` (d, n); ``target`` (n,).

    ``design`` (..., n, p), p 1 or 2: several designs are fitted at once. Reweighted least squares; the cost is convex,
    so that it has one least value and every step comes closer to it.
    """
    both = np.concatenate([design, np.broadcast_to(target[:, None], (*design.shape[:-1], 1))], axis=-1)
    products = design[..., :, None] * both[..., None, :]
    across = np.swapaxes(design, -1, -2)
    values = _solved(products, np.broadcast_to(weights, (*design.shape[:-2], *weights.shape)))
    for _ in range(STEPS):
        residuals = target - values @ across
        new = _solved(products, weights / np.sqrt(1 + (residuals / scale) ** 2))
        moved = np.abs(new - values).max(initial=0.0)
        values = new
        if moved < CLOSE_ENOUGH * scale:
            break
    return values


def _solved(products: Floats, weights: Floats) -> Floats:
    """Weighted least squares from the ``products`` (..., n, p, p + 1) of columns with columns and target."""
    count, p, _ = products.shape[-3:]
    flat = products.reshape(*products.shape[:-3], count, p * (p + 1))
    sums = (weights @ flat).reshape(*weights.shape[:-1], p, p + 1)
    if p == 1:
        return np.asarray(sums[..., 1] / sums[..., 0])
    (a, b, e), (_, d, f) = np.moveaxis(sums, (-2, -1), (0, 1))
    both = np.stack([e * d - b * f, a * f - b * e], axis=-1)
    return np.asarray(both / (a * d - b * b)[..., None])


def spread(residuals: Floats, parameters: int) -> float:
    """Standard deviation of the residuals (n,) by their median size; those that ``parameters`` make small don't count.

    The ``parameters`` - 1 smallest are left out before the median is taken (common practice in robust regression).
    """
    sizes = np.sort(np.abs(residuals))[max(0, parameters - 1) :]
    return max(LEAST_SCALE, SD_PER_MAD * float(np.median(sizes)))


@dataclass(frozen=True)
class Lines:
    """A robust fit: coefficients (p,), residuals (n,), their ``scale``."""

    values: Floats
    residuals: Floats
    scale: float


def robust_line(design: Floats, target: Floats) -> Lines:
    """One line, ``design`` (n, p), ``target`` (n,): nearly by least absolute residuals first, which finds the scale."""
    scale, once = LEAST_SCALE * 10, np.ones((1, len(target)))
    for _ in range(4):
        values = fit_lines(design, target, scale, once)[0]
        residuals = target - design @ values
        scale = spread(residuals, design.shape[1])
    return Lines(values, residuals, scale)


def chance_weights(rng: np.random.Generator, draws: int, count: int) -> Floats:
    """Weights (draws, count), mean 1, of the Bayesian bootstrap: D. B. Rubin, Annals of Statistics 9, 1981.

    As good as drawing rows with replacement, and no draw is ever left with one row only.
    """
    return rng.dirichlet(np.ones(count), size=draws) * count


def widening(count: int, parameters: int) -> float:
    """What the spread of the weighted fits is multiplied by to be a standard error.

    The weights of n rows spread a mean by sum r^2 / (n (n + 1)), its unbiased square error is sum r^2 / (n (n - p)).
    """
    return float(np.sqrt((count + 1) / (count - parameters)))
