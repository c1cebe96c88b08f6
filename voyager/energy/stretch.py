"""What a stretch of the way costs at every pace: the passage between two kilometres, wherever they lie."""

from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from voyager.energy.passage import Clock, SpeedTable, walk
from voyager.energy.way import Way
from voyager.route.leg import Leg

Floats = NDArray[np.float64]
SAME_KM = 1e-9


@dataclass(frozen=True)
class Stretch:
    """Hours from casting off to the end, locks, bridges and waits for a stream with them (inf where it can't be done),
    and propulsion kWh at the battery without what runs only under way, by pace (P,)."""

    hours: Floats
    kwh: Floats


def stretch(
    way: Way, legs: tuple[Leg, ...], table: SpeedTable, group: int, ends_km: tuple[float, float], begins_h: float,
    high_water_h: Floats,
) -> Stretch:  # fmt: skip
    """The planner's own walk from one kilometre of a way to another further on, cast off at ``begins_h``, all locks and
    bridges open.

    ``group``: month group of the table's winds; ``high_water_h`` (L,) from the same zero as ``begins_h``. Locks and
    bridges from the first kilometre on, before the last, are passed.
    """
    part = cut(way, *ends_km)
    count = len(high_water_h)
    clock = Clock(
        np.full((1, 1), begins_h), np.full((1, 1), np.inf), np.tile([-np.inf, np.inf], (1, count, 1)),
        high_water_h[None, :], np.asarray([group]),
    )  # fmt: skip
    found, last = walk(part, legs, table, clock, np.asarray([0])), len(part.node_km) - 1
    if len(found.arrive_h) <= last:
        nowhere = np.full(table.values.shape[3], np.inf)
        return Stretch(nowhere, np.zeros_like(nowhere))
    return Stretch(found.arrive_h[last, 0, 0] - begins_h, found.kwh[last, 0, 0])


def cut(way: Way, from_km: float, to_km: float) -> Way:
    """A way from one kilometre to another, ``from_km`` < ``to_km``, with the nodes between; mooring 0 is its start."""
    inner = np.flatnonzero((way.node_km >= from_km - SAME_KM) & (way.node_km < to_km - SAME_KM))
    km = np.concatenate([[from_km], np.maximum(way.node_km[inner], from_km), [to_km]])
    middle = (km[1:] + km[:-1]) / 2
    at = np.clip(np.searchsorted(way.node_km, middle, side="right") - 1, 0, len(way.km) - 1)

    def ended(values: NDArray[Any]) -> NDArray[Any]:
        return np.concatenate([[0], values[inner], [0]])

    return replace(
        way, node_km=km, mooring=ended(way.mooring), moorings_at=np.asarray([0]), service_h=ended(way.service_h),
        service_kwh=ended(way.service_kwh), service_leg=ended(way.service_leg), locks=ended(way.locks),
        leg=way.leg[at], km=np.diff(km), reach=way.reach[at],
    )  # fmt: skip
