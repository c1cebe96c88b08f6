"""Chances of weather and classes: their algebra, their limits, and drawn days counted."""

from datetime import date, timedelta

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose, assert_array_equal

from voyager.sky.chances import (
    NODES,
    chances,
    class_chances,
    hat,
    mean_hat,
    node_chances,
    poor_scores,
    prior_of,
)
from voyager.sky.days import persistence, poor_score
from voyager.sky.draws import class_of, draw

skills = st.one_of(st.sampled_from([0.0, 1.0]), st.floats(0, 1))
means, spreads = st.floats(-2.5, 2.5), st.one_of(st.just(0.0), st.floats(0.05, 1))
FIRST = date(2027, 4, 1)
DAY = FIRST.timetuple().tm_yday
MEMBERS = 40_000


def told(count, **by_day):
    """Forecast (D,) of given days: d3=(mean, spread)."""
    mean, spread = np.full(count, np.nan), np.full(count, np.nan)
    for name, (m, s) in by_day.items():
        mean[int(name[1:])], spread[int(name[1:])] = m, s
    return {"mean": mean, "spread": spread}


# the nodes


@given(st.floats(-2.4, 2.4))
def test_hat_keeps_the_score(z):
    weights = hat(z)
    assert weights @ NODES == pytest.approx(z, abs=1e-12)
    assert weights.sum() == pytest.approx(1.0)
    assert (weights > 1e-12).sum() <= 2


def test_hat_is_held_at_the_ends():
    assert_array_equal(hat([-9.0, 9.0]) @ NODES, [-2.4, 2.4])
    assert_array_equal(hat(NODES), np.eye(8))


def test_nodes_stand_for_a_standard_normal_day():
    """Mean 0 exactly, standard deviation within 3 %."""
    weights = mean_hat(0.0, 1.0)
    assert weights @ NODES == pytest.approx(0.0, abs=1e-12)
    assert np.sqrt(weights @ NODES**2) == pytest.approx(1.0, abs=0.03)


@given(means, spreads)
def test_mean_hat_is_the_integral_of_hat(m, s):
    """Against a fine sum over the density."""
    u = np.linspace(-7, 7, 2801)
    density = np.exp(-(u**2) / 2)
    assert_allclose(mean_hat(m, s), (hat(m + s * u) * density[:, None]).sum(axis=0) / density.sum(), atol=2e-5)


# algebra


@settings(max_examples=40, deadline=None)
@given(skills, st.sampled_from([1, 2, 5]), st.integers(1, 360), means, spreads)
def test_rows_sum_to_one(skill, classes, day, m, s):
    found = chances(np.arange(day, day + 5), 52.0, skill, classes, **told(5, d1=(m, s)))
    assert found.first.shape == (classes,)
    assert found.given.shape == (5, classes, NODES.size)
    assert found.follow.shape == (5, NODES.size, classes)
    for rows in (found.first, found.given, found.follow):
        assert_allclose(rows.sum(axis=-1), 1.0, atol=1e-12)
        assert rows.min() >= 0


@settings(max_examples=40, deadline=None)
@given(skills, means, spreads)
def test_classes_together_are_the_day(skill, m, s):
    """Law of total probability: Σ P(class)·P(node | class) = E[hat(z)]."""
    total = class_chances(m, s, skill, 5) @ node_chances(m, s, skill, 5)
    assert_allclose(total, mean_hat(m, s), atol=2e-3)
    assert total @ NODES == pytest.approx(mean_hat(m, s) @ NODES, abs=1e-3)


def test_no_skill_tells_nothing():
    found = chances(np.arange(100, 104), 52.0, 0.0)
    assert_allclose(found.given, np.broadcast_to(mean_hat(0.0, 1.0), found.given.shape), atol=1e-12)
    assert_allclose(found.follow, 0.2, atol=1e-12)


def test_full_skill_makes_exact_fifths():
    """Each class holds the scores between its edges only, and its mean score is 5·(φ(a) − φ(b))."""
    stats = pytest.importorskip("scipy.stats")
    edges = stats.norm.ppf(np.arange(6) / 5)
    given_class = node_chances(0.0, 1.0, 1.0, 5)
    assert_allclose(given_class[1:4] @ NODES, 5 * -np.diff(stats.norm.pdf(edges))[1:4], atol=1e-3)
    for row, low, high in zip(given_class, edges[:-1], edges[1:], strict=True):
        within = hat(np.linspace(max(low, -3.0), min(high, 3.0), 400)).max(axis=0) > 0
        assert_allclose(row[~within], 0.0, atol=1e-12)
    assert_array_equal(node_chances(0.0, 1.0, 1.0, 5).round(9), node_chances(0.0, 1.0, 1 - 1e-12, 5).round(9))


def test_better_skill_parts_the_classes_further():
    means_of_dark = [node_chances(0.0, 1.0, skill, 5)[0] @ NODES for skill in (0.0, 0.4, 0.8, 1.0)]
    assert (np.diff(means_of_dark) < -0.2).all()


def test_one_class_knows_only_the_climate():
    found = chances(np.arange(3), 52.0, 0.8, classes=1)
    assert_array_equal(found.first, [1.0])
    assert_allclose(found.given[0, 0], mean_hat(0.0, 1.0), atol=2e-3)
    assert_array_equal(found.follow, np.ones((3, 8, 1)))


def test_symmetry_of_dark_and_bright():
    found = chances(np.arange(100, 102), 52.0, 0.7)
    assert_allclose(found.given, found.given[:, ::-1, ::-1], atol=1e-9)
    assert_allclose(found.follow, found.follow[:, ::-1, ::-1], atol=1e-12)


def test_first_is_the_first_days_forecast():
    """By hand: f ~ N(.8·m, .64·s² + .36); dark below −.8416."""
    stats = pytest.importorskip("scipy.stats")
    found = chances(np.arange(3), 52.0, 0.8, **told(3, d0=(-1.0, 0.6)))
    width = np.sqrt(0.64 * 0.36 + 0.36)
    assert found.first[0] == pytest.approx(stats.norm.cdf((-0.841621 + 0.8) / width), abs=1e-6)
    assert_allclose(chances(np.arange(3), 52.0, 0.8).first, 0.2, atol=1e-12)


def test_a_foretold_morning_forgets_yesterday():
    found = chances(np.arange(4), 52.0, 0.8, **told(4, d2=(1.0, 0.6)))
    assert_allclose(found.follow[1], np.broadcast_to(class_chances(1.0, 0.6, 0.8, 5), (8, 5)), atol=1e-12)
    assert np.ptp(found.follow[0], axis=0).min() > 0.01


@pytest.mark.parametrize("skill", [0.5, 0.8, 1.0])
def test_follow_by_hand(skill):
    """f' given z is N(ρφz, 1 − ρ²φ²)."""
    stats = pytest.importorskip("scipy.stats")
    found = chances(np.array([147.0, 148.0]), 52.0, skill)
    phi = float(persistence(148.0))
    tomorrow = stats.norm(skill * phi * NODES[:, None], np.sqrt(1 - (skill * phi) ** 2))
    assert_allclose(found.follow[0], np.diff(tomorrow.cdf(stats.norm.ppf(np.arange(6) / 5)), axis=1), atol=1e-9)


@settings(max_examples=40, deadline=None)
@given(st.floats(0, 1), means)
def test_a_class_that_cannot_be_still_has_a_row(skill, m):
    """A certain forecast leaves one class only; the others' rows are chances all the same."""
    rows = node_chances(m, 0.0, skill, 5)
    assert_allclose(rows, np.broadcast_to(hat(m), rows.shape), atol=1e-9)


# drawn days


@pytest.fixture(scope="module", params=[0.5, 0.8, 1.0])
def counted(request):
    """Skill, drawn skies of 8 days and their chances: a forecast on days 2 and 3, after it days that return."""
    known = told(8, d2=(-1.0, 0.65), d3=(-1.4, 0.75))
    skies = draw(12, MEMBERS, [FIRST + timedelta(k) for k in range(8)], 52.0, request.param, **known)
    return skies, chances(DAY + np.arange(8), 52.0, request.param, **known)


@pytest.mark.parametrize("day", [0, 2, 3, 4, 5, 7])
def test_given_is_what_drawn_days_show(counted, day):
    """Mean weights of the nodes over the members of each class of some size, within four standard errors."""
    skies, found = counted
    classes = class_of(skies.known[:, day])
    for c in range(5):
        weights = hat(skies.score[classes == c, day])
        if len(weights) < 300:
            continue
        error = weights.std(axis=0) / np.sqrt(len(weights))
        assert_array_less(np.abs(weights.mean(axis=0) - found.given[day, c]), 4 * error + 2e-3)


@pytest.mark.parametrize("day", [0, 1, 2, 4])
def test_follow_is_what_drawn_days_show(counted, day):
    """Tomorrow's classes of members whose score is near a node, within four standard errors."""
    skies, found = counted
    tomorrow = class_of(skies.known[:, day + 1])
    for x in range(1, 7):
        near = np.abs(skies.score[:, day] - NODES[x]) < 0.1
        if near.sum() < 200:
            continue
        share = np.bincount(tomorrow[near], minlength=5) / near.sum()
        assert_array_less(np.abs(share - found.follow[day, x]), 4 * np.sqrt(0.25 / near.sum()))


def test_first_is_what_drawn_days_show(counted):
    skies, found = counted
    share = np.bincount(class_of(skies.known[:, 0]), minlength=5) / MEMBERS
    assert_allclose(share, found.first, atol=4 * np.sqrt(0.16 / MEMBERS))


def test_the_fade_is_that_of_the_draws():
    known = told(12, d1=(-1.4, 0.5))
    skies = draw(4, MEMBERS, [FIRST + timedelta(k) for k in range(12)], 52.0, 0.8, **known)
    prior = prior_of(DAY + np.arange(12.0), 52.0, known["mean"], known["spread"])
    assert_allclose(skies.score.mean(axis=0), prior.mean, atol=0.02)
    assert_allclose(skies.score.std(axis=0), prior.spread, atol=0.02)
    assert (prior.mean[-1], prior.spread[-1]) == (0.0, 1.0)


def assert_array_less(small, large):
    assert (small <= large).all(), (small - large).max()


# the poor day


@pytest.mark.parametrize(("classes", "skill"), [(1, 1.0), (1, 0.8), (5, 0.0), (5, 0.8), (5, 1.0)])
def test_without_forecast_the_poor_day_is_that_of_the_days(classes, skill):
    found = poor_scores(np.arange(4), skill, classes)
    assert_array_equal(found, np.broadcast_to(poor_score(classes, skill), (4, classes)))


@pytest.mark.parametrize("day", [2, 3, 4])
def test_one_foretold_day_in_ten_is_worse(counted, day):
    """Counted over the members of each class, also on the first day after the forecast."""
    skies, _ = counted
    skill = np.corrcoef(skies.known[:, 0], skies.score[:, 0])[0, 1].round(2)
    known = told(8, d2=(-1.0, 0.65), d3=(-1.4, 0.75))
    poor = poor_scores(DAY + np.arange(8), skill, 5, known["mean"], known["spread"], 52.0)
    classes = class_of(skies.known[:, day])
    for c in range(5):
        score = skies.score[classes == c, day]
        if len(score) > 300:
            assert (score < poor[day, c]).mean() == pytest.approx(0.1, abs=4 * np.sqrt(0.09 / len(score)) + 0.004)


def test_a_certain_forecast_is_its_own_poor_day():
    poor = poor_scores(np.arange(2), 0.8, 5, np.array([-0.7, np.nan]), np.array([0.0, np.nan]))
    assert_allclose(poor[0], -0.7, atol=1e-6)


@settings(max_examples=30, deadline=None)
@given(st.floats(0.05, 0.95), means, st.floats(0.1, 1))
def test_poor_day_rises_with_the_class_and_the_forecast(skill, m, s):
    poor = [poor_scores(np.array([9]), skill, 5, np.array([c]), np.array([s]))[0] for c in (m, m + 0.3)]
    assert (np.diff(poor[0]) > -1e-6).all()
    assert (poor[1] > poor[0]).all()


def test_southern_latitudes_follow_their_own_year():
    north, south = (chances(np.array([148.0, 149.0]), lat, 0.9).follow[0, 0, 0] for lat in (52.0, -52.0))
    assert north > south
    assert persistence(148, 52.0) > persistence(148, -52.0)
