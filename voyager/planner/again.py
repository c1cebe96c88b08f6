"""What of a policy found before still holds for another problem: bit for bit, stop by stop, from the horizon on.

An edit of a leg changes what may be done before it and on it. At a stop whose actions, refuge and night are the same,
and lead to the same worth, the morning is worth the same: nothing there is weighed again.
"""

from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from voyager.planner.problem import Evening, Morning, Problem, Refuge

if TYPE_CHECKING:
    from voyager.planner.policy import Policy

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]
Numbers = NDArray[np.signedinteger[Any]]
BY_ACTION = ("days", "lands", "step", "pace", "cost", "add", "cap", "from_kwh", "below_kwh", "fit")
BY_REFUGE = ("cost", "stay_cost", "add", "cap", "reach_kwh", "held_kwh", "stay_add", "stay_cap", "fit")
BY_EVENING = ("add", "cap", "plug", "plug_add", "plug_cap")


def comparable(old: "Policy", problem: Problem, fits: Floats, levels: int) -> bool:
    """Whether anything of a policy may hold: the same days, chances, charges and rules."""
    was = old.problem
    names = ("days", "classes", "nodes", "top_kwh", "wanted", "plug_freely")
    return (
        all(getattr(was, name) == getattr(problem, name) for name in names)
        and was.stops - was.destination == problem.stops - problem.destination
        and len(old.levels_kwh) == levels
        and np.array_equal(old.fits, fits)
        and np.array_equal(was.chance, problem.chance)
        and np.array_equal(was.follow, problem.follow)
    )


class Again:
    """A comparable policy beside a problem of T stops, both counted from the last stop.

    ``morning`` (T,): whether the morning after the day at hand is worth the same; ``evenings`` (T,) by day, as far
    as crossings see.
    """

    def __init__(self, old: "Policy", problem: Problem) -> None:
        self.old, self.problem = old, problem
        self.shift = problem.stops - old.problem.stops
        both = min(problem.stops, old.problem.stops)
        self.here, self.there = slice(problem.stops - both, None), slice(old.problem.stops - both, None)
        self.mornings = {problem.days: self._by_stop(old.problem.never, problem.never)}
        self.evenings: dict[int, Bools] = {}

    def nights(self, day: int) -> Bools:
        """Stops (T,) whose evening is worth the same; remembered."""
        was, now = self.old.problem.evenings[day], self.problem.evenings[day]
        self.evenings[day] = self._same_nights(was, now) & self.mornings[day + 1]
        return self.evenings[day]

    def actions(self, day: int) -> Bools:
        """Stops (T,) whose actions are the same, with the same to choose from under every sea."""
        was, now = self.old.problem.mornings[day], self.problem.mornings[day]
        if _drawn(was) != _drawn(now):
            return np.zeros(self.problem.stops, dtype=bool)
        start, count = was.start + self.shift, self.problem.stops
        inside = start >= 0
        number = np.bincount(now.start, minlength=count)
        same = number == np.bincount(start[inside], minlength=count)
        here, there = np.flatnonzero(same[now.start]), np.flatnonzero(inside & same[np.where(inside, start, 0)])
        alike = was.end[there] + self.shift == now.end[here]
        for name in BY_ACTION:
            alike &= _equal(getattr(was, name)[..., there], getattr(now, name)[..., here])
        same[now.start[here[~alike]]] = False
        return np.asarray(same)

    def worth(self, day: int, same: Bools) -> Bools:
        """Those of the stops with the ``same`` actions (T,) from which all leads to the same worth."""
        was, now, acts = self.old.problem.refuges[day], self.problem.refuges[day], self.problem.mornings[day]
        if (was.fit < 1).any() != (now.fit < 1).any():
            return np.zeros_like(same)
        found, night, last = same & self._same_refuge(was, now), self.evenings[day], self.problem.days - 1
        leads = night[acts.end]
        for k in np.flatnonzero((acts.days > 0) | acts.lands):
            ends = min(day + int(acts.days[k]), last)
            leads[k] = (self.mornings[ends + 1] if acts.lands[k] else self.evenings[ends])[acts.end[k]]
        found[acts.start[~leads]] = False
        found &= night[now.stay_end] & np.where(now.end >= 0, night[now.end], True)
        return np.asarray(found)

    def keep(self, same: Bools, was: Floats, now: Floats) -> None:
        """Take the values ``was`` (...,T,G) over into those of ``now`` at the same stops (T,)."""
        if self.shift == 0 and same.all():
            now[:] = was
        elif same.any():
            stops = np.flatnonzero(same)
            now[:, stops] = was[:, stops - self.shift]

    def choose(self, day: int, same: Bools, choice: Numbers) -> None:
        """Take the choices over at the same stops, in the problem's numbers, into ``choice`` (F,Y,T,G)."""
        stops = np.flatnonzero(same)
        was, now = self.old.problem.mornings[day], self.problem.mornings[day]
        moved = np.searchsorted(now.start, stops) - np.searchsorted(was.start, stops - self.shift)
        found = self.old.best[day][:, :, stops - self.shift]
        choice[:, :, stops] = np.where(found >= 0, found + moved[:, None], -1) if moved.any() else found

    def recover(self, same: Bools, was: Floats, now: Floats) -> None:
        """Mark the stops too whose worth (...,T,G) has come out the same."""
        stops = np.flatnonzero(~same)
        stops = stops[stops >= max(self.shift, 0)]
        same[stops] = (was[:, stops - self.shift] == now[:, stops]).all(axis=(0, 2))

    def _by_stop(self, was: NDArray[Any], now: NDArray[Any]) -> Bools:
        """Whether values (...,T) are the same at each stop (T,); none where a stop is new."""
        out = np.zeros(self.problem.stops, dtype=bool)
        out[self.here] = _equal(was[..., self.there], now[..., self.here])
        return out

    def _same_nights(self, was: Evening, now: Evening) -> Bools:
        if was.plug_cost != now.plug_cost:
            return np.zeros(self.problem.stops, dtype=bool)
        same = self._by_stop(was.hold_kwh.T, now.hold_kwh.T)
        for name in BY_EVENING:
            old, new = getattr(was, name), getattr(now, name)
            turn = (0, 2, 1) if old.ndim == 3 else tuple(range(old.ndim))
            same &= self._by_stop(old.transpose(turn), new.transpose(turn))
        return same

    def _same_refuge(self, was: Refuge, now: Refuge) -> Bools:
        same = self._by_stop(np.where(was.end >= 0, was.end + self.shift, -1), now.end)
        same &= self._by_stop(was.stay_end + self.shift, now.stay_end)
        for name in BY_REFUGE:
            same &= self._by_stop(getattr(was, name), getattr(now, name))
        return same


def _drawn(acts: Morning) -> bool:
    """Whether the sea may forbid any of the actions."""
    return bool((acts.fit < 1).any())


def _equal(was: NDArray[Any], now: NDArray[Any]) -> Bools:
    """Whether two arrays (...,N) are the same at each of the last axis."""
    same = was == now
    return np.asarray(same.all(axis=tuple(range(same.ndim - 1))) if same.ndim > 1 else same)
