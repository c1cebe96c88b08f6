"""What the sky classes say about the weather: chances of a few shared scores, of tomorrow's class, and the poor day.

The skipper sees the fifth of f = ρz + √(1 − ρ²)ε; the weather follows z. Between the classes and the weather stand a
few fixed scores, the nodes, that all classes share: a day at z counts as the two nodes beside it by linear
interpolation, which keeps its mean. Without a forecast z is N(0, 1); with one N(m, s²), and after the last such day
mean and variance return by AR(1), as the drawn days do.
"""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from voyager.sky.days import POOR_PROBABILITY, persistence, poor_score
from voyager.sky.normal import normal_cdf, normal_quantile

Floats = NDArray[np.float64]

NODES: Floats = np.array([-2.4, -1.6, -0.9, -0.3, 0.3, 0.9, 1.6, 2.4])
"""Scores z_x (X,): the node of a standard normal day has mean 0 and standard deviation 1.02."""
POINTS = 120
"""Equally likely values of f by which a class is integrated."""
FORGOTTEN = 1e-3
"""A mean or a variance this near to that of no forecast counts as none."""
_LEAST = 1e-13
_ROUNDS = 32


@dataclass(frozen=True)
class Chances:
    """Chances [-] of Y classes and X nodes on D days; every row sums to one.

    first: of the first day's classes (Y,); given: of the node, given day and class (D, Y, X); follow: of tomorrow's
    class, given day and today's node (D, X, Y).
    """

    first: Floats
    given: Floats
    follow: Floats


@dataclass(frozen=True)
class Prior:
    """The scores of days (D,) before their mornings, N(mean, spread²), and on which of them a forecast says so."""

    mean: Floats
    spread: Floats
    forecast: NDArray[np.bool_]


def chances(
    day_of_year: ArrayLike,
    lat_deg: float,
    skill: float,
    classes: int = 5,
    *,
    mean: ArrayLike | None = None,
    spread: ArrayLike | None = None,
) -> Chances:
    """Chances of classes and nodes over consecutive days (D,) at a latitude; skill 0 to 1.

    ``mean`` and ``spread`` (D,) are those of the score's forecast, NaN on days without one.
    """
    day = np.atleast_1d(np.asarray(day_of_year, dtype=float))
    prior = prior_of(day, lat_deg, mean, spread)
    given = _by_day(prior, lambda m, s: node_chances(m, s, skill, classes))
    first = class_chances(prior.mean[0], prior.spread[0], skill, classes)
    return Chances(first, given, _follow(day, lat_deg, skill, classes, prior))


def poor_scores(
    day_of_year: ArrayLike,
    skill: float,
    classes: int = 5,
    mean: ArrayLike | None = None,
    spread: ArrayLike | None = None,
    lat_deg: float = 45.0,
) -> Floats:
    """Scores (D, Y) that a day of each class falls below with chance 0.1; ``days.poor_score`` without a forecast."""
    day = np.atleast_1d(np.asarray(day_of_year, dtype=float))
    return _by_day(prior_of(day, lat_deg, mean, spread), lambda m, s: _poor(m, s, skill, classes))


def hat(z: ArrayLike, nodes: Floats = NODES) -> Floats:
    """Weights (..., X) of the nodes for scores (...): linear interpolation, held at the ends."""
    return _differences(np.clip((np.asarray(z, dtype=float)[..., None] - nodes[:-1]) / np.diff(nodes), 0.0, 1.0))


def mean_hat(mean: ArrayLike, spread: ArrayLike, nodes: Floats = NODES) -> Floats:
    """Expected weights (..., X) of the nodes for scores N(mean, spread²), broadcast; exact, spread 0 included.

    E[max(z − a, 0)] = (m − a)Φ(u) + sφ(u), u = (m − a)/s, gives the mean of each straight piece.
    """
    m, s = np.asarray(mean, dtype=float)[..., None], np.asarray(spread, dtype=float)[..., None]
    u = (m - nodes) / np.maximum(s, _LEAST)
    above = (m - nodes) * normal_cdf(u) + s * np.exp(-(u**2) / 2) / np.sqrt(2 * np.pi)
    return _differences(np.clip(-np.diff(above, axis=-1) / np.diff(nodes), 0.0, 1.0))


def class_chances(mean: ArrayLike, spread: ArrayLike, skill: float, classes: int) -> Floats:
    """Chances (..., Y) of the classes of f where the score is N(mean, spread²), broadcast."""
    m, s = np.asarray(mean, dtype=float)[..., None], np.asarray(spread, dtype=float)[..., None]
    width = np.sqrt(skill**2 * s**2 + 1 - skill**2)
    edges = normal_quantile(np.arange(1, classes) / classes)
    below = normal_cdf((edges - skill * m) / np.maximum(width, _LEAST))
    return _differences(1.0 - below)


def node_chances(mean: float, spread: float, skill: float, classes: int) -> Floats:
    """Chances (Y, X) of the nodes given the class, the score being N(mean, spread²) before the class is known."""
    centre, rest = _within(mean, spread, skill, classes)
    return np.asarray(mean_hat(centre, rest).mean(axis=1))


def prior_of(day_of_year: Floats, lat_deg: float, mean: ArrayLike | None, spread: ArrayLike | None) -> Prior:
    """Mean and spread of the scores of consecutive days (D,): the forecast's, after it fading by AR(1)."""
    carry = persistence(day_of_year, lat_deg)
    none = np.full(carry.shape, np.nan)
    told, width = (none if given is None else np.asarray(given, dtype=float) for given in (mean, spread))
    centre, variance = np.zeros(carry.size), np.ones(carry.size)
    m, v = 0.0, 1.0
    for d, phi in enumerate(carry):
        m, v = (told[d], width[d] ** 2) if np.isfinite(told[d]) else _faded(phi * m, 1 + phi**2 * (v - 1))
        centre[d], variance[d] = m, v
    return Prior(centre, np.sqrt(variance), np.isfinite(told))


def _faded(mean: float, variance: float) -> tuple[float, float]:
    none = abs(mean) < FORGOTTEN and abs(variance - 1) < FORGOTTEN
    return (0.0, 1.0) if none else (mean, variance)


def _follow(day: Floats, lat_deg: float, skill: float, classes: int, prior: Prior) -> Floats:
    """Chances (D, X, Y) of tomorrow's class given today's node; those of its own forecast where it has one."""
    carry = persistence(day + 1, lat_deg)[:, None]
    follow = class_chances(carry * NODES, np.sqrt(1 - carry**2), skill, classes)
    told = np.flatnonzero(prior.forecast[1:])
    follow[told] = class_chances(prior.mean[told + 1], prior.spread[told + 1], skill, classes)[:, None, :]
    return follow


def _within(mean: float, spread: float, skill: float, classes: int) -> tuple[Floats, float]:
    """Means (Y, POINTS) of the score at equally likely f of each class, and its standard deviation given f."""
    width = float(np.sqrt(skill**2 * spread**2 + 1 - skill**2))
    edges = normal_quantile(np.arange(1, classes) / classes)
    low, high = np.concatenate([[-np.inf], edges]), np.concatenate([edges, [np.inf]])
    known = _truncated(skill * mean, width, low, high)
    gain = skill * spread**2 / max(width**2, _LEAST)
    return mean + gain * (known - skill * mean), float(spread * np.sqrt(max(0.0, 1 - skill * gain)))


def _truncated(mean: float, width: float, low: Floats, high: Floats) -> Floats:
    """Equally likely values (Y, POINTS) of N(mean, width²) between bounds (Y,), at a bound where all lie beyond it.

    Taken from the nearer tail, so that a class far from the mean keeps its digits.
    """
    a, b = (low - mean) / max(width, _LEAST), (high - mean) / max(width, _LEAST)
    turned = a > 0
    a, b = np.where(turned, -b, a), np.where(turned, -a, b)
    below, above = normal_cdf(a), normal_cdf(b)
    part = (np.arange(POINTS) + 0.5) / POINTS
    chance = below[:, None] + (above - below)[:, None] * part
    z = np.clip(normal_quantile(np.clip(chance, 1e-300, 1 - 1e-16)), a[:, None], b[:, None])
    return mean + width * np.where(turned[:, None], -z, z)


def _poor(mean: float, spread: float, skill: float, classes: int) -> Floats:
    """Scores (Y,) with a chance of 0.1 below, by halving; the score is N(mean, spread²) before the class is known."""
    if (mean, spread) == (0.0, 1.0):
        return poor_score(classes, skill)
    centre, rest = _within(mean, spread, skill, classes)
    low, high = centre.min(axis=1) - 8 * rest, centre.max(axis=1) + 8 * rest
    if rest < 1e-6:
        return np.asarray(np.quantile(centre, POOR_PROBABILITY, axis=1))
    for _ in range(_ROUNDS):
        middle = (low + high) / 2
        below = normal_cdf((middle[:, None] - centre) / rest).mean(axis=1) < POOR_PROBABILITY
        low, high = np.where(below, middle, low), np.where(below, high, middle)
    return np.asarray((low + high) / 2)


def _by_day(prior: Prior, of: Callable[[float, float], Floats]) -> Floats:
    """What ``of`` gives for the mean and spread of each day (D, ...), worked out once for days that are alike."""
    seen: dict[tuple[float, float], Floats] = {}
    pairs = list(zip(prior.mean.tolist(), prior.spread.tolist(), strict=True))
    for pair in pairs:
        if pair not in seen:
            seen[pair] = of(*pair)
    return np.stack([seen[pair] for pair in pairs])


def _differences(reached: Floats) -> Floats:
    """Shares (..., n + 1) from the falling chances (..., n) of reaching the second, third, ... place; they sum to 1."""
    ends = [(0, 0)] * (reached.ndim - 1)
    falling = np.pad(np.minimum.accumulate(reached, axis=-1), [*ends, (1, 0)], constant_values=1.0)
    return np.asarray(falling - np.pad(falling[..., 1:], [*ends, (0, 1)]))
