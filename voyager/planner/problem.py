"""The bare decision problem: what may be done each morning and evening, what it costs, what it does to the charge.

Plain arrays, no boat and no weather: exhaustive search and a MILP solve the same object in the tests. The class
axis is there from the start (X kinds of sky as the skipper knows them in the morning); one sky is one class.
"""

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]

ARRIVED = -1


@dataclass(frozen=True)
class Morning:
    """A actions of one morning, sorted by start. One entry each (A,) unless said.

    ``start`` stop; ``end`` stop in the evening of day d + ``days``; ``lands`` True: in the morning after it instead;
    ``step`` of the ladder; ``pace`` number, -1 staying; ``cost`` in the aim's unit; ``arrives``: it makes fast at the
    destination. The sky's map (X,A): end = min(s + add, cap). The poor day's four numbers (A,).
    Held for ``from_kwh`` <= s < ``below_kwh``.
    """

    start: Ints
    end: Ints
    days: Ints
    lands: Bools
    step: Ints
    pace: Ints
    cost: Floats
    arrives: Bools
    add: Floats
    cap: Floats
    poor_add: Floats
    poor_cap: Floats
    poor_low_add: Floats
    poor_low_cap: Floats
    from_kwh: Floats
    below_kwh: Floats
    arrive_h: Floats
    hours: Floats
    kwh: Floats


@dataclass(frozen=True)
class Refuge:
    """What is done where nothing is held, by stop (T,): go to a plug (``end`` >= 0) or stay at ``off``.

    ``add``, ``cap`` (X,T) the sky's map of going; ``stay_add``, ``stay_cap`` (X,T) of staying. ``reach_kwh``: charge
    from which the plug is reached at all on a poor day; ``held_kwh``: from which charge stays above the floor.
    ``poor_go``, ``poor_stay``: the poor day's four numbers (add, cap, low_add, low_cap), each (T,). ``stay_end``: where
    a day of staying ends, the next stop where nights are asked for.
    """

    end: Ints
    cost: Floats
    stay_cost: Floats
    add: Floats
    cap: Floats
    reach_kwh: Floats
    held_kwh: Floats
    stay_add: Floats
    stay_cap: Floats
    poor_go: tuple[Floats, Floats, Floats, Floats]
    poor_stay: tuple[Floats, Floats, Floats, Floats]
    stay_end: Ints


@dataclass(frozen=True)
class Evening:
    """One evening by stop (T,): ``hold_kwh`` (T,C) is floor + HR of each step; night maps (X,T,C); plug map (X,T).

    The rule: the voyage's step where charge >= its ``hold_kwh``; else the plug, if ``plug``; else the warmest step that
    holds; else the last. ``plug_cost`` is paid for a night plugged in.
    """

    hold_kwh: Floats
    add: Floats
    cap: Floats
    plug: Bools
    plug_add: Floats
    plug_cap: Floats
    plug_cost: float


@dataclass(frozen=True)
class Problem:
    """D mornings and evenings over T stops, the last one the destination; C steps, ``wanted`` the voyage's own.

    ``never_cost`` (T,) or one for all: price of lying there at the horizon instead of having arrived.
    """

    mornings: tuple[Morning, ...]
    refuges: tuple[Refuge, ...]
    evenings: tuple[Evening, ...]
    stops: int
    destination: int
    top_kwh: float
    wanted: int
    plug_freely: bool
    never_cost: Floats | float
    weights: Floats = field(default_factory=lambda: np.ones(1))

    @property
    def never(self) -> Floats:
        """``never_cost`` of every stop (T,)."""
        return np.broadcast_to(np.asarray(self.never_cost, dtype=float), (self.stops,))

    @property
    def days(self) -> int:
        """The horizon."""
        return len(self.mornings)


def evening_step(evening: Evening, stop: int, charge_kwh: float, wanted: int) -> tuple[int, bool]:
    """The rule of the evening for one stop: (step, plugged in)."""
    hold = evening.hold_kwh[stop]
    if charge_kwh >= hold[wanted] - 1e-9:
        return wanted, False
    if evening.plug[stop]:
        return wanted, True
    for step in range(wanted, len(hold)):
        if charge_kwh >= hold[step] - 1e-9:
            return step, False
    return len(hold) - 1, False
