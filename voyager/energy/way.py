"""The route cut at every point where something happens: moorings, locks, bridges, leg ends, turns of the tide."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from voyager.boat.hull import Hull
from voyager.route.leg import EXPOSED, Leg
from voyager.route.line import Route

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
TIDE_STEP_KM = 4.0
GATE_H = 1e-6
"""A leg with hours or closures and nothing on it that could shut is barred at its start."""


@dataclass(frozen=True)
class Reaches:
    """Stretches of one leg under one station, (R,): where the sun on the panels is the same."""

    leg: Ints
    station: Ints


@dataclass(frozen=True)
class Way:
    """K nodes and K-1 segments. ``mooring`` (K,) number or -1; ``moorings_at`` (N,) node of each mooring.

    ``service_h``, ``service_kwh``, ``locks`` (K,): time, energy and locks at the node itself, to be passed before
    going on, by the hours of leg ``service_leg`` (K,). ``leg``, ``km``, ``reach`` (K-1,) of the segment after it.
    """

    node_km: Floats
    mooring: Ints
    moorings_at: Ints
    service_h: Floats
    service_kwh: Floats
    service_leg: Ints
    locks: Ints
    leg: Ints
    km: Floats
    reach: Ints
    reaches: Reaches


def build_way(route: Route, hull: Hull, station_at: "StationAt") -> Way:
    """Nodes of the route in sailing order; stations by the middle of each segment."""
    rows = [_Row(0.0, mooring=_place_mooring(route, 0))]
    for number, leg in enumerate(route.legs):
        rows += _leg_rows(route, number, leg, hull)
    km = np.asarray([r.km for r in rows])
    leg_of = np.asarray([r.leg for r in rows[1:]], dtype=np.int64)
    middle = (km[1:] + km[:-1]) / 2
    station = station_at(*route.position(middle))
    pairs, reach = np.unique(np.stack([leg_of, station], axis=1), axis=0, return_inverse=True)
    mooring = np.asarray([r.mooring for r in rows], dtype=np.int64)
    at = np.full(len(route.moorings), -1, dtype=np.int64)
    at[mooring[mooring >= 0]] = np.flatnonzero(mooring >= 0)
    return Way(
        km,
        mooring,
        at,
        np.asarray([r.service_h for r in rows]),
        np.asarray([r.service_kwh for r in rows]),
        np.asarray([r.leg for r in rows], dtype=np.int64),
        np.asarray([r.locks for r in rows], dtype=np.int64),
        leg_of,
        np.diff(km),
        reach.reshape(-1).astype(np.int64),
        Reaches(pairs[:, 0], pairs[:, 1]),
    )


class StationAt:
    """Which degree square a position lies in: half a degree of latitude above 58 degrees."""

    def __init__(self) -> None:
        self.keys: dict[tuple[float, float], int] = {}

    def __call__(self, lat: Floats, lon: Floats) -> Ints:
        """Numbers of the squares, made as they are met, (shape of ``lat``)."""
        step = np.where(np.abs(lat) > 58, 0.5, 1.0)
        keys = zip(np.round(lat / step) * step, (np.round(lon) + 180) % 360 - 180, strict=True)
        return np.asarray([self.keys.setdefault((float(a), float(b)), len(self.keys)) for a, b in keys], dtype=np.int64)


@dataclass(frozen=True)
class _Row:
    km: float
    leg: int = 0
    mooring: int = -1
    service_h: float = 0.0
    service_kwh: float = 0.0
    locks: int = 0


def _place_mooring(route: Route, leg_end: int) -> int:
    """Number of the mooring at the end of leg ``leg_end - 1`` (0: the first place), or -1."""
    if leg_end == 0:
        return 0
    ends = (n for n, m in enumerate(route.moorings) if n > 0 and m.place is not None and m.leg == leg_end - 1)
    return next(ends, -1)


def _leg_rows(route: Route, number: int, leg: Leg, hull: Hull) -> list[_Row]:
    start, length = float(route.start_km[number]), float(route.distance_km[number])
    rows = [_service_row(start + event.km, event.kind, number, leg, hull) for event in route.events(number)]
    if not rows and (leg.closed or leg.closed_weekdays or leg.open_min is not None):
        rows.append(_Row(start, number, service_h=GATE_H))
    rows += [
        _Row(m.km, number, k) for k, m in enumerate(route.moorings) if m.leg == number and m.place is None
    ]
    if leg.tide_high_water is not None and not leg.moor_anywhere:
        parts = int(np.ceil(length / TIDE_STEP_KM))
        rows += [_Row(start + length * k / parts, number) for k in range(1, parts)]
    rows.sort(key=lambda r: (r.km, r.mooring < 0))
    return [*rows, _Row(start + length, number, _place_mooring(route, number + 1))]


def _service_row(km: float, kind: str, number: int, leg: Leg, hull: Hull) -> _Row:
    if kind == "lock":
        return _Row(km, number, -1, leg.lock_min / 60, leg.lock_kwh, 1)
    return _Row(km, number, -1, leg.bridge_min / 60, hull.manoeuvre_w * leg.bridge_min / 60e3)


def exposed(leg: Leg) -> bool:
    """True on coastal and open water."""
    return leg.water in EXPOSED
