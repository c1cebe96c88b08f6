"""One sky planned from end to end: the horizon that it needs, the policy, the schedule."""

from collections.abc import Callable
from dataclasses import dataclass

from voyager.boat.vessel import Vessel
from voyager.errors import InputError
from voyager.planner.actions import Built, build_problem
from voyager.planner.frame import Frame, build_frame
from voyager.planner.policy import Policy, solve
from voyager.planner.schedule import Schedule, follow
from voyager.planner.stops import build_stops
from voyager.route.leg import Leg
from voyager.route.line import build_route
from voyager.route.voyage import Voyage

SPARE_DAYS = 20
SOON_SPARE_DAYS = 5
LONGEST_DAYS = 120
MOST_MOORINGS = 1000
GUESS_KMH, GUESS_HOURS_A_DAY, GUESS_SPARE, GUESS_MORE_DAYS = 7.5, 7.5, 1.1, 7


@dataclass(frozen=True)
class Outlook:
    """A voyage under one sky: what is known, what may be done, what is best, how it goes."""

    frame: Frame
    built: Built
    policy: Policy
    schedule: Schedule


Tick = Callable[[float, str], None]


def look(vessel: Vessel, voyage: Voyage, tick: Tick = lambda share, text: None) -> Outlook:
    """Plan the voyage under its one sky over the days that it needs, 120 at the most where it does not arrive.

    Under one sky a later arrival can only beat the soonest plan by the comfort steps that it keeps: five days more are
    enough to see that. The other aims may trade days for plugs, so they see ``by`` or 20 days more.
    """
    count, longest = _guess(voyage)
    while True:
        found = plan_frame(build_frame(vessel, voyage, count), tick=tick)
        need = _needed(found)
        if need <= count or count >= longest:
            return found
        count = min(max(need, 2 * count) if found.schedule.arrived is None else need, longest)


def _needed(found: Outlook) -> int:
    """Days that the plan should have seen."""
    arrived, voyage = found.schedule.arrived, found.frame.voyage
    if arrived is None:
        return LONGEST_DAYS
    ready = len(found.schedule.days)
    if voyage.aim == "soonest":
        return ready + SOON_SPARE_DAYS
    by = (voyage.by - voyage.departs).days + 1 if voyage.by else 0
    return max(ready, min(by, arrived + SPARE_DAYS) if by > arrived else arrived + SPARE_DAYS)


def plan_frame(frame: Frame, extra: dict[int, int] | None = None, tick: Tick = lambda share, text: None) -> Outlook:
    """Plan over the days of a frame; ``extra`` nights by mooring number are asked as well."""
    stops = build_stops(frame.voyage, frame.route, frame.voyage.sky, extra)
    built = build_problem(frame, stops, lambda share: tick(0.3 + 0.4 * share, "passages"))
    tick(0.7, "policy")
    policy = solve(built.problem)
    tick(0.8, "schedule")
    schedule = follow(frame, built, policy)
    return Outlook(frame, built, policy, schedule)


def _guess(voyage: Voyage) -> tuple[int, int]:
    """Days that will do at a first guess (too few is mended by planning again), and the most that are seen."""
    route = build_route(voyage)
    if len(route.moorings) > MOST_MOORINGS:
        many = f"mooring_every_km = {voyage.mooring_every_km:g} makes {len(route.moorings)} moorings"
        raise InputError(f"{many}, more than the {MOST_MOORINGS} that can be planned: take them further apart")
    stops = build_stops(voyage, route, voyage.sky)
    waits = stops.count - len(route.moorings)
    days = 0.0
    for leg, km in zip(voyage.legs, route.distance_km, strict=True):
        hours = km / GUESS_KMH + (leg.locks * leg.lock_min + leg.bridges * leg.bridge_min) / 60
        days = _open_again(voyage, leg, days) + hours / GUESS_HOURS_A_DAY
    return min(int(days * GUESS_SPARE), LONGEST_DAYS) + waits + GUESS_MORE_DAYS, LONGEST_DAYS + waits


def _open_again(voyage: Voyage, leg: Leg, days: float) -> float:
    """Days after departure on which a leg reached after ``days`` is not closed for a stoppage."""
    for first, last in leg.closed:
        if (first - voyage.departs).days <= days <= (last - voyage.departs).days:
            return float((last - voyage.departs).days + 1)
    return days
