"""What a stretch of the way costs at every pace: the passage between two kilometres, wherever they lie."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from voyager.energy.passage import SpeedTable
from voyager.energy.way import Way

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Stretch:
    """Hours with locks and bridges, without waiting (inf where a leg can't be done), and propulsion kWh at the battery
    without what runs only under way, by pace (P,)."""

    hours: Floats
    kwh: Floats


def stretch(way: Way, table: SpeedTable, group: int, from_km: float, to_km: float) -> Stretch:
    """Between two kilometres of a way, ``from_km`` <= ``to_km``, in the wind of a month group; a tide's stream at its
    mean. Locks and bridges from the first kilometre on, before the last, are passed.

    The same speeds and powers as in ``energy.passage.walk``, for ends that are no moorings.
    """
    low, high = way.node_km[:-1], way.node_km[1:]
    km = np.clip(np.minimum(high, to_km) - np.maximum(low, from_km), 0.0, None)
    here = np.flatnonzero(km > 0)
    speeds = table.values[group, way.leg[here], table.values.shape[2] // 2]
    with np.errstate(divide="ignore"):
        hours = np.where(speeds[..., 0] > 0, km[here, None] / speeds[..., 0], np.inf)
    moved = np.where(np.isfinite(hours), hours, 0.0)
    passed = (way.node_km >= from_km - 1e-9) & (way.node_km < to_km - 1e-9)
    served_h, served_kwh = float(way.service_h[passed].sum()), float(way.service_kwh[passed].sum())
    return Stretch(
        np.asarray(hours.sum(axis=0) + served_h), np.asarray((speeds[..., 2] * moved).sum(axis=0) / 1e3 + served_kwh)
    )
