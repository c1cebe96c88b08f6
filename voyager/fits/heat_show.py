"""The picture of a heater test, and sentences on what its log does not say."""

import numpy as np

from voyager.fits.heat_derived import time_constants_h
from voyager.fits.heat_log import HeatLog
from voyager.fits.heat_model import HeatModel
from voyager.fits.result import Plot, Series

POINTS_MAX = 600
WORTH_A_NOTE = 0.2


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
    if model.correlation > WORTH_A_NOTE:
        found.append(
            f"neighbouring residuals are alike (correlation {model.correlation:.2f}): the {len(log)} rows are worth "
            f"{model.effective:.0f}, and the errors are widened by that"
        )
    fast_h = float(time_constants_h(model)[0])
    if log.interval_h > fast_h:
        found.append(
            f"rows are {duration(log.interval_h)} apart, the fastest time constant is {duration(fast_h)}: log each "
            "minute while it warms, for a surer capacity"
        )
    return found


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
