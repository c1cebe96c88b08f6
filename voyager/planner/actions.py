"""From trips, stays and nights to the decision problem, for one sky or for many, from the same walks and chains."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from voyager.energy.maps import Chain, beside
from voyager.planner.aim import WEIGHTS, never_price
from voyager.planner.books import Book, book_of, goings_on
from voyager.planner.effects import Lying, chains_of_days, heating_reserve_kwh, lying_days
from voyager.planner.frame import Frame
from voyager.planner.hope import least_days
from voyager.planner.kept import Kept
from voyager.planner.overnight import Crossing, NightLeg, crossings, night_legs, night_rows
from voyager.planner.problem import Evening, Morning, Problem, Refuge
from voyager.planner.refuge import Flights, back_trips, build_back, build_refuge, nearest_plugs, slowest_back, to_plug
from voyager.planner.rows import (
    Going,
    Row,
    evening,
    going_row,
    goings_of_days,
    morning,
    nobody_stays,
    staying_rows,
    taken,
    within,
)
from voyager.planner.rules import allowed, early, missed, rules_of
from voyager.planner.scope import Scope, Sea, one_sky_scope, sea_of
from voyager.planner.stops import Stops
from voyager.planner.walks import Trips, Walker, blocks, build_walker, day_trips, together

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Tick = Callable[[float], None]
Take = Callable[[int], tuple[Trips, Ints]]


@dataclass(frozen=True)
class Journeys:
    """What one morning's actions refer to: all trips ahead, all flights to a plug, the crossings that begin."""

    trips: Trips
    flights: Trips
    crossings: tuple[Crossing, ...]


@dataclass(frozen=True)
class Built:
    """The problem with what the schedule needs to tell it: trips by day, walkers ahead and back, HR (D,N,C),
    moorings that anybody can get to in time, whatever the energy (N,)."""

    problem: Problem
    stops: Stops
    ahead: Walker
    back: Walker | None
    reserve_kwh: Floats
    reached: NDArray[np.bool_]
    journeys: tuple[Journeys, ...]
    sea: Sea


def build_problem(
    frame: Frame, stops: Stops | None = None, tick: Tick = lambda share: None, kept: Kept | None = None
) -> Built:
    """The problem of the frame's one sky over all its days; ``stops`` other than the voyage's own where given."""
    scope = one_sky_scope(frame)
    if stops is not None:
        scope = Scope(stops, scope.nodes, scope.poors, False, None)
    return build_problems(frame, [scope], tick, kept)[0]


def build_problems(
    frame: Frame, scopes: list[Scope], tick: Tick = lambda share: None, kept: Kept | None = None
) -> list[Built]:
    """The problems of all scopes; ``tick`` hears the share done; ``kept``: trips are read where they were before."""
    builder = _Builder(frame, scopes, tick, kept)
    for first, count in blocks(len(frame.days.dates), len(frame.route.moorings)):
        builder.block(first, count)
    return [builder.built(part, sea) for part, sea in zip(builder.parts, builder.seas, strict=True)]


@dataclass
class _Part:
    """One scope's problem while it grows."""

    scope: Scope
    mornings: list[Morning] = field(default_factory=list)
    evenings: list[Evening] = field(default_factory=list)
    refuges: list[Refuge] = field(default_factory=list)


@dataclass(frozen=True)
class _Moves:
    """What may be begun on one morning: trips with their rows in the book, those of them (numbers) that flee to a plug,
    flights back with theirs, crossings by leg."""

    day: int
    trips: Trips
    rows: Ints
    ahead: Ints
    behind: Trips | None
    back_rows: Ints | None
    over: dict[NightLeg, list[Crossing]]

    @cached_property
    def away(self) -> Trips:
        """All flights to a plug."""
        ahead = taken(self.trips, self.ahead)
        return ahead if self.behind is None else together([self.behind, ahead])


class _Builder:
    """Walks the days in blocks; a mooring is looked at from the first day on which it can have been reached."""

    def __init__(self, frame: Frame, scopes: list[Scope], tick: Tick, kept: Kept | None) -> None:
        self.frame, self.parts, self.tick = frame, [_Part(scope) for scope in scopes], tick
        self.weights = WEIGHTS[frame.voyage.aim]
        self.ahead, self.back = build_walker(frame), build_back(frame)
        self.rules, self.plugs = rules_of(frame), nearest_plugs(frame)
        self.seas = [sea_of(frame, scope.drawn) for scope in scopes]
        self.furthest = np.max([scope.furthest for scope in scopes], axis=0)
        self.number = np.arange(len(frame.route.moorings))
        self.km = np.asarray([m.km for m in frame.route.moorings])
        self.reached = self.number == frame.begin.mooring
        self.need = least_days(frame.route, frame.vessel.hull, frame.windows, self.km)
        self.night_legs = night_legs(frame)
        self.reserves: list[Floats] = []
        self.journeys: list[Journeys] = []
        self.book, self.back_book = book_of(self.ahead, kept), book_of(self.back, kept, back=True)

    def block(self, first: int, count: int) -> None:
        """The trips of each of these days in turn, then what they do to the charge, all days together."""
        frame = self.frame
        near = self.km <= self.km[self.reached].max() + self.ahead.reach_km(first, count)
        starts = np.flatnonzero(near & self._in_time(first))
        starts = starts if len(starts) else self.number[-1:]
        book = self.book
        take = self._walked(first, count, starts) if book is None else self._read(book, first, count, starts)
        back = self._back(first, count, near)
        moves = []
        for b in range(count):
            self.tick((first + b / 2) / len(frame.days.dates))
            trips, rows = take(b)
            moves.append(self._moves(first + b, trips, rows, *(back(b) if back else (None, None))))
        self._days(first, moves)

    def _walked(self, first: int, count: int, starts: Ints) -> Take:
        """The trips of these days, walked now."""
        frame, passages = self.frame, self.ahead.block(first, count, starts)

        def take(b: int) -> tuple[Trips, Ints]:
            goes = self.reached & self._in_time(first + b)
            far = np.where(goes, self.furthest, self.number)[starts]
            trips = allowed(day_trips(self.ahead, passages, b, first + b, starts, far), self.rules, first + b)
            trips = trips if frame.may_stay else taken(trips, trips.end != frame.begin.mooring)
            return trips, np.arange(len(trips.start))

        return take

    def _read(self, book: Book, first: int, count: int, starts: Ints) -> Take:
        """The trips of these days from the book, with their rows in it."""
        pages, here = book.walk(self.ahead, first, count, starts), np.isin(self.number, starts)

        def take(b: int) -> tuple[Trips, Ints]:
            trips = pages[b].trips
            goes = here & self.reached & self._in_time(first + b)
            rows = np.flatnonzero(goes[trips.start] & (trips.end <= self.furthest[trips.start]))
            rows = rows[~early(self.rules, trips.start[rows], trips.end[rows], first + b)]
            return taken(trips, rows), rows

        return take

    def _in_time(self, day: int) -> NDArray[np.bool_]:
        """Moorings (N,) from which the way ahead can still end before the horizon."""
        return np.asarray(self.need <= len(self.frame.days.dates) - day)

    def _back(self, first: int, count: int, near: NDArray[np.bool_]) -> Take | None:
        """Flights back in these days from every mooring in reach that has a plug behind it and none itself."""
        wants = near & (self.plugs.behind >= 0) & ~self.plugs.here
        if self.back is None or not wants.any():
            return None
        starts = np.sort(len(wants) - 1 - np.flatnonzero(wants))
        frame, walker, book, plugs = self.frame, self.back, self.back_book, self.plugs
        if book is not None:
            pages = book.walk(walker, first, count, starts)

            def read(b: int) -> tuple[Trips, Ints]:
                rows = slowest_back(pages[b].trips, starts, plugs, self.reached)
                return book.told(frame, pages[b], rows), rows

            return read
        passages = walker.block(first, count, starts)

        def take(b: int) -> tuple[Trips, Ints]:
            trips = back_trips(walker, passages, starts, b, first + b, plugs, self.reached)
            return trips, np.arange(len(trips.start))

        return take

    def _moves(
        self, day: int, trips: Trips, rows: Ints, behind: Trips | None, back_rows: Ints | None
    ) -> _Moves:
        """All that may be begun on a morning; who can have got where by then."""
        ahead = to_plug(trips, self.plugs)
        over = self._crossings(day)
        self.reached[trips.end] = True
        move = _Moves(day, trips, rows, ahead, behind, back_rows, over)
        if self.frame.begin.mooring:
            self.reached[move.away.end] = True
        return move

    def _days(self, first: int, moves: list[_Moves]) -> None:
        """The rows of every problem on days from ``first`` on."""
        gone, fled = self._effects(moves)
        lain = lying_days(self.frame, first, len(moves))
        for at, move in enumerate(moves):
            self.tick((move.day / 2 + (first + len(moves)) / 2) / len(self.frame.days.dates))
            self._day(move, gone[at], fled[at], lain[at])

    def _effects(self, moves: list[_Moves]) -> tuple[list[list[Going]], list[Chain]]:
        """What the trips of these days do to the charge, and what the flights do."""
        frame, days = self.frame, [move.day for move in moves]
        if self.book is None:
            gone = goings_of_days(frame, days, [move.trips for move in moves])
            return gone, chains_of_days(frame, days, [move.away for move in moves], [frame.off])[0]
        known = self.book.reckon(frame, days, [move.rows for move in moves])
        gone, fled, off = [], [], frame.off - frame.wanted
        for one, move in zip(known, moves, strict=True):
            page, ahead = self.book.pages[move.day], move.rows[move.ahead]
            gone.append(goings_on(frame, page, one, move.trips, move.rows))
            fled.append(one.chain(ahead, page.low(ahead), off, frame.ceiling_kwh))
        for at, chain in self._back_chains(moves):
            fled[at] = beside(chain, fled[at])
        return gone, fled

    def _back_chains(self, moves: list[_Moves]) -> Iterator[tuple[int, Chain]]:
        """What the flights back of these days do, from their book."""
        book, frame = self.back_book, self.frame
        some = [(at, move.day, move.back_rows) for at, move in enumerate(moves) if move.back_rows is not None]
        if book is not None and some:
            known = book.reckon(frame, [day for _, day, _ in some], [rows for _, _, rows in some])
            for (at, _, rows), one in zip(some, known, strict=True):
                yield at, one.chain(rows, rows, 0, frame.ceiling_kwh)

    def _day(self, move: _Moves, gone: list[Going], fled: Chain, lain: Lying) -> None:
        frame, weights, day = self.frame, self.weights, move.day
        reserve, flights = heating_reserve_kwh(frame, day), Flights(move.away, fled)
        self.reserves.append(reserve)
        self.journeys.append(Journeys(move.trips, move.away, tuple(c for leg in move.over.values() for c in leg)))
        for part, sea in zip(self.parts, self.seas, strict=True):
            scope = part.scope
            rows = [
                going_row(frame, scope, sea, day, within(scope, one), reserve, self.rules, weights) for one in gone
            ]
            stays = staying_rows(frame, scope, day, lain, reserve, weights)
            rows += stays if day or frame.may_stay else nobody_stays(stays, scope.stops.first[frame.begin.mooring])
            part.mornings.append(morning(rows + self._night_rows(scope, day, move.over, sea.fit[day])))
            part.evenings.append(evening(frame, scope, day, lain, reserve, weights))
            part.refuges.append(build_refuge(frame, scope, sea, day, flights, lain, weights))

    def _crossings(self, day: int) -> dict[NightLeg, list[Crossing]]:
        """Crossings that begin on this morning, by leg."""
        legs = [leg for leg in self.night_legs if self.reached[leg[1]]]
        over = {leg: crossings(self.ahead, day, *leg) for leg in legs}
        for leg, found in over.items():
            self.reached[leg[2]] |= bool(found)
        return over

    def _night_rows(self, scope: Scope, day: int, over: dict[NightLeg, list[Crossing]], fit: Floats) -> list[Row]:
        rows, first = [], 0
        for leg, found in over.items():
            rows += night_rows(self.frame, scope, day, found, first, float(fit[leg[0]]), self.rules, self.weights)
            first += len(found)
        return rows

    def built(self, part: _Part, sea: Sea) -> Built:
        frame, scope = self.frame, part.scope
        told = scope.chances
        problem = Problem(
            tuple(part.mornings),
            tuple(part.refuges),
            tuple(part.evenings),
            scope.stops.count,
            scope.stops.count - 1,
            max(frame.ceiling_kwh, frame.start_kwh),
            frame.wanted,
            frame.voyage.shore_power == "any",
            never_price(self.weights, len(self.reserves), frame.voyage.by is not None)
            + missed(self.rules, scope.stops.mooring),
            **({} if told is None else {"chance": told.given, "follow": told.follow, "first": told.first}),
        )
        journeys = tuple(self.journeys)
        reserves = np.stack(self.reserves)
        return Built(problem, scope.stops, self.ahead, self.back, reserves, self.reached, journeys, sea)
