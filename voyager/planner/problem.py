"""The bare decision problem: what may be done each morning and evening, what it costs, what it does to the charge.

Plain arrays, no boat and no weather: exhaustive search and a MILP solve the same object in the tests. Y sky classes
are what the skipper knows in the morning, X nodes the weather that comes of it, shared by all classes; one sky is one
class with one node. What the poor day promises goes by class, what the charge does by node.
"""

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]


@dataclass(frozen=True)
class Morning:
    """A actions of one morning, sorted by start. One entry each (A,) unless said.

    ``start`` stop; ``end`` stop in the evening of day d + ``days``; ``lands`` True: in the morning after it instead;
    ``step`` of the ladder; ``pace`` number, -1 staying; ``cost`` in the aim's unit; ``arrives``: it makes fast at the
    destination. The sky's map (X,A): end = min(s + add, cap). The poor day's four numbers (Y,A).
    Held for ``from_kwh`` (Y,A) <= s < ``below_kwh``. ``fit``: chance that the sea allows it (1 where there is none);
    each morning one uniform draw u for the whole boat, known before the choice, allows what has u < fit. ``trip``: row
    in the day's trips, -1 staying.
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
    fit: Floats = field(default_factory=lambda: np.ones(0))
    trip: Ints = field(default_factory=lambda: np.zeros(0, dtype=np.int64))

    def __post_init__(self) -> None:
        """No sea and no trips unless they are given."""
        _fill(self, len(self.start))


@dataclass(frozen=True)
class Refuge:
    """What is done where nothing is held, by stop (T,): go to a plug (``end`` >= 0) or stay at ``off``.

    ``add``, ``cap`` (X,T) the sky's map of going; ``stay_add``, ``stay_cap`` (X,T) of staying. ``reach_kwh`` (Y,T):
    charge from which the plug is reached at all on a poor day; ``held_kwh`` (Y,T): from which charge stays above the
    floor. ``poor_go``, ``poor_stay``: the poor day's four numbers (add, cap, low_add, low_cap), each (Y,T).
    ``stay_end``: where a day of staying ends, the next stop where nights are asked for. ``fit``: chance that the sea
    allows the flight, as in ``Morning``; it stays where it does not. ``trip``: row in the day's flights, -1 none.
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
    fit: Floats = field(default_factory=lambda: np.ones(0))
    trip: Ints = field(default_factory=lambda: np.zeros(0, dtype=np.int64))

    def __post_init__(self) -> None:
        """No sea and no flights unless they are given."""
        _fill(self, len(self.end))


def _fill(table: Morning | Refuge, count: int) -> None:
    """``fit`` 1 and ``trip`` -1 where they were left out."""
    for name, value in (("fit", 1.0), ("trip", -1)):
        if getattr(table, name).size != count:
            object.__setattr__(table, name, np.full(count, value))


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

    ``never_cost`` (T,) or one for all: price of lying there at the horizon instead of having arrived. ``chance``
    (D,Y,X) of the day's node given the morning's class; ``follow`` (D,X,Y) of tomorrow's class given today's node;
    ``first`` (Y,) of the first morning's class. One class and one node unless they are given.
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
    chance: Floats = field(default_factory=lambda: np.ones((1, 1, 1)))
    follow: Floats = field(default_factory=lambda: np.ones((1, 1, 1)))
    first: Floats = field(default_factory=lambda: np.ones(1))

    def __post_init__(self) -> None:
        """Chances of every day, where they are told once for all."""
        for name in ("chance", "follow"):
            value = getattr(self, name)
            object.__setattr__(self, name, np.broadcast_to(value, (self.days, *value.shape[1:])))

    @property
    def classes(self) -> int:
        """Y, the kinds of morning that the skipper can tell."""
        return int(self.chance.shape[1])

    @property
    def nodes(self) -> int:
        """X, the kinds of day that can come."""
        return int(self.chance.shape[2])

    @property
    def never(self) -> Floats:
        """``never_cost`` of every stop (T,)."""
        return np.broadcast_to(np.asarray(self.never_cost, dtype=float), (self.stops,))

    @property
    def days(self) -> int:
        """The horizon."""
        return len(self.mornings)
