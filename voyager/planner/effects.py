"""What a day part does to the charge: the four numbers of every trip, stay and night, at every comfort step."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from voyager.energy.maps import Chain, chain
from voyager.energy.step import unclamped_kwh
from voyager.planner.frame import Frame
from voyager.planner.scope import Scope
from voyager.planner.walks import Trips, together

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
PLACES = 4
CACHED = 16384
"""Numbers of one kind that are worked on at once."""


def rounded(values: Floats) -> Floats:
    """Table values as plans use them: 1e-4 kWh, so that two machines choose alike."""
    return np.round(values, PLACES)


def trip_chains(frame: Frame, day: int | Ints, trips: Trips, steps: Sequence[int]) -> list[Chain]:
    """Chains (A,n) from the day's start to the evening of each trip's end, one for each comfort step asked for.

    ``day``: of all trips, or (A,) of each, as in ``Frame.lived_h``.
    """
    battery, n = frame.vessel.battery, frame.weather.cold
    evening = frame.windows.evening[day, frame.mooring_station[trips.end]]
    chains = [chain((len(trips.start), n), frame.ceiling_kwh) for _ in steps]
    for h in range(frame.from_step(day), int(evening.max(initial=0))):
        sun, station = hour_sun(frame, day, trips, h)
        propulsion = _hour_propulsion(frame, trips, h)
        blocked = frame.weather.blocked[day, station, h, :n]
        open_hour = (h < evening)[:, None]
        for step, part in zip(steps, chains, strict=True):
            load = frame.total_w[step, day, station, h, :n]
            change = unclamped_kwh(battery, sun - load - propulsion, blocked, frame.part(day, h)[1])
            part.append(np.where(open_hour, change, 0.0))
    return chains


def chains_of_days(
    frame: Frame, days: Sequence[int], trips: Sequence[Trips], steps: Sequence[int]
) -> list[list[Chain]]:
    """``trip_chains`` of the trips of several days, by step and day: many at once, as few as stay in the cache."""
    out: list[list[Chain]] = [[] for _ in steps]
    for at in _groups(frame, days, [len(one.start) for one in trips]):
        some = [trips[k] for k in at]
        count = [len(one.start) for one in some]
        day = days[at[0]] if len(at) == 1 else np.repeat([days[k] for k in at], count)
        edges = np.cumsum([0, *count]).tolist()
        for step, whole in enumerate(trip_chains(frame, day, together(some), steps)):
            for a, b in pairwise(edges):
                out[step].append(whole.at(slice(a, b)))
    return out


def _groups(frame: Frame, days: Sequence[int], counts: Sequence[int]) -> list[list[int]]:
    """Places of days whose trips are taken together; the one that a plan enters in its middle stands alone."""
    groups: list[list[int]] = []
    size = room = CACHED // frame.weather.cold
    for k, (day, count) in enumerate(zip(days, counts, strict=True)):
        if not groups or size + count > room or frame.from_step(days[groups[-1][0]]) or frame.from_step(day):
            groups.append([])
            size = 0
        groups[-1].append(k)
        size += count
    return groups


def hour_sun(frame: Frame, day: int | Ints, trips: Trips, h: int) -> tuple[Floats, Ints]:
    """Panel power (A,n) in one hour and the station that the hour belongs to (A,)."""
    watts = frame.panels.watts
    moving = trips.moving[:, h][:, None]
    begins, lasts = frame.part(day, h)
    before = np.clip((trips.depart_h - begins) / max(lasts, 1e-9), 0.0, 1.0)[:, None]
    after = np.maximum(1.0 - moving - before, 0.0)
    sun = moving * watts[day, trips.mount[:, h], h]
    for share, mooring in ((before, trips.start), (after, trips.end)):
        if share.any():
            sun += share * watts[day, frame.mooring_mount[mooring], h]
    return sun, hour_station(frame, day, trips, h)


def hour_station(frame: Frame, day: int | Ints, trips: Trips, h: int) -> Ints:
    """The station whose air an hour is lived in: where the boat is at its middle, (A,)."""
    begins, lasts = frame.part(day, h)
    middle = begins + lasts / 2
    early = middle < trips.depart_h
    moored = np.where(early, frame.mooring_station[trips.start], frame.mooring_station[trips.end])
    return np.asarray(np.where(~early & (middle < trips.arrive_h), trips.station[:, h], moored))


def propulsion_kwh(frame: Frame, motor_kwh: Floats, hours: Floats) -> Floats:
    """Motor and the load that runs only under way, as prices count them, shapes broadcast."""
    return np.asarray(motor_kwh + frame.vessel.hull.underway_extra_w * np.asarray(hours) / 1e3)


def trip_days(frame: Frame, day: int, trips: Trips) -> Floats:
    """Days that trips count for (A,): whole ones, or the fraction to making fast at the destination."""
    arrives = trips.end == len(frame.route.moorings) - 1
    return np.where(arrives, trips.arrive_h / frame.days.length_h[day], 1.0)


def extra_w(frame: Frame, trips: Trips) -> Floats:
    """The load that runs only under way, (A,) W: less by the share of the trip spent made fast before a shut lock."""
    away = np.maximum(trips.arrive_h - trips.depart_h, 1e-9)
    return np.asarray(frame.vessel.hull.underway_extra_w * (1 - trips.wait_h / away))


def _hour_propulsion(frame: Frame, trips: Trips, h: int) -> Floats:
    """Propulsion (A,n) W at the battery in one hour, the poor day's wind in the last column."""
    extra = extra_w(frame, trips) * trips.moving[:, h]
    mean = trips.kwh_by_hour[:, h] * 1e3 + extra
    poor = trips.poor_kwh_by_hour[:, h] * 1e3 + extra
    out = np.repeat(mean[:, None], frame.weather.cold, axis=1)
    out[:, frame.weather.poors] = poor[:, None]
    return out


def promise(scope: Scope, part: Chain, floor: Floats, need: Floats) -> dict[str, Floats]:
    """Maps (A,X) of the scope's nodes and numbers (A,Y) of its poor days, with the least charge that holds them.

    ``part`` (A,n) over all kinds; ``floor``, ``need`` (A,) kWh.
    """
    nodes, poors = scope.nodes, scope.poors
    add, cap = rounded(part.add[:, poors]), rounded(part.cap[:, poors])
    low_add, low_cap = rounded(part.low_add[:, poors]), rounded(part.low_cap[:, poors])
    floor, need = floor[:, None], need[:, None]
    holds = (low_cap >= floor - 1e-9) & (cap >= need - 1e-9)
    least = np.maximum(floor - low_add, need - add)
    return {
        "add": rounded(part.add[:, nodes]),
        "cap": rounded(part.cap[:, nodes]),
        "poor_add": add,
        "poor_cap": cap,
        "poor_low_add": low_add,
        "poor_low_cap": low_cap,
        "from_kwh": np.where(holds, rounded(least), np.inf),
    }


@dataclass(frozen=True)
class Lying:
    """Chains of lying at every mooring of one day: by step from the voyage's down (C',N,n) to the evening and through
    the night, and (N,n) through the night plugged in, at the voyage's step."""

    stay: Chain
    night: Chain
    plugged: Chain
    first_step: int

    def at(self, name: str, step: int) -> Chain:
        """The chain ``stay`` or ``night`` of one step of the ladder, (N,n)."""
        part: Chain = getattr(self, name)
        return part.at(step - self.first_step)


def lying(frame: Frame, day: int) -> Lying:
    """Stays and nights at all moorings of one day, at the voyage's step and those below it."""
    return lying_days(frame, day, 1)[0]


def lying_days(frame: Frame, first: int, count: int) -> list[Lying]:
    """The same of several days from ``first`` on; the one that a plan enters in its middle stands alone."""
    if count > 1 and frame.from_step(first):
        return [*lying_days(frame, first, 1), *lying_days(frame, first + 1, count - 1)]
    n, own = frame.weather.cold, frame.wanted
    first_of, like = _alike_moorings(frame)
    station, mount, plugs = (one[first_of] for one in (frame.mooring_station, frame.mooring_mount, frame.plugs_w))
    steps, days = len(frame.vessel.comfort) - own, np.arange(first, first + count)[:, None]
    shape = (steps, count, len(station), n)
    stay, night = chain(shape, frame.ceiling_kwh), chain(shape, frame.ceiling_kwh)
    plugged = chain(shape[1:], frame.ceiling_kwh)
    evening, length = frame.windows.evening[days, station], frame.days.length_h[days]
    for h in range(frame.from_step(first), int(length.max())):
        net = frame.panels.watts[days, mount, h] - frame.total_w[own:, days, station, h, :n]
        blocked = frame.weather.blocked[days, station, h, :n]
        lasts = frame.part(first, h)[1]
        change = unclamped_kwh(frame.vessel.battery, net, blocked, lasts)
        early, late = (h < evening)[..., None], ((h >= evening) & (h < length))[..., None]
        if early.any():
            stay.append(np.where(early, change, 0.0))
        if late.any():
            night.append(np.where(late, change, 0.0))
            shore = unclamped_kwh(frame.vessel.battery, net[0] + plugs[:, None], blocked, lasts)
            plugged.append(np.where(late, shore, 0.0))
    at = [(slice(None), d, like) for d in range(count)]
    return [Lying(stay.at(at[d]), night.at(at[d]), plugged.at((d, like)), own) for d in range(count)]


def _alike_moorings(frame: Frame) -> tuple[Ints, Ints]:
    """The first of all moorings with the same mount, station and plug (U,), and which of them each is like (N,)."""
    columns = np.stack([frame.mooring_mount, frame.mooring_station, frame.plugs_w], axis=1)
    _, first, like = np.unique(columns, axis=0, return_index=True, return_inverse=True)
    return first, like.reshape(-1)


def heating_reserve_kwh(frame: Frame, day: int) -> Floats:
    """HR (N,C): the night at each step without sun, N - 1 whole such days, and one at ``off`` for the warmer steps."""
    nights = frame.voyage.heating_reserve_nights
    total = frame.total_w[:, day, :, :, frame.weather.cold]
    hours = np.arange(total.shape[2])
    whole = np.where(hours < frame.days.length_h[day], total, 0.0).sum(axis=2) / 1e3
    evening = frame.windows.evening[day][None, :, None]
    late = (hours >= evening) & (hours < frame.days.length_h[day])
    lived = frame.lived_h(day)
    tonight = total if lived is None else total * lived
    night = np.where(late, tonight, 0.0).sum(axis=2) / 1e3
    warmer = (np.arange(len(total)) < frame.off)[:, None]
    need = night + max(nights - 1, 0) * whole + np.where(warmer, whole[frame.off], 0.0)
    need = need / frame.vessel.battery.discharge_efficiency if nights > 0 else np.zeros_like(need)
    return np.asarray(need[:, frame.mooring_station].T)
