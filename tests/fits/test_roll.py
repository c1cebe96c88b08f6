"""The metacentric height of a roll test: by hand, cover of the interval, refusals."""

from typing import Any

import numpy as np
import pytest

from voyager.errors import InputError
from voyager.fits.measured import Measured
from voyager.fits.result import Fit
from voyager.fits.roll import fit_roll, metacentric_height_m, roll_coefficient

BOAT = {"beam_m": 2.3, "draught_m": 0.45, "waterline_m": 12.6}


def readings(**columns: Any) -> Measured:
    n = len(next(iter(columns.values())))
    numbers = {name: np.asarray(values, dtype=float) for name, values in columns.items()}
    return Measured("roll.csv", n, numbers, None, np.arange(2, n + 2))


def rolled(**options: Any) -> Fit:
    return fit_roll(readings(period_s=[2.9, 3.0, 3.1, 3.0]), **{**BOAT, **options})


def height(fit: Fit) -> float:
    return next(p.value for p in fit.parameters if p.name == "metacentric height")


def test_formula_of_the_code_by_hand() -> None:
    """2008 IS Code, part A 2.3: C = 0.373 + 0.023 x 5.1111 - 0.043 x 0.126 = 0.485138; (2 C B / 3)^2 = 0.553355 m."""
    assert roll_coefficient(**BOAT) == pytest.approx(0.485138, abs=1e-6)
    assert metacentric_height_m(3.0, **BOAT) == pytest.approx(0.553355, abs=1e-5)


def test_period_there_and_back_solves_the_formula() -> None:
    """T = 2 C B / sqrt(GM) the other way round, for a coaster."""
    c = roll_coefficient(12.0, 4.0, 60.0)
    assert metacentric_height_m(2 * c * 12.0 / 0.8**0.5, 12.0, 4.0, 60.0) == pytest.approx(0.8)


def test_single_and_several_rolls_agree() -> None:
    one = fit_roll(readings(period_s=[3.0, 3.0, 3.0]), **BOAT)
    ten = fit_roll(readings(roll_s=[30.0, 15.0, 24.0], rolls=[10, 5, 8]), **BOAT)
    assert height(one) == pytest.approx(height(ten)) == pytest.approx(0.553355, abs=1e-5)
    assert one.cautions == ("stability",)


def test_a_model_rolls_faster_by_the_root_of_the_scale() -> None:
    model = fit_roll(readings(period_s=np.array([2.9, 3.0, 3.1]) / 8**0.5), **BOAT, scale=8.0)
    assert height(model) == pytest.approx(height(fit_roll(readings(period_s=[2.9, 3.0, 3.1]), **BOAT)))
    assert any("weights stand to scale" in note for note in model.notes)


def test_righting_moment_at_one_degree() -> None:
    """By hand: 5000 kg x 9.80665 x sin 1 deg = 855.75 N a metre."""
    row = next(d for d in rolled(displacement_kg=5000.0).derived if d.unit == "N m")
    assert row.value == pytest.approx(855.75 * height(rolled()), rel=1e-4)


def test_interval_holds_the_truth() -> None:
    """200 sets of eight timings of five rolls by a watch that errs 0.2 s; 88 to 99 % of the intervals hold it."""
    rng, held = np.random.default_rng(7), 0
    truth = metacentric_height_m(3.0, **BOAT)
    for _ in range(200):
        p = fit_roll(readings(roll_s=15 + 0.2 * rng.standard_normal(8), rolls=np.full(8, 5.0)), **BOAT).parameters[1]
        held += p.low <= truth <= p.high
    assert 0.88 <= held / 200 <= 0.99


def test_error_of_the_height_by_hand() -> None:
    """2.9, 3.0, 3.1, 3.0 s: s = sqrt(0.02 / 3), of their mean half of it; GM goes by T^-2, twice the share."""
    period, gm = rolled().parameters
    assert period.se == pytest.approx((0.02 / 3) ** 0.5 / 2)
    assert gm.se == pytest.approx(2 * gm.value * period.se / 3.0)


def test_readings_all_alike_are_told_to_tell_no_error() -> None:
    assert any("all readings are alike" in note for note in fit_roll(readings(period_s=[3.0] * 4), **BOAT).notes)
    assert not any("all readings are alike" in note for note in rolled().notes)


@pytest.mark.parametrize(
    ("columns", "options", "words"),
    [
        ({"period_s": [3.0, 3.1]}, {}, "fewer than 3 readings"),
        ({"period_s": [3.0, -3.1, 3.0]}, {}, "line 3: period_s is not above 0"),
        ({"roll_s": [15.0, 15.1, 15.2]}, {}, "add a column rolls"),
        ({"roll_s": [15.0, 15.1, 15.2], "rolls": [5, 0, 5]}, {}, "line 3: rolls"),
        ({"period_s": [3.0] * 3}, {"beam_m": None}, "beam is missing: give --beam-m"),
        ({"period_s": [3.0] * 3}, {"scale": 0.125}, "8 is probably meant"),
        ({"period_s": [3.0] * 3}, {"beam_m": 0.29, "scale": 8.0}, "of the full-size boat, not of the model"),
        ({"period_s": [3.0] * 3}, {"beam_m": 12.6, "waterline_m": 2.3}, "probably exchanged"),
        ({"period_s": [3.0] * 3}, {"displacement_kg": 0.0}, "--displacement-kg 0"),
        ({"period_s": [0.1, 9.0, 0.2]}, {}, "scatter too much"),
    ],
)
def test_refusals_say_what_would_mend_them(columns: dict[str, Any], options: dict[str, Any], words: str) -> None:
    with pytest.raises(InputError) as caught:
        fit_roll(readings(**columns), **{**BOAT, **options})
    assert words in str(caught.value)
    assert "\n" not in str(caught.value)


def test_heights_out_of_experience_are_noted() -> None:
    def noted(period: float, words: str, **options: Any) -> bool:
        return any(words in note for note in fit_roll(readings(period_s=[period] * 3), **{**BOAT, **options}).notes)

    assert noted(3.0, "made from ships")
    assert noted(7.0, "do not go out")
    assert not noted(3.0, "do not go out")
    assert noted(1.0, "half a roll")
    assert noted(12.0, "up to 70 m", waterline_m=80.0, beam_m=11.0, draught_m=4.0)


def test_rows_without_a_time_are_left_out() -> None:
    fit = fit_roll(readings(period_s=[3.0, np.nan, 3.1, 2.9]), **BOAT)
    assert [row.row for row in fit.left_out] == [3]
    assert fit.used == 3
