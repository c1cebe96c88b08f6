"""Speed trials: the current cancels, a wild run pulls little, intervals hold the truth."""

from collections.abc import Callable

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.fits.trials import both_ways, noisy, sheet
from voyager.boat.hull import Hull, calm_power_w, propulsion_w
from voyager.boat.water import critical_speed_mps
from voyager.errors import InputError
from voyager.fits.measured import Measured
from voyager.fits.result import Fit, Floats, Parameter
from voyager.fits.trial import COEFFICIENT, TRIAL, fit_trial

TRUE_C = 95.0
SPEEDS = np.linspace(1.2, 2.6, 8)
POWERS = TRUE_C * SPEEDS**3


def cube(power_w: Floats) -> Floats:
    return np.cbrt(power_w / TRUE_C)


def steep(power_w: Floats) -> Floats:
    """Speed where P = 95 v^3.6."""
    return np.asarray((power_w / TRUE_C) ** (1 / 3.6))


def breaks_at_two(power_w: Floats) -> Floats:
    """Speed where a cube law turns into a sixth power at 2 m/s."""
    edge = TRUE_C * 2.0**3
    return np.where(power_w < edge, np.cbrt(power_w / TRUE_C), 2.0 * (power_w / edge) ** (1 / 6))


def fit(measured: Measured, draws: int = 100, seed: int = 5, **options: float) -> Fit:
    return fit_trial(measured, rng=np.random.default_rng(seed), draws=draws, **options)


def one(found: Fit, name: str) -> Parameter:
    return next(p for p in found.parameters if p.name == name)


def derived(found: Fit, name: str) -> float:
    return next(d.value for d in found.derived if d.name.startswith(name))


def test_cube_law_without_noise_comes_back_in_any_current() -> None:
    found = fit(both_ways(POWERS, SPEEDS, np.linspace(-0.7, 0.9, 8)))
    assert found.values == {COEFFICIENT: pytest.approx(TRUE_C), TRIAL: None}
    assert one(found, "exponent, left free").value == pytest.approx(3.0, abs=1e-6)
    assert found.residual_rms == pytest.approx(0.0, abs=1e-4)
    assert derived(found, "strongest current") == pytest.approx(0.9 * 3.6)
    assert (found.rows, found.used, found.left_out) == (16, 16, ())
    assert "traffic" in found.cautions


def test_fitted_boat_obeys_the_published_cube_law() -> None:
    """Ronen, JORS 62, 2011: a speed 20 % lower takes 49 % off the energy of a day."""
    found = fit(both_ways(POWERS, SPEEDS, 0.4))
    slow, full = calm_power_w(Hull(found.values[COEFFICIENT]), [0.8 * 2.0, 2.0])
    assert 100 * (slow / full - 1) == pytest.approx(-49, abs=0.3)


def test_admiralty_coefficient_comes_back() -> None:
    """Stokoe (from memory): 14 000 t, coefficient 450, 16 kn: 5286 kW; at other speeds by her cube law."""
    knots = np.array([10.0, 12.0, 14.0, 16.0, 18.0])
    power_w = 14_000 ** (2 / 3) * knots**3 / 450 * 1e3
    found = fit(both_ways(power_w, knots * 1852 / 3600, 1.0))
    assert calm_power_w(Hull(found.values[COEFFICIENT]), 16 * 1852 / 3600) == pytest.approx(5286e3, rel=1e-3)


@given(st.floats(-0.95, 0.95), st.floats(0.2, 5.0), st.floats(0.3, 3.0))
@settings(max_examples=10, deadline=None)
def test_current_changes_nothing_and_units_scale(share: float, power_times: float, speed_times: float) -> None:
    """Any current below the slowest speed leaves c; c scales as power over speed cubed, its error as c itself."""
    rng = np.random.default_rng(2)
    power = POWERS * np.exp(0.03 * rng.standard_normal(8))
    calm = one(fit(both_ways(power, SPEEDS)), "hull coefficient")
    there = one(fit(both_ways(power, SPEEDS, share * SPEEDS[0])), "hull coefficient")
    assert there.value == pytest.approx(calm.value, rel=1e-9)
    current = share * SPEEDS[0] * speed_times
    scaled = one(fit(both_ways(power * power_times, SPEEDS * speed_times, current)), "hull coefficient")
    factor = power_times / speed_times**3
    assert scaled.value == pytest.approx(calm.value * factor, rel=1e-6)
    assert scaled.se == pytest.approx(calm.se * factor, rel=1e-6)


def test_powers_that_differ_out_and_back_keep_the_cube() -> None:
    """Each way has its own power: v(P1) + u and v(P2) - u, solved by hand here."""
    there, back, current = POWERS * 1.15, POWERS * 0.9, np.linspace(-0.5, 0.5, 8)
    ground = np.stack([cube(there) + current, cube(back) - current], axis=1).ravel()
    power = np.stack([there, back], axis=1).ravel()
    names = [str(i) for i in range(8) for _ in range(2)]
    found = fit(sheet(speed_mps=list(ground), motor_w=list(power), direction=["out", "back"] * 8, run=names))
    assert found.values[COEFFICIENT] == pytest.approx(TRUE_C, rel=1e-9)
    assert derived(found, "strongest current") == pytest.approx(0.5 * 3.6)


def test_rows_without_names_are_paired_and_said_so() -> None:
    """All the way out at rising powers, then all the way back at falling ones, and one row left over."""
    power = [*POWERS[:4], *POWERS[3::-1], 5000.0]
    speed = [*(SPEEDS[:4] + 0.3), *(SPEEDS[3::-1] - 0.3), 3.0]
    found = fit(sheet(speed_mps=speed, motor_w=power, direction=["out"] * 4 + ["back"] * 4 + ["out"]))
    assert found.values[COEFFICIENT] == pytest.approx(TRUE_C)
    assert any("paired" in note for note in found.notes)
    assert [(row.row, row.why.split(":")[0]) for row in found.left_out] == [(10, "one direction only")]
    assert (found.rows, found.used) == (9, 8)


def test_missing_cells_and_single_runs_are_left_out_and_counted() -> None:
    measured = both_ways(POWERS, SPEEDS, 0.2)
    measured.numbers("speed_mps")[3] = np.nan
    measured.numbers("motor_w")[7] = np.nan
    found = fit(measured)
    assert {row.row: row.why.split(":")[0] for row in found.left_out} == {
        4: "one direction only",
        5: "no speed",
        8: "one direction only",
        9: "no motor power",
    }
    assert found.used == 12


def test_wild_run_pulls_little_and_is_named() -> None:
    speed = np.linspace(1.2, 2.6, 12)
    power = TRUE_C * speed**3 * (1 + 0.02 * np.tile([1, -1, -1, 1], 3))
    clean = fit(both_ways(power, speed)).values[COEFFICIENT]
    power[4] *= 1.6
    found = fit(both_ways(power, speed))
    assert found.values[COEFFICIENT] == pytest.approx(clean, rel=0.01)
    assert any("rows 10, 11" in note and "counts little" in note for note in found.notes)
    assert "runs that count little" in {series.name for series in found.plot.series}
    plain_mean = np.exp(np.mean(np.log(power / speed**3)))
    assert abs(plain_mean / clean - 1) > 0.03


def held(
    law: Callable[[Floats], Floats], name: str, truth: float, *, seed: int, sets: int = 200, runs: int = 12
) -> float:
    """Share of noisy sets, each with a wild run, whose 95 % interval holds the truth."""
    rng = np.random.default_rng(seed)
    hits = []
    for _ in range(sets):
        found = fit_trial(noisy(rng, law, runs=runs), rng=rng, draws=200)
        hits += [p.low <= truth <= p.high for p in found.parameters if p.name == name]
    assert len(hits) > 0.8 * sets
    return float(np.mean(hits))


@pytest.fixture(scope="module")
def many() -> dict[str, list[Parameter]]:
    rng = np.random.default_rng(11)
    found: dict[str, list[Parameter]] = {}
    for _ in range(200):
        for p in fit_trial(noisy(rng, cube), rng=rng, draws=100).parameters:
            found.setdefault(p.name, []).append(p)
    return found


@pytest.mark.parametrize(("name", "truth"), [("hull coefficient", TRUE_C), ("exponent, left free", 3.0)])
def test_intervals_hold_the_truth(many: dict[str, list[Parameter]], name: str, truth: float) -> None:
    assert len(many[name]) >= 190
    assert 0.88 <= np.mean([p.low <= truth <= p.high for p in many[name]]) <= 0.99


@pytest.mark.long
@pytest.mark.parametrize(
    ("law", "name", "truth", "runs"),
    [
        (cube, "hull coefficient", TRUE_C, 6),
        (cube, "hull coefficient", TRUE_C, 24),
        (steep, "exponent, left free", 3.6, 12),
        (breaks_at_two, "hull coefficient", TRUE_C, 16),
        (breaks_at_two, "speed where the cube law stops holding", 7.2, 16),
    ],
)
def test_intervals_hold_other_truths(law: Callable[[Floats], Floats], name: str, truth: float, runs: int) -> None:
    assert 0.88 <= held(law, name, truth, seed=3, runs=runs) <= 0.99


def test_other_exponent_gives_points_of_the_curve() -> None:
    speed = np.linspace(1.2, 2.6, 10)
    found = fit(both_ways(TRUE_C * speed**3.6, speed, 0.3))
    assert found.model.startswith("power law")
    assert one(found, "exponent, left free").value == pytest.approx(3.6)
    assert found.values[COEFFICIENT] is None
    assert all(p.key is None for p in found.parameters)
    points = np.array(found.values[TRIAL])
    assert len(points) >= 3
    assert points[:, 1] == pytest.approx(TRUE_C * (points[:, 0] / 3.6) ** 3.6, rel=1e-3)
    hull = Hull(None, trial=tuple((v / 3.6, p) for v, p in points))
    assert calm_power_w(hull, speed) == pytest.approx(TRUE_C * speed**3.6, rel=0.01)


def test_break_of_the_cube_law_is_found_with_its_froude_number() -> None:
    power = TRUE_C * np.linspace(1.2, 2.8, 16) ** 3
    found = fit(both_ways(power, breaks_at_two(power), 0.2), waterline_m=4.0)
    limit = one(found, "speed where the cube law stops holding")
    assert limit.value == pytest.approx(7.2, rel=0.03)
    assert one(found, "hull coefficient").value == pytest.approx(TRUE_C, rel=0.005)
    assert derived(found, "cube law seen to hold") == limit.value
    assert derived(found, "Froude number") == pytest.approx(limit.value / 3.6 / (9.80665 * 4.0) ** 0.5)
    points = np.array(found.values[TRIAL])
    assert np.interp(8.0, *points.T) > 1.2 * TRUE_C * (8.0 / 3.6) ** 3
    assert (np.diff(points, axis=0) > 0).all()


def slowed(deep_mps: Floats, depth_m: Floats) -> Floats:
    """Speed v of v / (1 - d) = ``deep_mps``, Lackenby's d without a midship: 1 - sqrt(tanh(g h / v^2))."""
    speed = deep_mps
    for _ in range(200):
        speed = deep_mps * np.sqrt(np.tanh(9.80665 * depth_m / speed**2))
    return speed


def test_shallow_runs_stay_apart_and_compare_by_lackenby() -> None:
    speed = np.linspace(1.7, 2.2, 16)
    depth = np.tile([30.0, 0.65], 8)
    found = fit(both_ways(TRUE_C * speed**3, slowed(speed, depth), 0.3, depth_m=depth))
    apart = [row.row for row in found.left_out if row.why.startswith("shallow water")]
    assert found.values[COEFFICIENT] == pytest.approx(TRUE_C)
    assert apart == [row for run in range(1, 16, 2) for row in (2 * run + 2, 2 * run + 3)]
    assert found.used == 16
    as_measured, corrected = [d.value for d in found.derived if d.name.startswith("coefficient of 8 shallow runs")]
    assert as_measured > 1.05 * TRUE_C
    assert corrected == pytest.approx(TRUE_C, rel=1e-6)
    assert "shallow" not in found.cautions
    assert "runs in shallow water" in {series.name for series in found.plot.series}


def test_canal_alone_is_corrected_to_deep_water_with_a_caution() -> None:
    speed, depth = np.linspace(1.7, 2.2, 8), np.full(8, 0.65)
    found = fit(both_ways(TRUE_C * speed**3, slowed(speed, depth), depth_m=depth))
    assert found.values[COEFFICIENT] == pytest.approx(TRUE_C)
    assert "shallow" in found.cautions
    assert "corrected" in found.model
    assert any("Lackenby" in note for note in found.notes)
    assert found.left_out == ()


def faster_than_waves(found: Fit) -> list[int]:
    return [row.row for row in found.left_out if "waves" in row.why]


def test_run_faster_than_its_waves_is_left_out() -> None:
    depth = np.full(8, 20.0)
    depth[7] = 0.5
    assert critical_speed_mps(0.5) < SPEEDS[7]
    assert faster_than_waves(fit(both_ways(POWERS, SPEEDS, depth_m=depth))) == [16, 17]


def test_air_is_taken_off_as_the_simulator_adds_it() -> None:
    truth = Hull(TRUE_C, air_drag_area_m2=3.0)
    wind = np.linspace(0.0, 7.0, 8)
    power = propulsion_w(truth, SPEEDS, wind_mps=wind)
    found = fit(both_ways(power, SPEEDS, wind_mps=wind), air_drag_area_m2=3.0)
    assert found.values[COEFFICIENT] == pytest.approx(TRUE_C, rel=1e-6)
    assert any("above 20 km/h" in note for note in found.notes)
    calm = fit(both_ways(propulsion_w(truth, SPEEDS), SPEEDS)).values[COEFFICIENT]
    assert calm == pytest.approx(TRUE_C + 0.5 * 1.225 * 3.0 / 0.5)


def test_one_speed_gives_a_coefficient_and_says_what_is_missing() -> None:
    found = fit(both_ways(POWERS[[3, 3, 3, 3, 3]] * [0.99, 1.01, 1.0, 0.98, 1.02], SPEEDS[[3, 3, 3, 3, 3]], 0.2))
    assert [p.name for p in found.parameters] == ["hull coefficient"]
    assert any("do not tell an exponent" in note for note in found.notes)


def changed(column: str, row: int, value: float) -> Measured:
    measured = both_ways(POWERS, SPEEDS, wind_mps=np.zeros(8), depth_m=np.full(8, 20.0))
    measured.numbers(column)[row] = value
    return measured


@pytest.mark.parametrize(
    ("measured", "words"),
    [
        (changed("motor_w", 4, -300.0), "line 6: the motor's power is -300 W"),
        (changed("motor_w", 4, 0.0), "line 6: the motor's power is 0 W"),
        (changed("speed_mps", 2, 0.0), "line 4: the speed is 0 m/s"),
        (changed("wind_mps", 2, -3.0), "line 4: a wind of -3"),
        (changed("depth_m", 2, 0.0), "line 4: a depth of 0"),
        (both_ways(np.full(501, 300.0), np.full(501, 1.5)), "501 runs are more than a trial has"),
        (both_ways(POWERS[:2], SPEEDS[:2]), "2 runs out and back are too few"),
        (both_ways(POWERS[:1], SPEEDS[:1]), "1 run out and back"),
        (sheet(speed_mps=SPEEDS, motor_w=POWERS, direction=["out"] * 8), "run the distance both ways"),
        (sheet(speed_mps=[], motor_w=[], direction=[]), "run the distance both ways"),
    ],
)
def test_refusals_say_what_to_measure(measured: Measured, words: str) -> None:
    with pytest.raises(InputError) as refused:
        fit(measured)
    assert words in str(refused.value)
    assert "\n" not in str(refused.value)


def test_air_that_takes_all_and_powers_too_far_apart_are_left_out() -> None:
    measured = both_ways(POWERS, SPEEDS, wind_mps=[0] * 7 + [40.0])
    measured.numbers("motor_w")[1] *= 3
    whys = {row.row: row.why for row in fit(measured, air_drag_area_m2=9.0).left_out}
    assert "differs too much" in whys[2]
    assert "air alone" in whys[16]


def test_same_seed_same_answer_and_plot_covers_the_runs() -> None:
    measured = noisy(np.random.default_rng(4), cube)
    first, again = fit(measured), fit(measured)
    assert first.parameters == again.parameters
    assert fit(measured, seed=6).parameters[0].value == first.parameters[0].value
    band, line = first.plot.series[:2]
    assert (band.kind, line.kind) == ("band", "line")
    assert band.y2 is not None
    assert (band.y < line.y).all()
    assert (line.y < band.y2).all()
    assert sum(series.x.size for series in first.plot.series if series.kind == "points") == 12
