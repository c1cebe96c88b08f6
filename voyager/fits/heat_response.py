"""How the cabin answers a log, by the simulator's own step: the answers to outside air, heat and starting temperatures.

The step of a free cabin is linear in its state and inputs: what it does to one kelvin or one watt at a time is all of
it. The rows of a log are then one banded system of equations, solved at once.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from voyager.boat.cabin import Cabin, step
from voyager.fits.heat_log import HeatLog
from voyager.fits.result import Floats

FAINT = 1e-9
PART_H = 1 / 60


@dataclass(frozen=True)
class Steps:
    """What m steps of a cabin with k nodes do: ``fade`` (m, k, k) to the temperatures, ``outside`` (m, k) K per K of
    outside air, ``heat`` (m, k) K per W."""

    fade: Floats
    outside: Floats
    heat: Floats


@dataclass(frozen=True)
class Response:
    """Air temperature of each row: of the outside air alone (n,), of the heat as logged (n,), and of one kelvin at the
    start of each node in every stretch (n, k)."""

    outside: Floats
    heat: Floats
    start: Floats


def nodes(cabin: Cabin) -> int:
    """1, or 2 with a structure."""
    return 2 if cabin.structure_capacity_wh_per_k and cabin.structure_w_per_k else 1


def steps(cabin: Cabin, hours: Floats) -> Steps:
    """The free cabin's steps of the lengths ``hours`` (m,), those of a cabin with structure in parts of a minute."""
    count = nodes(cabin)
    unit = np.eye(count + 2)
    structure = unit[1] if count == 2 else None
    halvings = max(0, int(np.ceil(np.log2(hours.max() / PART_H)))) if count == 2 else 0
    part = hours[:, None] / 2**halvings
    after = step(cabin, unit[0], structure, unit[count], unit[count + 1], -np.inf, 0.0, part)
    air = np.broadcast_to(after.air_c, (len(hours), count + 2))
    state = air[:, None] if after.structure_c is None else np.stack([air, after.structure_c], axis=1)
    fade, given = state[:, :, :count], state[:, :, count:]
    for _ in range(halvings):
        fade, given = fade @ fade, fade @ given + given
    return Steps(fade, given[:, :, 0], given[:, :, 1])


def response(cabin: Cabin, log: HeatLog) -> Response:
    """Answers of the cabin's air to the log."""
    from scipy.linalg.lapack import dtbtrs

    rows, count = log.steps, nodes(cabin)
    lengths, which = log.lengths_h
    does = steps(cabin, lengths)
    mean_c = 0.5 * (log.outside_c[rows] + log.outside_c[rows + 1])
    given = np.zeros((2 + count, len(log), count))
    given[0, rows + 1] = does.outside[which] * mean_c[:, None]
    given[1, rows + 1] = does.heat[which] * (log.heater_w + log.gains_w)[rows, None]
    given[2:, log.starts] = np.eye(count)[:, None]
    bands = _bands(does.fade[which], rows, len(log), count)
    state, _ = dtbtrs(bands, given.reshape(2 + count, -1).T, uplo="L", diag="U", overwrite_b=1)
    air = state[::count]
    return Response(air[:, 0], air[:, 1], air[:, 2:])


def _bands(fade: Floats, rows: NDArray[np.int64], length: int, count: int) -> Floats:
    """The system state[i + 1] - fade state[i] = given[i + 1] in LAPACK's lower band storage."""
    bands = np.zeros((2 * count, length * count), order="F")
    bands[0] = 1.0
    for to in range(count):
        for by in range(count):
            bands[count + to - by, rows * count + by] = -fade[:, to, by]
    return bands


def freed(values: Floats, start: Floats, log: HeatLog) -> Floats:
    """``values`` (n,) without what the best starting temperatures of each stretch explain."""
    before: list[Floats] = []
    for column in (*start.T, values):
        for earlier in before:
            column = _without(column, earlier, log)
        before.append(column)
    return before[-1]


def _without(values: Floats, column: Floats, log: HeatLog) -> Floats:
    size = np.add.reduceat(column * column, log.starts)
    share = np.add.reduceat(values * column, log.starts)
    share = np.where(size > FAINT, share, 0.0) / np.where(size > FAINT, size, 1.0)
    return np.asarray(values - share[log.stretch] * column)
