"""What in a log of panel energy can't be right or can't be used: sentences and rows left out."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from voyager.boat.arrays import PanelArray
from voyager.errors import InputError
from voyager.fits.panels_rows import Ints, Spans
from voyager.fits.result import Floats, LeftOut

LOW_SUN_SINE = float(np.sin(np.radians(5.0)))
"""Below 5° hills, banks and neighbours decide: common practice, no source."""
SHORT_H = 2.0
NIGHT_SHARE = 0.02
TOO_MUCH = 1.6
"""A log gives at most this part of what a clear sky gives without loss (clean air; light from clouds)."""
ABOVE_RATED = 1.2
"""Of the rated power at the edge of a cloud: common practice, no source."""
DAY_TOO_MUCH = 2.0
FAR_TOO_LITTLE = 0.01
THOUSAND = 100.0
SUN_TOO_MUCH = 1.4


def lit_rows(spans: Spans, sine: Floats) -> tuple[NDArray[np.bool_], list[LeftOut]]:
    """Rows with sun high enough, and the others; InputError where energy comes while the sun is down."""
    down = sine <= 0
    night = float(spans.energy_kwh[down].sum())
    if night > NIGHT_SHARE * float(spans.energy_kwh.sum()):
        line = spans.line[down][int(np.argmax(spans.energy_kwh[down]))]
        raise InputError(
            f"line {line}: energy while the sun is down: are the times local without an offset (write 14:00+01:00, or "
            "UTC), or is it a counter that runs on (give each row its own energy)?"
        )
    low = ~down & (sine < LOW_SUN_SINE) & (spans.hours <= SHORT_H)
    left_out = [LeftOut(int(line), "the sun is down") for line in spans.line[down]]
    left_out += [LeftOut(int(line), "the sun is lower than 5°") for line in spans.line[low]]
    if np.all(down | low):
        raise InputError("no row has the sun above 5°: log by day, or the hours around noon")
    return ~(down | low), left_out


def plausible(spans: Spans, without_loss_kwh: Floats, arrays: Sequence[PanelArray], amount: str) -> None:
    """InputError where the log has far more, or far less, than the arrays (n,) could give under a clear sky."""
    logged, most = float(spans.energy_kwh.sum()), float(without_loss_kwh.sum())
    if logged <= 0:
        raise InputError("the panels gave nothing in any row: log days with sun, and look at the controller")
    rated = sum(a.rated_w for a in arrays)
    short = ABOVE_RATED * rated * spans.hours / 1000
    limit = np.where(spans.hours <= SHORT_H, short, DAY_TOO_MUCH * without_loss_kwh.max())
    if logged > TOO_MUCH * most or np.any(spans.energy_kwh > limit):
        worst = int(np.argmax(spans.energy_kwh / limit))
        unit = "is it in Wh?" if amount == "energy_kwh" else "is it in W?"
        meant = unit if logged > THOUSAND * most else "are all panels in the boat file, and is each row's length right?"
        scale = 1.0 if amount == "energy_kwh" else 1000 / spans.hours[worst]
        raise InputError(
            f"line {spans.line[worst]}: {amount}: {spans.energy_kwh[worst] * scale:.4g} is more than {rated:.0f} W of "
            f"panels can give ({without_loss_kwh[worst]:.3g} kWh under a clear sky): {meant}"
        )
    if logged < FAR_TOO_LITTLE * most:
        unit = "MWh" if amount == "energy_kwh" else "kW"
        raise InputError(
            f"{amount}: all rows together are {100 * logged / most:.2g} % of what a clear sky gives: is it in {unit}?"
        )


def plausible_sun(spans: Spans, clear_kwh_m2: Floats) -> None:
    """InputError where the measured sun (n,) is far above a clear sky's."""
    share = float(spans.ghi_kwh_m2.sum()) / max(float(clear_kwh_m2.sum()), 1e-9)
    if share > SUN_TOO_MUCH:
        meant = "is it in Wh/m²?" if share > THOUSAND else "it must be the irradiation of the row on level ground"
        raise InputError(f"ghi_kwh_m2: {share:.3g} times what a clear sky gives at that place and time: {meant}")
    if float(spans.ghi_kwh_m2.sum()) <= 0:
        raise InputError("ghi_kwh_m2: no sun in any row: log days with sun, or leave the column out")


def whole_enough(spans: Spans, without_loss_kwh: Floats, least: float) -> tuple[NDArray[np.bool_], list[LeftOut]]:
    """Rows of days of which enough is logged to compare them with clear days, and the others."""
    index: Ints = np.unique(spans.day, return_inverse=True)[1]
    total = np.bincount(index, without_loss_kwh)
    keep = (total >= least * np.median(total))[index]
    return keep, [LeftOut(int(line), "too little of this day is logged") for line in spans.line[~keep]]
