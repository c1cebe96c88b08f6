"""The trips of every morning with what they do to the charge, written down, and read again by the next plan.

An edit changes a few miles of the way. From the first point of the way to the last that is as it was, seen from both
ends, points are the same as in the plan before, and so is a day's trip from any of them that keeps to such points. What
is not in the book, or not the same, is walked and reckoned as ever.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from voyager.energy.maps import Chain
from voyager.energy.solar import Mount
from voyager.planner.around import Bank
from voyager.planner.effects import chains_of_days
from voyager.planner.frame import Frame
from voyager.planner.kept import Kept
from voyager.planner.rows import Going, slowest, taken
from voyager.planner.walks import Trips, Walker, day_trips, together

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]
KM_PLACES, LAT_PLACES = 7, 6
NUMBERS = ("add", "cap", "low_add", "low_cap")
MOST_MORNINGS = 6000
"""Moorings times days that are written down at the most: some 40 kB each with many skies."""
WEATHERS = 2
"""So many kinds of weather are kept on a page: those of the one sky and of many."""


@dataclass(frozen=True)
class Points:
    """The way as far as walks see it: one entry for every node; ``moorings_at`` (N,) node of each mooring."""

    keys: tuple[tuple[Any, ...], ...]
    moorings_at: Ints


def points_of(walker: Walker, back: bool) -> Points:
    """What a walk meets at every node and on the stretch behind it, with the numbers of mounts and stations."""
    frame, way, route = walker.frame, walker.way, walker.route
    turned = slice(None, None, -1 if back else 1)
    mounts, stations = frame.mooring_mount[turned], frame.mooring_station[turned]
    lat, _ = route.position((route.start_km[:-1] + route.start_km[1:]) / 2)
    legs = [
        (
            leg.water, leg.depth_m, leg.width_m, leg.current_mps, leg.tide_high_water, leg.tide_flood_mps,
            leg.limit_mps, leg.speed_mps, leg.wind_mps, leg.open_min, leg.closed_weekdays, leg.closed,
            round(float(at), LAT_PLACES),
        )
        for leg, at in zip(route.legs, lat, strict=True)
    ]  # fmt: skip
    keys: list[tuple[Any, ...]] = []
    for node, mooring in enumerate(way.mooring.tolist()):
        served = float(way.service_h[node])
        key = (served, float(way.service_kwh[node]), legs[way.service_leg[node]] if served > 0 else None)
        lies = (int(mounts[mooring]), int(stations[mooring])) if mooring >= 0 else None
        if node < len(way.km):
            reach = way.reach[node]
            where = int(walker.reach_mount[reach]), int(way.reaches.station[reach])
            keys.append((*key, lies, legs[way.leg[node]], round(float(way.km[node]), KM_PLACES), *where))
        else:
            keys.append((*key, lies))
    return Points(tuple(keys), way.moorings_at)


@dataclass(frozen=True)
class Same:
    """What is the same in two ways: for every mooring (N,) of the old one its number in the new one, -1 where there is
    none; ``upto`` (N,) the first node of the old way that walks from there may not come to; ``nodes`` (N,) by how many
    its node has moved."""

    number: Ints
    upto: Ints
    nodes: Ints


def same(old: Points, new: Points) -> Same:
    """Common points at the beginning and at the end of both."""
    most = min(len(old.keys), len(new.keys))
    first = next((k for k in range(most) if old.keys[k] != new.keys[k]), most)
    last = next((k for k in range(most - first) if old.keys[-1 - k] != new.keys[-1 - k]), most - first)
    at = old.moorings_at
    head, tail = at < first, at >= len(old.keys) - last
    moored = {int(node): number for number, node in enumerate(new.moorings_at.tolist())}
    shift = len(new.keys) - len(old.keys)
    number = [
        moored.get(int(node) + (shift if back else 0), -1) if here or back else -1
        for node, here, back in zip(at, head, tail & ~head, strict=True)
    ]
    back = tail & ~head
    return Same(np.asarray(number, dtype=np.int64), np.where(back, len(old.keys), first), np.where(back, shift, 0))


@dataclass(frozen=True)
class Effects:
    """What trips (R,) do to the charge in n kinds of day: the four numbers of a chain at each step of the ladder from
    the first one asked for down, ``first`` (R,4,n), and ``lower`` (R',C'-1,4,n) of the slowest trips alone; ``have``
    (R,): reckoned."""

    first: Floats
    lower: Floats
    have: Bools

    def at(self, rows: Ints, low: Ints) -> "Effects":
        """Of some of the trips, ``low`` their numbers among the slowest."""
        return Effects(self.first[rows], self.lower[low], self.have[rows])

    def chain(self, rows: Ints, low: Ints, step: int, ceiling_kwh: float) -> Chain:
        """Chains (A,n) of some of the trips at step number ``step``."""
        found = self.lower[low, step - 1] if step else self.first[rows]
        return Chain(found[:, 0], found[:, 1], found[:, 2], found[:, 3], ceiling_kwh)


@dataclass(frozen=True)
class Page:
    """The trips (R,) of one morning, as far as anybody gets in a day, from the moorings that ``has`` (N,) them.

    ``last`` (N,): the furthest node that their walks came to; ``slow`` (R,): the slowest; what they do, by weather."""

    has: Bools
    last: Ints
    trips: Trips
    slow: Bools
    effects: dict[Bank, Effects]

    def low(self, rows: Ints) -> Ints:
        """Numbers among the slowest of those of the trips ``rows`` that are."""
        return (np.cumsum(self.slow) - 1)[rows[self.slow[rows]]]


def _carried(old: Page, same: Same, moorings: int) -> Page:
    """The page of a way of so many moorings: what is the same of another way's."""
    stays = old.has & (same.number >= 0) & (old.last < same.upto)
    rows = np.flatnonzero(stays[old.trips.start])
    trips = taken(old.trips, rows)
    shift = same.number[trips.start] - trips.start
    has, last = np.zeros(moorings, dtype=bool), np.zeros(moorings, dtype=np.int64)
    at = np.flatnonzero(stays)
    has[same.number[at]] = True
    last[same.number[at]] = old.last[at] + same.nodes[at]
    return Page(
        has, last, replace(trips, start=trips.start + shift, end=trips.end + shift), old.slow[rows],
        {bank: effects.at(rows, old.low(rows)) for bank, effects in old.effects.items()},
    )  # fmt: skip


def _with(page: Page | None, moorings: int, starts: Ints, came: Ints, more: Trips) -> Page:
    """A page with trips from more ``starts`` (I,), in order of starts; ``came`` (I,) how far their walks did."""
    has = np.zeros(moorings, dtype=bool) if page is None else page.has.copy()
    last = np.zeros(moorings, dtype=np.int64) if page is None else page.last.copy()
    has[starts], last[starts] = True, came
    slow = np.zeros(len(more.start), dtype=bool)
    slow[slowest(more)] = True
    if page is None:
        return Page(has, last, more, slow, {})
    trips = together([page.trips, more])
    order = np.argsort(trips.start, kind="stable")
    both = np.append(page.slow, slow)
    low = (np.cumsum(both) - 1)[order[both[order]]]
    effects = {bank: _longer(known, len(slow), int(slow.sum())).at(order, low) for bank, known in page.effects.items()}
    return Page(has, last, taken(trips, order), both[order], effects)


def _longer(known: Effects, more: int, low: int) -> Effects:
    """With room for more trips, ``low`` of them among the slowest."""
    rooms = (known.first, more), (known.lower, low)
    first, lower = (np.concatenate([old, np.zeros((room, *old.shape[1:]))]) for old, room in rooms)
    return Effects(first, lower, np.append(known.have, np.zeros(more, dtype=bool)))


class Book:
    """Pages by day: of the way that is planned now and, where they have not been carried over yet, of the one before.
    ``numbers``: those of the mounts in all of them. A book of the way ``back`` knows what trips do at ``off`` alone."""

    def __init__(self, numbers: dict[Mount, int], back: bool) -> None:
        self.numbers, self.back = numbers, back
        self.points: Points | None = None
        self.pages: dict[int, Page] = {}
        self.before: dict[int, Page] = {}
        self.same: Same | None = None

    def open(self, walker: Walker) -> None:
        """Make ready for a way."""
        points = points_of(walker, self.back)
        if self.points is None or points.keys != self.points.keys:
            if self.points is not None:
                for day in list(self.before):
                    self.page(day)
                self.same, self.before, self.pages = same(self.points, points), self.pages, {}
            self.points = points

    def page(self, day: int) -> Page | None:
        """The day's page, carried over from the way before where it stands there."""
        old = self.before.pop(day, None)
        if old is not None and self.same is not None and self.points is not None:
            self.pages[day] = _carried(old, self.same, len(self.points.moorings_at))
        return self.pages.get(day)

    def walk(self, walker: Walker, first: int, count: int, starts: Ints) -> list[Page]:
        """The pages of these days, with the trips from moorings (I,) written down that were not known."""
        days = range(first, first + count)
        pages = [self.page(day) for day in days]
        new = np.asarray([np.ones(len(starts), bool) if page is None else ~page.has[starts] for page in pages])
        lacking = starts[new.any(axis=0)]
        if not len(lacking):
            return [self.pages[day] for day in days]
        passages, at = walker.block(first, count, lacking), walker.way.moorings_at[lacking]
        came = np.isfinite(passages.arrive_h).any(axis=3).sum(axis=0) - 1
        for b, (day, page) in enumerate(zip(days, pages, strict=True)):
            here = new[b, new.any(axis=0)]
            if not here.any():
                continue
            far = np.where(here, len(walker.route.moorings) - 1, lacking)
            more = day_trips(walker, passages, b, day, lacking, far)
            self.pages[day] = _with(page, len(walker.route.moorings), lacking[here], (at + came[b])[here], more)
        return [self.pages[day] for day in days]

    def reckon(self, frame: Frame, days: Sequence[int], rows: Sequence[Ints]) -> list[Effects]:
        """What the days' trips (R,) do to the charge, reckoned at the least of ``rows``."""
        pages = [self.pages[day] for day in days]
        known = [self._known(frame, page) for page in pages]
        lack = [at[~one.have[at]] for one, at in zip(known, rows, strict=True)]
        slow = [at[page.slow[at]] for page, at in zip(pages, lack, strict=True)]
        first, off = self._first_step(frame), frame.off
        trips = [self.told(frame, page, at) for page, at in zip(pages, lack, strict=True)]
        for one, at, chain in zip(known, lack, chains_of_days(frame, days, trips, [first])[0], strict=True):
            one.first[at] = _numbers(chain)
        trips = [self.told(frame, page, at) for page, at in zip(pages, slow, strict=True)]
        for step, chains in enumerate(chains_of_days(frame, days, trips, range(first + 1, off + 1))):
            for one, page, at, chain in zip(known, pages, lack, chains, strict=True):
                one.lower[page.low(at), step] = _numbers(chain)
        for one, at in zip(known, lack, strict=True):
            one.have[at] = True
        return known

    def told(self, frame: Frame, page: Page, rows: Ints) -> Trips:
        """Some of a page's trips, in the numbers of the way ahead."""
        trips, last = taken(page.trips, rows), len(frame.route.moorings) - 1
        return replace(trips, start=last - trips.start, end=last - trips.end) if self.back else trips

    def _first_step(self, frame: Frame) -> int:
        return frame.off if self.back else frame.wanted

    def _known(self, frame: Frame, page: Page) -> Effects:
        """The page's effects under the frame's weather; those of the weathers used last are kept."""
        found = page.effects.pop(frame.bank, None)
        if found is None:
            kinds, steps = (len(NUMBERS), frame.weather.cold), frame.off - self._first_step(frame)
            first, low = np.zeros((len(page.slow), *kinds)), np.zeros((int(page.slow.sum()), steps, *kinds))
            found = Effects(first, low, np.zeros(len(first), dtype=bool))
        page.effects[frame.bank] = found
        while len(page.effects) > WEATHERS:
            del page.effects[next(iter(page.effects))]
        return found


def goings_on(frame: Frame, page: Page, effects: Effects, trips: Trips, rows: Ints) -> list[Going]:
    """What some of a morning's trips, ``rows`` (A,) of the page, do at every step of the ladder."""
    top = frame.ceiling_kwh
    slow, low = np.flatnonzero(page.slow[rows]), page.low(rows)
    few = taken(trips, slow)
    gone = [Going(frame.wanted, trips, np.arange(len(rows)), effects.chain(rows, low, 0, top))]
    for step in range(frame.wanted + 1, frame.off + 1):
        gone.append(Going(step, few, slow, effects.chain(rows, low, step - frame.wanted, top)))
    return gone


def _numbers(chain: Chain) -> Floats:
    """The four numbers of chains, (A,4,n)."""
    return np.stack([getattr(chain, name) for name in NUMBERS], axis=1)


def book_of(walker: Walker | None, kept: Kept | None, back: bool = False) -> Book | None:
    """The book of these days, hours and waters, open at the walker's way.

    None where nothing is kept, where memory would be too dear, and with a weather file, whose wind is told by the
    months that a plan looks at."""
    if walker is None or kept is None or walker.frame.climate.wind_table is not None:
        return None
    frame, voyage = walker.frame, walker.frame.voyage
    if len(frame.route.moorings) * len(frame.days.dates) > MOST_MORNINGS:
        return None
    key = (
        frame.vessel.hull, voyage.departs, voyage.time_zone, voyage.day_starts_min, voyage.travel_min, voyage.forecast,
        walker.hours, frame.begin.hours, id(frame.bank.numbers), back,
    )  # fmt: skip
    book = kept.made("book", key, lambda: Book(frame.bank.numbers, back))
    book.open(walker)
    return book
