"""A comfort step by the clock: setpoints and the pieces into which they cut a day."""

from functools import lru_cache

import numpy as np
from numpy.typing import ArrayLike, NDArray

from voyager.boat.cabin import Comfort, Piece

Floats = NDArray[np.float64]
DAY_MIN = 1440
GRACE_MIN = 30
"""So long after a rise of the setpoint the cabin is not yet held to it."""


def setpoints_c(comfort: Comfort, civil_min: ArrayLike) -> Floats:
    """Setpoint [degC] at minutes of the civil day, any shape."""
    return np.asarray(_by_minute(comfort)[0][np.asarray(civil_min) % DAY_MIN])


def asked(comfort: Comfort, civil_min: ArrayLike) -> NDArray[np.bool_]:
    """Whether minutes of the civil day lie in one of the hours asked for."""
    return np.asarray(_by_minute(comfort)[1][np.asarray(civil_min) % DAY_MIN])


@lru_cache(maxsize=64)
def _by_minute(comfort: Comfort) -> tuple[Floats, NDArray[np.bool_]]:
    setpoint, inside = np.full(DAY_MIN, float(comfort.otherwise_c)), np.zeros(DAY_MIN, dtype=bool)
    for start, end, value in comfort.hours_c:
        setpoint[start:end], inside[start:end] = value, True
    return setpoint, inside


def comfort_pieces(comfort: Comfort, local_start_min: ArrayLike, length: int) -> list[Piece]:
    """Pieces of a day in order: ``local_start_min`` (H,) civil minute at each hour step's start, ``length`` real steps.

    Cut where the setpoint changes and again 30 minutes after it rose; clock changes are followed as they come.
    """
    starts = tuple(int(m) for m in np.asarray(local_start_min)[:length])
    return list(_pieces(comfort, starts))


@lru_cache(maxsize=256)
def _pieces(comfort: Comfort, starts: tuple[int, ...]) -> tuple[Piece, ...]:
    if not starts:
        return ()
    before = np.arange(starts[0] - GRACE_MIN - 1, starts[0])
    civil = np.concatenate([before, *(np.arange(m, m + 60) for m in starts)])
    setpoint, inside = setpoints_c(comfort, civil), asked(comfort, civil)
    grace = _grace(setpoint)[len(before) :]
    return tuple(_runs(setpoint[len(before) :], inside[len(before) :], grace))


def _grace(setpoint: Floats) -> NDArray[np.bool_]:
    """Minutes that follow a rise within half an hour, the first minute of the rise included."""
    rose = np.append(0, np.diff(setpoint) > 0).cumsum()
    earlier = np.append(np.zeros(GRACE_MIN, dtype=rose.dtype), rose[:-GRACE_MIN])
    return np.asarray(rose > earlier)


def _runs(setpoint: Floats, inside: NDArray[np.bool_], grace: NDArray[np.bool_]) -> list[Piece]:
    """Runs of equal minutes, cut at every hour step."""
    minute = np.arange(len(setpoint))
    same = (np.diff(setpoint) == 0) & (np.diff(inside.astype(int)) == 0) & (np.diff(grace.astype(int)) == 0)
    cuts = np.flatnonzero(np.append(True, ~same) | (minute % 60 == 0))
    ends = np.append(cuts[1:], len(setpoint))
    return [
        Piece(int(a) // 60, int(a) % 60 / 60, (b - a) / 60, float(setpoint[a]), bool(inside[a]), bool(grace[a]))
        for a, b in zip(cuts.tolist(), ends.tolist(), strict=True)
    ]
