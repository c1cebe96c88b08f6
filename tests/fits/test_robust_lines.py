"""Robust lines against scipy's own minimiser."""

import numpy as np
import pytest
from scipy.optimize import least_squares

from voyager.fits.robust_lines import chance_weights, fit_lines, robust_line, soft_cost, spread, widening

RNG = np.random.default_rng(3)
X = np.linspace(-1, 1, 12)
Y = 2 + 3 * X + 0.05 * RNG.standard_normal(12)
Y[7] += 1.5


@pytest.mark.parametrize("columns", [1, 2])
def test_least_cost_is_scipys(columns: int) -> None:
    design = np.stack([np.ones(12), X], axis=-1)[:, :columns]
    answer = least_squares(lambda b: Y - design @ b, np.zeros(columns), loss="soft_l1", f_scale=0.1, xtol=1e-12)
    found = fit_lines(design, Y, 0.1, np.ones((1, 12)))[0]
    assert found == pytest.approx(answer.x, abs=5e-4)
    assert soft_cost(Y - design @ found, 0.1) == pytest.approx(2 * answer.cost, rel=1e-4)


def test_many_weights_and_designs_are_fitted_each_for_itself() -> None:
    designs = np.stack([np.stack([np.ones(12), np.maximum(0, X - b)], axis=-1) for b in (-0.5, 0.0, 0.5)])
    weights = chance_weights(np.random.default_rng(1), 5, 12)
    together = fit_lines(designs, Y, 0.1, weights)
    assert together.shape == (3, 5, 2)
    alone = fit_lines(designs[1], Y, 0.1, weights[2:3])[0]
    assert together[1, 2] == pytest.approx(alone, abs=5e-4)


def test_wild_value_hardly_moves_the_line() -> None:
    line = robust_line(np.stack([np.ones(12), X], axis=-1), Y)
    assert line.values == pytest.approx([2, 3], abs=0.1)
    assert 0.02 < line.scale < 0.12


def test_spread_of_normal_residuals() -> None:
    assert spread(np.random.default_rng(0).standard_normal(20_000), 1) == pytest.approx(1.0, rel=0.03)
    assert spread(np.zeros(5), 1) > 0


def test_weights_and_widening_give_the_textbook_error_of_a_mean() -> None:
    """s / sqrt(n), s with n - 1: the definition."""
    values = np.random.default_rng(2).standard_normal(10)
    weights = chance_weights(np.random.default_rng(3), 40_000, 10)
    assert weights.mean() == pytest.approx(1.0)
    means = (weights * values).mean(axis=-1)
    assert means.std() * widening(10, 1) == pytest.approx(values.std(ddof=1) / 10**0.5, rel=0.02)
