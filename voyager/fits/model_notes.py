"""What a towing test leaves open: sentences on flow, tank, form factor and range, each with what to measure instead."""

from collections.abc import Iterator

import numpy as np

from voyager.boat.friction import reynolds
from voyager.boat.water import critical_speed_mps
from voyager.fits.model_full import Cube, FullSize
from voyager.fits.model_towing import Towing

TURBULENT_FROM = 5e5
"""Flow along a smooth plate turns turbulent about this Reynolds number (textbook value, from memory): below it a model
without a trip wire, studs or sand strip near the bow has too little friction."""
TANK_SHARE = 0.005
"""Share of the water's section that a model may fill (common practice, no source)."""
TANK_LENGTHS = 2.0
"""Widths of water a model's length asks for (common practice, no source)."""
DEPTH_SHARE = 0.7
"""Share of the critical speed that waves don't feel the bottom below (common practice, no source)."""
PRISMATIC = 0.6
"""Displaced volume over midship section times length of an ordinary hull (common practice, no source)."""
FORM_USUAL = 0.6
WILD = 5.0
"""A run this many standard errors off is told of (common practice has 3 to 5, no source)."""


def notes(who: str, full: FullSize, cube: Cube, test: Towing) -> Iterator[str]:
    """All that must be said of one model's runs; ``who``: how its sentences begin."""
    for told in (
        _form(full),
        _flow(full, test),
        _section(full, test),
        _depth(full, test),
        _range(full, cube),
        _wild(full),
        _errors(full),
    ):
        for text in told:
            yield f"{who}: {text}"


def _form(full: FullSize) -> Iterator[str]:
    runs = full.runs
    ratio = float(runs.speed_mps[0] / runs.froude[0])
    if full.form.number is None:
        yield (
            f"no form factor ({full.form.why}); it is taken as 0, on the safe side. "
            f"Run it 6 times or more between {0.1 * ratio:.2f} and {0.2 * ratio:.2f} m/s"
        )
    elif full.form.number.value - 1 > FORM_USUAL:
        yield (
            f"a form factor of {full.form.number.value - 1:.2f} is more than hulls have: "
            "look for separated flow at the stern, a wetted surface too small, or a balance that was not zeroed"
        )


def _flow(full: FullSize, test: Towing) -> Iterator[str]:
    number = reynolds(full.runs.speed_mps, full.runs.model_length_m, full.setting.water.viscosity_m2_s)
    laminar = int((number < TURBULENT_FROM).sum())
    if laminar and not test.tripped:
        yield (
            f"{laminar} of {number.size} runs {_are(laminar)} below Reynolds number 5e5, where the flow may "
            "stay laminar and the full-size resistance comes out too low: fit a trip wire, studs or a sand strip near "
            "the bow, and say --tripped"
        )


def _section(full: FullSize, test: Towing) -> Iterator[str]:
    runs = full.runs
    if test.tank_width_m is not None and runs.model_length_m * TANK_LENGTHS > test.tank_width_m:
        yield (
            f"the water is narrower than {TANK_LENGTHS:g} lengths of the model: its waves may come back from "
            "the sides; tow a shorter model or in wider water"
        )
    midship = midship_m2(full)
    if test.tank_width_m is None or test.tank_depth_m is None or midship is None:
        return
    share = midship / (test.tank_width_m * test.tank_depth_m)
    if share > TANK_SHARE:
        yield (
            f"the model fills {100 * share:.1f} % of the water's section; over {100 * TANK_SHARE:g} % the water "
            "runs faster past it than in the open (blockage) and the resistance comes out too high: tow in wider, "
            "deeper water"
        )


def midship_m2(full: FullSize) -> float | None:
    """The model's midship section [m2]: as given, else from its displacement, else None."""
    runs = full.runs
    if runs.midship_m2 is not None or runs.displacement_kg is None:
        return runs.midship_m2
    return runs.displacement_kg / full.setting.water.density_kg_m3 / (PRISMATIC * runs.model_length_m)


def _depth(full: FullSize, test: Towing) -> Iterator[str]:
    if test.tank_depth_m is None:
        return
    limit = DEPTH_SHARE * float(critical_speed_mps(test.tank_depth_m))
    fast = int((full.runs.speed_mps > limit).sum())
    if fast:
        yield (
            f"{fast} of {full.runs.speed_mps.size} runs {_are(fast)} faster than {limit:.2f} m/s, where the "
            f"waves feel the bottom at {test.tank_depth_m:g} m: tow in deeper water"
        )


def _are(count: int) -> str:
    return "is" if count == 1 else "are"


def _range(full: FullSize, cube: Cube) -> Iterator[str]:
    low, high = full.span_mps
    reach = f"from {3.6 * cube.from_mps:.1f} to {3.6 * cube.to_mps:.1f} km/h at full size"
    if cube.to_end and np.isclose(cube.from_mps, low):
        reach += ", all that was run"
    elif cube.to_end:
        reach += ", the fastest run"
    elif np.isclose(cube.to_mps, high):
        reach += ", just short of the fastest run"
    yield f"the curve stays within a tenth of the cube law {reach}"


def _wild(full: FullSize) -> Iterator[str]:
    """Runs that the others, the curve laid without them, make unlikely."""
    for index in np.flatnonzero(np.abs(full.curve.studentised()) > WILD):
        runs = full.runs
        yield (
            f"the run of line {runs.line[index]} ({runs.speed_mps[index]:.2f} m/s) stands out from the others and "
            "widens all errors: run it again, and leave the row out if something went wrong in it"
        )


def _errors(full: FullSize) -> Iterator[str]:
    curve = full.curve
    if np.ptp(curve.spread) == 0:
        unit = "W" if full.runs.powered else "N"
        yield f"every run is taken to be equally unsure, fast or slow: {curve.noise:.2g} {unit} (standard deviation)"
    else:
        share = curve.noise * float(np.mean(curve.spread / full.runs.measured))
        yield f"the runs err in proportion, by {100 * share:.2g} % of what was measured"
