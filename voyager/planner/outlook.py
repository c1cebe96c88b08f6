"""One sky planned from end to end: the horizon that it needs, the policy, the schedule."""

from collections.abc import Callable
from dataclasses import dataclass

from voyager.boat.vessel import Vessel
from voyager.planner.actions import Built, build_problem
from voyager.planner.frame import Frame, build_frame
from voyager.planner.policy import Policy, solve
from voyager.planner.schedule import Schedule, follow
from voyager.planner.stops import build_stops
from voyager.route.voyage import Voyage

SPARE_DAYS = 20
LONGEST_DAYS = 120
GUESS_KM_A_DAY = 24.0


@dataclass(frozen=True)
class Outlook:
    """A voyage under one sky: what is known, what may be done, what is best, how it goes."""

    frame: Frame
    built: Built
    policy: Policy
    schedule: Schedule


Tick = Callable[[float, str], None]


def look(vessel: Vessel, voyage: Voyage, tick: Tick = lambda share, text: None) -> Outlook:
    """Plan the voyage under its sky over the days that it needs and 20 more, 120 where it does not arrive."""
    count = _guess(vessel, voyage)
    while True:
        found = plan_frame(build_frame(vessel, voyage, count), tick=tick)
        arrived = found.schedule.arrived
        if arrived is not None and arrived + SPARE_DAYS < count:
            return found
        if count >= LONGEST_DAYS and (arrived is None or arrived < count):
            return found
        count = min(max(count * 2, LONGEST_DAYS if arrived is None else arrived + SPARE_DAYS + 1), LONGEST_DAYS * 4)


def plan_frame(frame: Frame, extra: dict[int, int] | None = None, tick: Tick = lambda share, text: None) -> Outlook:
    """Plan over the days of a frame; ``extra`` nights by mooring number are asked as well."""
    tick(0.1, "passages")
    built = build_problem(frame, build_stops(frame.voyage, frame.route, frame.voyage.sky, extra))
    tick(0.6, "policy")
    policy = solve(built.problem)
    tick(0.8, "schedule")
    schedule = follow(frame, built, policy)
    return Outlook(frame, built, policy, schedule)


def _guess(vessel: Vessel, voyage: Voyage) -> int:
    """Days that will do at a first guess: measured once the route stands, so kept rough here."""
    from voyager.route.line import build_route

    km = float(build_route(voyage).start_km[-1])
    nights = sum(leg.nights for leg in voyage.legs)
    wait = sum((1 - leg.fit_to_go) / max(leg.fit_to_go, 0.1) for leg in voyage.legs)
    return min(int(km / GUESS_KM_A_DAY + nights + wait) + SPARE_DAYS + 4, LONGEST_DAYS + nights)
