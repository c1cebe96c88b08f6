"""Heater tests of made-up cabins: the truth comes back, the errors are honest, and bad logs are refused."""

from dataclasses import replace
from math import exp, log

import numpy as np
import pytest

from tests.fits.heat_samples import Test, Truth, day, evening, table
from voyager.errors import InputError
from voyager.fits.heat import fit_heat
from voyager.fits.measured import Measured
from voyager.fits.result import Derived, Fit, Floats

LIGHT = Truth()
HEAVY = Truth(70.0, 12.0, 180.0, 90.0)
EVENING, DAY = evening(), day()
WARM = EVENING.inside_c(LIGHT)


def noise(count: int, seed: int = 1, sd: float = 0.1) -> Floats:
    return np.random.default_rng(seed).normal(scale=sd, size=count)


def derived(fit: Fit, begins: str) -> Derived:
    return next(d for d in fit.derived if d.name.startswith(begins))


@pytest.fixture(scope="module")
def light() -> Fit:
    return fit_heat(table(EVENING, WARM + noise(91)), comfort=[("ample", 20.0), ("snug", 20.0)], outside_c=9.0)


@pytest.fixture(scope="module")
def heavy() -> Fit:
    return fit_heat(table(DAY, DAY.inside_c(HEAVY) + noise(289)), comfort=[("ample", 18.0)])


def test_one_time_constant_comes_back(light: Fit) -> None:
    assert light.model == "one time constant"
    for parameter, true, unit in zip(light.parameters, LIGHT.numbers, ("W/K", "Wh/K"), strict=True):
        assert abs(parameter.value - true) < 3 * parameter.se < 0.05 * true
        assert parameter.low < parameter.value < parameter.high
        assert parameter.unit == unit
    assert light.residual_rms == pytest.approx(0.1, rel=0.25)
    assert (light.rows, light.used, light.residual_unit) == (91, 91, "K")
    assert light.cautions == ("heater", "fresh_air")


def test_two_time_constants_come_back(heavy: Fit) -> None:
    assert heavy.model.startswith("two time constants")
    for parameter, true in zip(heavy.parameters, HEAVY.numbers, strict=True):
        assert abs(parameter.value - true) < max(3 * parameter.se, 0.005 * true)


def test_values_name_what_goes_and_what_is_taken_away(light: Fit, heavy: Fit) -> None:
    assert list(light.values) == list(heavy.values) == [p.key for p in heavy.parameters]
    assert list(light.values.values())[2:] == [None, None]
    assert light.values["cabin.ua_w_per_k"] == light.parameters[0].value
    assert any("fresh_air_m3_per_h" in note for note in light.notes)


def test_time_constants_are_those_of_the_balance(light: Fit, heavy: Fit) -> None:
    """C / UA; with a structure the eigenvalues of the truth's own matrix."""
    assert derived(light, "time constant").value == pytest.approx(60 * 12 / 62, rel=0.02)
    fast, slow = sorted(-1 / np.linalg.eigvals(HEAVY.rate()[:2, :2]).real)
    assert derived(heavy, "fast").value == pytest.approx(60 * fast, rel=0.05)
    assert derived(heavy, "slow").value == pytest.approx(slow, rel=0.02)


def test_steady_watts_follow_loss_and_difference(light: Fit) -> None:
    found = derived(light, "steady heating for 20 °C (ample, snug) at 9 °C outside")
    ua = light.parameters[0]
    assert found.value == pytest.approx(11 * ua.value)
    assert found.se == pytest.approx(11 * ua.se, rel=1e-4)


def test_pre_warming_of_a_heavy_cabin_as_integrated(heavy: Fit) -> None:
    """The truth's own warming with the log's greatest power, from the log's mean outside temperature."""
    mean_c = float(np.mean(DAY.outside_c))
    hours = np.arange(0.0, 12.0, 1 / 120)
    flat = np.full_like(hours, mean_c)
    air = HEAVY.inside_c(hours, flat, np.full_like(hours, 1200.0), mean_c)
    true_h = hours[np.argmax(air >= 18.0)]
    found, energy = derived(heavy, "pre-warming to 18"), derived(heavy, "energy of pre-warming to 18")
    assert found.unit == "h"
    assert found.value == pytest.approx(true_h, rel=0.03)
    assert energy.value == pytest.approx(1.2 * found.value)


def test_half_an_hour_from_cold_with_900_w() -> None:
    """900 W of heat, 7.5 degC outside, a small cabin at 20 degC after half an hour: common practice, no source.

    UA 45 W/K is such a cabin if C = UA t / ln(1 / (1 - 12.5 K UA / 900 W)) by the closed form. A person gives 80 W.
    """
    ua = 45.0
    capacity = ua * 0.5 / log(1 / (1 - 12.5 * ua / 900))
    hours = np.arange(0.0, 2.01, 1 / 60)
    test = Test(hours, np.full_like(hours, 7.5), np.where(hours < 1, 820.0, 0.0))
    people = np.where(hours < 1, 1.0, 0.0)
    warmed = replace(test, heater_w=test.heater_w + 80 * people).inside_c(Truth(ua, capacity), 7.5)
    assert warmed[30] == pytest.approx(20.0, abs=0.01)
    fit = fit_heat(table(test, warmed + noise(len(hours)), people=people), outside_c=7.0, heater_max_w=900.0)
    assert derived(fit, "pre-warming to 20 °C from 7.5 °C outside with 900 W").value == pytest.approx(30.0, abs=1.0)
    assert derived(fit, "energy of pre-warming to 20 °C from 7.5").value == pytest.approx(0.45, abs=0.015)
    assert derived(fit, "steady heating for 20 °C at 7.5").value == pytest.approx(12.5 * ua, rel=0.01)
    assert derived(fit, "steady heating for 20 °C at 7 ").value == pytest.approx(13 * ua, rel=0.01)


def test_what_is_never_reached_is_said() -> None:
    fit = fit_heat(table(EVENING, WARM + noise(91)), comfort=[("hot", 30.0), ("off", 5.0)])
    assert not [d for d in fit.derived if d.name.startswith("pre-warming to 30")]
    assert any(
        "30 °C (hot)" in note and "never done: the temperature levels off at 21.8 °C" in note for note in fit.notes
    )
    assert any("5 °C (off)" in note and "outside is as warm already" in note for note in fit.notes)
    assert derived(fit, "steady heating for 5 °C").value == 0.0


def test_other_watts_warm_too() -> None:
    other = np.full(91, 150.0)
    inside = replace(EVENING, heater_w=EVENING.heater_w + 150).inside_c(LIGHT)
    fit = fit_heat(table(EVENING, inside + noise(91), other_w=other))
    assert fit.parameters[0].value == pytest.approx(62.0, rel=0.01)


def test_people_stay_until_another_number_is_noted() -> None:
    """Noted where it changes alone: nobody, two from the tenth row, nobody again from the fiftieth."""
    count = np.where((np.arange(91) >= 10) & (np.arange(91) < 50), 2.0, 0.0)
    inside = replace(EVENING, heater_w=EVENING.heater_w + 80 * count).inside_c(LIGHT) + noise(91)
    sparse = np.full(91, np.nan)
    sparse[[10, 50]] = 2.0, 0.0
    noted, whole = (fit_heat(table(EVENING, inside, people=column)) for column in (sparse, count))
    assert [p.value for p in noted.parameters] == [p.value for p in whole.parameters]
    assert any("empty cells of people" in note for note in noted.notes)


def test_rows_at_odd_times() -> None:
    rng = np.random.default_rng(8)
    hours = np.sort(rng.uniform(0, 3, 120))
    test = Test(hours, np.full(120, 6.0), np.where(hours < 1.5, 900.0, 0.0))
    fit = fit_heat(table(test, test.inside_c(LIGHT) + noise(120)))
    for parameter, true in zip(fit.parameters, LIGHT.numbers, strict=True):
        assert abs(parameter.value - true) < 3 * parameter.se


def test_a_gap_starts_anew() -> None:
    """An hour without rows in which the heater was switched unseen: two starting temperatures, the same cabin."""
    keep = (EVENING.hours < 0.5) | (EVENING.hours > 1.7)
    seen = Test(EVENING.hours[keep], EVENING.outside_c[keep], EVENING.heater_w[keep])
    fit = fit_heat(table(seen, WARM[keep] + noise(int(keep.sum()))))
    for parameter, true in zip(fit.parameters, LIGHT.numbers, strict=True):
        assert abs(parameter.value - true) < 3 * parameter.se
    assert any(note.startswith("1 gap: ") for note in fit.notes)
    lines = [s for s in fit.plot.series if s.name == "inside, fitted"]
    assert len(lines) == 2
    assert lines[0].x.max() < 0.5 < 1.7 < lines[1].x.min()


def test_rows_with_empty_cells_are_left_out_by_line() -> None:
    inside = WARM + noise(91)
    inside[40] = np.nan
    fit = fit_heat(table(EVENING, inside))
    assert [(left.row, left.why) for left in fit.left_out] == [(42, "a cell is empty")]
    assert (fit.rows, fit.used) == (91, 90)


def test_a_time_that_comes_twice_counts_once() -> None:
    twice = replace(EVENING, hours=np.where(np.arange(91) == 30, EVENING.hours[29], EVENING.hours))
    fit = fit_heat(table(twice, WARM + noise(91)))
    assert [(left.row, left.why) for left in fit.left_out] == [(32, "the time of the row before")]


def test_readings_without_noise_keep_their_number_of_constants() -> None:
    """Sums made up without any error, read to a hundredth or not: as many time constants as there are."""
    assert fit_heat(table(EVENING, WARM)).model == "one time constant"
    exact = DAY.inside_c(HEAVY)
    for inside in (exact, np.round(exact, 2)):
        fit = fit_heat(table(DAY, inside))
        assert [p.value for p in fit.parameters] == pytest.approx(HEAVY.numbers, rel=0.01)


def test_plot_holds_measured_and_fitted(light: Fit) -> None:
    points, fitted, outside = light.plot.series
    assert (points.kind, fitted.kind, outside.kind) == ("points", "line", "line")
    assert np.abs(points.y - fitted.y).max() < 0.5
    assert "[h]" in light.plot.x_label
    assert "[°C]" in light.plot.y_label


def test_alike_residuals_widen_the_errors() -> None:
    rng = np.random.default_rng(2)
    drift = np.zeros(91)
    for i in range(1, 91):
        drift[i] = 0.9 * drift[i - 1] + rng.normal(scale=0.1 * (1 - 0.81) ** 0.5)
    alike, white = (fit_heat(table(EVENING, WARM + e)) for e in (drift, noise(91)))
    per_residual = [fit.parameters[0].se / fit.residual_rms for fit in (alike, white)]
    assert per_residual[0] > 2 * per_residual[1]
    assert any("errors are widened" in note for note in alike.notes)
    assert not any("errors are widened" in note for note in white.notes)


def changed(inside: Floats = WARM, **columns: Floats) -> Measured:
    return table(EVENING, inside, **columns)


SHORT = evening(minutes=0.5, length_h=0.05)
NO_LOSS = Truth(0.02, 12.0)
FAINT = replace(EVENING, heater_w=EVENING.heater_w / 20)
NO_CAPACITY = Truth(62.0, 0.02)
REFUSED = {
    "heater off": (changed(heater_w=np.zeros(91)), "heater is never on: heat the cabin with a known power"),
    "negative": (changed(heater_w=np.where(np.arange(91) == 5, -3.0, 900.0)), "line 7: heater_w is negative"),
    "people": (changed(people=np.where(np.arange(91) == 5, -1.0, 1.0)), "line 7: people is negative"),
    "level": (changed(np.full(91, 20.0)), "changes by 0.0 K only .* about 4[0-9] W/K.* log the warming from cold"),
    "kilowatts": (changed(heater_w=EVENING.heater_w / 1000), "never more than 0.9 W: is it in kW"),
    "kelvin": (changed(WARM + 273.15, outside_c=EVENING.outside_c + 273.15), "about 2.. °C: is it in kelvin"),
    "Fahrenheit": (changed(1.8 * WARM + 32, outside_c=1.8 * EVENING.outside_c + 32), "about .* Fahrenheit"),
    "no warmer": (changed(outside_c=WARM - 0.5), "never more than 2 K above outside: test on a cold day"),
    "few rows": (table(evening(30), evening(30).inside_c(LIGHT)), "7 usable rows are too few: log at least 8"),
    "empty": (changed(outside_c=np.full(91, np.nan)), "outside_c is empty"),
    "backwards": (changed(40 - WARM), "does not follow the heat|tell loss and capacity apart"),
    "no loss": (table(FAINT, FAINT.inside_c(NO_LOSS) + noise(91)), "heat loss|time constant|tell loss"),
    "no capacity": (table(EVENING, EVENING.inside_c(NO_CAPACITY) + noise(91)), "thermal capacity|tell loss"),
    "short": (table(SHORT, SHORT.inside_c(Truth(62.0, 30.0)) + noise(7, sd=0.01)[0]), "too few|lasts 3 min"),
}


@pytest.mark.parametrize("case", REFUSED)
def test_logs_that_tell_nothing_are_refused(case: str) -> None:
    measured, sentence = REFUSED[case]
    with pytest.raises(InputError, match=sentence):
        fit_heat(measured)


def test_a_log_shorter_than_the_time_constant_is_refused() -> None:
    test = evening(minutes=0.25, length_h=0.3)
    with pytest.raises(InputError, match=r"lasts 18 min, the cabin's time constant is about .*: log without a break"):
        fit_heat(table(test, test.inside_c(Truth(30.0, 60.0)) + noise(len(test.hours), sd=0.001)))


def test_no_time_no_fit() -> None:
    measured = replace(changed(), time_s=None)
    with pytest.raises(InputError, match="add a column time"):
        fit_heat(measured)


def test_cooling_alone_by_hand() -> None:
    """Heater on for a moment, then exp(-t UA / C): the time constant by hand, whatever the rest."""
    hours = np.arange(0.0, 1.0, 1 / 60)
    test = Test(hours, np.full_like(hours, 5.0), np.where(hours < 0.25, 800.0, 0.0))
    inside = test.inside_c(LIGHT, 5.0)
    assert inside[40] - 5 == pytest.approx((inside[20] - 5) * exp(-(20 / 60) * 62 / 12))
    fit = fit_heat(table(test, inside + noise(len(hours), sd=0.02)))
    assert derived(fit, "time constant").value == pytest.approx(60 * 12 / 62, rel=0.01)


def test_what_instruments_do_is_told_and_so() -> None:
    """A thermometer half a kelvin high: the loss goes as one over the temperature difference."""
    inside = WARM + noise(91)
    note = next(note for note in fit_heat(changed(inside)).notes if "side by side" in note)
    told = float(note.split("makes it ")[1].split(" %")[0])
    right, wrong = (fit_heat(changed(inside + off)).parameters[0].value for off in (0.0, 0.5))
    assert 100 * (1 - wrong / right) == pytest.approx(told, abs=2.0)


@pytest.mark.parametrize("slips", [(50,), (0,), (50, 51), (90,)])
@pytest.mark.parametrize("lost", [85.0, -127.0])
def test_a_lost_sensor_is_left_out(slips: tuple[int, ...], lost: float) -> None:
    inside = WARM + noise(91)
    inside[list(slips)] = lost
    fit = fit_heat(changed(inside))
    assert [(row.row, row.why[:4]) for row in fit.left_out] == [(2 + i, "a sl") for i in slips]
    assert fit.parameters[0].value == pytest.approx(62.0, rel=0.02)


def test_a_reading_far_off_is_told_with_its_line() -> None:
    inside = WARM + noise(91)
    assert not any("far off the fit" in note for note in fit_heat(changed(inside)).notes)
    inside[50] += 6.0
    told = [note for note in fit_heat(changed(inside)).notes if "far off the fit" in note]
    assert len(told) == 1
    assert f"along: line 52 ({inside[50]:.1f} °C): slips" in told[0]


def test_the_logs_own_outside_temperature_asked_for_is_told_once() -> None:
    mean = float(np.mean(EVENING.outside_c))
    fit = fit_heat(table(EVENING, WARM + noise(91)), comfort=[("ample", 20.0)], outside_c=mean)
    names = [one.name for one in fit.derived]
    assert len(names) == len(set(names))
