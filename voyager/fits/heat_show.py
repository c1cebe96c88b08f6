"""The picture of a heater test, and sentences on what its log does not say."""

import numpy as np

from voyager.fits.heat_derived import time_constants_h
from voyager.fits.heat_log import HeatLog
from voyager.fits.heat_model import FINEST_K, HeatModel
from voyager.fits.result import Plot, Series
from voyager.fits.robust_lines import SD_PER_MAD

POINTS_MAX = 600
WORTH_A_NOTE = 0.2
WILD, WILD_K = 8.0, 1.0
"""Spreads, and kelvin, off the fit from which on a reading is told of (common practice has 3 to 5 spreads; here more,
as what the model lacks is no slip)."""
WILD_TOLD = 5
OFF_K = 0.5
"""By which household thermometers differ (common practice, no source)."""


def duration(hours: float) -> str:
    """In minutes, or in hours from three on."""
    return f"{hours:.2g} h" if hours >= 3 else f"{60 * hours:.3g} min"


def remarks(log: HeatLog, model: HeatModel) -> list[str]:
    """What the reader must know of the numbers."""
    found = [
        "all heat is taken to come from the heater (as many watts as it draws), the people and other_w: sun on the "
        "cabin makes the loss come out too low, so test in the dark or under thick cloud",
        "cabin.fresh_air_m3_per_h must say what the vents gave during this test: it is not in the log",
    ]
    found.append(_meters(log))
    if model.correlation > WORTH_A_NOTE:
        found.append(
            f"neighbouring residuals are alike (correlation {model.correlation:.2f}): the {len(log)} rows are worth "
            f"{model.effective:.0f}, and the errors are widened by that"
        )
    found += _wild(log, model)
    fast_h = float(time_constants_h(model)[0])
    if log.interval_h > fast_h:
        found.append(
            f"rows are {duration(log.interval_h)} apart, the fastest time constant is {duration(fast_h)}: log each "
            "minute while it warms, for a surer capacity"
        )
    return found


def _meters(log: HeatLog) -> str:
    """What instruments alike wrong in all rows do to the loss, as heat over temperature difference says."""
    warmer_k = float(np.mean((log.inside_c - log.outside_c)[log.heater_w > 0]))
    share = 100 * OFF_K / max(warmer_k, OFF_K)
    return (
        f"the errors are those of scatter alone: watts that are all 3 % too high make the loss 3 % too high, a "
        f"thermometer that is {OFF_K:g} K off makes it {share:.0f} % wrong; hold both thermometers side by side first"
    )


def _wild(log: HeatLog, model: HeatModel) -> list[str]:
    """Readings far off the fit: least squares are pulled by each of them."""
    size = np.abs(log.inside_c - model.fitted_c)
    spread = SD_PER_MAD * max(float(np.median(size)), FINEST_K)
    rows = np.flatnonzero(size > max(WILD * spread, WILD_K))
    if not rows.size:
        return []
    told = ", ".join(f"line {log.line[i]} ({log.inside_c[i]:.1f} °C)" for i in rows[:WILD_TOLD])
    more = f" and {rows.size - WILD_TOLD} more" if rows.size > WILD_TOLD else ""
    return [
        f"far off the fit, which they pull along: {told}{more}: slips of the sensor, or a door? Take such rows out and "
        "fit again"
    ]


def plot(log: HeatLog, model: HeatModel) -> Plot:
    """Temperatures over the hours; a line breaks where the log does."""
    thin = max(1, -(-len(log) // POINTS_MAX))
    shown = np.arange(0, len(log), thin)
    series = [Series("inside, measured", "points", log.hours[shown], log.inside_c[shown])]
    for name, values in (("inside, fitted", model.fitted_c), ("outside", log.outside_c)):
        for start, end in zip(log.starts, [*log.starts[1:], len(log)], strict=True):
            part = np.unique(np.append(np.arange(start, end, thin), end - 1))
            series.append(Series(name, "line", log.hours[part], values[part]))
    return Plot("Heater test", "time since the first row [h]", "temperature [°C]", tuple(series))
