"""Perfect foresight: for each member of the skies the best that anybody could do who knew its whole weather beforehand.

Every member gets a problem of its own with one class and one node, its own days: the same trips at the same paces
(daylight, locks, bridges, tides, dates, the least speed that steers and the motor's limit), the same nights asked for,
the same ladder, prices and plugs. Its sea is known: a morning's action is there or it is not. The promise on a poor day
gives way to the member's real day. The problem is solved exactly as the policy's is, and followed hour by hour in the
same simulator, so that what is compared has been sailed.

``RESERVE``: the evening's rule stays as it is: the voyage's step from floor + heating reserve on, else the plug, else a
step down; a morning's action has to leave in the evening what its step (priced as ever where it is not the voyage's)
needs by that rule, or to end at a plug. ``BARE``: the heating reserve is gone too. An evening needs only what the night
that is coming takes at its step, and a plug may be taken wherever it pays: more than the policy may.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from unittest.mock import patch

import numpy as np
from numpy.typing import NDArray

import voyager.planner.around as arounds
from voyager.boat.vessel import Vessel
from voyager.energy.climate import Climate
from voyager.energy.weather import Kinds, Stations, Weather, hourly_air_c, weather_of
from voyager.planner.actions import Built, build_problems
from voyager.planner.effects import lying
from voyager.planner.frame import Frame, build_frame
from voyager.planner.many import Followed, _Part, _Run, _Today
from voyager.planner.outlook import Outlook
from voyager.planner.policy import Policy, solve
from voyager.planner.problem import Morning, Problem
from voyager.planner.scope import Scope, many_skies_scope
from voyager.planner.skies import some
from voyager.route.calendar import Days
from voyager.sky.clearness import HIGHEST, LOWEST
from voyager.sky.draws import Skies

Floats = NDArray[np.float64]
RESERVE, BARE = "reserve", "bare"
BLOCK = 12
FIRST = 1
"""Number of the first member among the kinds of a frame of its own."""
NO_CLASS = -9.0
"""A known score that lies in the first class, the only one that a problem of one member has."""


@dataclass(frozen=True)
class Seer:
    """What a member with foresight did: the run through its own sky, the worth of its problem at the start, and how
    far below the floor the simulator saw it, where its own sums did not."""

    followed: Followed
    value: float
    dip_kwh: float


def frame_of(frame: Frame, skies: Skies) -> Frame:
    """A frame whose kinds are the days of members themselves: their clearness with their climate factor, their air."""
    days = len(frame.days.dates)
    score, air = (np.concatenate([part[:, :1], own[:, :days].T], axis=1) for part, own in
                  ((frame.kinds.score, skies.score), (frame.kinds.air, skies.air_score)))  # fmt: skip
    kinds = Kinds(score, air, frame.kinds.poor[:, :1])
    factor = np.concatenate([[1.0], skies.factor, [1.0, 1.0]])

    def own_weather(vessel: Vessel, calendar: Days, stations: Stations, known: Climate, these: Kinds) -> Weather:
        made = weather_of(vessel, calendar, stations, known, these)
        k = np.clip(made.clearness * factor, LOWEST, HIGHEST)
        k[..., made.cold] = 0.0
        change = hourly_air_c(replace(made.air, range_k=np.zeros_like(made.air.range_k)), 0 * k, k - made.clearness)
        return replace(made, clearness=k, air_c=made.air_c + change)

    with patch.object(arounds, "kinds_of", lambda *given: kinds), patch.object(arounds, "weather_of", own_weather):
        return build_frame(frame.vessel, frame.voyage, days, many=True)


def seers(found: Outlook, skies: Skies, keeps: str = RESERVE, levels: int = 61) -> Iterator[Seer]:
    """Members of skies without measured hours (M,D), one after the other, each with foresight of its own sky."""
    days = found.policy.problem.days
    for first in range(0, len(skies.factor), BLOCK):
        block = some(skies, first, first + BLOCK)
        frame = frame_of(found.frame, _padded(block, len(found.frame.days.dates)))
        for k, built in enumerate(build_problems(frame, _scopes(frame, len(block.factor)))):
            one = some(block, k, k + 1)
            problem = _known_sea(_over(built.problem, days), one.sea[0])
            if keeps == BARE:
                problem = _bare(frame, built, problem, FIRST + k)
            yield _sailed(found.frame, replace(built, problem=problem), one, levels)


def _padded(skies: Skies, days: int) -> Skies:
    """Days beyond those drawn repeat the last one; nobody plans for them."""
    more = max(days - skies.score.shape[1], 0)
    score, air = (np.pad(part, ((0, 0), (0, more)), mode="edge") for part in (skies.score, skies.air_score))
    return replace(skies, score=score, air_score=air)


def _scopes(frame: Frame, members: int) -> list[Scope]:
    """One scope for each member: its days are the node and the poor day as well."""
    many = many_skies_scope(frame)
    parts = [slice(FIRST + k, FIRST + k + 1) for k in range(members)]
    return [Scope(many.stops, part, part, True, None) for part in parts]


def _over(problem: Problem, days: int) -> Problem:
    names = ("mornings", "refuges", "evenings", "chance", "follow")
    return replace(problem, **{name: getattr(problem, name)[:days] for name in names})


def _known_sea(problem: Problem, sea: Floats) -> Problem:
    """The sea as it is going to be: chances become certain, one way or the other."""
    days = range(problem.days)
    return replace(
        problem,
        mornings=tuple(replace(problem.mornings[d], fit=1.0 * (sea[d] < problem.mornings[d].fit)) for d in days),
        refuges=tuple(replace(problem.refuges[d], fit=1.0 * (sea[d] < problem.refuges[d].fit)) for d in days),
    )


def _bare(frame: Frame, built: Built, problem: Problem, kind: int) -> Problem:
    """The same without the heating reserve: evenings hold from what the coming night takes, plugs where they pay."""
    evenings, mornings = [], []
    for day in range(problem.days):
        needs = _night_needs(frame, built, day, kind)
        evenings.append(replace(problem.evenings[day], hold_kwh=needs))
        mornings.append(_morning(frame, built, day, problem.mornings[day], needs))
    return replace(problem, evenings=tuple(evenings), mornings=tuple(mornings), plug_freely=True)


def _night_needs(frame: Frame, built: Built, day: int, kind: int) -> Floats:
    """Charge (T,C) from which the coming night stays above the floor at each step."""
    at, lain = built.stops.mooring, lying(frame, day)
    floor = frame.weather.floor_kwh[day, frame.mooring_station[at]]
    steps = range(len(frame.vessel.comfort))
    low = [lain.at("night", max(step, frame.wanted)).low_add[at, kind] for step in steps]
    return np.asarray(floor[:, None] - np.stack(low, axis=1))


def _morning(frame: Frame, built: Built, day: int, acts: Morning, needs: Floats) -> Morning:
    """Least charges anew: the day above the floor, its evening what the night needs, or a plug."""
    at = [frame.mooring_station[built.stops.mooring[stop]] for stop in (acts.start, acts.end)]
    floor = np.maximum(*(frame.weather.floor_kwh[day, station] for station in at))
    plug = frame.plugs_w[built.stops.mooring[acts.end]] > 0
    need = np.where(plug, floor, np.maximum(floor, needs[acts.end, acts.step]))
    ok = (acts.poor_low_cap >= floor - 1e-9) & (acts.poor_cap >= need - 1e-9)
    least = np.where(ok, np.maximum(floor - acts.poor_low_add, need - acts.poor_add), np.inf)
    return replace(acts, from_kwh=least, below_kwh=np.full(len(acts.start), np.inf))


def _sailed(frame: Frame, built: Built, sky: Skies, levels: int) -> Seer:
    policy = solve(built.problem, levels)
    start = frame.vessel.battery.capacity_kwh * frame.voyage.charge_at_start_percent / 100
    value = float(np.interp(start, policy.levels_kwh, policy.morning[0, 0, 0]))
    run = _OneRun(frame, built, policy, replace(sky, known=np.full_like(sky.known, NO_CLASS)))
    for day in range(policy.problem.days):
        if not run.day(day):
            break
    return Seer(run.followed(), value, run.dip_kwh)


class _OneRun(_Run):
    """A run of one member by the policy of its one node."""

    def __init__(self, frame: Frame, built: Built, policy: Policy, sky: Skies) -> None:
        super().__init__(frame, built, policy, sky)
        self.nodes[:] = 0
        self.dip_kwh = 0.0

    def _count(self, day: int, today: _Today, part: _Part) -> None:
        self.dip_kwh = max(self.dip_kwh, float(part.below_kwh.max()))
        super()._count(day, today, part)
