"""The policy followed hour by hour through many skies, all members of a day at once."""

from collections.abc import Callable
from dataclasses import dataclass, fields, replace
from functools import cache
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from voyager.energy.lived import Lived
from voyager.energy.run import State, Track, run
from voyager.energy.weather import HOURS
from voyager.energy.wishes import Wish, of_members, wishes, wishes_by_step
from voyager.planner.actions import Built
from voyager.planner.dayrun import first_state
from voyager.planner.decide import evening_decide
from voyager.planner.doings import DaySky, Doings, member_track
from voyager.planner.fleet import Afloat, Plans, decided, doings_of
from voyager.planner.frame import Frame, pieces_of
from voyager.planner.policy import Policy
from voyager.planner.tally import Voyages
from voyager.sky.chances import NODES
from voyager.sky.draws import Skies, class_of

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]
SUMS = ("solar_kwh", "spilled_kwh", "heating_kwh", "propulsion_kwh", "warm_h")
BELOW = 1e-6
FEW, MOST_PARTS = 300, 8
"""Members whose days are kept, and parts of a day."""


@dataclass(frozen=True)
class Followed:
    """How M members fared: ``voyages`` for the odds; ``wakes`` (D,T) members that wake at each stop; days held, and
    those of them on which charge went below the floor all the same."""

    voyages: Voyages
    wakes: Ints
    held_days: int
    held_below: int


def follow_many(
    frame: Frame,
    built: Built,
    policy: Policy,
    skies: Skies,
    tick: Callable[[float], None] = lambda share: None,
) -> Followed:
    """Follow the policy of the classes through every sky until all have arrived or the horizon is reached."""
    run_ = _Run(frame, built, policy, skies)
    for day in range(policy.problem.days):
        tick(day / policy.problem.days)
        if not run_.day(day):
            break
    return run_.followed()


@dataclass
class _Today:
    """The members of one day: number among all (K,), end stop, step now, hour of the evening's choice (the day's
    length: none), plugged in, held, what the charger gives from now on. ``track``: the day as they live it; ``parts``
    of it that were lived before in a day of the same doings and skies."""

    member: Ints
    end: Ints
    step: Ints
    evening: Ints
    plugged: Bools
    held: Bools
    charger_w: Floats
    track: Callable[[], Track]
    parts: Lived["_Part"] | None


@dataclass(frozen=True)
class _Part:
    """Hours from one evening's choice to the next, by member (K,): sums, shore energy, whether charge went below the
    floor and how far at most (negative: it stayed above), how all stand afterwards."""

    sums: dict[str, Floats]
    shore_kwh: Floats
    dipped: Bools
    below_kwh: Floats
    state: State


class _Run:
    """The members as they stand, and what is counted."""

    def __init__(self, frame: Frame, built: Built, policy: Policy, skies: Skies) -> None:
        self.frame, self.built, self.policy, self.skies = frame, built, policy, skies
        self.classes = class_of(skies.known)
        self.nodes = np.abs(skies.score[..., None] - NODES).argmin(axis=-1)
        members, days = skies.score.shape
        self.state = first_state(frame, members)
        self.stop = np.full(members, built.stops.first[frame.begin.mooring], dtype=np.int64)
        self.afloat = list[Afloat]()
        self.active = np.ones(members, dtype=bool)
        self.arrive_day, self.arrive_days = np.full(members, -1), np.full(members, np.nan)
        self.plugged, self.place = np.zeros((members, days), bool), np.full((members, days), -1)
        self.shore = np.zeros((members, days))
        self.below, self.not_held = np.zeros(members, bool), np.zeros(members, bool)
        self.sums = {name: np.zeros(members) for name in SUMS}
        self.asked = np.zeros(members)
        self.charge, self.km = np.full((members, days), np.nan), np.full((members, days), np.nan)
        self.wakes = np.zeros((days, built.stops.count), dtype=np.int64)
        self.held_days, self.held_below = 0, 0
        self.mooring_km = np.asarray([m.km for m in frame.route.moorings])
        self.ladders: dict[tuple[int, ...], tuple[list[list[Wish]], list[Wish]]] = {}

    def day(self, day: int) -> bool:
        """Live one day; False when nobody is left."""
        at_sea = np.concatenate([np.zeros(0, dtype=np.int64), *(group.member for group in self.afloat)])
        moored = self.active.copy()
        moored[at_sea] = False
        awake = np.flatnonzero(moored)
        if not len(awake) and not len(at_sea):
            return False
        np.add.at(self.wakes[day], self.stop[awake], 1)
        plans = decided(
            self.frame, self.built, self.policy, day, self.skies.sea[awake, day], self.classes[awake, day],
            self.stop[awake], self.state.charge_kwh[awake],
        )  # fmt: skip
        self._cast_off(day, awake, plans)
        today = self._today(day, awake, plans)
        self._live(day, today)
        self._make_fast(day, today, awake, plans)
        return True

    def _cast_off(self, day: int, awake: Ints, plans: Plans) -> None:
        """Members that begin a crossing join those afloat."""
        for number in np.unique(plans.crossing[plans.crossing >= 0]):
            which = plans.crossing == number
            crossing = self.built.journeys[day].crossings[number]
            self.afloat.append(Afloat(crossing, 0, awake[which], plans.step[which]))

    def _today(self, day: int, awake: Ints, plans: Plans) -> _Today:
        frame, length = self.frame, int(self.frame.days.length_h[day])
        moored = plans.crossing < 0
        groups = [awake[moored], *(group.member for group in self.afloat)]
        member = np.concatenate(groups)
        places = np.split(np.arange(len(member)), np.cumsum([len(g) for g in groups])[:-1])
        kept = replace(plans, **{name: value[moored] for name, value in vars(plans).items()})
        doings, of = doings_of(frame, self.built, day, kept, self.stop[awake[moored]], self.afloat, places)
        end, step, evening, held = ([part] for part in (kept.end, kept.step, self._evening(day, kept.end), kept.held))
        for group in self.afloat:
            many, stop = len(group.member), int(self.built.stops.first[group.crossing.end])
            lands = group.crossing.day + group.crossing.last == day and not group.crossing.lands_late
            end.append(np.full(many, stop))
            step.append(group.step)
            evening.append(self._evening(day, np.full(many, stop)) if lands else np.full(many, length))
            held.append(np.ones(many, dtype=bool))
        drawn = DaySky(
            self.skies.score[member, day],
            self.skies.air_score[member, day],
            self.skies.factor[member],
            None if self.skies.hours is None else self.skies.hours[member, day],
        )
        track = cache(lambda: member_track(frame, day, doings, of, drawn))
        none, idle = np.zeros(len(member), dtype=bool), np.zeros(len(member))
        ends, steps, evenings = (np.concatenate(part).astype(np.int64) for part in (end, step, evening))
        lives = np.concatenate(held).astype(bool)
        parts = self._parts(day, member, doings, of, drawn)
        return _Today(member, ends, steps, evenings, none, lives, idle, track, parts)

    def _parts(self, day: int, member: Ints, doings: Doings, of: Ints, drawn: DaySky) -> "Lived[_Part] | None":
        """Parts of this day as they were lived by the same members in the same way under the same skies."""
        days: Lived[Lived[_Part]] | None = self.frame.bank.days
        if days is None or len(self.active) > FEW or drawn.hours is not None or self.frame.lived_h(day) is not None:
            return None
        sky = (drawn.score, drawn.air_score, drawn.factor)
        ways = (doings.solar_w, doings.propulsion_w, doings.station, doings.place)
        return days.again(day, (member, of, *ways, *sky), lambda: Lived[_Part](MOST_PARTS))

    def _evening(self, day: int, end: Ints) -> Ints:
        return np.asarray(self.frame.windows.evening[day, self.frame.mooring_station[self.built.stops.mooring[end]]])

    def _live(self, day: int, today: _Today) -> None:
        """Hour by hour from one evening's choice to the next."""
        length = int(self.frame.days.length_h[day])
        state = self._state(today.member)
        cuts = [0, *np.unique(today.evening[today.evening < length]).tolist(), length]
        dipped = np.zeros(len(today.member), dtype=bool)
        for first, last in pairwise(cuts):
            if first > 0:
                self._choose(day, today, first, state.charge_kwh)
            begins = max(first, self.frame.from_step(day))
            if begins < last:
                part = self._part(day, today, begins, last, state)
                state = part.state
                dipped |= part.dipped
                self._count(day, today, part)
        self._count_day(day, today, dipped)
        self._keep(today.member, state)
        self.charge[today.member, day] = state.charge_kwh

    def _part(self, day: int, today: _Today, first: int, last: int, state: State) -> _Part:
        """Some hours of a day."""

        def lived() -> _Part:
            charger = np.repeat(today.charger_w[:, None], HOURS, axis=1)
            track, asked = replace(today.track(), charger_w=charger), self._wishes(day, today.step)
            ledger, after = run(self.frame.vessel, track, asked, first, last, state, self.frame.lived_h(day))
            low = np.asarray((ledger.charge_kwh < ledger.floor_kwh - BELOW).any(axis=1))
            sums = {name: ledger.total(name) for name in SUMS}
            below = np.asarray((ledger.floor_kwh - ledger.charge_kwh).max(axis=1))
            return _Part(sums, ledger.total("shore_kwh"), low, below, after)

        if today.parts is None:
            return lived()
        stand = [getattr(state, one.name) for one in fields(State)]
        given = (today.step, today.charger_w, *(value for value in stand if value is not None))
        return today.parts.again((first, last), given, lived)

    def _choose(self, day: int, today: _Today, hour: int, charge: Floats) -> None:
        """The evening's choice of those whose evening it is."""
        now = np.flatnonzero(today.evening == hour)
        end, member = today.end[now], today.member[now]
        step, plugged = evening_decide(self.policy, day, end, charge[now], self.nodes[member, day])
        today.step[now], today.plugged[now] = step, plugged
        today.charger_w[now] = self.frame.plugs_w[self.built.stops.mooring[end]] * plugged
        need = self.policy.problem.evenings[day].hold_kwh[end, step]
        today.held[now] &= plugged | (charge[now] >= need - 1e-9)

    def _wishes(self, day: int, step: Ints) -> list[Wish]:
        """Each member's own; with a structure always in the ladder's common parts, for its sub-steps follow them and no
        member may depend on what the others ask for."""
        days, whole = self.frame.days, int(self.frame.lived_h(day) is None)
        key = (whole, *days.local_min[day].tolist(), int(days.length_h[day]))
        if key not in self.ladders:
            pieces = [pieces_of(self.frame, day, c) for c in range(len(self.frame.vessel.comfort))]
            single = [wishes(self.frame.vessel, own) for own in pieces]
            self.ladders[key] = single, wishes_by_step(self.frame.vessel, pieces)
        single, by_step = self.ladders[key]
        alike = self.state.structure_c is None and len(step) > 0 and bool((step == step[0]).all())
        return single[int(step[0])] if alike else of_members(by_step, step)

    def _count(self, day: int, today: _Today, part: _Part) -> None:
        """Add the hours up."""
        for name in SUMS:
            self.sums[name][today.member] += part.sums[name]
        if today.plugged.any():
            self.shore[today.member, day] += part.shore_kwh

    def _count_day(self, day: int, today: _Today, dipped: Bools) -> None:
        member = today.member
        self.below[member] |= dipped
        self.not_held[member] |= ~today.held
        self.held_days += int(today.held.sum())
        self.held_below += int((today.held & dipped).sum())
        lived = self.frame.steps[self.frame.wanted].asked_h[day, 0, 0, : int(self.frame.days.length_h[day])]
        self.asked[member] += float(lived.sum())
        self.plugged[member, day] = today.plugged
        self.place[member, day] = np.where(today.plugged, self.built.stops.mooring[today.end], -1)

    def _make_fast(self, day: int, today: _Today, awake: Ints, plans: Plans) -> None:
        """Where everybody is in the evening, who has arrived, who is still afloat."""
        length = int(self.frame.days.length_h[day])
        moored = plans.crossing < 0
        self._moor(day, awake[moored], plans.end[moored], plans.arrive_h[moored])
        still = []
        for group in self.afloat:
            crossing, last = group.crossing, min(group.first + length, len(group.crossing.km)) - 1
            if crossing.day + crossing.last == day:
                end = np.full(len(group.member), self.built.stops.first[crossing.end])
                self._moor(day, group.member, end, np.full(len(group.member), crossing.arrive_h - group.first))
            else:
                self.km[group.member, day] = crossing.km[last]
                still.append(replace(group, first=group.first + length))
        self.afloat = still

    def _moor(self, day: int, member: Ints, end: Ints, arrive_h: Floats) -> None:
        """Members (K,) moored at stops; who lies at the destination without a trip was there from the beginning."""
        mooring = self.built.stops.mooring[end]
        self.stop[member], self.km[member, day] = end, self.mooring_km[mooring]
        home = (mooring == len(self.mooring_km) - 1) & (self.arrive_day[member] < 0)
        self.arrive_day[member[home]] = day
        made_fast = np.where(np.isnan(arrive_h), self.frame.begin.hours, arrive_h)[home]
        self.arrive_days[member[home]] = day + made_fast / float(self.frame.days.length_h[day])
        self.active[member[end == self.policy.problem.destination]] = False

    def _state(self, member: Ints) -> State:
        s = self.state
        structure = None if s.structure_c is None else s.structure_c[member]
        return State(s.charge_kwh[member], s.air_c[member], structure, s.cell_c[member])

    def _keep(self, member: Ints, state: State) -> None:
        self.state.charge_kwh[member], self.state.air_c[member] = state.charge_kwh, state.air_c
        self.state.cell_c[member] = state.cell_c
        if self.state.structure_c is not None and state.structure_c is not None:
            self.state.structure_c[member] = state.structure_c

    def followed(self) -> Followed:
        names = [m.name for m in self.frame.route.moorings]
        sums = self.sums
        voyages = Voyages(
            self.arrive_day, self.arrive_days, self.plugged, self.place, self.shore, self.below, self.not_held,
            sums["solar_kwh"], sums["spilled_kwh"], sums["heating_kwh"], sums["propulsion_kwh"], self.asked,
            sums["warm_h"], self.charge, self.km, self.frame.days.dates[: self.policy.problem.days], names,
        )  # fmt: skip
        return Followed(voyages, self.wakes, self.held_days, self.held_below)
