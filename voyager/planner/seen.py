"""What the skipper of the one chosen sky sees each morning: the class of the day, and whether the sea allows it."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from voyager.planner.frame import Frame
from voyager.planner.kinds import ONE_SKY
from voyager.planner.stops import Stops
from voyager.sky.chances import NODES
from voyager.sky.draws import class_of

Ints = NDArray[np.int64]
CALM, ROUGH = 0.0, 1.0 - 1e-9


@dataclass(frozen=True)
class Seen:
    """One morning: number of the class and of the node nearest to the day, the draw of the sea, the class's name or
    None where the plan knows no classes."""

    cls: int
    node: int
    sea: float
    told: bool


NOTHING = Seen(0, 0, CALM, False)


@dataclass(frozen=True)
class Mornings:
    """All mornings of a sky: ``cls``, ``node`` (D,), ``waits`` (N,) mornings that the sea keeps the boat in each
    mooring."""

    cls: Ints
    node: Ints
    waits: Ints
    told: bool

    def of(self, day: int, waiting: bool) -> Seen:
        """What is seen on one of them."""
        return Seen(int(self.cls[day]), int(self.node[day]), ROUGH if waiting else CALM, self.told)


def one_class_mornings(frame: Frame) -> Mornings:
    """A skipper who is told nothing: one class, one node; waiting for the sea is among the nights asked for."""
    none = np.zeros(len(frame.days.dates), dtype=np.int64)
    return Mornings(none, none, np.zeros(len(frame.route.moorings), dtype=np.int64), False)


def class_mornings(frame: Frame, waiting: Stops) -> Mornings:
    """The chosen sky as a skipper sees it who is told just what comes: f = z; ``waiting`` the stops with its days."""
    score = frame.kinds.score[:, ONE_SKY]
    waits = np.zeros(len(frame.route.moorings), dtype=np.int64)
    for mooring, reason in zip(waiting.mooring, waiting.forced, strict=True):
        waits[mooring] += reason == "sea"
    node = np.abs(score[:, None] - NODES).argmin(axis=1)
    return Mornings(class_of(score), node, waits, True)
