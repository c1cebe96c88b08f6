"""Where a plan begins that does not begin with the voyage: in the middle of a day, somewhere along the route."""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from voyager.boat.cabin import Piece
from voyager.energy.weather import HOURS

Floats = NDArray[np.float64]
WHOLE = 1e-9


@dataclass(frozen=True)
class Start:
    """``hours`` from the first day's start (0: the plan begins with the day), kilometre of the route, charge [kWh];
    None: the charge with which the voyage starts. ``asked``: the days that the voyage asks for where the boat lies are
    still to come, though the day has begun."""

    hours: float
    km: float
    charge_kwh: float | None = None
    asked: bool = False


@dataclass(frozen=True)
class Begin:
    """What the first day of a plan knows of the hours before it.

    ``mooring`` where the boat is; ``hours`` gone by; charge, None: that with which the voyage starts; ``lived_h`` part
    of each hour step (H,) still to come, None: all of it; ``air_c``, ``structure_c`` (S,n) the cabin as those hours
    left it at the voyage's own step, None: as the day itself leaves it; ``asked`` as in ``Start``.
    """

    mooring: int = 0
    hours: float = 0.0
    charge_kwh: float | None = None
    lived_h: Floats | None = None
    air_c: Floats | None = None
    structure_c: Floats | None = None
    asked: bool = False

    @property
    def step(self) -> int:
        """Number of the first hour step that is lived, wholly or in part."""
        return int(self.hours + WHOLE)

    @property
    def asked_from(self) -> int:
        """Number of the first mooring whose nights are still asked for.

        Those behind are over. Who wakes at a place as the day starts has all of its nights before him; who asks later
        in the day is taken to be on his way, and the place's nights to be kept, unless he says that they are ``asked``.
        """
        return self.mooring if self.hours <= WHOLE or self.asked else self.mooring + 1


def begin_at(start: Start | None, moorings_km: Floats) -> Begin:
    """The beginning at the mooring nearest to where the boat is; the voyage's own where nothing is said."""
    if start is None:
        return Begin()
    mooring = int(np.abs(moorings_km - start.km).argmin())
    return Begin(mooring, start.hours, start.charge_kwh, lived_h(start.hours), asked=start.asked)


def lived_h(hours: float) -> Floats | None:
    """Part of each hour step of a day (H,) that is still to come after ``hours``; None: all of it."""
    if hours <= WHOLE:
        return None
    return np.clip(np.arange(1.0, HOURS + 1) - hours, 0.0, 1.0)


def pieces_between(pieces: list[Piece], first_h: float, last_h: float) -> list[Piece]:
    """The parts of a day's comfort pieces that lie between two times, hours from its start."""
    out = []
    for piece in pieces:
        begins = piece.hour + piece.start_h
        ends = min(begins + piece.hours, last_h)
        starts = max(begins, first_h)
        if ends - starts > WHOLE:
            out.append(replace(piece, start_h=starts - piece.hour, hours=ends - starts))
    return out
