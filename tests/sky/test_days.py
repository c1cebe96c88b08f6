"""Scores, rounds and poor days against many simulated years."""

import numpy as np
import pytest
from numpy.testing import assert_allclose

from voyager.sky.clearness import clearness, quantiles
from voyager.sky.days import (
    CLASSES,
    ROUND,
    SKY_PROBABILITY,
    fortnight_sd,
    persistence,
    poor_margin,
    poor_score,
    round_scores,
)

PLACES = {
    "Amsterdam": (52.4, 4.9),
    "Dublin": (53.3, -6.3),
    "Berlin": (52.5, 13.4),
    "Naples": (40.8, 14.3),
    "Stockholm": (59.3, 18.1),
    "Hobart": (-42.9, 147.3),
    "Miami": (25.8, -80.3),
}


def simulated(days, lat, years):
    """Scores (years, D) by AR(1) from a fixed seed."""
    rng = np.random.default_rng(20260321)
    phi = persistence(days, lat)
    scores = rng.standard_normal((years, days.size))
    for d in range(1, days.size):
        scores[:, d] = phi[d] * scores[:, d - 1] + np.sqrt(1 - phi[d] ** 2) * scores[:, d]
    return scores


@pytest.mark.parametrize("place", PLACES)
@pytest.mark.parametrize("first", [10, 75, 170, 290])
def test_rounds_are_the_fortnights_they_claim(place, first):
    """The 14-day clearness sum of the cautious, middling and good round, mean over where in the round it starts,
    lies within 3 percentiles of the 20th, 50th and 80th of 8,000 simulated fortnights, any one start within 14."""
    lat, lon = PLACES[place]
    days = np.arange(first, first + 14)
    table = quantiles(lat, lon, days)
    sums = clearness(table, simulated(days, lat, 8000)).sum(axis=1)
    for name, chance in SKY_PROBABILITY.items():
        scores = round_scores(name, np.arange(first - 4, first + 14), lat)
        starts = [(sums < clearness(table, scores[k : k + 14]).sum()).mean() for k in range(5)]
        assert np.mean(starts) == pytest.approx(chance, abs=0.03)
        assert_allclose(starts, chance, atol=0.14)


def test_one_clearness_repeated_would_not_do():
    """What the rounds are for: the 20th percentile day fourteen times over is far darker than the dark fortnight."""
    days = np.arange(75, 89)
    table = quantiles(52.4, 4.9, days)
    sums = clearness(table, simulated(days, 52.4, 4000)).sum(axis=1)
    assert (sums < clearness(table, np.full(14, -0.8416)).sum()).mean() < 0.05


def test_fortnight_sd_is_that_of_simulated_means():
    for first in (10, 148, 320):
        days = np.arange(first, first + 14) % 365 + 1
        assert simulated(days, 50.0, 40000).mean(axis=1).std() == pytest.approx(fortnight_sd(days[7]), rel=0.02)


def test_persistence_by_season():
    """Lag-1 of normal scores: measured .28 winter, .40 spring, .38 summer, .30 autumn; Graham, Hollands & Unny 1988
    (Solar Energy 40:83) 0.29 ± 0.1 over the year."""
    seasons = [np.r_[1:60, 335:366], np.arange(60, 152), np.arange(152, 244), np.arange(244, 335)]
    measured = [0.28, 0.40, 0.38, 0.30]
    assert_allclose([persistence(days).mean() for days in seasons], measured, atol=0.02)
    assert persistence(np.arange(1, 366)).mean() == pytest.approx(0.29, abs=0.1)
    assert persistence(148, -40.0) == pytest.approx(0.27, abs=0.01)


def test_round_names_and_order():
    days = np.arange(1, 12)
    cautious, middling, good = (round_scores(name, days) for name in SKY_PROBABILITY)
    assert_allclose(middling, np.resize(ROUND, 11))
    assert (cautious < middling).all()
    assert_allclose(good - middling, middling - cautious)


def test_unknown_class_count_is_the_tenth_percentile():
    assert_allclose(poor_score(), [-1.28155], atol=1e-4)


def test_perfect_classes_by_hand():
    """With f = z the poor day of a fifth is its own 10th percentile: probabilities .02, .22, .42, .62, .82."""
    assert_allclose(poor_score(5), [-2.05375, -0.77219, -0.20189, 0.30548, 0.91537], atol=1e-4)


@pytest.mark.parametrize("skill", [0.3, 0.8, 0.95])
def test_poor_score_of_a_forecast_class(skill):
    """One day in ten of each class is worse, counted over 200,000 drawn days."""
    rng = np.random.default_rng(5)
    z = rng.standard_normal(200_000)
    known = skill * z + np.sqrt(1 - skill**2) * rng.standard_normal(z.size)
    fifth = np.searchsorted(np.quantile(known, [0.2, 0.4, 0.6, 0.8]), known)
    poor = poor_score(len(CLASSES), skill)
    below = [(z[fifth == c] < poor[c]).mean() for c in range(5)]
    assert_allclose(below, 0.1, atol=0.006)


def test_no_skill_makes_all_classes_alike():
    assert_allclose(poor_score(5, 0.0), -1.28155, atol=1e-3)


def test_poor_margin():
    """0.90; 0.80 at 30 to 46° in the three winter months of the hemisphere."""
    assert_allclose(poor_margin([52.0, 40.0, -40.0], 1), [0.90, 0.80, 0.90])
    assert_allclose(poor_margin([52.0, 40.0, -40.0], 7), [0.90, 0.90, 0.80])
    assert_allclose(poor_margin(46.0, np.array([2, 3, 11, 12])), [0.80, 0.90, 0.90, 0.80])
