"""One sky planned from end to end: the horizon that it needs, the policy, the schedule."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from voyager.boat.vessel import Vessel
from voyager.errors import InputError
from voyager.planner.actions import Built, build_problem, build_problems
from voyager.planner.ahead import sketch
from voyager.planner.books import MOST_MORNINGS
from voyager.planner.frame import Frame, build_frame
from voyager.planner.kept import Kept
from voyager.planner.policy import Policy, solve
from voyager.planner.schedule import Schedule, follow
from voyager.planner.scope import many_skies_scope, one_sky_scope
from voyager.planner.seen import class_mornings
from voyager.planner.start import Start
from voyager.planner.stops import Stops, build_stops
from voyager.route.leg import Leg
from voyager.route.line import build_route
from voyager.route.voyage import Voyage

if TYPE_CHECKING:
    from voyager.sky.record import Record

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


@dataclass(frozen=True)
class Prospect:
    """A voyage under many skies: planned for its one sky, which gives the horizon (its schedule knows the arrival and
    no days), and for all classes of morning, whose policy is followed through that same sky."""

    one: Outlook
    many: Outlook


def look(
    vessel: Vessel,
    voyage: Voyage,
    tick: Tick = lambda share, text: None,
    *,
    record: "Record | None" = None,
    start: Start | None = None,
    kept: Kept | None = None,
) -> Outlook:
    """Plan the voyage under its one sky over the days that it needs, 120 at the most where it does not arrive.

    Under one sky a later arrival can only beat the soonest plan by the comfort steps that it keeps: five days more are
    enough to see that. The other aims may trade days for plugs, so they see ``by`` or 20 days more.
    """
    count, longest = _guess(voyage, start)
    while True:
        frame = build_frame(vessel, voyage, count, record=record, start=start, kept=kept)
        found = plan_frame(frame, tick=tick, kept=kept)
        need = _needed(found)
        if need <= count or count >= longest:
            return found
        count = min(max(need, 2 * count) if found.schedule.arrived is None else need, longest)


def look_many(
    vessel: Vessel,
    voyage: Voyage,
    tick: Tick = lambda share, text: None,
    *,
    record: "Record | None" = None,
    start: Start | None = None,
    kept: Kept | None = None,
) -> Prospect:
    """Plan for one sky and for many over the days that the one-sky plan needs and 20 more."""
    count, longest = _guess(voyage, start)
    count = min(count + SPARE_DAYS - SOON_SPARE_DAYS, longest + SPARE_DAYS)
    while True:
        frame = build_frame(vessel, voyage, count, record=record, many=True, start=start, kept=kept)
        scopes = [one_sky_scope(frame), many_skies_scope(frame)]
        one, many = build_problems(frame, scopes, lambda share: tick(0.2 + 0.2 * share, "passages"), kept)
        first = solve(one.problem, tick=lambda share: tick(0.4, "policy"))
        schedule, days = sketch(frame, one, first)
        need = (longest if schedule.arrived is None else days) + SPARE_DAYS
        if need <= count:
            break
        count = need if schedule.arrived is not None else min(2 * count, longest + SPARE_DAYS)
    found = _every_morning(frame, many, need, tick, kept)
    return Prospect(Outlook(frame, one, first, schedule), _followed(found, one.stops, tick))


def _every_morning(frame: Frame, many: Built, days: int, tick: Tick, kept: Kept | None) -> Outlook:
    """The policy of all classes over so many days, not yet followed."""
    built = _until(many, days)
    tick(0.4, "policy of every morning")
    policy = _solved(built, lambda share: tick(0.4 + 0.15 * share, "policy of every morning"), kept, "many")
    return Outlook(frame, built, policy, Schedule((), None))


def _solved(built: Built, tick: Callable[[float], None], kept: Kept | None, what: str) -> Policy:
    """The policy, beginning with what holds of the last one that was found for the same; none is kept where memory
    would be too dear."""
    if kept is None or built.problem.days * built.problem.stops > MOST_MORNINGS:
        return solve(built.problem, tick=tick)
    return kept.swap("policy", what, lambda before: solve(built.problem, tick=tick, before=before))


def _followed(found: Outlook, waiting: Stops, tick: Tick) -> Outlook:
    """The same followed through the one sky; ``waiting``: the stops with its days of waiting for the sea."""
    tick(0.55, "schedule")
    mornings = class_mornings(found.frame, waiting)
    return replace(
        found, schedule=follow(found.frame, found.built, found.policy, mornings, lambda: tick(0.55, "schedule"))
    )


def look_ahead(
    one: Outlook,
    tick: Tick = lambda share, text: None,
    *,
    record: "Record | None" = None,
    start: Start | None = None,
    kept: Kept | None = None,
) -> Outlook | None:
    """The policy of all classes over the days that a one-sky plan made before needs, not followed through that sky.

    It is that of ``look_many`` unless the one sky needs other days where more are looked at (``confirmed``). None where
    that cannot be told beforehand. ``start``: that of the plan made before.
    """
    vessel, voyage = one.frame.vessel, one.frame.voyage
    guess, longest = _guess(voyage, start)
    count, need = min(guess + SPARE_DAYS - SOON_SPARE_DAYS, longest + SPARE_DAYS), len(one.schedule.days) + SPARE_DAYS
    if one.schedule.arrived is None or need > count:
        return None
    frame = build_frame(vessel, voyage, count, record=record, many=True, start=start, kept=kept)
    many = build_problems(frame, [many_skies_scope(frame)], lambda share: tick(0.2 + 0.2 * share, "passages"), kept)[0]
    return _every_morning(frame, many, need, tick, kept)


def confirmed(
    ahead: Outlook, tick: Tick = lambda share, text: None, *, kept: Kept | None = None
) -> Prospect | None:
    """What ``look_many`` gives, from a policy found ahead; None where the one sky needs other days."""
    frame = ahead.frame

    def heard(_: float) -> None:
        tick(0.4, "policy")

    one = build_problems(frame, [one_sky_scope(frame)], heard, kept)[0]
    first = solve(one.problem, tick=heard)
    schedule, days = sketch(frame, one, first)
    if schedule.arrived is None or days + SPARE_DAYS != ahead.policy.problem.days:
        return None
    return Prospect(Outlook(frame, one, first, schedule), _followed(ahead, one.stops, tick))


def _until(built: Built, days: int) -> Built:
    """The same over the first days only."""
    p = built.problem
    parts = {name: getattr(p, name)[:days] for name in ("mornings", "refuges", "evenings", "chance", "follow")}
    return replace(built, problem=replace(p, **parts), journeys=built.journeys[:days])


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


def plan_frame(
    frame: Frame,
    extra: dict[int, int] | None = None,
    tick: Tick = lambda share, text: None,
    kept: Kept | None = None,
) -> Outlook:
    """Plan over the days of a frame; ``extra`` nights by mooring number are asked as well."""
    stops = build_stops(frame.voyage, frame.route, frame.voyage.sky, extra, frame.begin)
    built = build_problem(frame, stops, lambda share: tick(0.3 + 0.4 * share, "passages"), kept)
    tick(0.7, "policy")
    policy = _solved(built, lambda share: tick(0.7 + 0.1 * share, "policy"), kept, "one")
    tick(0.8, "schedule")
    schedule = follow(frame, built, policy, tick=lambda: tick(0.8, "schedule"))
    return Outlook(frame, built, policy, schedule)


def _guess(voyage: Voyage, start: Start | None) -> tuple[int, int]:
    """Days that will do at a first guess (too few is mended by planning again), and the most that are seen."""
    route = build_route(voyage)
    if len(route.moorings) > MOST_MOORINGS:
        many = f"mooring_every_km = {voyage.mooring_every_km:g} makes {len(route.moorings)} moorings"
        raise InputError(f"{many}, more than the {MOST_MOORINGS} that can be planned: take them further apart")
    stops = build_stops(voyage, route, voyage.sky)
    waits = stops.count - len(route.moorings)
    days = 0.0
    begin_km = 0.0 if start is None else start.km
    for leg, km, end_km in zip(voyage.legs, route.distance_km, route.start_km[1:], strict=True):
        if end_km < begin_km:
            continue
        hours = km / GUESS_KMH + (leg.locks * leg.lock_min + leg.bridges * leg.bridge_min) / 60
        days = _open_again(voyage, leg, days) + hours / GUESS_HOURS_A_DAY
    return min(int(days * GUESS_SPARE), LONGEST_DAYS) + waits + GUESS_MORE_DAYS, LONGEST_DAYS + waits


def _open_again(voyage: Voyage, leg: Leg, days: float) -> float:
    """Days after departure on which a leg reached after ``days`` is not closed for a stoppage."""
    for first, last in leg.closed:
        if (first - voyage.departs).days <= days <= (last - voyage.departs).days:
            return float((last - voyage.departs).days + 1)
    return days
