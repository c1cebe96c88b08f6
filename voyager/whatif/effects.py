"""What one uncertain value of the boat does to a voyage: the same members under the same skies on changed vessels.

The skies are keyed by seed, member and date, so that the same member meets the same weather whatever the vessel
(common random numbers): differences are taken member by member, which leaves out what the weather does to both.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from math import hypot, sqrt

import numpy as np
from numpy.typing import NDArray

from voyager.boat.vessel import Vessel
from voyager.planner.tally import Voyages, shore_stops

Floats = NDArray[np.float64]
LEAST = {"arrive_days": 0.01, "stops": 0.05, "margin_kwh": 0.05}
"""A value whose harder side moves none of these by so much is not tried on the other."""


@dataclass(frozen=True)
class Fared:
    """How M members fared, each (M,): days to arrival (nan: never), whether never (0 or 1), stays with a plug, hours
    kept warm, and the least charge with which one of their days ended, above the reserve [kWh]."""

    arrive_days: Floats
    never: Floats
    stops: Floats
    warm_h: Floats
    margin_kwh: Floats


MEASURES = ("arrive_days", "never", "stops", "warm_h", "margin_kwh")


@dataclass(frozen=True)
class Shift:
    """Mean difference over the ``pairs`` of members that both have, and its standard error: both None without a pair,
    the error also with a single one."""

    mean: float | None
    se: float | None
    pairs: int


@dataclass(frozen=True)
class Side:
    """The vessel with a value ``step`` above the boat's own (below: negative), in the value's unit; not 0."""

    step: float
    vessel: Vessel


@dataclass(frozen=True)
class Trial:
    """A value with its standard error and the vessels on both sides of it, the one that makes the voyage harder first;
    fewer where a limit leaves no room, none where the error is 0."""

    se: float
    sides: tuple[Side, ...]


@dataclass(frozen=True)
class Effect:
    """What one standard error more of a value changes, by ``MEASURES``; from so many ``sides`` of the value (2: central
    difference, 1: against the value itself, 0: nothing was changed)."""

    shifts: dict[str, Shift]
    sides: int


def fared(voyages: Voyages, reserve_kwh: float) -> Fared:
    """What counts of a run through many skies; ``reserve_kwh`` of its vessel's battery."""
    return Fared(
        arrive_days=voyages.arrive_days,
        never=(voyages.arrive_day < 0).astype(np.float64),
        stops=shore_stops(voyages).astype(np.float64),
        warm_h=voyages.warm_h,
        margin_kwh=np.where(np.isnan(voyages.charge_end_kwh), np.inf, voyages.charge_end_kwh).min(axis=1) - reserve_kwh,
    )


def paired(before: Floats, after: Floats, factor: float = 1.0) -> Shift:
    """Mean of ``factor`` times (after − before), (M,) each, over the members with both; nan and inf are none."""
    both = np.isfinite(before) & np.isfinite(after)
    pairs = int(both.sum())
    if not pairs:
        return Shift(None, None, 0)
    moved = factor * (after[both] - before[both])
    return Shift(float(moved.mean()), float(moved.std(ddof=1)) / sqrt(pairs) if pairs > 1 else None, pairs)


def effect(se: float, at: Sequence[tuple[float, Fared]], sides: int) -> Effect:
    """One standard error's effect from two runs at different steps from the value, (step, how they fared)."""
    (one, before), (two, after) = at
    factor = se / (two - one)
    return Effect({name: paired(getattr(before, name), getattr(after, name), factor) for name in MEASURES}, sides)


def widened(sd: float, shift: float) -> float:
    """By how much a spread ``sd`` grows where an unknown moves the whole by ``shift`` (one standard deviation of it):
    √(sd² + shift²) − sd, the two being independent; same unit."""
    return hypot(sd, shift) - sd


def effects(
    follow: Callable[[Vessel], Fared],
    base: Fared,
    trials: Sequence[Trial],
    tick: Callable[[int, int], None] = lambda done, of: None,
) -> list[Effect]:
    """The effect of each trial. ``follow`` plans a vessel anew and runs it through the skies that ``base`` met.

    First the harder side of each; the other side only of those that move something (``LEAST``). ``tick`` is told runs
    done and runs known to be needed before each run.
    """
    first = [(number, trial.sides[0]) for number, trial in enumerate(trials) if trial.sides and trial.se > 0]
    still = Effect({name: paired(np.zeros(1), np.zeros(1)) for name in MEASURES}, 0)
    found, runs = [still] * len(trials), dict[int, Fared]()
    for done, (number, side) in enumerate(first):
        tick(done, len(first))
        runs[number] = follow(side.vessel)
        found[number] = effect(trials[number].se, [(0.0, base), (side.step, runs[number])], 1)
    second = [number for number in runs if len(trials[number].sides) > 1 and _moves(found[number])]
    for done, number in enumerate(second, len(first)):
        tick(done, len(first) + len(second))
        trial = trials[number]
        hard, easy = trial.sides
        at = [(hard.step, runs[number]), (easy.step, follow(easy.vessel))]
        found[number] = effect(trial.se, sorted(at, key=lambda one: one[0]), 2)
    return found


def _moves(one: Effect) -> bool:
    return any(abs(one.shifts[name].mean or 0.0) >= least for name, least in LEAST.items())
