"""Fixed lists of days, made before departure and followed whatever the weather, through the same skies as the policy.

A list says each day's end and pace, or a rest. The water's rules hold for it as for the policy, on the same trips of
the day (locks, bridges, tides, daylight, dates), the same asked nights, the same draws of the sea and the same evening
rule for comfort and plug, hour by hour in the same simulator. What cannot be done on its morning (the sea, or no trip
to that end by the evening at any pace) is waited out or done as far as the day allows, and the list shifts by a day.
Its mornings heat at the voyage's own step. It never looks at the charge.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from voyager.planner.actions import Built, build_problems
from voyager.planner.aim import NEVER_DAYS
from voyager.planner.fleet import Plans
from voyager.planner.frame import Frame, build_frame
from voyager.planner.many import Followed, _Run
from voyager.planner.outlook import Outlook, plan_frame
from voyager.planner.policy import Policy
from voyager.planner.scope import many_skies_scope
from voyager.route.voyage import SkyName
from voyager.sky.draws import Skies

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
REST, SLOWEST = -1, -1
SKIES: tuple[SkyName, ...] = ("cautious", "middling", "good")


@dataclass(frozen=True)
class Item:
    """One day of a list: the mooring it ends at (``REST``: lie still) and the number of the pace (``SLOWEST``: the
    slowest that gets there on the day)."""

    end: int
    pace: int = SLOWEST


@dataclass(frozen=True)
class DayList:
    """A list of days and what to call it."""

    name: str
    items: tuple[Item, ...]


@dataclass(frozen=True)
class Outcome:
    """How a way of travelling fared through M skies: mean and median days to making fast (a member that never does
    counts the horizon and twenty days), shares that go below the floor in any hour and that never arrive."""

    name: str
    mean_days: float
    median_days: float
    below: float
    never: float
    days: Floats


@dataclass(frozen=True)
class Waters:
    """What a list meets: the voyage over more days than its policy sees, so that slow lists arrive too."""

    frame: Frame
    built: Built
    furthest: Ints


def waters(frame: Frame, built: Built) -> Waters:
    """What a list meets on the days of a problem of many skies. Raises ValueError where lists are not made for it."""
    if built.problem.plug_freely or any(journeys.crossings for journeys in built.journeys):
        raise ValueError("lists of days know no plug by choice and no legs sailed through the night")
    return Waters(frame, built, many_skies_scope(frame).furthest)


def longer_waters(frame: Frame, days: int) -> Waters:
    """The voyage of a frame over ``days``, no policy solved."""
    longer = build_frame(frame.vessel, frame.voyage, days, many=True)
    return waters(longer, build_problems(longer, [many_skies_scope(longer)])[0])


def _unsolved(built: Built) -> Policy:
    """A policy that knows the evening's rule and nothing else."""
    none = np.zeros((0,) * 5)
    return Policy(built.problem, none, none, none, none.astype(np.int32), none, (), ())


class ListRun(_Run):
    """The members under way by one list."""

    def __init__(self, here: Waters, days: DayList, skies: Skies) -> None:
        super().__init__(here.frame, here.built, _unsolved(here.built), skies)
        self.list, self.furthest = days, here.furthest
        self.next = np.zeros(len(skies.factor), dtype=np.int64)

    def day(self, day: int) -> bool:
        """Live one day by the list; False when nobody is left."""
        awake = np.flatnonzero(self.active)
        if not len(awake):
            return False
        plans = self._listed(day, awake)
        today = self._today(day, awake, plans)
        self._live(day, today)
        self._make_fast(day, today, awake, plans)
        return True

    def _listed(self, day: int, awake: Ints) -> Plans:
        """What the list makes of this morning for members (K,)."""
        stops, stop = self.built.stops, self.stop[awake]
        asked = np.asarray([bool(reason) for reason in stops.forced])[stop]
        none = np.full(len(awake), -1)
        end, trip, arrive = stops.after_staying[stop].copy(), none.copy(), np.full(len(awake), np.nan)
        trips = self.built.journeys[day].trips
        for start, item, who in self._alike(np.flatnonzero(~asked), awake):
            row = REST if item.end == REST else self._trip(day, start, item)
            goes = who if row >= 0 else who[:0]
            if row >= 0:
                fit = self.built.sea.of(day, trips.start[[row]], trips.end[[row]])[0]
                goes = who[self.skies.sea[awake[who], day] < fit]
                end[goes], trip[goes], arrive[goes] = stops.first[trips.end[row]], row, trips.arrive_h[row]
            done = who if item.end == REST else goes if row >= 0 and trips.end[row] == item.end else who[:0]
            self.next[awake[done]] += 1
        step, held = np.full(len(awake), self.frame.wanted), np.ones(len(awake), dtype=bool)
        return Plans(end, step, held, trip, none, none, arrive)

    def _alike(self, places: Ints, awake: Ints) -> Iterator[tuple[int, Item, Ints]]:
        """Members (by place among ``awake``) at one mooring with one item of the list before them."""
        mooring = self.built.stops.mooring[self.stop[awake[places]]]
        number = np.minimum(self.next[awake[places]], len(self.list.items) - 1)
        pairs, of = np.unique(np.stack([mooring, number]), axis=1, return_inverse=True)
        for k, (start, which) in enumerate(pairs.T):
            yield int(start), self.list.items[which], places[of.reshape(-1) == k]

    def _trip(self, day: int, start: int, item: Item) -> int:
        """Row of the trip to the item's end, or as far towards it as the day allows; -1 where there is none."""
        trips = self.built.journeys[day].trips
        rows = np.flatnonzero((trips.start == start) & (trips.end <= min(item.end, self.furthest[start])))
        if not len(rows):
            return -1
        rows = rows[trips.end[rows] == trips.end[rows].max()]
        rows = rows[np.argsort(trips.pace[rows])]
        quick = rows[trips.pace[rows] >= item.pace]
        return int(quick[0] if len(quick) else rows[-1])


def by_list(here: Waters, days: DayList, skies: Skies) -> Outcome:
    """A list followed through skies (M,D) of all its days."""
    run = ListRun(here, days, skies)
    for day in range(here.built.problem.days):
        if not run.day(day):
            break
    return outcome(days.name, run.followed())


def outcome(name: str, followed: Followed) -> Outcome:
    """What a run through skies comes to."""
    days, voyages = arrival_days(followed), followed.voyages
    below, never = float(voyages.below.mean()), float((voyages.arrive_day < 0).mean())
    return Outcome(name, float(days.mean()), float(np.median(days)), below, never, days)


def arrival_days(followed: Followed) -> Floats:
    """Days to making fast (M,); never: the horizon and twenty days, as the plan itself counts it."""
    voyages = followed.voyages
    never = voyages.arrive_day < 0
    return np.where(never, voyages.charge_end_kwh.shape[1] + NEVER_DAYS, voyages.arrive_days)


def even_days(here: Waters, km_a_day: float) -> DayList:
    """The mooring at or before each day's target, ``km_a_day`` apart from the start or the last place that asks for
    nights; a day whose target lies before the next mooring is a rest."""
    km = np.asarray([m.km for m in here.frame.route.moorings])
    items, at, target = [], 0, 0.0
    while at < len(km) - 1:
        target += km_a_day
        last = int(here.furthest[at])
        end = min(int(np.searchsorted(km, target + 1e-9, side="right")) - 1, last)
        items.append(Item(end if end > at else REST))
        target = float(km[end]) if end == last else target
        at = max(at, end)
    return DayList(f"{km_a_day:g} km a day", tuple(items))


def one_sky(found: Frame, sky: SkyName, days: int) -> Outlook:
    """The plan of one sky over so many days."""
    voyage = replace(found.voyage, sky=sky)
    return plan_frame(build_frame(found.vessel, voyage, days))


def one_sky_days(one: Outlook, *, keep_sea: bool = True, own_pace: bool = True) -> DayList:
    """A one-sky schedule: its ends, paces and rests; nights asked for are in the stops themselves.

    ``keep_sea``: with its days of waiting for the sea, though the sea is drawn besides; ``own_pace``: else the slowest.
    """
    stops, items = one.built.stops, []
    for day in one.schedule.days:
        start, end = int(stops.mooring[day.start]), int(stops.mooring[day.end])
        if start != end:
            acts, action = one.policy.problem.mornings[day.day], day.choice.action
            items.append(Item(end, int(acts.pace[action]) if own_pace and action is not None else SLOWEST))
        elif stops.forced[day.start] == "" or (keep_sea and stops.forced[day.start] == "sea"):
            items.append(Item(REST))
    sea = "" if keep_sea else ", no days for the sea"
    return DayList(f"{one.frame.voyage.sky}{sea}{'' if own_pace else ', slowest paces'}", tuple(items))


def with_rests(days: DayList, rests: int) -> DayList:
    """Rest days put evenly between the days of a list."""
    if not rests:
        return days
    before = ((np.arange(rests) + 0.5) * len(days.items) / rests).astype(int)
    items: list[Item] = []
    for number, item in enumerate(days.items):
        items += [Item(REST)] * int((before == number).sum()) + [item]
    return DayList(f"{days.name}, {rests} rests", tuple(items))


def fastest_as_safe(policy: Outcome, lists: list[Outcome]) -> Outcome | None:
    """The list with the fewest mean days of those that arrive and go below the floor no less surely than the policy."""
    safe = [one for one in lists if one.below <= policy.below and one.never <= policy.never]
    return min(safe, key=lambda one: one.mean_days, default=None)
