"""A heater test: heat loss and thermal capacity of the cabin from a log of temperatures and watts.

Between two rows the heat (heater, people, the rest) is that of the earlier row, the outside temperature the mean of
both. A resistance heater gives the cabin all that it draws; of a heat pump or a flame the log must hold the heat.
"""

from collections.abc import Sequence

import numpy as np

from voyager.errors import InputError
from voyager.fits.heat_derived import follows
from voyager.fits.heat_log import HeatLog, heat_log
from voyager.fits.heat_model import FITS_BETTER, NAMES, HeatModel, better, one_constant, two_constants
from voyager.fits.heat_response import nodes
from voyager.fits.heat_show import duration, plot, remarks
from voyager.fits.measured import Measured
from voyager.fits.result import Fit, Parameter

KEYS = (
    "cabin.ua_w_per_k",
    "cabin.thermal_capacity_wh_per_k",
    "cabin.structure_capacity_wh_per_k",
    "cabin.structure_w_per_k",
)
UNITS = ("W/K", "Wh/K", "Wh/K", "W/K")
UNSURE = 0.5
"""Standard error as a share of the value beyond which a number is not told."""
SHORTEST_TAUS = 0.5
LEAST_FALL = 0.02
SAME_K = 0.05
"""Share by which two time constants must lower the residuals: in thousands of rows AICc sees what no cabin has."""


def fit_heat(
    measured: Measured,
    *,
    person_w: float = 80.0,
    comfort: Sequence[tuple[str, float]] = (),
    outside_c: float | None = None,
    heater_max_w: float | None = None,
) -> Fit:
    """UA and thermal capacity with one time constant, or two where the log carries them (``heat_model``).

    ``person_w``: heat of a person. ``comfort``: (step, setpoint degC); steady watts and pre-warming are given for each
    at the log's mean outside temperature, and at ``outside_c``. ``heater_max_w``: for pre-warming, by default the
    greatest of the log. InputError, one sentence with what to measure instead, where loss or capacity isn't told.
    """
    log = heat_log(measured, person_w)
    model, notes = _chosen(log)
    mean_c = float(np.mean(log.outside_c))
    asked = [] if outside_c is None or abs(outside_c - mean_c) < SAME_K else [float(outside_c)]
    heat_w = float(np.max(log.heater_w)) if heater_max_w is None else heater_max_w
    derived, not_reached = follows(model, comfort, [mean_c, *asked], heat_w)
    parameters = _parameters(model)
    return Fit(
        kind="heat",
        rows=measured.rows,
        used=len(log),
        left_out=log.left_out,
        model="one time constant" if nodes(model.cabin) == 1 else "two time constants: air and structure",
        parameters=parameters,
        derived=tuple(derived),
        residual_rms=model.logs.rms,
        residual_unit="K",
        plot=plot(log, model),
        cautions=("heater", "fresh_air"),
        notes=(*log.notes, *notes, *not_reached, *remarks(log, model)),
        values=dict.fromkeys(KEYS) | {p.key: p.value for p in parameters if p.key},
    )


def _chosen(log: HeatLog) -> tuple[HeatModel, list[str]]:
    """One time constant, or two where they fit clearly better and each number is told."""
    one = one_constant(log)
    two = two_constants(log, one)
    if two is None or better(one, two) < FITS_BETTER or two.misfit_k > (1 - LEAST_FALL) * one.misfit_k:
        return _told(log, one), []
    vague = [name for name, share in zip(NAMES, two.share, strict=True) if share > UNSURE]
    if not vague:
        return two, []
    return _told(log, one), [
        f"two time constants fit better, but the log does not tell the {vague[0]}: log a warming of many hours and the "
        "cooling after it"
    ]


def _told(log: HeatLog, one: HeatModel) -> HeatModel:
    """The model; InputError where its log is too short or too coarse for its numbers."""
    ua, capacity = np.exp(one.logs.values)
    if log.longest_h < SHORTEST_TAUS * one.tau_h:
        raise InputError(
            f"the longest stretch lasts {duration(log.longest_h)}, the cabin's time constant is about "
            f"{duration(one.tau_h)}: log without a break until the temperature levels off"
        )
    if one.share[0] > UNSURE:
        raise InputError(
            f"the log does not tell the heat loss ({ua:.3g} ± {ua * one.share[0]:.2g} W/K): log on until the "
            f"temperature levels off, {duration(3 * one.tau_h)} or more, with the heater on"
        )
    if one.share[1] > UNSURE:
        raise InputError(
            f"the log does not tell the thermal capacity ({capacity:.3g} ± {capacity * one.share[1]:.2g} Wh/K; the "
            f"loss is {ua:.3g} W/K): log each minute while it warms from cold, and while it cools"
        )
    return one


def _parameters(model: HeatModel) -> tuple[Parameter, ...]:
    logs = model.logs
    values, low, high = np.exp(logs.values), np.exp(logs.low), np.exp(logs.high)
    return tuple(
        Parameter(NAMES[i], KEYS[i], float(v), float(v * logs.se[i]), float(low[i]), float(high[i]), UNITS[i])
        for i, v in enumerate(values)
    )
