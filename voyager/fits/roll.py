"""Fit of a roll test: the metacentric height from the time of a roll.

Columns: ``period_s``, one roll there and back, or ``roll_s`` and ``rolls``, the time of several and how many. Small
angles, calm deep water, no line taut.
"""

from collections.abc import Iterator

import numpy as np

from voyager.boat.water import GRAVITY_MPS2
from voyager.errors import InputError
from voyager.fits.measured import Measured
from voyager.fits.regression import linear
from voyager.fits.result import Derived, Fit, Floats, LeftOut, Parameter, Plot, Series

READINGS_LEAST = 3
LENGTH_MOST_M = 70.0
LEAST_GM_M = 0.15
"""Least initial metacentric height of cargo and passenger ships, 2008 IS Code, part A 2.2.4 (from memory)."""
STIFF_SHARE = 1.0
"""Metacentric height over beam beyond which a period is hardly that of a whole roll (common practice, no source)."""
ALIKE = 1e-6
LOOSE = 0.10
"""How far the formula's coefficient may be off for a boat unlike ships (common practice, no source)."""
LIMITS_M = {"waterline_m": (1.0, 500.0), "beam_m": (0.3, 100.0), "draught_m": (0.02, 30.0)}


def roll_coefficient(beam_m: float, draught_m: float, waterline_m: float) -> float:
    """C of the period of roll T = 2 C B / sqrt(GM) [s/m^0.5]: 0.373 + 0.023 B / d - 0.043 L / 100; lengths in m.

    International Code on Intact Stability, 2008 (resolution MSC.267(85)), part A 2.3. It was made from ships.
    """
    return 0.373 + 0.023 * beam_m / draught_m - 0.043 * waterline_m / 100


def metacentric_height_m(period_s: float, beam_m: float, draught_m: float, waterline_m: float) -> float:
    """Metacentric height (2 C B / T)^2 [m] of a boat that rolls there and back in ``period_s`` [s]."""
    return (2 * roll_coefficient(beam_m, draught_m, waterline_m) * beam_m / period_s) ** 2


def fit_roll(
    measured: Measured,
    *,
    beam_m: float | None = None,
    draught_m: float | None = None,
    waterline_m: float | None = None,
    scale: float | None = None,
    displacement_kg: float | None = None,
) -> Fit:
    """Metacentric height [m] of the full-size boat, whose ``beam_m``, ``draught_m``, ``waterline_m`` [m] are given.

    ``scale``: the full-size length over the model's where a model, loaded true to scale, was rolled: its times count
    the root of it longer. ``displacement_kg``, of the full-size boat, adds the righting moment at one degree. The
    period is a straight line of time over rolls by least squares; errors are ordinary, of the stop-watch alone.
    Raises InputError with one sentence.
    """
    sizes = _sizes(beam_m, draught_m, waterline_m, scale)
    count, seconds, used, left = _readings(measured)
    times = float(np.sqrt(scale)) if scale is not None else 1.0
    found = linear(count[:, None], seconds * times)
    period, se = float(found.values[0]), float(found.se[0])
    low, high = float(found.low[0]), float(found.high[0])
    if low <= 0:
        raise InputError("the periods scatter too much: time 10 rolls at once, five times, starting from the same heel")
    height = metacentric_height_m(period, **sizes)
    parameter = Parameter(
        "metacentric height",
        None,
        height,
        2 * height * se / period,
        metacentric_height_m(high, **sizes),
        metacentric_height_m(low, **sizes),
        "m",
    )
    return Fit(
        kind="roll",
        rows=measured.rows,
        used=count.size,
        left_out=(*measured.left_out, *left),
        model="T = 2 C B / √GM, C of the 2008 code on intact stability",
        parameters=(Parameter("roll period", None, period, se, low, high, "s"), parameter),
        derived=tuple(_derived(parameter, sizes, displacement_kg)),
        residual_rms=float(found.rms),
        residual_unit="s",
        plot=_plot(measured.line[used], seconds * times / count, (low, period, high)),
        cautions=("stability",),
        notes=(*_notes(height, sizes, scale), *_too_alike(seconds / count)),
    )


def _sizes(
    beam_m: float | None, draught_m: float | None, waterline_m: float | None, scale: float | None
) -> dict[str, float]:
    found: dict[str, float] = {}
    for name, value in (("beam_m", beam_m), ("draught_m", draught_m), ("waterline_m", waterline_m)):
        option = name.replace("_", "-")
        if value is None:
            raise InputError(f"the boat's {name.removesuffix('_m')} is missing: give --{option}, or {name} in [hull]")
        low, high = LIMITS_M[name]
        if not low <= value <= high:
            hint = " (of the full-size boat, not of the model)" if scale is not None else ""
            raise InputError(f"--{option} {value:g}: {low:g} to {high:g} m is meant{hint}")
        found[name] = float(value)
    if found["beam_m"] > found["waterline_m"]:
        raise InputError("beam_m is more than waterline_m: the two are probably exchanged")
    if scale is not None and scale <= 1:
        mend = (
            f"; {1 / scale:g} is probably meant" if 0 < scale < 1 else ": leave it out where the boat itself was rolled"
        )
        raise InputError(f"--scale {scale:g}: it is the full-size length over the model's, above 1{mend}")
    return found


def _readings(measured: Measured) -> tuple[Floats, Floats, np.ndarray, list[LeftOut]]:
    """Rolls and their time [s] of the rows used, which rows those are, and the others."""
    single = "period_s" in measured
    if not single and "rolls" not in measured:
        raise InputError("roll_s is the time of several rolls: add a column rolls with how many, or name it period_s")
    seconds = measured.numbers("period_s" if single else "roll_s")
    count = np.ones(len(measured)) if single else measured.numbers("rolls")
    for name, values in (("period_s" if single else "roll_s", seconds), ("rolls", count)):
        if (values <= 0).any():
            line = int(measured.line[np.argmax(values <= 0)])
            raise InputError(f"line {line}: {name} is not above 0: time rolls there and back, and count them")
    used = ~np.isnan(seconds) & ~np.isnan(count)
    left = [LeftOut(int(line), "no time or count") for line in measured.line[~used]]
    if used.sum() < READINGS_LEAST:
        raise InputError(
            f"fewer than {READINGS_LEAST} readings: time {READINGS_LEAST} or more, each of 5 to 10 rolls from the same "
            "heel"
        )
    return count[used], seconds[used], used, left


def _derived(height: Parameter, sizes: dict[str, float], displacement_kg: float | None) -> Iterator[Derived]:
    yield Derived("coefficient C", roll_coefficient(**sizes), None, "s/√m")
    yield Derived("metacentric height over beam", height.value / sizes["beam_m"], height.se / sizes["beam_m"], "-")
    if displacement_kg is None:
        return
    if displacement_kg <= 0:
        raise InputError(f"--displacement-kg {displacement_kg:g}: it must be above 0, of the full-size boat")
    per_m = displacement_kg * GRAVITY_MPS2 * float(np.sin(np.radians(1)))
    yield Derived("righting moment at 1° of heel", per_m * height.value, per_m * height.se, "N m")


def _notes(height_m: float, sizes: dict[str, float], scale: float | None) -> Iterator[str]:
    yield (
        "the formula was made from ships; small light boats, flat or with two hulls, are outside its experience: its "
        f"coefficient alone may be {100 * LOOSE:.0f} % off, the height {200 * LOOSE:.0f} %, "
        "which the interval leaves out"
    )
    if scale is not None:
        yield "a model tells only where its weights stand to scale, in height and across, and not only its displacement"
    if sizes["waterline_m"] > LENGTH_MOST_M:
        yield f"the rolling test is meant for lengths up to {LENGTH_MOST_M:g} m: have the boat inclined instead"
    if height_m < LEAST_GM_M:
        yield (
            f"the height is below {LEAST_GM_M:g} m, the least that the code asks of ships: do not go out; "
            "have the boat's stability assessed by a qualified person"
        )
    if height_m > STIFF_SHARE * sizes["beam_m"]:
        yield "the height is more than the beam: was it half a roll that was timed? A roll is there and back"


def _too_alike(period_s: Floats) -> Iterator[str]:
    """A sentence where the readings do not scatter, so that no error can be told."""
    if np.ptp(period_s) < ALIKE * period_s.mean():
        yield (
            "all readings are alike, to the last digit: that tells nothing of their error, which a watch by hand has; "
            "time ten rolls at once, to a tenth of a second"
        )


def _plot(line: np.ndarray, period_s: Floats, about: tuple[float, float, float]) -> Plot:
    low, middle, high = about
    ends = np.array([line.min(), line.max()], dtype=float)
    return Plot(
        "Period of roll at full size",
        "line of the file",
        "period, s",
        (
            Series("95 % interval", "band", ends, np.full(2, low), np.full(2, high)),
            Series("readings", "points", line.astype(float), period_s),
            Series("period", "line", ends, np.full(2, middle)),
        ),
    )
