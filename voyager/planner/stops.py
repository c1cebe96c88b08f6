"""Moorings in a row as the planner counts them: a place with n nights to stay is n + 1 stops."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from voyager.energy.way import exposed
from voyager.planner.start import Begin
from voyager.route.line import Route
from voyager.route.voyage import Voyage

Ints = NDArray[np.int64]
SEA_SHARE = {"cautious": 1.0, "middling": 0.5, "good": 0.0}


@dataclass(frozen=True)
class Stops:
    """T stops. ``mooring`` (T,); ``first``, ``last`` (N,) stop of each mooring; ``forced`` (T,): '' or why to stay on.

    ``must_stop`` (N,): nobody passes it without its nights. The destination is the last stop.
    """

    mooring: Ints
    first: Ints
    last: Ints
    forced: tuple[str, ...]
    must_stop: NDArray[np.bool_]

    @property
    def count(self) -> int:
        """Number of stops T."""
        return len(self.mooring)

    @property
    def after_staying(self) -> Ints:
        """Stop after a day of staying, (T,): the next one while nights are asked for, else the same."""
        return np.asarray([t + bool(reason) for t, reason in enumerate(self.forced)], dtype=np.int64)


def build_stops(
    voyage: Voyage, route: Route, sky: str, extra: dict[int, int] | None = None, begin: Begin | None = None
) -> Stops:
    """Stops of all moorings; ``extra`` nights by mooring number are asked as well (for what would mend a plan).

    Where the plan begins on the way, ``begin``, nights and days of waiting for the sea behind it are over.
    """
    begin = begin or Begin()
    asked = _asked_nights(voyage, route)
    asked[: begin.asked_from] = 0
    sea = _sea_days(voyage, route, sky, begin.mooring)
    for number, nights in (extra or {}).items():
        asked[number] += nights
    mooring: list[int] = []
    forced: list[str] = []
    first, last = np.zeros(len(asked), dtype=np.int64), np.zeros(len(asked), dtype=np.int64)
    for number in range(len(asked)):
        first[number] = len(mooring)
        reasons = ["asked"] * int(asked[number]) + ["sea"] * int(sea[number]) + [""]
        mooring += [number] * len(reasons)
        forced += reasons
        last[number] = len(mooring) - 1
    return Stops(np.asarray(mooring, dtype=np.int64), first, last, tuple(forced), (asked + sea) > 0)


def leg_end_moorings(route: Route) -> list[int | None]:
    """Number of the mooring at the end of each leg, None where nobody may moor there."""
    at = {m.leg: n for n, m in enumerate(route.moorings) if m.place is not None and n > 0}
    return [at.get(leg) for leg in range(len(route.legs))]


def _asked_nights(voyage: Voyage, route: Route) -> Ints:
    nights = np.zeros(len(route.moorings), dtype=np.int64)
    for leg, number in zip(voyage.legs, leg_end_moorings(route), strict=True):
        if number is not None:
            nights[number] += leg.nights
    return nights


def _sea_days(voyage: Voyage, route: Route, sky: str, begin: int) -> Ints:
    """Days of waiting for the sea where a coastal or open leg begins, whole days by carrying the remainder on.

    Legs that begin before mooring ``begin`` cost none.
    """
    days = np.zeros(len(route.moorings), dtype=np.int64)
    owed, paid = 0.0, 0
    starts = [0, *leg_end_moorings(route)[:-1]]
    for leg, number in zip(voyage.legs, starts, strict=True):
        if not exposed(leg) or number is None or leg.fit_to_go >= 1 or number < begin:
            continue
        owed += SEA_SHARE[sky] * (1 - leg.fit_to_go) / max(leg.fit_to_go, 1e-3)
        due = int(np.floor(owed + 0.5))
        days[number] += due - paid
        paid = due
    return days
