"""What the thermostat is asked for, piece by piece of the hours: one comfort step for all, or each member's own."""

from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from voyager.boat.cabin import Piece, air_setpoint_c
from voyager.boat.vessel import Vessel

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
EDGE_H = 1e-9


@dataclass(frozen=True)
class Wish:
    """Part of one hour step: the air's setpoint, whether somebody asks for it (0 or 1), whether it is in the half hour
    after a rise; numbers, or one a member (M,). ``counted``: anybody asks.

    ``grace_h``: hours of such a half hour that are kept if the setpoint is there at the end of this part; 0 in parts of
    it that end before the step's own piece does."""

    hour: int
    hours: float
    setpoint_c: Floats
    asked: Floats
    grace: NDArray[np.bool_]
    grace_h: Floats
    counted: bool


def wishes(vessel: Vessel, pieces: list[Piece]) -> list[Wish]:
    """The pieces of one comfort step."""
    return [
        Wish(
            p.hour,
            p.hours,
            np.asarray(_setpoint_c(vessel, p)),
            np.asarray(float(p.asked)),
            np.asarray(p.grace),
            np.asarray(p.hours),
            p.asked,
        )
        for p in pieces
    ]


def wishes_by_step(vessel: Vessel, pieces: list[list[Piece]]) -> list[Wish]:
    """The pieces of all steps of the ladder cut alike: setpoint, asked and grace by step (C,)."""
    return [_common(vessel, parts, start, end) for parts, start, end in _cuts(pieces)]


def of_members(by_step: list[Wish], step: Ints) -> list[Wish]:
    """Each member's own wish at its step (M,), from the wishes of all steps."""
    out = []
    for wish in by_step:
        asked = wish.asked[step]
        parts = (wish.setpoint_c[step], asked, wish.grace[step], wish.grace_h[step])
        out.append(Wish(wish.hour, wish.hours, *parts, bool(asked.any())))
    return out


def _setpoint_c(vessel: Vessel, piece: Piece) -> float:
    return air_setpoint_c(vessel.heaters, piece.setpoint_c) if piece.asked else piece.setpoint_c


def _cuts(pieces: list[list[Piece]]) -> list[tuple[list[list[Piece]], float, float]]:
    """Intervals of hours in which no step changes its mind, each with the pieces of its own hour, by step."""
    out = []
    for hour in sorted({p.hour for own in pieces for p in own}):
        inside = [[p for p in own if p.hour == hour] for own in pieces]
        edges = sorted({round(e, 9) for own in inside for p in own for e in (p.start_h, p.start_h + p.hours)})
        out += [(inside, a, b) for a, b in pairwise(edges) if b - a > EDGE_H]
    return out


def _common(vessel: Vessel, inside: list[list[Piece]], start: float, end: float) -> Wish:
    middle = (start + end) / 2
    at = [next(p for p in own if p.start_h <= middle < p.start_h + p.hours) for own in inside]
    asked = np.asarray([float(p.asked) for p in at])
    setpoint = np.asarray([_setpoint_c(vessel, p) for p in at])
    grace = np.asarray([p.grace for p in at])
    last = np.asarray([p.hours if p.start_h + p.hours <= end + EDGE_H else 0.0 for p in at])
    return Wish(at[0].hour, end - start, setpoint, asked, grace, last, bool(asked.any()))
