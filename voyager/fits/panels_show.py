"""What a fit of panels says beside its parameters: shade by part of the day, notes, the plot."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from voyager.boat.arrays import PanelArray
from voyager.fits.measured import Measured
from voyager.fits.panels_envelope import Envelope
from voyager.fits.panels_factors import LEAST_DAYS, OWN_PART, Factors
from voyager.fits.panels_sun import PARTS
from voyager.fits.result import Derived, Floats, LeftOut, Plot, Series

FAR_BELOW = 0.5
"""A row this far below what the fit expects had another cause than loss."""


@dataclass(frozen=True)
class Found:
    """What one group of arrays came to. ``factor`` [-] of the best part of the day with its error and limits.

    ``parts_kwh`` (n, 3): energy without loss by part of the day of what is drawn (rows, or days), ``logged_kwh`` (n,)
    beside it; ``modelled_kwh`` (n,) with measured sun, else empty. ``factors``: by part, None where days are too few.
    """

    arrays: tuple[PanelArray, ...]
    measured: bool
    factor: float
    se: float
    low: float
    high: float
    factors: Factors | None
    left_out: tuple[LeftOut, ...]
    used: int
    parts_kwh: Floats
    logged_kwh: Floats
    residual_kwh: Floats
    modelled_kwh: Floats
    days: int
    air_known: bool
    by_day: bool
    envelope: Envelope | None
    dull: bool = False

    @property
    def name(self) -> str:
        """The arrays in words."""
        return " and ".join(a.name for a in self.arrays)


def shade_derived(found: Found, several: bool) -> list[Derived]:
    """Shade of each part that the rows tell of, against the best part; 0 without an error where none was told."""
    if found.factors is None or len(found.factors.resolved) < 2:
        return []
    whose = f" on {found.name}" if several else ""
    out = []
    for part in found.factors.resolved:
        shade, se = found.factors.shade(part) if part in found.factors.shaded else (0.0, None)
        out.append(Derived(f"shade in the {PARTS[part]}{whose}", 100 * shade, None if se is None else 100 * se, "%"))
    return out


def log_notes(measured: Measured) -> Iterator[str]:
    """What the log as a whole leaves open."""
    if "battery_full" not in measured:
        yield (
            "No column battery_full: while the battery is full its controller holds the panels back, which reads as "
            "loss. Put yes there for such rows, they are left out; or log while the battery is well below full."
        )


def group_notes(found: Found, several: bool) -> Iterator[str]:
    """Sentences on what the log did not allow."""
    whose = f"{found.name}: " if several else ""
    yield "Shade that is the same all day can't be told from loss: it is in loss_percent."
    if found.factors is None or len(found.factors.resolved) < 2:
        yield f"{whose}The rows do not tell the parts of the day apart: log by hour, on sunny days too, to find shade."
    elif not found.factors.shaded:
        yield f"{whose}No shade was told apart between the parts of the day."
    if len(found.arrays) > 1:
        yield f"{whose}One figure for all arrays alike: log each with its name in a column array to tell them apart."
    kept = ", ".join(f"{a.name} {a.shade_percent:g} %" for a in found.arrays if a.shade_percent)
    if kept:
        yield f"{whose}The boat file's shade_percent ({kept}) stays as it is; the loss is what remains beside it."
    sunward = [a.name for a in found.arrays if a.sunward]
    if sunward:
        yield f"{whose}{' and '.join(sunward)}: taken as raised to the better side of each day while moored."
    if not found.air_known:
        yield "The air is the climate's: a column air_c would make the panels' temperature surer."
    if found.factor > 1:
        yield f"{whose}More came than the rating allows: 0 goes into the boat file; look at panel_wp and the meter."
    if found.envelope is not None:
        yield from _climate_notes(found.envelope, whose)
        if found.dull:
            yield f"{whose}In the dark months this finds too little loss, by about 5 points: log again in spring."
    else:
        yield from _sun_notes(found, whose)


def _climate_notes(found: Envelope, whose: str) -> Iterator[str]:
    best, expected = 100 * found.best, 100 * found.expected
    yield (
        f"{whose}Without measured sun: the ninth of ten days gave {best:.0f} % of a clear sky's energy, where "
        f"the built-in climate has {expected:.0f} % without loss. The interval is as wide as that climate is "
        "unsure of its bright days: ghi_kwh_m2 beside the energy would narrow it most."
    )


def _sun_notes(found: Found, whose: str) -> Iterator[str]:
    if not found.by_day and found.days < LEAST_DAYS:
        yield f"{whose}Fewer than {LEAST_DAYS} days: the interval takes rows as independent, too narrow; log a week."
    dark = int(np.sum(found.logged_kwh < FAR_BELOW * found.modelled_kwh))
    if dark:
        yield (
            f"{whose}{dark} of {found.used} rows have less than half of what the fit expects: was the battery full "
            "(battery_full = yes), or snow on the panels? They pull the loss up."
        )


def plot_of(found: Sequence[Found]) -> Plot:
    """Energy logged over energy without loss, points by part of the day, and the line of the loss found."""
    series: list[Series] = []
    for each in found:
        series += _series(each, f"{each.name}: " if len(found) > 1 else "")
    measured = found[0].measured
    what = "without loss under the measured sun" if measured else "without loss on the climate's ninth of ten days"
    by = "row" if measured else "day"
    return Plot(f"Panel energy by {by}", f"energy {what} [kWh]", "energy logged [kWh]", tuple(series))


def _series(found: Found, whose: str) -> list[Series]:
    total = found.parts_kwh.sum(axis=1)
    line: Floats = np.array([0.0, float(total.max())])
    out = [
        Series(f"{whose}95 % band", "band", line, found.low * line, found.high * line),
        Series(f"{whose}with the loss found", "line", line, found.factor * line),
    ]
    own = np.argmax(found.parts_kwh, axis=1)
    mixed = np.max(found.parts_kwh, axis=1) <= OWN_PART * total
    if np.mean(mixed) > 0.5:
        return [*out, Series(f"{whose}days", "points", total, found.logged_kwh)]
    for part, name in enumerate(PARTS):
        mine = own == part
        if np.any(mine):
            out.append(Series(f"{whose}{name}", "points", total[mine], found.logged_kwh[mine]))
    return out
