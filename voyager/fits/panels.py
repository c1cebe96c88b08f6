"""Panels from a log of their energy: the fixed loss, and the shade by part of the day.

With measured sun (``ghi_kwh_m2``) every row says how much of the possible arrived; without it the best days are held
against the best days of the climate (``panels_envelope``). Columns: FILES section 7, and ``air_c`` where it was noted.
``time`` is the start of a row; ``power_w`` the mean until the next.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from voyager.boat.arrays import PanelArray
from voyager.errors import InputError
from voyager.fits.measured import Measured
from voyager.fits.panels_checks import lit_rows, plausible, plausible_sun, whole_enough
from voyager.fits.panels_envelope import Envelope, dull_days, envelope, expected_best
from voyager.fits.panels_factors import by_part, fit_factors, interval
from voyager.fits.panels_rows import Group, Ints, Spans, groups_of, nearest
from voyager.fits.panels_show import Found, group_notes, log_notes, plot_of, shade_derived
from voyager.fits.panels_sun import (
    Steps,
    Where,
    clear_sky,
    highest_sine,
    irradiation_kwh_m2,
    measured_sky,
    steps_of,
    tilt_sine,
)
from voyager.fits.result import Fit, Floats, LeftOut, Parameter

SUN_ERROR_PERCENT = 2.0
"""Standard error of a good meter on level ground with the model behind it: common practice, no source."""
TILT_ERROR = 0.05
"""Standard error of what the measured sun gives on an upright plane against a level one, for less tilt by its sine: the
split into beam and diffuse is a mean over climates. Tilted arrays at Greensboro (tests/fits) err by half of it."""
LEAST_DAY = 0.3
"""Of the usual day's energy that must be logged for a day to count among the best or not."""
LEAST_DAYS = 3
LEAST_FACTOR = 0.3
"""Below this part of what a clear sky gives, no day of the log was sunny."""
MOST_FACTOR = 1.25
MOST_SE = 0.25
MOST_LOSS_PERCENT = 95.0


@dataclass(frozen=True)
class Setting:
    """How the group is to be fitted."""

    where: Where
    sun_error: float
    amount: str


def fit_panels(
    measured: Measured,
    *,
    arrays: Sequence[PanelArray],
    lat: float,
    lon: float,
    height_m: float = 0.0,
    heading_deg: float | None = None,
    array: str | None = None,
    moored: bool = True,
    time_zone: str | None = None,
    stamp: str = "start",
    sun_error_percent: float = SUN_ERROR_PERCENT,
    rng: np.random.Generator,
) -> Fit:
    """Loss and shade of the boat's ``arrays`` from a log kept at a place [degrees, m].

    ``heading_deg`` (from north), ``array`` (name) and ``moored`` hold where the file has no such column or cell.
    ``time_zone``: of the civil days of a ``date`` column; None: solar days. ``stamp``: whether ``time`` is the "start"
    or the "end" of a row. ``sun_error_percent``: standard error of ``ghi_kwh_m2``, which all rows share. ``rng`` draws
    the climate's days where no sun was measured. InputError says what is wrong and what to measure instead.
    """
    _place(lat, lon, sun_error_percent)
    if array is not None and array.casefold() not in {a.name.casefold() for a in arrays}:
        raise InputError(nearest(array, arrays))
    groups, left_out = groups_of(
        measured,
        arrays,
        lon,
        array=array,
        heading_deg=heading_deg,
        moored=moored,
        time_zone=time_zone,
        stamp=stamp,
    )
    amount = "energy_kwh" if "energy_kwh" in measured else "power_w"
    setting = Setting(Where(lat, lon, height_m), sun_error_percent / 100, amount)
    return _fit(measured, [_found(group, setting, rng) for group in groups], left_out)


def _place(lat: float, lon: float, sun_error_percent: float) -> None:
    if not (-90 <= lat <= 90 and -180 <= lon <= 180):
        raise InputError(f"{lat:g}, {lon:g} is no place: latitude -90 to 90, longitude -180 to 180 degrees")
    if not 0 <= sun_error_percent <= 50:
        raise InputError(f"an error of the measured sun of {sun_error_percent:g} % can't be; it lies between 0 and 50")


def _fit(measured: Measured, found: Sequence[Found], left_out: Sequence[LeftOut]) -> Fit:
    rows = sorted([*left_out, *(out for each in found for out in each.left_out)], key=lambda out: out.row)
    parameters = tuple(p for each in found for p in _parameters(each))
    several = len(found) > 1
    residuals = np.concatenate([each.residual_kwh for each in found])
    notes = dict.fromkeys((*log_notes(measured), *(note for each in found for note in group_notes(each, several))))
    return Fit(
        kind="panels",
        rows=measured.rows,
        used=sum(each.used for each in found),
        left_out=tuple(rows),
        model="fixed loss, and shade by part of the day, "
        + ("against the measured sun" if found[0].measured else "best days against the climate's best days"),
        parameters=parameters,
        derived=tuple(d for each in found for d in shade_derived(each, several)),
        residual_rms=float(np.sqrt(np.mean(residuals**2))),
        residual_unit="kWh",
        plot=plot_of(found),
        cautions=("panels_live",),
        notes=(*measured.notes, *notes),
        values={str(p.key): round(min(max(p.value, 0.0), MOST_LOSS_PERCENT), 1) for p in parameters},
    )


def _parameters(found: Found) -> list[Parameter]:
    loss, low, high = 100 * (1 - found.factor), 100 * (1 - found.high), 100 * (1 - found.low)
    return [
        Parameter(f"fixed loss of {a.name}", f"array.{a.name}.loss_percent", loss, 100 * found.se, low, high, "%")
        for a in found.arrays
    ]


def _found(group: Group, setting: Setting, rng: np.random.Generator) -> Found:
    spans, where = group.spans, setting.where
    sky = clear_sky(spans, where)
    keep, left_out = lit_rows(spans, highest_sine(sky, len(spans)))
    spans = spans.take(np.flatnonzero(keep))
    sky = clear_sky(spans, where)
    clear = steps_of(sky, spans, group.arrays, where)
    without_loss = clear.by_row(len(spans))[0]
    plausible(spans, without_loss, group.arrays, setting.amount)
    if np.any(np.isfinite(spans.ghi_kwh_m2)):
        plausible_sun(spans, irradiation_kwh_m2(sky, len(spans)))
        steps = steps_of(measured_sky(spans, where), spans, group.arrays, where)
        return against_sun(group.arrays, spans, steps, setting.sun_error, left_out)
    keep, short = whole_enough(spans, without_loss, LEAST_DAY)
    kept = spans.take(np.flatnonzero(keep))
    if len(kept) < len(spans):
        clear = steps_of(clear_sky(kept, where), kept, group.arrays, where)
    _days_enough(kept)
    expected = expected_best(kept, group.arrays, where, rng)
    found = against_climate(group.arrays, kept, clear, expected, [*left_out, *short])
    return replace(found, dull=bool(np.mean(dull_days(kept.day, where)) > 0.5))


def against_sun(
    arrays: tuple[PanelArray, ...],
    spans: Spans,
    steps: Steps,
    sun_error: float = SUN_ERROR_PERCENT / 100,
    left_out: Sequence[LeftOut] = (),
) -> Found:
    """Every row (n,) of a log against ``steps`` under the sun that was measured with it."""
    factors = fit_factors(steps, spans.energy_kwh, spans.day)
    factor = float(factors.values[factors.best])
    scatter = float(np.sqrt(factors.covariance[factors.best, factors.best]))
    common = factor * float(np.hypot(sun_error, TILT_ERROR * tilt_sine(spans, arrays)))
    low, high = interval(factor, scatter, factors.freedom, common)
    _not_too_much(low)
    return Found(
        arrays=arrays,
        measured=True,
        factor=factor,
        se=float(np.hypot(scatter, common)),
        low=low,
        high=high,
        factors=factors,
        left_out=tuple(left_out),
        used=len(spans),
        parts_kwh=by_part(steps, len(spans)),
        logged_kwh=spans.energy_kwh,
        residual_kwh=spans.energy_kwh - factors.modelled_kwh,
        modelled_kwh=factors.modelled_kwh,
        days=len(np.unique(spans.day)),
        air_known=bool(np.all(np.isfinite(spans.air_c))),
        by_day=bool(np.all(spans.whole_day)),
        envelope=None,
    )


def _days_enough(spans: Spans) -> None:
    days = len(np.unique(spans.day))
    if days < LEAST_DAYS:
        raise InputError(
            f"{days} usable days without measured sun say too little: log at least two weeks, or note ghi_kwh_m2 too"
        )


def against_climate(
    arrays: tuple[PanelArray, ...],
    spans: Spans,
    steps: Steps,
    expected: Floats,
    left_out: Sequence[LeftOut] = (),
) -> Found:
    """The best days of a log with ``steps`` under a clear sky against the climate's, ``expected`` (draws,)."""
    days = len(np.unique(spans.day))
    found = envelope(steps, spans, expected)
    _sunny(found, days)
    day = np.unique(spans.day, return_inverse=True)[1]
    parts, logged = by_part(steps, len(spans)), spans.energy_kwh
    relative: Floats = np.ones(3) if found.shade is None else found.shade.values / found.shade.values[found.shade.best]
    at_best: Floats = np.asarray(np.minimum(found.best * steps.energy_kwh[0] * relative[steps.part], steps.most_kwh))
    modelled: Floats = np.asarray(np.bincount(steps.row, at_best, len(spans)), dtype=float)
    if not np.all(spans.whole_day):
        parts, logged, modelled = (_summed(values, day) for values in (parts, logged, modelled))
    near = found.ratio >= float(np.quantile(found.ratio, 0.8))
    return Found(
        arrays=arrays,
        measured=False,
        factor=found.factor,
        se=found.se,
        low=found.low,
        high=found.high,
        factors=found.shade,
        left_out=tuple(left_out),
        used=len(spans),
        parts_kwh=parts * found.expected,
        logged_kwh=logged,
        residual_kwh=(logged - modelled)[near],
        modelled_kwh=np.zeros(0),
        days=days,
        air_known=bool(np.all(np.isfinite(spans.air_c))),
        by_day=bool(np.all(spans.whole_day)),
        envelope=found,
    )


def _summed(values: Floats, day: Ints) -> Floats:
    out = np.zeros((int(day.max()) + 1, *values.shape[1:]))
    np.add.at(out, day, values)
    return out


def _sunny(found: Envelope, days: int) -> None:
    if found.factor < LEAST_FACTOR or float(found.ratio.max()) < LEAST_FACTOR:
        raise InputError(
            f"no sunny day in the log: the best of {days} gave {100 * found.ratio.max():.0f} % of what a clear sky "
            "gives without loss: log until two or three clear days are in it, or note ghi_kwh_m2 as well"
        )
    if found.se > MOST_SE * found.factor:
        raise InputError(
            f"{days} days can't tell dull weather from loss (± {100 * found.se:.0f} %): log at least two weeks, better "
            "in the brighter half of the year, or note ghi_kwh_m2 as well"
        )
    _not_too_much(found.low)


def _not_too_much(low: float) -> None:
    if low > MOST_FACTOR:
        raise InputError(
            f"the log has at least {100 * low:.0f} % of what the panels could give without any loss: look at panel_wp "
            "and panels in the boat file, the mounting, and whether other panels or a charger are in the reading"
        )
