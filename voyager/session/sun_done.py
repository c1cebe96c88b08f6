"""The sun that a planned sky would have given where the boat really lay: moored or under way, raised or flat."""

from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

from voyager.logbook.readings import Passage, passages, shares
from voyager.logbook.timeline import Timeline
from voyager.planner.frame import Frame

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
LEAST_W = 5.0
MOST = 5.0
IN_ONE_H = 12.0


def sun_done(
    frame: Frame, line: Timeline, places: Sequence[tuple[float, float]], rows: Sequence[Mapping[str, Any] | None]
) -> Floats:
    """The planned sun by hour (T,) times what the panels give where the boat was over where it was to be, both by the
    frame's sky. ``places``: hour and kilometre. Days beyond the frame, and hours without sun, as planned; moored hours
    of a day lie where it ends, as in a plan.
    """
    out = line.sun.copy()
    if not places:
        return out
    made = passages(places)
    hour, km = np.asarray(places, dtype=float).T
    for day, row in enumerate(rows[: len(frame.days.dates)]):
        first, last = int(line.edges[day]), int(line.edges[day + 1])
        if row is None:
            continue
        at = np.arange(first, last) + 0.5
        meant_km, meant_moving = _meant(row, line.underway[first:last])
        moving = _under_way(made, len(out), meant_moving, first)
        lies = float(np.interp(float(last), hour, km))
        was = _mounts(frame, np.where(moving, np.interp(at, hour, km), lies), moving)
        meant = _mounts(frame, meant_km, meant_moving)
        steps = np.arange(last - first)
        watts = _watts(frame, day, np.concatenate([was, meant]))
        real, planned = watts[was, steps], watts[meant, steps]
        ratio = np.where(planned > LEAST_W, real / np.maximum(planned, LEAST_W), 1.0)
        out[first:last] *= np.minimum(ratio, MOST)
    return out


def _under_way(made: Sequence[Passage], count: int, meant: NDArray[np.bool_], first: int) -> NDArray[np.bool_]:
    """Hours of a day (h,), the first of them number ``first`` of ``count``, more than half of which was under way by
    the readings; of a passage somewhere in a longer time, those that were meant."""
    inside, loose = np.zeros(count), np.zeros(count)
    for one in made:
        hours = shares(count, one.begins, one.ends)
        if one.ends - one.begins <= IN_ONE_H:
            inside += hours
        else:
            loose += hours
    day = slice(first, first + len(meant))
    return np.asarray((inside[day] > 0.5) | (meant & (loose[day] > 0.5)))


def _meant(row: Mapping[str, Any], underway: Floats) -> tuple[Floats, NDArray[np.bool_]]:
    """Kilometre and whether under way in each of the day's hours; moored it lies where the day ends, as in a plan."""
    gone = np.nan_to_num(underway)
    moving = gone > 0.5
    share = np.cumsum(gone) / max(float(gone.sum()), 1e-9)
    km = row["start_km"] + share * (row["end_km"] - row["start_km"])
    return np.where(moving, km, row["end_km"]), moving


def _mounts(frame: Frame, km: Floats, moving: NDArray[np.bool_]) -> Ints:
    """Numbers of the mounts at kilometres (h,)."""
    moorings = np.asarray([one.km for one in frame.route.moorings])
    lying = frame.mooring_mount[np.abs(moorings[None, :] - km[:, None]).argmin(axis=1)]
    stretch = np.clip(np.searchsorted(frame.way.node_km, km, side="right") - 1, 0, len(frame.way.reach) - 1)
    return np.asarray(np.where(moving, frame.reach_mount[frame.way.reach[stretch]], lying))


def _watts(frame: Frame, day: int, mounts: Ints) -> Floats:
    """Panel power of the day by mount and hour (Q,H), of the mounts that are asked for."""
    needed = np.zeros((len(frame.days.dates), len(frame.bank.numbers)), dtype=bool)
    needed[day, mounts] = True
    return np.asarray(frame.bank.table(needed)[day, :, :, 0])
