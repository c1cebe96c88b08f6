"""What a leg at a pace costs: hours, energy and arrivals from every mooring, at every pace, on every day.

Nobody else knows. All starts, paces and a block of days are walked together, node by node along the way.
"""

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from voyager.boat.hull import Hull
from voyager.energy.pace import GROUND_MIN_MPS, power_curve, speeds
from voyager.energy.way import Way, exposed
from voyager.route.leg import Leg
from voyager.route.tide import stream_mps

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
STREAMS = 13
TIDE_WAIT_H = 0.5
TIDE_WAITS = 24
NAMES = ("time", "kwh", "poor", "wait", "moving", "water_km")
GROWTH = 24
CROWD = 0.75
"""Walks that have ended are left behind when fewer than this share still get on."""


@dataclass(frozen=True)
class SpeedTable:
    """Speeds by month group, leg, stream and pace: ``values`` (G,L,U,P,4), the last axis ground km/h, water m/s,
    power W and the poor day's power W.

    The U axis runs from -|flood| to +|flood| about the leg's current, ``stream_step_mps`` (L,) apart (0: no tide);
    ``flood_sign`` (L,) is +1 where the flood runs with the leg.
    """

    values: Floats
    stream_step_mps: Floats
    flood_sign: Floats
    tidal: NDArray[np.bool_]

    @property
    def fastest_kmh(self) -> float:
        """The best speed over the ground anywhere."""
        return float(self.values[..., 0].max())


@dataclass(frozen=True)
class Passages:
    """Walks from (day block B, mooring I, pace P), O nodes onward, [o = 0 is the start itself].

    ``arrive_h`` hours from the day's start, inf where not reached before ``close``; ``kwh`` and ``poor_kwh``
    propulsion so far; ``wait_h`` made fast before a shut lock; ``move_h`` time moving. All (O,B,I,P).
    """

    arrive_h: Floats
    kwh: Floats
    poor_kwh: Floats
    wait_h: Floats
    move_h: Floats
    water_km: Floats


def speed_table(hull: Hull, legs: tuple[Leg, ...], pace_w: Floats, wind_mps: Floats, poor_factor: float) -> SpeedTable:
    """Speeds of all legs. ``wind_mps`` (G,L) mean wind by month group; the poor day's is ``poor_factor`` of it."""
    groups, count = len(wind_mps), len(legs)
    tidal = np.asarray([leg.tide_high_water is not None for leg in legs])
    width = STREAMS if tidal.any() else 1
    out = np.zeros((groups, count, width, len(pace_w), 4))
    step, paces = np.zeros(count), tuple(pace_w.tolist())
    for number, leg in enumerate(legs):
        top = abs(leg.tide_flood_mps) if tidal[number] else 0.0
        currents = leg.current_mps + np.linspace(-top, top, width) if tidal[number] else np.asarray([leg.current_mps])
        step[number] = 2 * top / (width - 1) if tidal[number] else 0.0
        water = Leg("", "", leg.water, depth_m=leg.depth_m, width_m=leg.width_m, speed_mps=leg.speed_mps)
        for group in range(groups):
            wind = float(wind_mps[group, number])
            poor = wind * poor_factor if exposed(leg) else wind
            out[group, number] = _speeds(hull, water, wind, poor, tuple(currents.tolist()), paces, leg.limit_mps)
    sign = np.asarray([-1.0 if leg.tide_flood_mps < 0 else 1.0 for leg in legs])
    return SpeedTable(out, step, sign, tidal)


@lru_cache(maxsize=4096)
def _speeds(
    hull: Hull,
    leg: Leg,
    wind_mps: float,
    poor_wind_mps: float,
    currents_mps: tuple[float, ...],
    paces_w: tuple[float, ...],
    limit_mps: float | None,
) -> Floats:
    """Speeds in one water and wind (U,P,4) as in the table."""
    curve = power_curve(hull, leg, wind_mps, poor_wind_mps)
    found = [speeds(curve, np.asarray(paces_w), current, limit_mps) for current in currents_mps]
    rows = [(3.6 * one.ground_mps, one.water_mps, one.power_w, one.poor_power_w) for one in found]
    return np.moveaxis(np.asarray(rows), 1, -1)


@dataclass(frozen=True)
class Clock:
    """The hours of a block of days B at each start I: ``open_h``, ``close_h`` (B,I), nan or inf where none.

    ``lock_h`` (B,L,2) opening of locks and bridges; ``high_water_h`` (B,L) hours from the day's start to high
    water; ``group`` (B,) month group of the speed table.
    """

    open_h: Floats
    close_h: Floats
    lock_h: Floats
    high_water_h: Floats
    group: Ints


def walk(way: Way, legs: tuple[Leg, ...], table: SpeedTable, clock: Clock, starts: Ints) -> Passages:
    """Walk on from the moorings ``starts`` (I,) until nobody gets further before the close of travel."""
    shape = (len(clock.group), len(starts), table.values.shape[3])
    rows = np.zeros((len(NAMES), GROWTH, *shape))
    state = _State(*np.zeros((len(NAMES), *shape)))
    state.time[:] = clock.open_h[:, :, None]
    going, count = np.arange(len(starts)), 1
    state.put(rows[:, 0], going)
    for offset in range(len(way.km)):
        inside = way.moorings_at[starts[going]] + offset < len(way.km)
        node = np.minimum(way.moorings_at[starts[going]] + offset, len(way.km) - 1)
        _serve(way, clock, state, node)
        _move(way, table, clock, state, node)
        late = ~(state.time <= clock.close_h[:, going, None] + 1e-9) | ~inside[None, :, None]
        state.time[late] = np.inf
        if count == rows.shape[1]:
            rows = np.concatenate([rows, np.zeros_like(rows)], axis=1)
        rows[0, count] = np.inf
        state.put(rows[:, count], going)
        count += 1
        alive = np.asarray(np.isfinite(state.time).any(axis=(0, 2)))
        if not alive.any():
            break
        if alive.sum() < CROWD * len(going):
            going, state = going[alive], state.only(alive)
    return Passages(*rows[:, :count])


@dataclass
class _State:
    time: Floats
    kwh: Floats
    poor: Floats
    wait: Floats
    moving: Floats
    water_km: Floats

    def put(self, row: Floats, starts: Ints) -> None:
        """Write down where everybody stands who is still going from ``starts``."""
        for k, name in enumerate(NAMES):
            row[k][:, starts] = getattr(self, name)

    def only(self, alive: NDArray[np.bool_]) -> "_State":
        """Those who still get on."""
        return _State(*(getattr(self, name)[:, alive] for name in NAMES))


def _serve(way: Way, clock: Clock, state: _State, node: Ints) -> None:
    """Pass the lock or bridge at the node: wait, made fast, until it opens; inf where it shuts before."""
    here = np.flatnonzero(way.service_h[node] > 0)
    if not len(here):
        return
    at = node[here]
    opens, shuts = np.moveaxis(clock.lock_h[:, way.service_leg[at]], -1, 0)
    arrive = state.time[:, here]
    begin = np.maximum(arrive, opens[:, :, None])
    done = begin + way.service_h[at][None, :, None]
    done = np.where(done <= shuts[:, :, None] + 1e-9, done, np.inf)
    passed = np.isfinite(done)
    state.wait[:, here] += np.where(passed, begin, 0.0) - np.where(passed, arrive, 0.0)
    state.time[:, here] = done
    state.kwh[:, here] += way.service_kwh[at][None, :, None]
    state.poor[:, here] += way.service_kwh[at][None, :, None]


def _move(way: Way, table: SpeedTable, clock: Clock, state: _State, node: Ints) -> None:
    leg = way.leg[node]
    group = clock.group[:, None]
    speeds = table.values[group, leg[None, :], 0]
    tidal = np.flatnonzero(table.tidal[leg])
    if len(tidal):
        speeds[:, tidal] = _tidal(way, table, clock, state, node[tidal], tidal)
    ground, water, power, poor = np.moveaxis(speeds, -1, 0)
    with np.errstate(divide="ignore"):
        hours = np.where(ground > 0, way.km[node][None, :, None] / ground, np.inf)
    state.time += hours
    moved = np.where(np.isfinite(state.time), hours, 0.0)
    state.moving += moved
    state.water_km += water * moved * 3.6
    state.kwh += power * moved / 1e3
    state.poor += poor * moved / 1e3


def _tidal(
    way: Way, table: SpeedTable, clock: Clock, state: _State, node: Ints, columns: Ints
) -> Floats:
    """Speeds (B,I,P,4) in the stream halfway through the stretch ahead; that of its start errs by up to 30 %.

    At a mooring the boat waits, made fast, for a stream it can stem.
    """
    leg = way.leg[node]
    moored = (way.mooring[node] >= 0)[None, :, None]
    for _ in range(TIDE_WAITS):
        index, share = _stream_index(table, clock, state.time[:, columns], leg)
        ground = _between(table.values[..., 0], clock.group, leg, index, share)
        stuck = moored & (ground < GROUND_MIN_MPS * 3.6) & np.isfinite(state.time[:, columns])
        if not stuck.any():
            break
        state.time[:, columns] += np.where(stuck, TIDE_WAIT_H, 0.0)
        state.wait[:, columns] += np.where(stuck, TIDE_WAIT_H, 0.0)
    goes = ground >= GROUND_MIN_MPS * 3.6 - 1e-9
    half_h = np.where(goes, way.km[node][None, :, None] / np.where(goes, ground, 1.0) / 2, 0.0)
    index, share = _stream_index(table, clock, state.time[:, columns] + half_h, leg)
    speeds = _between(table.values, clock.group, leg, index, share[..., None])
    goes &= speeds[..., 0] >= GROUND_MIN_MPS * 3.6 - 1e-9
    speeds[..., 0] = np.where(goes, speeds[..., 0], 0.0)
    return speeds


def _stream_index(table: SpeedTable, clock: Clock, time_h: Floats, leg: Ints) -> tuple[Ints, Floats]:
    step = table.stream_step_mps[leg][None, :, None]
    top = step * (STREAMS - 1) / 2
    since = np.where(np.isfinite(time_h), time_h, 0.0) - clock.high_water_h[:, leg][:, :, None]
    sign = table.flood_sign[leg][None, :, None]
    stream = sign * stream_mps(since, top)
    place = np.clip((stream + top) / np.where(step > 0, step, 1.0), 0, STREAMS - 1 - 1e-9)
    index = place.astype(np.int64)
    return index, place - index


def _between(values: Floats, group: Ints, leg: Ints, index: Ints, share: Floats) -> Floats:
    """Linear between two streams; (B,I,P) and what axes ``values`` has beyond the pace."""
    pace = np.arange(values.shape[3])[None, None, :]
    at = (group[:, None, None], leg[None, :, None])
    low, high = values[(*at, index, pace)], values[(*at, np.minimum(index + 1, STREAMS - 1), pace)]
    return np.asarray(low * (1 - share) + high * share)
