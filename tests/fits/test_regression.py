"""Least squares against NIST's certified numbers, their errors against repeated draws."""

import numpy as np
import pytest
from scipy.stats import t as student_t

from tests.fits.nist import LONGLEY_SE, LONGLEY_VALUES, MODELS, digits, longley, read
from voyager.errors import InputError
from voyager.fits.regression import aicc, least_squares, linear, propagated

STEEP = [("BoxBOD", 0)]
"""From here the way leads to where the second parameter makes no difference any more (NIST: higher difficulty)."""
CASES = [(name, start) for name in MODELS for start in (0, 1) if (name, start) not in STEEP]


@pytest.mark.parametrize(("name", "start"), CASES)
def test_certified_values_and_errors_from_both_starts(name: str, start: int) -> None:
    """NIST StRD, nonlinear regression: six digits of the values, four of the standard deviations."""
    certified = read(name)
    with np.errstate(over="ignore", invalid="ignore", divide="ignore"):
        fitted = least_squares(lambda b: certified.y - MODELS[name](b, certified.x), certified.starts[start])
    assert digits(fitted.values, certified.values) >= 6
    assert digits(fitted.se, certified.se) >= 4


def test_a_way_into_the_flat_is_refused() -> None:
    certified = read("BoxBOD")
    with np.errstate(over="ignore"), pytest.raises(InputError, match="say nothing of the rate"):
        least_squares(
            lambda b: certified.y - MODELS["BoxBOD"](b, certified.x), certified.starts[0], names=("level", "the rate")
        )


def test_longley_to_certified_digits() -> None:
    """NIST StRD, linear regression, Longley: higher difficulty, columns that hardly differ."""
    fitted = linear(*longley())
    assert digits(fitted.values, LONGLEY_VALUES) >= 9
    assert digits(fitted.se, LONGLEY_SE) >= 9


def test_intervals_are_students() -> None:
    x = np.arange(5.0)
    fitted = linear(np.column_stack([np.ones(5), x]), 2 + 3 * x + np.array([0.1, -0.2, 0.0, 0.2, -0.1]))
    reach = student_t.ppf(0.975, 3) * fitted.se
    np.testing.assert_allclose(fitted.high - fitted.values, reach, rtol=1e-12)
    np.testing.assert_allclose(fitted.values - fitted.low, reach, rtol=1e-12)
    assert fitted.count == 5


def test_linear_and_iterated_agree() -> None:
    rng = np.random.default_rng(3)
    design = rng.normal(size=(20, 3))
    target = design @ [1.0, -2.0, 0.5] + rng.normal(size=20)
    once, found = linear(design, target), least_squares(lambda b: target - design @ b, np.ones(3))
    np.testing.assert_allclose(found.values, once.values, rtol=1e-8)
    np.testing.assert_allclose(found.covariance, once.covariance, rtol=1e-6, atol=1e-9)


def test_limits_are_kept() -> None:
    x = np.linspace(1.0, 2.0, 9)
    fitted = least_squares(lambda b: 5.0 * x - b[0] * x, np.array([1.0]), lower=np.array([0.0]), upper=np.array([4.0]))
    assert fitted.values[0] == pytest.approx(4.0)


def test_what_makes_the_same_difference_is_named() -> None:
    x = np.linspace(1.0, 2.0, 9)
    with pytest.raises(InputError, match="do not tell gain and area apart"):
        least_squares(lambda b: b[0] * b[1] * x + b[2] - x, np.array([1.0, 2.0, 0.1]), names=("gain", "area", "rest"))
    with pytest.raises(InputError, match="do not tell one and two apart"):
        linear(np.column_stack([x, 3 * x]), x, names=("one", "two"))


def test_too_few_rows_are_counted() -> None:
    with pytest.raises(InputError, match=r"3 usable rows are too few to find 3 numbers .* at least 4"):
        linear(np.eye(3), np.ones(3))


def test_numbers_without_end_are_refused() -> None:
    with pytest.raises(InputError, match="no number for some rows"):
        least_squares(lambda b: np.array([np.nan, 1.0, 2.0]) - b, np.array([1.0]))


def test_delta_method() -> None:
    """Product of two independent means: variance a^2 var(b) + b^2 var(a) (closed form)."""
    rng = np.random.default_rng(5)
    design = np.kron(np.eye(2), np.ones((50, 1)))
    fitted = linear(design, design @ [3.0, 7.0] + rng.normal(size=100))
    value, se = propagated(lambda b: float(b[0] * b[1]), fitted)
    a, b = fitted.values
    assert value == pytest.approx(a * b)
    assert se == pytest.approx(np.hypot(a * fitted.se[1], b * fitted.se[0]), rel=1e-6)


def test_aicc_by_hand() -> None:
    """n ln(S/n) + 2k + 2k(k+1)/(n-k-1), k = 3 with the variance: 10 ln 0.5 + 6 + 24/6."""
    assert aicc(5.0, 10, 2) == pytest.approx(10 * np.log(0.5) + 6 + 4)
    assert aicc(5.0, 4, 2) == np.inf
