"""The deriving script on distributions whose quantiles are known beforehand."""

import numpy as np
import pytest
from numpy.testing import assert_allclose

from voyager.sky.clearness import PROBABILITIES, STEP, mean_clearness
from voyager.sky.derive.clearness_table import cell_quantiles, filled, packed, sun_of_month


@pytest.fixture
def kernel_estimate():
    """Clearness of 155 days on an even spread of .1 to .7 and its kernel estimate in 128 bins [W/m²], H0 5 kWh/m²."""
    scipy_stats = pytest.importorskip("scipy.stats")
    days = np.linspace(0.1, 0.7, 155)
    watts = np.linspace(-0.1, 0.9, 128) * 5.0 / 0.024
    chance = scipy_stats.gaussian_kde(days * 5.0 / 0.024, bw_method=1.059 * 155**-0.2)(watts)
    return days, watts, chance / chance.sum()


def test_kernel_width_comes_off(kernel_estimate):
    """The true quantiles come back to .02 between the 3rd and 97th percentile, the standard deviation to 4 %."""
    days, watts, chance = kernel_estimate
    table = cell_quantiles(watts, chance, 5.0, 0.0)
    raw_sd = np.sqrt(((watts - watts @ chance) ** 2) @ chance) * 0.024 / 5.0
    assert raw_sd > 1.06 * days.std()
    inner = slice(1, 15)
    assert_allclose(table[inner], np.quantile(days, PROBABILITIES[inner]), atol=0.03)
    assert mean_clearness(table) == pytest.approx(days.mean(), abs=0.002)


def test_drift_of_the_sun_comes_off():
    """A constant clearness under a drifting H0 has hardly any spread left."""
    extra = np.linspace(3.0, 5.0, 30)
    watts = np.linspace(0, 6, 128) / 0.024
    density = np.exp(-(((watts[:, None] * 0.024 - 0.5 * extra) / 0.2) ** 2) / 2).sum(axis=1)
    drift = extra.var() / extra.mean() ** 2
    with_drift, without = (np.ptp(cell_quantiles(watts, density, 4.0, d)) for d in (drift, 0.0))
    assert with_drift < 0.75 * without


def test_sun_of_month_near_the_pole():
    assert sun_of_month(72.0, 11)[0] < 0.02
    assert sun_of_month(51.0, 5)[0] == pytest.approx(11.4, abs=0.2)


def test_sunless_months_lie_between_their_neighbours():
    table = np.repeat(np.arange(12.0)[:, None], 16, axis=1)
    known = np.ones(12, dtype=bool)
    known[[0, 11]] = False
    assert_allclose(filled(table, known)[[0, 11], 0], [1 + 3.0, 10 - 3.0])


def test_packing_is_exact_to_half_a_step():
    table = np.sort(np.random.default_rng(3).uniform(0.05, 0.7, (5, 12, 16)), axis=-1)
    steps = packed(table)
    assert steps.dtype == np.uint8
    back = np.cumsum(steps, axis=0, dtype=int).transpose(2, 1, 0) * STEP
    assert (np.diff(back) > 0).all()
    assert np.abs(back - table).max() <= 3 * STEP
    assert np.median(np.abs(back - table)) <= STEP / 2
