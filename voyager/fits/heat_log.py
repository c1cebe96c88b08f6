"""The log of a heater test: stretches without gaps, the heat given in them, and what can't be a heater test."""

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.lib.stride_tricks import sliding_window_view
from numpy.typing import NDArray

from voyager.errors import InputError
from voyager.fits.measured import Measured
from voyager.fits.result import Floats, LeftOut

GAP_INTERVALS = 5.0
LEAST_ROWS = 8
LEAST_WARMTH_K, LEAST_CHANGE_K = 2.0, 1.0
USUAL_C = {"inside_c": (-40.0, 45.0), "outside_c": (-60.0, 45.0)}
"""Where half of the readings lie, whatever slips are among them (common practice, no source)."""
LEAST_HEATER_W = 10.0
SLIP_K = 20.0
"""No cabin jumps so far for a row or two and back."""
NEEDED = ("inside_c", "outside_c", "heater_w")


@dataclass(frozen=True)
class HeatLog:
    """Rows in use, n of them. ``hours`` from the first; temperatures [degC] and watts by row (n,).

    ``starts`` (s,): the row that each stretch begins with; ``stretch`` (n,): the stretch of a row; ``line`` (n,): its
    line of the file. Between two rows of a stretch the heat (``heater_w`` and ``gains_w``) is that of the earlier row,
    the outside temperature the mean of both.
    """

    hours: Floats
    inside_c: Floats
    outside_c: Floats
    heater_w: Floats
    gains_w: Floats
    starts: NDArray[np.int64]
    stretch: NDArray[np.int64]
    line: NDArray[np.int64]
    left_out: tuple[LeftOut, ...]
    notes: tuple[str, ...]

    def __len__(self) -> int:
        return len(self.hours)

    @cached_property
    def steps(self) -> NDArray[np.int64]:
        """Rows that have a next row in their stretch (m,)."""
        return np.flatnonzero(np.diff(self.stretch) == 0)

    @cached_property
    def lengths_h(self) -> tuple[Floats, NDArray[np.int64]]:
        """Different lengths of steps [h], and which of them each step has (m,)."""
        return np.unique(np.round(np.diff(self.hours)[self.steps], 9), return_inverse=True)

    @property
    def longest_h(self) -> float:
        """Length of the longest stretch [h]."""
        ends = np.append(self.starts[1:], len(self)) - 1
        return float(np.max(self.hours[ends] - self.hours[self.starts]))

    @property
    def interval_h(self) -> float:
        """Median time between rows of a stretch [h]."""
        return float(np.median(np.diff(self.hours)[self.steps]))


def heat_log(measured: Measured, person_w: float) -> HeatLog:
    """The table as a log of heat; ``person_w`` the heat of one person [W]. InputError where it is no heater test."""
    if measured.time_s is None:
        raise InputError("a heater test needs the time of each row: add a column time")
    _not_negative(measured)
    blank = [name for name in NEEDED if not np.isfinite(measured.numbers(name)).any()]
    if blank:
        raise InputError(f"the column {blank[0]} is empty: a heater test needs it in each row")
    whole = np.all([np.isfinite(measured.numbers(name)) for name in NEEDED], axis=0)
    chosen = np.flatnonzero(whole)
    slips = _slips(measured, chosen)
    odd, chosen = chosen[slips], chosen[~slips]
    again = np.diff(measured.time_s[chosen], prepend=-np.inf) <= 0
    same, chosen = chosen[again], chosen[~again]
    alone = _alone(measured.time_s[chosen])
    left = [(int(i), "a cell is empty") for i in np.flatnonzero(~whole)]
    left += [(int(i), "a slip of the sensor: far from the rows about it") for i in odd]
    left += [(int(i), "the time of the row before") for i in same]
    left += [(int(i), "stands alone between two gaps") for i in chosen[alone]]
    chosen = chosen[~alone]
    if len(chosen) < LEAST_ROWS:
        raise InputError(
            f"{len(chosen)} usable rows are too few: log at least {LEAST_ROWS}, better one a minute from cold until "
            "the temperature levels off"
        )
    log = _log(measured, measured.time_s, chosen, person_w, sorted(left))
    _refuse(log)
    return log


def _not_negative(measured: Measured) -> None:
    for name, what in (("heater_w", "the watts that the heater draws"), ("people", "how many are aboard")):
        bad = np.flatnonzero(measured.numbers(name) < 0)
        if bad.size:
            raise InputError(f"line {measured.line[bad[0]]}: {name} is negative: log {what}, 0 for none")


def _slips(measured: Measured, chosen: NDArray[np.int64]) -> NDArray[np.bool_]:
    """Which rows (n,) have a temperature that jumps away from the five rows about it, as lost sensors do."""
    found = np.zeros(len(chosen), dtype=bool)
    if len(chosen) < LEAST_ROWS:
        return found
    for name in USUAL_C:
        values = measured.numbers(name)[chosen]
        about = np.median(sliding_window_view(np.pad(values, 2, mode="reflect"), 5), axis=1)
        found |= np.abs(values - about) > SLIP_K
    return found


def _breaks(time_s: Floats) -> NDArray[np.bool_]:
    """Where a new stretch begins (n,): at the first row, and after a gap of some intervals."""
    apart = np.diff(time_s)
    limit = GAP_INTERVALS * np.median(apart) if apart.size else 0.0
    return np.concatenate([np.ones(min(1, len(time_s)), dtype=bool), apart > limit])


def _alone(time_s: Floats) -> NDArray[np.bool_]:
    first = _breaks(time_s)
    return np.asarray(first & np.append(first[1:], True)) if len(time_s) else first


def _log(
    measured: Measured, time_s: Floats, chosen: NDArray[np.int64], person_w: float, left: list[tuple[int, str]]
) -> HeatLog:
    seconds = time_s[chosen]
    first = _breaks(seconds)
    notes = list(measured.notes)
    gains = np.zeros(len(chosen))
    for name, watts in (("people", person_w), ("other_w", 1.0)):
        column = measured.numbers(name)[chosen]
        if np.isfinite(column).any() and not np.isfinite(column).all():
            notes.append(f"empty cells of {name} are taken as in the row before, 0 at the start")
        gains += watts * _held(column)
    if first.sum() > 1:
        gaps = f"{first.sum() - 1} gap{'s' if first.sum() > 2 else ''}"
        notes.append(f"{gaps}: each of the {first.sum()} stretches has a starting temperature of its own")
    return HeatLog(
        hours=(seconds - seconds[0]) / 3600.0,
        inside_c=measured.numbers("inside_c")[chosen],
        outside_c=measured.numbers("outside_c")[chosen],
        heater_w=measured.numbers("heater_w")[chosen],
        gains_w=gains,
        starts=np.flatnonzero(first),
        stretch=np.cumsum(first) - 1,
        line=measured.line[chosen],
        left_out=measured.left_out + tuple(LeftOut(int(measured.line[i]), why) for i, why in left),
        notes=tuple(notes),
    )


def _held(column: Floats) -> Floats:
    """Empty cells as in the row before, 0 at the start."""
    known = np.isfinite(column)
    last = np.maximum.accumulate(np.where(known, np.arange(len(column)), -1))
    return np.where(last >= 0, column[np.maximum(last, 0)], 0.0)


def _refuse(log: HeatLog) -> None:
    if not (log.heater_w > 0).any():
        raise InputError("the heater is never on: heat the cabin with a known power and log its warming from cold")
    _refuse_units(log)
    if np.max(log.inside_c - log.outside_c) < LEAST_WARMTH_K:
        raise InputError(
            f"inside is never more than {LEAST_WARMTH_K:g} K above outside: test on a cold day, with more heat "
            "and the vents as they will be"
        )
    change = float(np.ptp(log.inside_c))
    if change < LEAST_CHANGE_K:
        heat_w = float(np.mean(log.heater_w + log.gains_w))
        loss = heat_w / float(np.mean(log.inside_c - log.outside_c))
        raise InputError(
            f"the inside temperature changes by {change:.1f} K only (held so, the loss is about {loss:.0f} W/K), "
            "which says nothing of the thermal capacity: log the warming from cold, and the cooling after it"
        )


def _refuse_units(log: HeatLog) -> None:
    """InputError where the numbers are those of another unit."""
    most_w = float(log.heater_w.max())
    if most_w < LEAST_HEATER_W:
        raise InputError(
            f"heater_w is never more than {most_w:.3g} W: is it in kW? Log the watts that the heater draws"
        )
    for name, (low, high) in USUAL_C.items():
        middle = float(np.median(getattr(log, name)))
        if not low <= middle <= high:
            raise InputError(
                f"{name} is about {middle:.0f} °C: is it in kelvin or degrees Fahrenheit? Log degrees Celsius"
            )
