"""Models towed or powered: published example, known truths, cover of the intervals, refusals, comparison."""

from collections.abc import Mapping
from typing import Any

import numpy as np
import pytest

from voyager.boat.fluid import Fluid, fluid
from voyager.boat.friction import force_n, pressure_n
from voyager.boat.hull import Hull, air_power_w, calm_power_w
from voyager.errors import InputError
from voyager.fits.measured import Measured
from voyager.fits.model import fit_model
from voyager.fits.model_rows import gather
from voyager.fits.model_scale import full_size_coefficient
from voyager.fits.result import Fit, Floats

G = 9.80665
LENGTH, WETTED, SCALE, K = 1.6, 0.62, 8.0, 0.18
GIVEN: Mapping[str, Any] = {"model_length_m": LENGTH, "wetted_m2": WETTED, "scale": SCALE}
SPEEDS = np.linspace(0.4, 1.4, 16)
SIZE_NAME = "full-size waterline"


def line_1957(speed: Floats | float, length: float, water: Fluid) -> Floats:
    """Written again, not the program's own."""
    return np.asarray(0.075 / np.log10(np.asarray(speed) * length / water.viscosity_m2_s / 100) ** 2)


def towed_n(speed: Floats, k: float = K, low: float = 0.15, high: float = 4.0) -> Floats:
    """A made-up model: friction with its form factor, waves by the fourth and the eighth power of Froude's number."""
    water = fluid("fresh", 15.0)
    number = speed / np.sqrt(G * LENGTH)
    total = (1 + k) * line_1957(speed, LENGTH, water) + low * number**4 + high * number**8
    return np.asarray(total * 0.5 * water.density_kg_m3 * WETTED * speed**2)


def runs(speed: Floats, **columns: Any) -> Measured:
    n = len(speed)
    return Measured("tank.csv", n, {"speed_mps": speed, **columns}, None, np.arange(2, n + 2))


def fitted(speed: Floats = SPEEDS, noise: float = 0.0, seed: int = 0, **options: Any) -> Fit:
    force = towed_n(speed) + noise * np.random.default_rng(seed).standard_normal(len(speed))
    return fit_model(runs(speed, force_n=force), **{**GIVEN, **options})


def derived(fit: Fit, name: str) -> float:
    return next(row.value for row in fit.derived if row.name == name)


def told(fit: Fit, *words: str) -> bool:
    return any(all(word in note for word in words) for note in fit.notes)


def test_published_example() -> None:
    """Tupper, Introduction to Naval Architecture, Example 8.1: 140 m ship at 15 kn from a 4.9 m model's 19 N.

    The model's coefficient of friction there, 0.003172, is not the line of 1957's (0.003266); it is taken as printed.
    """
    ship_mps = 15 * 1852 / 3600
    model_mps = ship_mps * np.sqrt(4.9 / 140)
    total = 19 / pressure_n(1000.0, 3300 * (4.9 / 140) ** 2, model_mps)
    full = full_size_coefficient(total, 3.172e-3, 1.553e-3, correlation=0.0004)
    assert model_mps == pytest.approx(1.44, abs=0.005)
    assert float(full) == pytest.approx(0.003317, rel=0.01)
    assert float(force_n(full, 1025.0, 3300.0, ship_mps)) == pytest.approx(334_100, rel=0.01)


def test_form_factor_of_slow_runs_without_error() -> None:
    """Prohaska's line is exact where the waves of the slow runs are of the fourth power."""
    speed = np.linspace(0.1, 0.34, 13) * np.sqrt(G * LENGTH)
    fit = fit_model(runs(speed, force_n=towed_n(speed, high=0.0)), **GIVEN)
    assert fit.parameters[0].name == "form factor"
    assert fit.parameters[0].value == pytest.approx(K, abs=1e-9)
    assert "Prohaska" in fit.model


def test_runs_scaled_up_by_hand() -> None:
    """Every step again, run by run: coefficients at equal Froude number, salt water of 10 degC, air, efficiency."""
    fit = fitted(ship_water="salt", ship_water_c=10.0, air_drag_area_m2=2.0, propulsive_efficiency=0.45)
    k = fit.parameters[0].value
    tank, sea = fluid("fresh", 15.0), fluid("salt", 10.0)
    expected = []
    for speed, force in zip(SPEEDS, towed_n(SPEEDS), strict=True):
        total = force / (0.5 * tank.density_kg_m3 * WETTED * speed**2)
        full = speed * SCALE**0.5
        waves = total - (1 + k) * line_1957(speed, LENGTH, tank)
        coefficient = (1 + k) * line_1957(full, LENGTH * SCALE, sea) + waves + 0.0004
        resistance = coefficient * 0.5 * sea.density_kg_m3 * WETTED * SCALE**2 * full**2 + 0.5 * 1.225 * 2.0 * full**2
        expected.append(resistance * full / 0.45)
    points = next(series for series in fit.plot.series if series.kind == "points")
    assert points.x == pytest.approx(SPEEDS * SCALE**0.5 * 3.6)
    assert points.y == pytest.approx(expected, rel=1e-9)


def test_boat_file_gives_back_the_curve_with_its_air() -> None:
    """The trial leaves air out: the boat's own air drag brings the power back to that of the table."""
    fit = fitted(air_drag_area_m2=3.0)
    trial = fit.values["hull.trial"]
    hull = Hull(None, tuple((v / 3.6, w) for v, w in trial), air_drag_area_m2=fit.values["hull.air_drag_area_m2"])
    assert fit.values["hull.coefficient_w_per_mps3"] is None
    assert (np.diff(trial, axis=0) > 0).all()
    for kmh in (6, 8, 10):
        power = calm_power_w(hull, kmh / 3.6) + air_power_w(hull, kmh / 3.6, 0.0)
        assert float(power) == pytest.approx(derived(fit, f"battery power at {kmh} km/h"), rel=0.02)


def cubic_n(speed: Floats, c: float, form: float) -> Floats:
    """What a model must show whose full-size boat needs exactly c v^3 at an efficiency of a half."""
    water = fluid("fresh", 15.0)
    full = c * 0.5 / (0.5 * water.density_kg_m3 * WETTED * SCALE**2)
    less = line_1957(speed, LENGTH, water) - line_1957(speed * SCALE**0.5, LENGTH * SCALE, water)
    return np.asarray((full - 0.0004 + form * less) * 0.5 * water.density_kg_m3 * WETTED * speed**2)


def test_a_cube_comes_back_as_its_coefficient() -> None:
    speed = np.linspace(0.85, 1.35, 9)
    fit = fit_model(runs(speed, force_n=cubic_n(speed, 150.0, 1.0)), **GIVEN)
    coefficient = fit.parameters[-1]
    assert coefficient.key == "hull.coefficient_w_per_mps3"
    assert coefficient.value == pytest.approx(150.0, rel=1e-9)
    assert fit.values == {"hull.coefficient_w_per_mps3": 150.0, "hull.trial": None}
    assert fit.residual_rms == pytest.approx(0.0, abs=1e-6)
    assert derived(fit, "cube law within 10 % up to") == pytest.approx(1.35 * SCALE**0.5 * 3.6)
    assert told(fit, "no form factor", "0.40 and 0.79 m/s")


def test_residual_is_that_of_the_runs_about_the_cube() -> None:
    """Root mean square over the cruising runs, those up to Froude 0.35, of points drawn less c v^3."""
    fit = fitted(noise=0.02)
    points = next(series for series in fit.plot.series if series.kind == "points")
    speed = points.x / 3.6
    cruise = speed <= 0.35 * np.sqrt(G * LENGTH * SCALE)
    left = (points.y - fit.parameters[-1].value * speed**3)[cruise]
    assert 3 < cruise.sum() < len(speed)
    assert fit.residual_rms == pytest.approx(np.sqrt(np.mean(left**2)), rel=1e-6)


def test_where_the_cube_law_ends() -> None:
    """The curve's own quotient at the speed told is a tenth from the cube, to the grid."""
    fit = fitted(cruise_from_kmh=4, cruise_to_kmh=8)
    end = derived(fit, "cube law within 10 % up to")
    curve = next(series for series in fit.plot.series if series.name == "curve")
    c = fit.parameters[-1].value
    ratio = np.interp(end, curve.x, curve.y) / (c * (end / 3.6) ** 3)
    assert ratio == pytest.approx(1.10, abs=0.01)
    assert fit.values["hull.coefficient_w_per_mps3"] == pytest.approx(c, abs=0.006)


@pytest.fixture(scope="module", params=["alike", "in proportion"])
def cover(request: pytest.FixtureRequest) -> Mapping[str, float]:
    """Share of 200 noisy sets whose 95 % interval holds the truth; the coefficient's is that of runs without error."""
    speed = np.linspace(0.1, 0.36, 14) * np.sqrt(G * LENGTH)
    force = towed_n(speed)
    error = np.full(14, 0.01) if request.param == "alike" else 0.02 * force
    whole = {p.name: p.value for p in fit_model(runs(speed, force_n=force), **GIVEN).parameters}
    truth = {"form factor": K, "hull coefficient": whole["hull coefficient"]}
    assert whole["form factor"] == pytest.approx(K, abs=2e-3)
    rng, held = np.random.default_rng(12), dict.fromkeys(truth, 0)
    for _ in range(200):
        wrong = force + error * rng.standard_normal(14)
        for p in fit_model(runs(speed, force_n=wrong), **GIVEN).parameters:
            held[p.name] += p.low <= truth[p.name] <= p.high
    return {name: count / 200 for name, count in held.items()}


@pytest.mark.parametrize("name", ["form factor", "hull coefficient"])
def test_intervals_hold_the_truth(cover: Mapping[str, float], name: str) -> None:
    assert 0.88 <= cover[name] <= 0.99


def test_the_kind_of_error_is_told() -> None:
    rng = np.random.default_rng(4)
    speed = np.linspace(0.3, 1.3, 20)
    share = towed_n(speed) * (1 + 0.02 * rng.standard_normal(20))
    assert told(fit_model(runs(speed, force_n=share), **GIVEN), "err in proportion", "% of what was measured")
    assert told(fitted(speed, noise=0.02, seed=4), "equally unsure", " N (standard deviation)")


def test_a_powered_model_tells_the_same_as_a_towed_one() -> None:
    """Power is force times speed over the model's own efficiency."""
    towed = fitted()
    powered = fit_model(runs(SPEEDS, power_w=towed_n(SPEEDS) * SPEEDS / 0.3), **GIVEN, model_efficiency=0.3)
    assert powered.parameters[-1].value == pytest.approx(towed.parameters[-1].value, rel=0.01)
    points = [next(s for s in fit.plot.series if s.kind == "points").y for fit in (towed, powered)]
    assert points[0] == pytest.approx(points[1], rel=0.01)


def test_rows_left_out_are_told_by_line() -> None:
    speed = np.concatenate([SPEEDS, [np.nan, 0.0, 1.0, 4.5]])
    force = np.concatenate([towed_n(SPEEDS), [1.0, 0.0, np.nan, 30.0]])
    fit = fit_model(runs(speed, force_n=force), **GIVEN)
    assert [row.row for row in fit.left_out] == [18, 19, 20, 21]
    assert [row.why for row in fit.left_out][:3] == ["no speed_mps", "standing still", "no force_n"]
    assert "planing" in fit.left_out[3].why
    assert fit.used == 16


def test_options_and_columns_say_the_same() -> None:
    columns = {name: np.full(16, value) for name, value in GIVEN.items()}
    one = fit_model(runs(SPEEDS, force_n=towed_n(SPEEDS), **columns))
    assert one.parameters == fitted().parameters


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"speed_mps": np.array([0.5, -0.6, 0.7, 0.8])}, ("line 3", "negative speed_mps")),
        ({"force_n": np.array([0.5, 0.6, 0.0, 0.8])}, ("line 4", "zero the balance")),
        ({"wetted_m2": None}, ("wetted surface is missing", "--wetted-m2")),
        ({"scale": None}, ("scale", "missing")),
        (
            {"model_length_m": None, "wetted_m2": None},
            ("length and", "surface are missing", "--model-length-m, --wetted"),
        ),
        ({"scale": 0.125}, ("above 1", "8 is probably meant")),
        ({"scale": 1.0}, ("above 1",)),
        ({"scale": 1000.0}, ("a boat of 1600 m",)),
        ({"wetted_m2": 6200.0}, ("0.62 m2 is probably meant",)),
        ({"wetted_m2": WETTED * SCALE**2}, ("0.3968 or 0.62 m2 is probably meant",)),
        ({"displacement_kg": 9000.0}, ("9 or 17.58 kg is probably meant",)),
        ({"displacement_kg": 9.0, "payload_kg": 12.0}, ("payload_kg 12 is not below",)),
        ({"model_length_m": -1.6}, ("model_length_m", "above 0")),
        ({"water": "brine"}, ("fresh or salt",)),
        ({"water_c": 60.0}, ("--water-c 60", "°C")),
        ({"propulsive_efficiency": 45.0}, ("0.45 is probably meant",)),
        ({"propulsive_efficiency": 0.0}, ("share above 0",)),
        ({"correlation": 0.4}, ("--correlation 0.4",)),
        ({"air_drag_area_m2": -1.0}, ("can't be below 0",)),
        ({"cruise_from_kmh": 8.0, "cruise_to_kmh": 6.0}, ("must be below",)),
        (
            {"cruise_from_kmh": 20.0, "cruise_to_kmh": 30.0},
            ("20.0 to 30.0 km/h", "run the model between 1.96 and 2.95"),
        ),
        ({"compare_by": "price"}, ("displacement or payload",)),
        ({"tank_width_m": 0.0}, ("--tank-width-m 0",)),
        ({"model": "Z"}, ("no runs of it",)),
        ({"wetted_m2": 3.5}, ("friction alone",)),
    ],
)
def test_refusals_say_what_would_mend_them(change: dict[str, Any], words: tuple[str, ...]) -> None:
    speed = change.pop("speed_mps", SPEEDS)
    force = change.pop("force_n", towed_n(np.abs(speed)))
    with pytest.raises(InputError) as caught:
        fit_model(runs(speed[: len(force)], force_n=force[: len(speed)]), **{**GIVEN, **change})
    assert all(word in str(caught.value) for word in words), str(caught.value)
    assert "\n" not in str(caught.value)


def test_too_few_speeds_say_which_to_run() -> None:
    speed = np.repeat([0.5, 0.8, 1.1], 3)
    with pytest.raises(InputError, match=r"fewer than 4 speeds: tow at 4 or more, better 10, from 0\.40 to 1\.58 m/s"):
        fit_model(runs(speed, force_n=towed_n(speed)), **GIVEN)


def test_a_powered_model_needs_its_own_efficiency() -> None:
    with pytest.raises(InputError, match="--model-efficiency"):
        fit_model(runs(SPEEDS, power_w=towed_n(SPEEDS)), **GIVEN)


def test_what_the_tank_does_to_the_runs_is_said() -> None:
    tight = fitted(displacement_kg=9.0, tank_width_m=1.5, tank_depth_m=0.3)
    assert told(tight, "blockage", "2.1 %")
    assert told(tight, "narrower than 2 lengths")
    assert told(tight, "feel the bottom", "1.20 m/s")
    wide = fitted(displacement_kg=9.0, tank_width_m=10.0, tank_depth_m=3.0)
    assert not told(wide, "blockage")
    assert not told(wide, "narrower")
    assert not told(wide, "bottom")
    assert wide.cautions == ("towing",)


def test_laminar_flow_is_said_unless_tripped() -> None:
    """Reynolds number 5e5 of a 1.6 m model at 15 degC is 0.356 m/s."""
    speed = np.linspace(0.3, 1.3, 11)
    assert told(fitted(speed), "1 of 11 runs is below", "laminar")
    assert not told(fitted(speed, tripped=True), "laminar")


def test_slow_runs_that_scatter_give_no_form_factor() -> None:
    fit = fitted(noise=0.15, seed=3)
    assert [p.name for p in fit.parameters] == ["hull coefficient"]
    assert told(fit, "no form factor", "scatter")
    assert fit.model.endswith("no form factor")


def test_a_wild_run_is_named() -> None:
    force = towed_n(SPEEDS) + 0.01 * np.random.default_rng(1).standard_normal(16)
    force[9] += 0.5
    assert told(fit_model(runs(SPEEDS, force_n=force), **GIVEN), "line 11", "stands out")
    assert not told(fitted(noise=0.01, seed=1), "stands out")


def two(a: Floats, b: Floats, kg: tuple[float, float] = (9.0, 9.0), **options: Any) -> Fit:
    names = ("A",) * 16 + ("B",) * 16
    columns = {"force_n": np.concatenate([a, b]), "model": names, "displacement_kg": np.repeat(kg, 16)}
    return fit_model(runs(np.tile(SPEEDS, 2), **columns), **{**GIVEN, **options})


def noisy(seed: int, factor: float = 1.0) -> Floats:
    return factor * towed_n(SPEEDS) + 0.01 * np.random.default_rng(seed).standard_normal(16)


def test_who_needs_least_at_the_same_displacement() -> None:
    fit = two(noisy(1, 1.1), noisy(2))
    least = [row.name for row in fit.derived if row.name.endswith("(least)")]
    assert least
    assert all("compared at 4608 kg of displacement" in name and ", B " in name for name in least)
    assert told(fit, "B needs least")
    assert told(fit, "gets the values of model B")
    assert derived(fit, f"{SIZE_NAME}, A") == pytest.approx(12.8)


def test_the_named_model_goes_into_the_boat_file() -> None:
    fit = two(noisy(1, 1.1), noisy(2), model="A")
    assert told(fit, "gets the values of model A")
    assert fit.values["hull.trial"] == pytest.approx(
        np.array(fit_model(runs(SPEEDS, force_n=noisy(1, 1.1)), **GIVEN).values["hull.trial"])
    )


def test_twins_are_not_told_apart() -> None:
    assert told(two(noisy(1), noisy(2)), "do not tell A and B apart")


def test_models_at_other_loadings_are_not_compared() -> None:
    """Amid 9 and 10.8 kg at scale 8 lie 5069 kg; a model was run there by neither."""
    fit = two(noisy(1), noisy(2), kg=(9.0, 10.8))
    assert told(fit, "model A was not run at 5069 kg", "9.9 kg")
    assert told(fit, "no two models can be compared")
    assert not any(row.name.startswith("compared") for row in fit.derived)


def test_a_model_is_read_between_two_loadings() -> None:
    """A straight line of power between 8 and 10 kg: at 9 kg the mean of both, errors by their root sum of squares."""
    speed = np.tile(SPEEDS, 3)
    force = np.concatenate([noisy(1), noisy(2, 0.9), noisy(3, 1.1)])
    columns = {
        "force_n": force,
        "model": ("A",) * 16 + ("B",) * 32,
        "payload_kg": np.repeat([9.0, 8.0, 10.0], 16),
    }
    fit = fit_model(runs(speed, **columns), **GIVEN, compare_by="payload")
    apart = [row for row in fit.derived if row.name.startswith("battery power at 8 km/h, B at")]
    between = next(
        row for row in fit.derived if row.name.startswith("compared at 4608 kg of payload: battery power at 8 km/h, B")
    )
    assert between.value == pytest.approx((apart[0].value + apart[1].value) / 2)
    assert between.se == pytest.approx(np.hypot(apart[0].se or 0, apart[1].se or 0) / 2)


def test_a_payload_asked_for_must_be_known() -> None:
    with pytest.raises(InputError, match="model A: its payload is not known: add a column payload_kg"):
        two(noisy(1), noisy(2), compare_by="payload")


def test_speeds_that_do_not_overlap_are_refused() -> None:
    speed = np.concatenate([np.linspace(0.4, 0.8, 8), np.linspace(0.9, 1.3, 8)])
    columns = {"force_n": towed_n(speed), "model": ("A",) * 8 + ("B",) * 8, "displacement_kg": np.full(16, 9.0)}
    with pytest.raises(InputError, match="do not overlap"):
        fit_model(runs(speed, **columns), **GIVEN)


def test_runs_are_sorted_by_speed_and_keep_their_lines() -> None:
    found, left = gather(runs(SPEEDS[::-1].copy(), force_n=towed_n(SPEEDS)[::-1].copy()), GIVEN)
    assert left == ()
    assert found[0].speed_mps == pytest.approx(SPEEDS)
    assert list(found[0].line) == list(range(17, 1, -1))


def test_errors_are_as_large_as_the_scatter() -> None:
    """Twice the noise, twice the standard error: mean of a few sets."""
    se = [np.mean([fitted(noise=noise, seed=s).parameters[-1].se for s in range(8)]) for noise in (0.005, 0.01)]
    assert se[1] / se[0] == pytest.approx(2.0, rel=0.2)
