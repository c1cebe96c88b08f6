"""Behind a heater test: linear answers of the simulator's step, honest intervals, the right number of nodes."""

import numpy as np
import pytest

from tests.fits.heat_samples import Test, Truth, day, evening, log, table
from voyager.boat.cabin import Cabin, step
from voyager.fits.heat import fit_heat
from voyager.fits.heat_model import FITS_BETTER, HeatModel, better, correlation, one_constant, two_constants
from voyager.fits.heat_response import response
from voyager.fits.result import Floats

LIGHT, HEAVY = Truth(), Truth(70.0, 12.0, 180.0, 90.0)
EVENING, DAY = evening(), day()
SETS = 200


def held(model: HeatModel, truth: Truth) -> Floats:
    sought = np.log(truth.numbers)
    return ((model.logs.low <= sought) & (sought <= model.logs.high)).astype(float)


@pytest.mark.parametrize("structure", [False, True])
def test_answers_are_the_simulators_steps(structure: bool) -> None:
    """Row by row, in steps of a minute."""
    more = {"structure_capacity_wh_per_k": 90.0, "structure_w_per_k": 40.0} if structure else {}
    cabin = Cabin(ua_w_per_k=50.0, thermal_capacity_wh_per_k=15.0, people=0, **more)
    rows = log(EVENING, EVENING.inside_c(LIGHT))
    air, mass, walked = 9.0, 11.0, [9.0]
    for i, length in enumerate(np.diff(rows.hours)):
        outside = (rows.outside_c[i] + rows.outside_c[i + 1]) / 2
        for _ in range(2):
            after = step(cabin, air, mass if structure else None, outside, rows.heater_w[i], -np.inf, 0.0, length / 2)
            air = float(after.air_c)
            mass = float(after.structure_c) if after.structure_c is not None else mass
        walked.append(air)
    answer = response(cabin, rows)
    start = answer.start @ np.array([9.0, 11.0][: answer.start.shape[1]])
    np.testing.assert_allclose(answer.outside + answer.heat + start, walked, atol=1e-6)


def test_intervals_hold_the_truth() -> None:
    """One time constant: 88 to 99 % of 200 noisy logs, each parameter."""
    rng, inside = np.random.default_rng(21), EVENING.inside_c(LIGHT)
    count = sum(held(one_constant(log(EVENING, inside + rng.normal(scale=0.15, size=91))), LIGHT) for _ in range(SETS))
    assert ((count >= 176) & (count <= 198)).all(), count


def test_intervals_hold_the_truth_with_noise_that_lasts() -> None:
    """The same with errors that are alike from row to row (correlation 0.8), 100 logs: widened, they hold it."""
    rng, inside = np.random.default_rng(22), EVENING.inside_c(LIGHT)
    count = np.zeros(2)
    for _ in range(100):
        drawn = rng.normal(scale=0.1, size=191)
        for i in range(1, 191):
            drawn[i] += 0.8 * drawn[i - 1]
        count += held(one_constant(log(EVENING, inside + drawn[100:])), LIGHT)
    assert ((count >= 88) & (count <= 99)).all(), count


@pytest.mark.long
def test_intervals_hold_the_truth_of_two() -> None:
    """Two time constants, chosen and fitted: 88 to 99 % of 200 noisy logs, each parameter."""
    rng, inside = np.random.default_rng(23), DAY.inside_c(HEAVY)
    count = np.zeros(4)
    for _ in range(SETS):
        fit = fit_heat(table(DAY, inside + rng.normal(scale=0.15, size=289)))
        assert len(fit.parameters) == 4
        count += [p.low <= true <= p.high for p, true in zip(fit.parameters, HEAVY.numbers, strict=True)]
    assert ((count >= 176) & (count <= 198)).all(), count


def test_two_are_chosen_where_there_are_two_and_one_where_one() -> None:
    rng = np.random.default_rng(24)
    for test, truth in ((EVENING, LIGHT), (DAY, HEAVY)):
        inside = test.inside_c(truth)
        for _ in range(5):
            fit = fit_heat(table(test, inside + rng.normal(scale=0.15, size=len(inside))))
            assert len(fit.parameters) == len(truth.numbers)


def test_a_structure_that_the_log_does_not_tell_is_left_out() -> None:
    """An evening of a cabin with a slow structure: one time constant that still fits, and two found no surer."""
    truth = Truth(62.0, 12.0, 3000.0, 3.0)
    fit = fit_heat(table(EVENING, EVENING.inside_c(truth) + np.random.default_rng(3).normal(scale=0.15, size=91)))
    assert fit.model == "one time constant"
    assert 60 < fit.parameters[0].value < 66


@pytest.mark.long
def test_what_only_thousands_of_rows_see_is_no_structure() -> None:
    """A trace of a structure, found for sure over four days by the minute, lowers the residuals by next to nothing."""
    hours = np.arange(0.0, 96.0, 1 / 20)
    test = Test(hours, 5 + 2 * np.sin(hours / 4), np.where(hours % 2 < 1.0, 900.0, 0.0))
    inside = test.inside_c(Truth(62.0, 12.0, 0.8, 0.3)) + np.random.default_rng(6).normal(scale=0.15, size=len(hours))
    rows = log(test, inside)
    one = one_constant(rows)
    two = two_constants(rows, one)
    assert two is None or two.logs.rms > 0.98 * one.logs.rms
    assert fit_heat(table(test, inside)).model == "one time constant"


def test_correlation_of_alternating_and_equal_residuals() -> None:
    rows = log(EVENING, EVENING.inside_c(LIGHT))
    assert correlation(np.ones(91), rows, 3) == pytest.approx(0.98)
    assert correlation(np.resize([1.0, -1.0], 91), rows, 3) == 0.0
    assert correlation(np.zeros(91), rows, 3) < 0.05


def test_a_structure_that_is_not_there_does_not_pay() -> None:
    rows = log(EVENING, EVENING.inside_c(LIGHT) + np.random.default_rng(5).normal(scale=0.15, size=91))
    one = one_constant(rows)
    two = two_constants(rows, one)
    assert two is None or better(one, two) < FITS_BETTER / 2
