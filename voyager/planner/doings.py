"""What a day may bring to a boat that lies or goes in one of a few ways, ready to be read for many members.

A *doing* of a day is a stay at a mooring, a trip, or a day of a crossing. Powers are tabulated over the nodes of the
sky; a member reads between the two beside its own clearness.
"""

from dataclasses import dataclass, fields

import numpy as np
from numpy.typing import NDArray

from voyager.energy.run import Track
from voyager.energy.weather import HOURS
from voyager.planner.effects import extra_w, hour_station, hour_sun
from voyager.planner.frame import Frame
from voyager.planner.overnight import Crossing
from voyager.planner.overnight import hour_sun as sea_sun
from voyager.planner.walks import Trips, alone
from voyager.sky.clearness import HIGHEST, LOWEST, clearness

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
CELLS_ABOVE_K = 8.0


@dataclass(frozen=True)
class Doings:
    """U ways to spend a day: solar_w (U,X,H) at the nodes, propulsion_w (U,H), station (U,H) whose air is lived in,
    ``place`` (U,) the station whose clearness counts."""

    solar_w: Floats
    propulsion_w: Floats
    station: Ints
    place: Ints


@dataclass(frozen=True)
class DaySky:
    """One day of the members (M,): score of clearness and of the air, climate factor; measured hours (M,H) or None."""

    score: Floats
    air_score: Floats
    factor: Floats
    hours: Floats | None


def lying_doings(frame: Frame, day: int, moorings: Ints) -> Doings:
    """Days at moorings (U,)."""
    station = frame.mooring_station[moorings]
    watts = frame.panels.watts[day, frame.mooring_mount[moorings]][..., frame.nodes]
    count = len(moorings)
    return Doings(
        np.swapaxes(watts, 1, 2),
        np.zeros((count, HOURS)),
        np.repeat(station[:, None], HOURS, axis=1),
        station,
    )


def trip_doings(frame: Frame, day: int, trips: Trips) -> Doings:
    """Days of trips (U,): as the policy's own chains see them, hour by hour."""
    doings, trips = lying_doings(frame, day, trips.end), alone(trips)
    solar, propulsion, station = doings.solar_w.copy(), doings.propulsion_w.copy(), doings.station.copy()
    hours = trips.moving.shape[1]
    for h in range(hours):
        sun, _ = hour_sun(frame, day, trips, h)
        solar[:, :, h] = sun[:, frame.nodes]
        station[:, h] = hour_station(frame, day, trips, h)
    propulsion[:, :hours] = trips.kwh_by_hour * 1e3 + extra_w(frame, trips)[:, None] * trips.moving
    return Doings(solar, propulsion, station, doings.place)


def crossing_doing(frame: Frame, crossing: Crossing, first: int, day: int) -> Doings:
    """The day of a crossing whose hour ``first`` it begins with; lying at its end once landed, (1,)."""
    doings = lying_doings(frame, day, np.asarray([crossing.end]))
    solar, propulsion, station = doings.solar_w.copy(), doings.propulsion_w.copy(), doings.station.copy()
    extra = frame.vessel.hull.underway_extra_w
    for h in range(int(frame.days.length_h[day])):
        if first + h < len(crossing.kwh):
            sun, station[0, h] = sea_sun(frame, crossing, first + h)
            solar[0, :, h] = sun[frame.nodes]
            propulsion[0, h] = crossing.kwh[first + h] * 1e3 + extra * crossing.moving[first + h]
    return Doings(solar, propulsion, station, station[:, 0])


def together(parts: list[Doings]) -> Doings:
    """Doings of one day after one another."""
    return Doings(*(np.concatenate([getattr(part, f.name) for part in parts]) for f in fields(Doings)))


def member_track(frame: Frame, day: int, doings: Doings, of: Ints, sky: DaySky) -> Track:
    """The day of members (M,), each with the doing ``of`` (M,): sun, air and pane of its own sky."""
    k, low, share, air_here = _between(frame, day, doings.place[of], sky)
    high = np.minimum(low + 1, doings.solar_w.shape[1] - 1)
    station = doings.station
    hours = np.arange(HOURS)
    air = frame.weather.air
    still = air.mean_c[day, station] + air.range_k[day, station] * air.wave[day, station, hours]
    spread, swing = air.sd_c[day, station], air.range_per_k[day, station] * air.wave[day, station, hours]
    outside = still[of] + sky.air_score[:, None] * spread[of] + k[:, None] * swing[of]
    warmer = (sky.air_score - air_here) * air.sd_c[day, doings.place[of]]
    solar = _read(doings.solar_w, of, low, high, share) * _warmth(frame, day, doings.place[of], warmer)[:, None]
    pane = np.swapaxes(frame.glass_w_m2[day, station, hours][..., frame.nodes], 1, 2)
    glass = _read(pane, of, low, high, share)
    if sky.hours is not None:
        solar, glass = solar * sky.hours, glass * sky.hours
    return Track(solar, outside, glass, doings.propulsion_w[of], np.zeros(HOURS), frame.days.local_hour[day])


def _read(table: Floats, of: Ints, low: Ints, high: Ints, share: Floats) -> Floats:
    """Rows (M,H) of a table (U,X,H) between two nodes."""
    first = table[of, low]
    return np.maximum(first + share[:, None] * (table[of, high] - first), 0.0)


def _between(frame: Frame, day: int, place: Ints, sky: DaySky) -> tuple[Floats, Ints, Floats, Floats]:
    """Clearness of members (M,), the node below it, the share of the way to the next, the air score between them."""
    k, low, share = np.empty(len(place)), np.empty(len(place), dtype=np.int64), np.empty(len(place))
    for station in np.unique(place):
        at = np.flatnonzero(place == station)
        drawn = clearness(frame.climate.table[day, station], sky.score[at]) * sky.factor[at]
        k[at] = np.minimum(np.maximum(drawn, LOWEST), HIGHEST)
        knots = frame.weather.clearness[day, station, frame.nodes]
        below = np.clip(np.searchsorted(knots, k[at], side="right") - 1, 0, len(knots) - 2)
        step = np.maximum(knots[below + 1] - knots[below], 1e-9)
        low[at], share[at] = below, np.clip((k[at] - knots[below]) / step, -0.5, 2.0)
    node_air = frame.kinds.air[day, frame.nodes]
    return k, low, share, node_air[low] + share * (node_air[np.minimum(low + 1, len(node_air) - 1)] - node_air[low])


def _warmth(frame: Frame, day: int, place: Ints, warmer_k: Floats) -> Floats:
    """What panels give in air ``warmer_k`` (M,) warmer than that of the table, as a factor (M,).

    Power falls by ``temperature_percent_per_k`` of its value at cells of 25 degC, which stand some 8 K above the air
    over the day's light.
    """
    arrays = frame.vessel.arrays
    watts = sum(a.rated_w for a in arrays)
    gain = sum(a.rated_w * a.temperature_percent_per_k for a in arrays) / max(watts, 1e-9) / 100
    cells = frame.weather.air.mean_c[day, place] + CELLS_ABOVE_K - 25.0
    return np.asarray(1 + gain / (1 + gain * cells) * warmer_k)
