"""Loss and shade of panels: coverage over invented logs, an independent model, what is left out and what is refused."""

from dataclasses import replace
from datetime import timedelta
from functools import cache
from typing import Any

import numpy as np
import pandas as pd
import pytest
from pvlib.location import Location

from tests.fits.panels_logs import HERE, ROOF, chain_kwh, dates, greensboro, hours, log, under_clouds
from voyager.boat.arrays import PanelArray
from voyager.errors import InputError
from voyager.fits.measured import Measured
from voyager.fits.panels import TILT_ERROR, against_climate, against_sun, fit_panels
from voyager.fits.panels_envelope import KNOTS, expected_best
from voyager.fits.panels_factors import PART_ERROR
from voyager.fits.panels_rows import Spans
from voyager.fits.panels_sun import Steps, clear_sky, days_sky, highest_sine, measured_sky, steps_of
from voyager.fits.result import Fit
from voyager.sky.clearness import clearness, quantiles
from voyager.sky.draws import draw
from voyager.sky.measured import day_of_year

SETS = 200
TILTED = replace(ROOF, moored_tilt_deg=30.0, moored_azimuth_deg=180.0)


def generator(seed: int = 1) -> np.random.Generator:
    return np.random.default_rng(seed)


def fit(measured: Measured, *arrays: PanelArray, **keys: Any) -> Fit:
    keys = {"lat": HERE.lat, "lon": HERE.lon, "heading_deg": 0.0, "rng": generator()} | keys
    return fit_panels(measured, arrays=arrays or (ROOF,), **keys)


@cache
def sunny_hours(array: PanelArray = TILTED, start: str = "2026-04-10", days: int = 14) -> tuple[Spans, Steps]:
    """Hours with the sun above 5° and what the array gives in them without loss."""
    spans = under_clouds(hours(start, days), generator())
    spans = spans.take(np.flatnonzero(highest_sine(clear_sky(spans, HERE), len(spans)) > 0.0872))
    return spans, steps_of(measured_sky(spans, HERE), spans, (array,), HERE)


def given(steps: Steps, rows: int, factor: tuple[float, float, float]) -> np.ndarray:
    cut = np.minimum(np.array(factor)[steps.part] * steps.energy_kwh[0], steps.most_kwh)
    return np.bincount(steps.row, cut, rows)


def covered(truth: float, low: float, high: float) -> bool:
    return low <= truth <= high


def test_intervals_with_measured_sun_hold_the_truth_of_noisy_logs() -> None:
    """Each log has a meter, a split of the sky and a part of the day that err by themselves, days and rows besides."""
    spans, steps = sunny_hours()
    rng, loss, shade = generator(11), 0.12, 0.25
    common = np.hypot(0.02, TILT_ERROR * 0.5)
    day = np.unique(spans.day, return_inverse=True)[1]
    held = np.zeros((SETS, 2), dtype=bool)
    errors = np.zeros(SETS)
    for number in range(SETS):
        true_shade = 1 - (1 - shade) * (1 + PART_ERROR * rng.standard_normal())
        factor = (1 - loss) * (1 + common * rng.standard_normal())
        energy = given(steps, len(spans), (factor * (1 - true_shade), factor, factor))
        energy *= 1 + 0.05 * rng.standard_normal(day.max() + 1)[day] + 0.08 * rng.standard_normal(len(day))
        found = against_sun((TILTED,), replace(spans, energy_kwh=energy), steps)
        assert found.factors is not None
        value, se = found.factors.shade(0)
        held[number] = covered(1 - loss, found.low, found.high), abs(value - shade) < 1.96 * se
        errors[number] = found.factor - (1 - loss)
    assert np.all((held.mean(axis=0) >= 0.88) & (held.mean(axis=0) <= 0.99)), held.mean(axis=0)
    assert abs(errors.mean()) < 0.01


def test_scatter_alone_is_covered_too_where_the_meter_is_without_fault() -> None:
    flat = replace(ROOF, name="flat")
    spans, steps = sunny_hours(flat)
    rng = generator(12)
    day = np.unique(spans.day, return_inverse=True)[1]
    held = []
    for _ in range(SETS):
        scatter = 1 + 0.05 * rng.standard_normal(day.max() + 1)[day] + 0.08 * rng.standard_normal(len(day))
        energy = given(steps, len(spans), (0.9, 0.9, 0.9)) * scatter
        found = against_sun((flat,), replace(spans, energy_kwh=energy), steps, 0.0)
        held.append(covered(0.9, found.low, found.high))
    assert 0.88 <= np.mean(held) <= 0.99


def test_intervals_without_measured_sun_hold_the_truth_over_days_drawn_as_voyages_are() -> None:
    """Days, persistence and the climate's own factor by ``sky/draws``, the road that the odds take."""
    days, loss = 30, 0.12
    spans = dates("2026-04-10", days)
    clear = steps_of(clear_sky(spans, HERE), spans, (TILTED,), HERE)
    on = [day.astype(object) for day in spans.day.astype("datetime64[D]")]
    skies = draw(3, SETS, on, HERE.lat, 0.8)
    of_year = day_of_year(spans.day.astype("datetime64[D]"))
    k = clearness(quantiles(HERE.lat, HERE.lon, of_year), skies.score) * skies.factor[:, None]
    table = steps_of(days_sky(spans, HERE, KNOTS), spans, (TILTED,), HERE).by_row(days)
    expected = expected_best(spans, (TILTED,), HERE, generator())
    rng, held, error = generator(13), [], []
    for number in range(SETS):
        energy = np.array([np.interp(k[number, d], KNOTS, table[:, d]) for d in range(days)])
        energy *= (1 - loss) * (1 + 0.03 * rng.standard_normal(days))
        found = against_climate((TILTED,), replace(spans, energy_kwh=energy), clear, expected)
        held.append(covered(1 - loss, found.low, found.high))
        error.append(found.factor - (1 - loss))
    assert 0.88 <= np.mean(held) <= 0.99
    assert abs(np.mean(error)) < 0.02


def test_clear_energy_equals_pvlibs_own_clear_sky_through_its_model_chain() -> None:
    """Location.get_clearsky and ModelChain (PVWatts: Dobos, NREL/TP-6A20-62641) share no step with ours but pvlib."""
    spans = replace(dates("2026-06-11", 1), air_c=np.array([17.0]))
    ours = steps_of(clear_sky(spans, HERE), spans, (TILTED,), HERE).by_row(1)[0, 0]
    start = pd.Timestamp(float(spans.start_s[0]), unit="s", tz="UTC")
    times = pd.date_range(start, start + timedelta(hours=24), freq="2min", inclusive="left") + timedelta(minutes=1)
    place = Location(HERE.lat, HERE.lon)
    weather = place.get_clearsky(times).assign(temp_air=17.0, wind_speed=3.06)
    theirs = chain_kwh(weather, replace(TILTED, loss_percent=0.0), 180.0, place).sum() / 30
    assert ours == pytest.approx(theirs, rel=0.005)


@pytest.mark.parametrize("month", [3])
def test_a_typical_year_through_another_model(month: int) -> None:
    """Greensboro's hours (TMY3), their own beam and diffuse, ModelChain at 12 % loss: no road of ours to the energy."""
    truth_of_a_month(month, TILTED, 180.0, within=3.0)


@pytest.mark.long
@pytest.mark.parametrize("month", range(1, 13))
@pytest.mark.parametrize(("tilt", "azimuth"), [(0.0, 180.0), (30.0, 180.0), (60.0, 90.0)])
def test_every_month_of_a_typical_year_through_another_model(month: int, tilt: float, azimuth: float) -> None:
    array = replace(ROOF, moored_tilt_deg=tilt, moored_azimuth_deg=azimuth)
    truth_of_a_month(month, array, azimuth, within=4.0 if tilt < 45 else 15.0)


@cache
def year() -> tuple[pd.DataFrame, Location, np.ndarray]:
    return greensboro()


def truth_of_a_month(month: int, array: PanelArray, azimuth: float, within: float) -> None:
    weather, place, seconds = year()
    chosen = np.asarray(weather.index.month == month)
    energy = chain_kwh(weather[chosen], replace(array, loss_percent=12.0), azimuth, place)
    lines = np.arange(len(energy)) + 2
    columns = {"energy_kwh": energy, "ghi_kwh_m2": weather.ghi.to_numpy(dtype=float)[chosen] / 1000}
    keys = {"lat": place.latitude, "lon": place.longitude, "height_m": place.altitude}
    with_sun = fit(Measured("y.csv", len(lines), columns, seconds[chosen], lines), array, **keys).parameters[0]
    assert abs(with_sun.value - 12) < within
    assert covered(12, with_sun.low, with_sun.high) or within > 10
    del columns["ghi_kwh_m2"]
    without = fit(Measured("y.csv", len(lines), columns, seconds[chosen], lines), array, **keys).parameters[0]
    assert covered(12, without.low, without.high)
    assert without.se > with_sun.se


def morning_log(array: PanelArray = TILTED, factor: tuple[float, float, float] = (0.63, 0.9, 0.9)) -> tuple[Any, Any]:
    spans, steps = sunny_hours(array)
    noise = 1 + 0.04 * generator(5).standard_normal(len(spans))
    return spans, given(steps, len(spans), factor) * noise


def test_shade_in_the_mornings_is_found_as_such() -> None:
    spans, energy = morning_log()
    found = fit(log(spans, energy), TILTED)
    shade = {d.name: d for d in found.derived}
    assert shade["shade in the morning"].value == pytest.approx(30, abs=3)
    assert shade["shade in the midday"].value == shade["shade in the afternoon"].value == 0
    assert found.parameters[0].value == pytest.approx(10, abs=2)
    assert found.values == {"array.roof.loss_percent": round(found.parameters[0].value, 1)}
    assert any("can't be told from loss" in note for note in found.notes)


def test_days_alone_tell_no_shade_and_say_so() -> None:
    spans = replace(dates("2026-04-10", 14), ghi_kwh_m2=generator().uniform(1.5, 6, 14))
    steps = steps_of(measured_sky(spans, HERE), spans, (ROOF,), HERE)
    found = fit(log(spans, given(steps, 14, (0.63, 0.9, 0.9))), ROOF)
    assert found.derived == ()
    assert any("log by hour" in note for note in found.notes)
    assert 10 < found.parameters[0].value < 37


def test_rows_with_a_full_battery_are_left_out() -> None:
    spans, energy = morning_log(factor=(0.9, 0.9, 0.9))
    full = np.zeros(len(spans))
    full[::5] = 1
    held_back = np.where(full > 0, 0.1 * energy, energy)
    found = fit(log(spans, held_back, battery_full=full), TILTED)
    kept = [out.row for out in found.left_out if "battery full" in out.why]
    assert kept == list(spans.line[::5])
    assert found.used + len(found.left_out) == found.rows
    assert found.parameters[0].value == pytest.approx(10, abs=2)
    unsaid = fit(log(spans, held_back), TILTED)
    assert unsaid.parameters[0].value > 15
    assert "battery_full" in unsaid.notes[0]
    assert not any("battery_full" in note for note in found.notes)


def test_a_controller_at_its_limit_hides_no_loss() -> None:
    limited = replace(TILTED, controller_max_w=1800.0)
    spans, steps = sunny_hours(limited)
    energy = given(steps, len(spans), (0.8, 0.8, 0.8))
    assert np.mean(energy > 1.79) > 0.1
    assert fit(log(spans, energy), limited).parameters[0].value == pytest.approx(20, abs=0.1)


def test_arrays_named_in_the_log_are_told_apart_and_unnamed_ones_share_a_loss() -> None:
    aft = PanelArray("aft", 100, 4, low_light_percent=0)
    spans, steps = sunny_hours(replace(ROOF, name="roof"))
    small = steps_of(measured_sky(spans, HERE), spans, (aft,), HERE)
    each = given(steps, len(spans), (0.9,) * 3), given(small, len(spans), (0.7,) * 3)
    twice = Measured(
        "log.csv",
        2 * len(spans),
        {
            "energy_kwh": np.stack(each, axis=1).ravel(),
            "ghi_kwh_m2": np.repeat(spans.ghi_kwh_m2, 2),
            "array": ("roof", "Aft") * len(spans),
        },
        np.repeat(spans.start_s, 2),
        np.arange(2 * len(spans)) + 2,
    )
    found = fit(twice, ROOF, aft)
    assert found.values == pytest.approx({"array.roof.loss_percent": 10.0, "array.aft.loss_percent": 30.0}, abs=0.1)
    together = fit(log(spans, each[0] + each[1]), ROOF, aft)
    assert len({p.value for p in together.parameters}) == 1
    assert [p.key for p in together.parameters] == ["array.roof.loss_percent", "array.aft.loss_percent"]


def test_mean_power_and_ends_of_rows_mean_the_same_energy() -> None:
    spans, energy = morning_log(factor=(0.9, 0.9, 0.9))
    by_energy = fit(log(spans, energy), TILTED)
    by_power = fit(log(spans, energy, energy_kwh=None, power_w=1000 * energy), TILTED)
    late = log(spans, energy)
    at_end = fit(replace(late, time_s=spans.end_s), TILTED, stamp="end")
    assert at_end.parameters == by_energy.parameters
    assert by_power.parameters[0].value == pytest.approx(by_energy.parameters[0].value)
    assert by_power.residual_rms == pytest.approx(by_energy.residual_rms)


def test_the_night_and_the_low_sun_are_left_out() -> None:
    spans = under_clouds(hours("2026-04-10", 7), generator())
    steps = steps_of(measured_sky(spans, HERE), spans, (ROOF,), HERE)
    found = fit(log(spans, given(steps, len(spans), (0.9, 0.9, 0.9))), ROOF)
    why = {out.why for out in found.left_out}
    assert why == {"the sun is down", "the sun is lower than 5°"}
    assert found.used + len(found.left_out) == found.rows == 168


def short(rows: int, **columns: Any) -> Measured:
    spans, energy = morning_log(factor=(0.9, 0.9, 0.9))
    kept = spans.take(np.arange(rows))
    return log(kept, energy[:rows], **columns)


REFUSED = [
    (lambda: (short(20, energy_kwh=np.full(20, -0.1)), {}), "negative"),
    (lambda: (short(1, ghi_kwh_m2=None), {}), "one time alone"),
    (lambda: (short(2), {}), "log at least a week"),
    (lambda: (short(20, energy_kwh=np.full(20, 900.0)), {}), "is it in Wh"),
    (lambda: (short(20, energy_kwh=np.full(20, 5.0)), {}), "are all panels in the boat file"),
    (lambda: (short(20, energy_kwh=None, power_w=np.full(20, 0.9)), {}), "is it in kW"),
    (lambda: (short(20, energy_kwh=np.zeros(20)), {}), "gave nothing"),
    (lambda: (short(20, ghi_kwh_m2=np.full(20, 400.0)), {}), "is it in Wh/m²"),
    (lambda: (short(20, battery_full=np.ones(20)), {}), "does not fill up"),
    (lambda: (short(20), {"array": "rooof"}), 'was "roof" meant'),
    (lambda: (short(20, array=("Raft",) * 20), {}), 'no array "Raft"'),
    (lambda: (short(20), {"heading_deg": None}), "--heading-deg"),
    (lambda: (short(20, ghi_kwh_m2=None), {}), "usable days without measured sun"),
    (lambda: (short(20), {"stamp": "middle"}), '"start" or the "end"'),
    (lambda: (short(20), {"lat": 100.0}), "no place"),
    (lambda: (log(dates("2026-12-15", 8), np.ones(8)), {"lat": 80.0}), "the sun is down in every row"),
]


@pytest.mark.parametrize(("made", "words"), REFUSED, ids=[words for _, words in REFUSED])
def test_what_cannot_be_is_refused_in_one_sentence(made: Any, words: str) -> None:
    measured, keys = made()
    with pytest.raises(InputError) as told:
        fit(measured, TILTED, **keys)
    assert words in str(told.value)
    assert "\n" not in str(told.value)


def test_times_without_their_offset_are_noticed() -> None:
    spans = under_clouds(hours("2026-04-10", 7), generator())
    steps = steps_of(measured_sky(spans, HERE), spans, (ROOF,), HERE)
    measured = log(spans, given(steps, len(spans), (0.9, 0.9, 0.9)))
    with pytest.raises(InputError, match="while the sun is down"):
        fit(replace(measured, time_s=spans.start_s + 6 * 3600), ROOF)


def test_a_log_without_a_sunny_day_is_refused() -> None:
    spans = dates("2026-04-10", 14)
    dull = steps_of(days_sky(spans, HERE, np.array([0.1])), spans, (ROOF,), HERE).by_row(14)[0]
    with pytest.raises(InputError, match="no sunny day in the log"):
        fit(log(spans, 0.9 * dull), ROOF)


def test_a_few_winter_days_cannot_tell_dull_weather_from_loss() -> None:
    spans = dates("2026-12-05", 5)
    grey = steps_of(days_sky(spans, HERE, np.array([0.4])), spans, (ROOF,), HERE).by_row(5)[0]
    with pytest.raises(InputError, match="can't tell dull weather from loss"):
        fit(log(spans, 0.9 * grey), ROOF)


def test_winter_days_carry_a_warning_of_their_bias() -> None:
    for start, warned in (("2026-11-20", True), ("2026-05-20", False)):
        spans = dates(start, 20)
        sky = clearness(quantiles(HERE.lat, HERE.lon, 150), generator().standard_normal(20))
        table = steps_of(days_sky(spans, HERE, sky), spans, (ROOF,), HERE).by_row(20)
        found = fit(log(spans, 0.9 * np.diag(table)), ROOF)
        assert any("dark months" in note for note in found.notes) == warned
        assert all(np.all(np.isfinite(line.y)) and len(line.x) == len(line.y) for line in found.plot.series)
