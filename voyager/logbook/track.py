"""A recorded track thinned to what a log needs: where the boat stopped and went on, and a position each hour."""

from dataclasses import dataclass
from math import cos, hypot, radians

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
STOP_M = 50.0
"""Within this distance of where it came to lie a boat is taken to lie there: it swings, and positions wander."""
STOP_S = 600.0
GAP_S = 3600.0
"""A recorder that is silent for longer was switched off: the positions before and after are kept."""
EVERY_S = 3600
M_PER_DEG = 111_195.0
BEGINS, STOPS, GOES_ON, ENDS, ON_THE_WAY = "track begins", "stopped", "under way", "track ends", ""


@dataclass(frozen=True)
class Fix:
    """One position kept: seconds since 1970, degrees, and what it is."""

    time_s: float
    lat: float
    lon: float
    what: str = ON_THE_WAY


@dataclass(frozen=True)
class _Stay:
    """The points from ``first`` to ``last``, ends included, within ``STOP_M`` of the first of them."""

    first: int
    last: int


def thinned(time_s: Floats, lat: Floats, lon: Floats) -> list[Fix]:
    """The positions to keep of a track (n,), in the order of time, which must not fall.

    A stop is ten minutes or more within 50 m, a lock or a night: its first and last time are kept at the median of its
    positions. Between stops the first position of each hour of the clock is kept, and those beside a gap of an hour.
    """
    if not time_s.size:
        return []
    kept = _kept(time_s)
    fixes: list[Fix] = []
    for stop in _stops(time_s, lat, lon):
        span = slice(stop.first, stop.last + 1)
        here = float(np.median(lat[span])), _middle_deg(lon[span])
        fixes += [Fix(float(time_s[stop.first]), *here, STOPS), Fix(float(time_s[stop.last]), *here, GOES_ON)]
        kept[span] = False
    fixes += [Fix(float(time_s[n]), float(lat[n]), float(lon[n])) for n in np.flatnonzero(kept)]
    return _ended(sorted(fixes, key=lambda fix: fix.time_s))


def _kept(time_s: Floats) -> NDArray[np.bool_]:
    """Points kept unless the boat lies (n,): the ends, the first of each hour of the clock, both sides of a gap."""
    gap, hour = np.diff(time_s) > GAP_S, np.diff(np.floor(time_s / EVERY_S)) > 0
    return np.asarray(np.concatenate([[True], hour | gap]) | np.concatenate([gap, [True]]))


def _ended(fixes: list[Fix]) -> list[Fix]:
    """With words for the track's ends where it did not begin or end in a stop."""
    first, last = fixes[0], fixes[-1]
    if first.what == ON_THE_WAY:
        fixes[0] = Fix(first.time_s, first.lat, first.lon, BEGINS)
    if last.what in (ON_THE_WAY, GOES_ON) and len(fixes) > 1:
        fixes[-1] = Fix(last.time_s, last.lat, last.lon, ENDS)
    return fixes


def _middle_deg(lon: Floats) -> float:
    """Median of longitudes of one place, which may lie on the date line."""
    middle = float(lon[0] + np.median((lon - lon[0] + 180.0) % 360.0 - 180.0))
    return (middle + 180.0) % 360.0 - 180.0


def _stops(time_s: Floats, lat: Floats, lon: Floats) -> list[_Stay]:
    """Stays long enough to be stops; those that follow each other at one place are one."""
    found: list[_Stay] = []
    for stay in _stays(lat.tolist(), lon.tolist()):
        if time_s[stay.last] - time_s[stay.first] < STOP_S:
            continue
        before = found[-1] if found else None
        if before and time_s[stay.first] - time_s[before.last] < STOP_S and _near(lat, lon, before.first, stay.first):
            found[-1] = _Stay(before.first, stay.last)
        else:
            found.append(stay)
    return found


def _near(lat: Floats, lon: Floats, one: int, other: int) -> bool:
    return _apart_m(float(lat[one]), float(lon[one]), float(lat[other]), float(lon[other])) <= 2 * STOP_M


def _apart_m(lat: float, lon: float, other_lat: float, other_lon: float) -> float:
    east = (other_lon - lon + 180.0) % 360.0 - 180.0
    return M_PER_DEG * hypot(other_lat - lat, east * cos(radians(lat)))


def _stays(lat: list[float], lon: list[float]) -> list[_Stay]:
    """The track cut where a position is farther than ``STOP_M`` from the first of its part."""
    stays, first = [], 0
    for number in range(1, len(lat)):
        if _apart_m(lat[first], lon[first], lat[number], lon[number]) > STOP_M:
            stays.append(_Stay(first, number - 1))
            first = number
    stays.append(_Stay(first, len(lat) - 1))
    return stays
