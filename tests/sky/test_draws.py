"""Drawn days against published statistics of daily clearness, AR(1) theory, and the promise of the same skies."""

import hashlib
from datetime import date, timedelta

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose, assert_array_equal

from voyager.sky.clearness import clearness, mean_clearness, quantiles
from voyager.sky.days import persistence
from voyager.sky.draws import FIFTHS, PAST_DAYS, class_of, course_of, draw
from voyager.sky.keyed import normal, words

PARTS = ("score", "air_score", "known", "sea")
SPRING = date(2027, 3, 10)


def days(first, count):
    return [first + timedelta(k) for k in range(count)]


def forecast(count, told, mean, spread):
    """Mean and spread (D,) with the first ``told`` days known."""
    known = np.arange(count) < told
    return {"mean": np.where(known, mean, np.nan), "spread": np.where(known, spread, np.nan)}


@pytest.fixture(scope="module")
def year():
    """500 members through a common year at 50°N."""
    return draw(20260907, 500, days(date(2027, 1, 1), 365), 50.0, 0.8)


@pytest.fixture(scope="module")
def flat():
    """6,000 members over 40 days around the day on which the persistence stands still, .41."""
    return draw(77, 6000, days(date(2027, 5, 9), 40), 50.0, 0.6)


def lag1(paths, chosen):
    """Lag-1 correlation over members and chosen days (the later of each pair)."""
    return np.corrcoef(paths[:, chosen].ravel(), paths[:, np.asarray(chosen) - 1].ravel())[0, 1]


# the same skies


def test_the_same_bits_on_any_machine():
    """Hashes of the integers and of every bit drawn from them; the integers' own truth is in test_keyed."""
    skies = draw(20260907, 50, days(SPRING, 20), 52.0, 0.8)
    integers = words(20260907, 50, SPRING.toordinal(), 20)
    drawn = [getattr(skies, part) for part in (*PARTS, "factor")]
    bits = b"".join(part.astype("<f8").tobytes() for part in drawn)
    assert hashlib.sha256(integers.astype("<u8").tobytes()).hexdigest()[:16] == "73cf71b659e0f1a5"
    assert hashlib.sha256(bits).hexdigest()[:16] == "6b49b1c45e57c36e"


@settings(max_examples=25, deadline=None)
@given(st.integers(0, 1 << 40), st.integers(1, 25), st.dates(date(2020, 1, 1), date(2050, 1, 1)), st.integers(1, 7))
def test_a_later_departure_sees_the_same_days(seed, later, first, members):
    """Bit for bit on the days that both have, and the first members are those of a larger party."""
    whole, part = (
        draw(seed, 7, days(first, 30), 48.0, 0.7),
        draw(seed, members, days(first + timedelta(later), 30 - later), 48.0, 0.7),
    )
    for name in PARTS:
        assert_array_equal(getattr(whole, name)[:members, later:], getattr(part, name))
    assert_array_equal(whole.factor[:members], part.factor)


def test_days_may_be_left_out():
    chosen = days(SPRING, 12)
    whole, part = draw(5, 4, chosen, 52.0, 0.8), draw(5, 4, chosen[::3], 52.0, 0.8)
    assert_array_equal(whole.air_score[:, ::3], part.air_score)


def test_another_seed_is_another_sky():
    one, two = (draw(seed, 300, days(SPRING, 30), 52.0, 0.8) for seed in (1, 2))
    for name in PARTS:
        assert abs(np.corrcoef(getattr(one, name).ravel(), getattr(two, name).ravel())[0, 1]) < 0.05


def test_scores_by_a_plain_walk():
    """AR(1) walked day by day from 48 days before in plain Python."""
    count, lat, member = 5, 40.0, 3
    first = SPRING.toordinal() - PAST_DAYS
    own = normal(words(9, member + 1, first, PAST_DAYS + count))[:, member, 0].tolist()
    expected = draw(9, member + 1, days(SPRING, count), lat, 0.8).score[member]
    z = own[0]
    for k in range(1, PAST_DAYS + count):
        phi = float(persistence((date.fromordinal(first + k)).timetuple().tm_yday, lat))
        z = phi * z + (1 - phi**2) ** 0.5 * own[k]
        if k >= PAST_DAYS:
            assert expected[k - PAST_DAYS] == pytest.approx(z, abs=5e-4)


# published statistics of clearness


@pytest.fixture(scope="module")
def american(year):
    """Means (N,) and drawn daily clearness (N, 500) of site-months between 26 and 50°N in North America."""
    lat, lon = np.arange(26.0, 50.0, 2.0)[:, None, None], np.arange(-122.0, -70.0, 4.0)[:, None]
    day = np.arange(15, 366, 30)
    table = quantiles(lat, lon, day)
    drawn = clearness(table[..., None, :], year.score[:, day - 1].T)
    return mean_clearness(table).ravel(), drawn.reshape(-1, 500)


def test_bendt_distribution(american):
    """Bendt, Collares-Pereira & Rabl 1981 (Solar Energy 27:1): shares of days with K ≤ .2 to .6 where the mean is .3,
    within 0.04 as the tables themselves (test_clearness says why)."""
    mean, drawn = american
    chosen = drawn[np.abs(mean - 0.30) < 0.02]
    assert len(chosen) > 10
    share = (chosen[..., None] <= [0.2, 0.3, 0.4, 0.5, 0.6]).mean(axis=(0, 1))
    assert_allclose(share, [0.365, 0.552, 0.703, 0.826, 0.926], atol=0.045)


@pytest.mark.parametrize(
    ("low", "high", "mean_k", "sd"),
    [(0.40, 0.45, 0.429, 0.166), (0.50, 0.55, 0.526, 0.155), (0.60, 0.65, 0.620, 0.134)],
)
def test_aguiar_classes(american, low, high, mean_k, sd):
    """Aguiar, Collares-Pereira & Conde 1988 (Solar Energy 40:269): mean and sd of K in classes of the month's mean."""
    mean, drawn = american
    chosen = drawn[(mean > low) & (mean <= high)]
    assert chosen.mean() == pytest.approx(mean_k, abs=0.02)
    assert chosen.std(axis=1).mean() == pytest.approx(sd, abs=0.02)


def test_aguiar_darkest_class(year):
    """Their class of months up to .30 (K .241, sd .155): winter months in Europe whose mean is that of the class."""
    day = np.arange(15, 366, 30)
    table = quantiles(np.arange(46.0, 62.0, 2.0)[:, None, None], np.arange(-4.0, 30.0, 4.0)[:, None], day)
    drawn = clearness(table[..., None, :], year.score[:, day - 1].T).reshape(-1, 500)
    chosen = drawn[np.abs(mean_clearness(table).ravel() - 0.241) < 0.02]
    assert len(chosen) > 20
    assert chosen.mean() == pytest.approx(0.241, abs=0.02)
    assert chosen.std(axis=1).mean() == pytest.approx(0.155, abs=0.02)


def test_drawn_days_follow_the_tables(year):
    """Each day's drawn clearness has its table's quantiles: shares below them within four standard errors."""
    stats = pytest.importorskip("scipy.stats")
    day = np.arange(5, 365, 40)
    table = quantiles(52.4, 4.9, day)
    drawn = clearness(table[:, None, :], year.score[:, day - 1].T)
    for column, chance in [(3, 0.10), (8, 0.50), (11, 0.80)]:
        below = (drawn <= table[:, None, column]).sum()
        assert stats.binomtest(int(below), drawn.size, chance).pvalue > 1e-4


def test_scores_are_standard_normal_every_day(year):
    assert_allclose(year.score.mean(axis=0), 0.0, atol=4.5 / np.sqrt(500))
    assert_allclose(year.score.var(axis=0), 1.0, atol=4.5 * np.sqrt(2 / 500))
    assert_allclose(year.air_score.var(axis=0), 1.0, atol=4.5 * np.sqrt(2 / 500))


def test_graham_persistence(year):
    """Graham, Hollands & Unny 1988 (Solar Energy 40:83): 0.29 ± 0.1 over the year."""
    assert lag1(year.score, np.arange(1, 365)) == pytest.approx(0.29, abs=0.1)


SEASONS = {"winter": np.r_[1:59, 334:365], "spring": np.r_[59:151], "summer": np.r_[151:243], "autumn": np.r_[243:334]}


@pytest.mark.parametrize(("season", "measured"), list(zip(SEASONS, [0.28, 0.40, 0.38, 0.30], strict=True)))
def test_persistence_of_the_seasons(year, season, measured):
    """Measured daily records in Europe, lag-1 of normal scores; the cosine holds them within .02, chance within .02."""
    assert lag1(year.score, SEASONS[season]) == pytest.approx(measured, abs=0.04)


def test_only_yesterday_counts(flat):
    """AR(1): lags 2 and 3 are powers of lag 1."""
    phi = float(persistence(148))
    for lag in (2, 3):
        pairs = np.corrcoef(flat.score[:, lag:].ravel(), flat.score[:, :-lag].ravel())[0, 1]
        assert pairs == pytest.approx(phi**lag, abs=0.01)


def chain(phi, count):
    return phi ** np.abs(np.subtract.outer(np.arange(count), np.arange(count)))


@pytest.mark.parametrize("length", [3, 5, 7])
def test_runs_of_dark_days(flat, length):
    """Share of stretches of 3, 5, 7 days all of the dark fifth, against the orthant probability of the AR(1) normal
    by scipy (Genz's integration), within four standard errors from the spread between members."""
    stats = pytest.importorskip("scipy.stats")
    dark = np.lib.stride_tricks.sliding_window_view(flat.score < FIFTHS[0] / 1e4, length, axis=1).all(axis=2)
    share = dark.mean(axis=1)
    normal_chain = stats.multivariate_normal(cov=chain(float(persistence(148)), length), seed=1)
    expected = normal_chain.cdf(np.full(length, FIFTHS[0] / 1e4))
    assert abs(share.mean() - expected) < 4 * share.std() / np.sqrt(len(share)) + 0.01 * expected
    assert expected > 1.5 * 0.2**length


def test_longest_dark_run_against_another_walk(flat):
    """Mean of the longest dark run in 40 days against scipy's filter fed with numpy's normals."""
    signal = pytest.importorskip("scipy.signal")
    phi = float(persistence(148))
    noise = np.random.default_rng(3).standard_normal((6000, 140))
    other = signal.lfilter([np.sqrt(1 - phi**2)], [1, -phi], noise, axis=1)[:, 100:]
    longest = [longest_run(paths < FIFTHS[0] / 1e4) for paths in (flat.score, other)]
    error = np.sqrt(sum(runs.var() / runs.size for runs in longest))
    assert abs(longest[0].mean() - longest[1].mean()) < 4 * error


def longest_run(dark):
    run = best = np.zeros(len(dark))
    for column in dark.T:
        run = np.where(column, run + 1, 0)
        best = np.maximum(best, run)
    return best


@pytest.mark.parametrize("count", [7, 30])
def test_sums_over_a_week_and_a_month(flat, count):
    """Sd of the mean of n scores under AR(1): √((1 + 2Σ(1 − k/n)φᵏ)/n); without persistence a third less."""
    lag, phi = np.arange(1, count), float(persistence(148))
    expected = np.sqrt((1 + 2 * ((1 - lag / count) * phi**lag).sum()) / count)
    assert flat.score[:, :count].mean(axis=1).std() == pytest.approx(expected, rel=4 / np.sqrt(2 * 6000) + 0.005)
    assert expected > 1.35 / np.sqrt(count)


# the air


MIDDLES = {"winter": 15, "spring": 105, "summer": 197, "autumn": 288}


@pytest.mark.parametrize(
    ("season", "persistent", "shared"),
    [("winter", 0.80, -0.26), ("spring", 0.75, 0.16), ("summer", 0.71, 0.31), ("autumn", 0.73, -0.07)],
)
def test_air_of_the_seasons(year, season, persistent, shared):
    """Lag-1 and correlation with the clearness score around the middle of each season, as measured."""
    around = np.arange(MIDDLES[season] - 12, MIDDLES[season] + 13) - 1
    assert lag1(year.air_score, around[around > 0]) == pytest.approx(persistent, abs=0.03)
    pairs = np.corrcoef(year.air_score[:, around].ravel(), year.score[:, around].ravel())[0, 1]
    assert pairs == pytest.approx(shared, abs=0.04)


def test_southern_seasons_run_half_a_year_later():
    north, south = (course_of(date(2027, 1, 1).toordinal(), 365, lat) for lat in (50.0, -50.0))
    for name in ("score", "air", "correlation"):
        turned = np.roll(getattr(south, name), 182)
        assert_allclose(turned[5:-5], getattr(north, name)[5:-5], atol=0.01)


# what the skipper sees


@pytest.mark.parametrize("skill", [0.0, 0.5, 0.8, 1.0])
def test_known_is_as_good_as_its_skill(skill):
    skies = draw(6, 400, days(SPRING, 60), 52.0, skill)
    assert np.corrcoef(skies.known.ravel(), skies.score.ravel())[0, 1] == pytest.approx(skill, abs=0.02)
    assert skies.known.var() == pytest.approx(1.0, abs=0.04)


def test_full_skill_is_the_score_itself():
    skies = draw(6, 40, days(SPRING, 20), 52.0, 1.0)
    assert_array_equal(skies.known, skies.score)


def test_classes_are_fifths(year):
    counts = np.bincount(class_of(year.known).ravel(), minlength=5) / year.known.size
    assert_allclose(counts, 0.2, atol=0.01)


def test_class_edges():
    """Φ⁻¹(.2), Φ⁻¹(.4) = −.8416, −.2533, from any table of the normal; a hair of rounding does not move a class."""
    assert_array_equal(class_of([[-9.0, -0.8417, -0.8416 + 1e-9, -0.8416 - 1e-9], [-0.25, 0.2, 0.3, 0.85]]), EDGES)
    assert class_of(0.0) == 2


EDGES = [[0, 0, 1, 1], [2, 2, 3, 4]]


def test_sea_and_factor_are_their_own(year):
    stats = pytest.importorskip("scipy.stats")
    assert stats.kstest(year.sea.ravel()[::5], "uniform").pvalue > 1e-3
    assert 0 <= year.sea.min() < year.sea.max() < 1
    factor = draw(20260907, 20_000, days(SPRING, 1), 50.0, 0.8).factor
    assert factor.mean() == pytest.approx(1.0, abs=0.002)
    assert factor.std() == pytest.approx(0.06, abs=0.0015)
    assert abs(np.corrcoef(year.factor, year.score.mean(axis=1))[0, 1]) < 0.18


# with a forecast


def test_forecast_days_have_its_mean_and_spread():
    told = forecast(30, 6, np.linspace(-1.5, 1.0, 30), np.linspace(0.6, 0.9, 30))
    skies = draw(8, 6000, days(SPRING, 30), 52.0, 0.8, **told)
    assert_allclose(skies.score[:, :6].mean(axis=0), told["mean"][:6], atol=0.05)
    assert_allclose(skies.score[:, :6].std(axis=0), told["spread"][:6], rtol=0.05)


def test_after_the_forecast_the_days_return_by_persistence():
    """The gap to the skies without forecast shrinks by φ a day, to nothing; the sea and the noise stay."""
    dates = days(SPRING, 30)
    with_it, without = (draw(8, 50, dates, 52.0, 0.8, **more) for more in (forecast(30, 4, -1.2, 0.5), {}))
    gap = with_it.score - without.score
    phi = course_of(SPRING.toordinal(), 30, 52.0).score
    for day in range(4, 9):
        assert_allclose(gap[:, day], phi[day] * gap[:, day - 1], atol=1e-12)
    assert np.abs(gap[:, -1]).max() < 1e-9
    assert_array_equal(with_it.sea, without.sea)
    assert_allclose(with_it.known - 0.8 * with_it.score, without.known - 0.8 * without.score, atol=1e-12)


def test_a_day_without_forecast_between_two_leans_on_the_first():
    dates, told = days(SPRING, 10), forecast(10, 10, 1.0, 0.6)
    told["mean"][[0, 1, 4]] = np.nan
    mended, without = draw(8, 20, dates, 52.0, 0.8, **told).score, draw(8, 20, dates, 52.0, 0.8).score
    assert_array_equal(mended[:, :2], without[:, :2])
    phi = course_of(SPRING.toordinal(), 10, 52.0).score
    assert_allclose((mended - without)[:, 4], phi[4] * (mended - without)[:, 3], atol=1e-12)


def test_air_keeps_its_bond_on_forecast_days():
    """A foretold dark winter day is mild: the mean of the air is c·m, its spread hardly less."""
    dates = days(date(2027, 1, 10), 4)
    skies = draw(8, 6000, dates, 52.0, 0.8, **forecast(4, 4, -1.5, 0.6))
    assert_allclose(skies.air_score.mean(axis=0), 1.5 * 0.26, atol=0.06)
    assert_allclose(skies.air_score.std(axis=0), np.sqrt(1 - 0.26**2 * (1 - 0.36)), atol=0.04)
