"""A speed trial: runs both ways give the hull's coefficient, or its curve where that is no cube law."""

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np

from voyager.boat.hull import CUBE_LAW_FROUDE, Hull, midship_area
from voyager.boat.water import froude
from voyager.errors import InputError
from voyager.fits.measured import Measured
from voyager.fits.result import Derived, Fit, Floats, LeftOut, Parameter, Plot, Series
from voyager.fits.trial_curve import BROKEN, CUBE, POWER, RUNS_FOR, Curve, best_kind, fit_curve, possible
from voyager.fits.trial_runs import BOTH_WAYS, Runs, read_runs

COEFFICIENT, TRIAL = "hull.coefficient_w_per_mps3", "hull.trial"
KMH = 3.6
TURNING = 0.1
"""A current that changes by more than this part of the slowest run's speed is told of: common practice, no source."""
SHALLOW_DELTA = 0.01
"""Runs whose depth takes more than this share of their speed (about 3 % more power) are not counted as deep."""
WIND_LIMIT_MPS = 20 / 3.6
"""Wind beyond which a trial is doubtful (common practice, no source)."""
TRIAL_POINTS = 8
NEAR_CUBE = 0.2
"""An exponent so near to 3 changes power by 10 % over the usual range of speeds: no word is lost about it."""
MODELS = {
    CUBE: "cube law, P = c v³",
    POWER: "power law, P ~ vⁿ: not a cube",
    BROKEN: "cube law up to a speed, steeper beyond it",
}


@dataclass(frozen=True)
class _Trial:
    """The runs sorted: those that the curve goes through, those in shallow water, and the curve."""

    runs: Runs
    shallow: Runs
    corrected: bool
    curve: Curve
    free: Curve | None


def fit_trial(
    measured: Measured,
    *,
    rng: np.random.Generator,
    waterline_m: float | None = None,
    draught_m: float | None = None,
    beam_m: float | None = None,
    midship_area_m2: float | None = None,
    air_drag_area_m2: float = 0.0,
    propulsive_efficiency: float = 0.5,
    draws: int = 400,
) -> Fit:
    """Power through calm deep water from runs over the ground, out and back (columns as in ``files/measured``).

    Each run's half sum of the speeds out and back is free of the current. ln P against ln v is fitted by a smooth L1
    loss, so that a wild run pulls little; errors come from ``draws`` weighted copies of the runs, intervals from
    Student's t. A cube law is kept unless AICc is better by 2 for a free exponent or for a cube law that breaks off;
    the boat file then gets points of the curve. Runs in shallow water by Lackenby's formula are kept apart; too few
    deep ones, and all are corrected to deep water. With an air drag area the air's part (wind of unknown direction at
    its mean effect, else a calm) is taken off, as the simulator adds it again.

    InputError where nothing can be told: one direction only, speed or power not above 0, fewer than 3 runs.
    """
    hull = Hull(
        None,
        waterline_m=waterline_m,
        beam_m=beam_m,
        draught_m=draught_m,
        midship_area_m2=midship_area_m2,
        air_drag_area_m2=air_drag_area_m2,
        propulsive_efficiency=propulsive_efficiency,
    )
    runs, left, paired = read_runs(measured, hull, midship_area(hull))
    trial = _fitted(runs, rng, draws)
    return Fit(
        kind="trial",
        rows=measured.rows,
        used=sum(map(len, trial.runs.rows)),
        left_out=tuple(sorted([*measured.left_out, *left, *_set_apart(trial)], key=lambda one: one.row)),
        model=MODELS[trial.curve.kind] + (", shallow runs corrected to deep water" if trial.corrected else ""),
        parameters=tuple(_parameters(trial)),
        derived=tuple(_derived(trial, waterline_m)),
        residual_rms=100 * float(np.sqrt(np.mean(trial.curve.residuals**2))),
        residual_unit="%",
        plot=_plot(trial),
        cautions=("traffic", *(["shallow"] if trial.corrected else [])),
        notes=(*measured.notes, *paired, *_notes(trial, hull)),
        values=_values(trial),
    )


def _fitted(runs: Runs, rng: np.random.Generator, draws: int) -> _Trial:
    shallow = runs.delta > SHALLOW_DELTA
    corrected = bool(shallow.any() and (~shallow).sum() < RUNS_FOR[CUBE])
    used = _deep_equal(runs) if corrected else runs.some(~shallow)
    if len(used) < RUNS_FOR[CUBE]:
        noun = "run" if len(used) == 1 else "runs"
        raise InputError(
            f"{len(used)} {noun} out and back are too few for a coefficient and its error: {BOTH_WAYS}, "
            "at 5 or more different speeds"
        )
    speed, power = used.speed_mps, used.power_w
    curve = fit_curve(best_kind(speed, power), speed, power, rng, draws)
    free = None
    if POWER in possible(speed):
        free = curve if curve.kind == POWER else fit_curve(POWER, speed, power, rng, draws)
    return _Trial(used, runs.some(shallow), corrected, curve, free)


def _deep_equal(runs: Runs) -> Runs:
    """The runs at the deep-water speed that their power would give, v / (1 - delta)."""
    return replace(runs, speed_mps=runs.speed_mps / (1 - runs.delta))


def _set_apart(trial: _Trial) -> list[LeftOut]:
    if trial.corrected:
        return []
    why = f"shallow water: kept apart from the {len(trial.runs)} deep runs"
    return [LeftOut(row, why) for rows in trial.shallow.rows for row in rows]


def _parameters(trial: _Trial) -> Iterator[Parameter]:
    curve = trial.curve
    if curve.kind != POWER:
        key = COEFFICIENT if curve.kind == CUBE else None
        c, share = float(np.exp(curve.values[0])), float(curve.error(curve.drawn[:, 0]))
        yield _shared("hull coefficient", key, c, share, "W/(m/s)³", curve)
    if curve.kind == BROKEN:
        limit, share = float(np.exp(curve.values[2])) * KMH, curve.break_error()
        yield _shared("speed where the cube law stops holding", None, limit, share, "km/h", curve)
        yield _plain("exponent beyond it", 3 + float(curve.values[1]), float(curve.error(curve.drawn[:, 1])), curve)
    elif trial.free is not None:
        n, free = float(trial.free.values[1]), trial.free
        yield _plain("exponent, left free", n, float(free.error(free.drawn[:, 1])), free)


def _shared(name: str, key: str | None, value: float, share: float, unit: str, curve: Curve) -> Parameter:
    """A number fitted as its logarithm, whose standard error is ``share``."""
    reach = float(np.exp(curve.reach() * share))
    return Parameter(name, key, value, value * share, value / reach, value * reach, unit)


def _plain(name: str, value: float, se: float, curve: Curve) -> Parameter:
    return Parameter(name, None, value, se, value - curve.reach() * se, value + curve.reach() * se, "-")


def _derived(trial: _Trial, waterline_m: float | None) -> Iterator[Derived]:
    top = _holds_to_mps(trial)
    if top is not None:
        yield Derived("cube law seen to hold up to", top * KMH, None, "km/h")
        if waterline_m is not None:
            yield Derived("Froude number there", float(froude(top, waterline_m)), None, "-")
    middle = np.array([float(np.exp(np.log(trial.runs.speed_mps).mean()))])
    power, share = float(np.exp(trial.curve.log_power(middle)[0])), trial.curve.band(middle)[0] / trial.curve.reach()
    yield Derived(f"power at {KMH * middle[0]:.1f} km/h", power, power * float(share), "W")
    yield Derived("strongest current met", KMH * float(np.abs(trial.runs.current_mps).max()), None, "km/h")
    if len(trial.shallow):
        kind = "shallow run" if len(trial.shallow) == 1 else "shallow runs"
        many = f"{len(trial.shallow)} {kind}"
        yield _coefficient(f"coefficient of {many}, as measured", trial.shallow)
        yield _coefficient(f"coefficient of {many}, corrected to deep water (Lackenby)", _deep_equal(trial.shallow))


def _holds_to_mps(trial: _Trial) -> float | None:
    if trial.curve.kind == BROKEN:
        return float(np.exp(trial.curve.values[2]))
    return float(trial.runs.speed_mps.max()) if trial.curve.kind == CUBE else None


def _coefficient(name: str, runs: Runs) -> Derived:
    """Geometric mean of P / v^3, its standard error from the runs' own scatter (None from one run)."""
    logs = np.log(runs.power_w / runs.speed_mps**3)
    c = float(np.exp(logs.mean()))
    return Derived(name, c, c * float(logs.std(ddof=1)) / len(runs) ** 0.5 if len(runs) > 1 else None, "W/(m/s)³")


def _values(trial: _Trial) -> dict[str, object]:
    """What the boat file gets: a coefficient, or points of the curve over the speeds measured."""
    if trial.curve.kind == CUBE:
        return {COEFFICIENT: float(np.exp(trial.curve.values[0])), TRIAL: None}
    speed = np.geomspace(trial.runs.speed_mps.min(), trial.runs.speed_mps.max(), TRIAL_POINTS)
    if trial.curve.kind == BROKEN:
        speed = np.unique(np.append(speed, np.exp(trial.curve.values[2])))
    speed = np.unique(np.round(speed * KMH, 2)) / KMH
    power = np.exp(trial.curve.log_power(speed))
    return {COEFFICIENT: None, TRIAL: [[round(v * KMH, 2), round(p, 1)] for v, p in zip(speed, power, strict=True)]}


def _notes(trial: _Trial, hull: Hull) -> Iterator[str]:
    yield from _curve_notes(trial, hull)
    yield from _run_notes(trial, hull)


def _curve_notes(trial: _Trial, hull: Hull) -> Iterator[str]:
    runs, curve = trial.runs, trial.curve
    slow, fast = KMH * runs.speed_mps.min(), KMH * runs.speed_mps.max()
    if curve.kind == CUBE:
        yield f"measured between {slow:.1f} and {fast:.1f} km/h: beyond that the cube law is taken on trust"
        if trial.free is None:
            yield (
                f"{len(runs)} runs between {slow:.1f} and {fast:.1f} km/h do not tell an exponent: a cube is taken; "
                f"for more, make {RUNS_FOR[POWER]} runs or more, the fastest at least 1.2 times as fast as the slowest"
            )
        elif _doubtful(trial.free):
            yield "the exponent left free is not 3, but the runs are too few or scattered to be sure: make more of them"
    else:
        yield "no one coefficient describes these runs: the boat file gets points of the fitted curve instead"
    top = float(runs.speed_mps.max())
    if curve.kind == CUBE and hull.waterline_m is not None and froude(top, hull.waterline_m) < CUBE_LAW_FROUDE:
        limit = KMH * CUBE_LAW_FROUDE * top / float(froude(top, hull.waterline_m))
        yield f"no run was as fast as Froude 0.35 ({limit:.1f} km/h), where waves begin to cost more: run there too"


def _doubtful(free: Curve) -> bool:
    """Whether the free exponent is far from 3, for a boat and by its own error."""
    off = abs(float(free.values[1]) - 3)
    return off > max(NEAR_CUBE, free.reach() * float(free.error(free.drawn[:, 1])))


def _run_notes(trial: _Trial, hull: Hull) -> Iterator[str]:
    runs, curve = trial.runs, trial.curve
    for i in np.flatnonzero(curve.wild()):
        much = 100 * float(np.expm1(curve.residuals[i]))
        yield f"rows {_listed(runs.rows[i])}: {much:+.0f} % off the curve, counts little: look for what was different"
    windy = [row for i in np.flatnonzero(runs.wind_mps > WIND_LIMIT_MPS) for row in runs.rows[i]]
    if windy:
        yield f"rows {_listed(windy)}: wind above {KMH * WIND_LIMIT_MPS:.0f} km/h: repeat these in a calm"
    if np.ptp(runs.current_mps) > TURNING * runs.speed_mps.min():
        low, high = KMH * runs.current_mps.min(), KMH * runs.current_mps.max()
        yield (
            f"the current changed between {low:.1f} and {high:.1f} km/h: half of what it changes between out and back "
            "stays in a run's speed, which the errors leave out; run out, back and out again, or at slack water"
        )
    if hull.air_drag_area_m2 > 0:
        yield f"the air's part is off: keep air_drag_area_m2 = {hull.air_drag_area_m2:g} in the boat file beside it"
    if np.isnan(runs.depth_m).any():
        yield "runs without depth_m are taken as made in deep water: in shallow water note the depth"
    if trial.corrected:
        yield "too few runs in deep water: all are corrected to it by Lackenby's formula; repeat them where it is deep"


def _listed(rows: tuple[int, ...] | list[int]) -> str:
    return ", ".join(map(str, sorted(rows)))


def _plot(trial: _Trial) -> Plot:
    runs, curve = trial.runs, trial.curve
    speed = np.linspace(0.9 * runs.speed_mps.min(), 1.05 * runs.speed_mps.max(), 60)
    middle, half = curve.log_power(speed), curve.band(speed)
    wild = curve.wild()
    series = [
        Series("95 % band", "band", speed * KMH, np.exp(middle - half), np.exp(middle + half)),
        Series(MODELS[curve.kind], "line", speed * KMH, np.exp(middle)),
        _points("runs, current taken out", runs.some(~wild)),
        _points("runs that count little", runs.some(wild)),
    ]
    if not trial.corrected:
        series.append(_points("runs in shallow water", trial.shallow))
    shown = tuple(one for one in series if one.x.size)
    return Plot("Speed trial", "speed through water, km/h", "motor power, W", shown)


def _points(name: str, runs: Runs) -> Series:
    speed: Floats = runs.speed_mps * KMH
    return Series(name, "points", speed, runs.power_w)
