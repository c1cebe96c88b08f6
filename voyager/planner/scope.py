"""How much of the weather a plan looks at: one sky and its poor day, or the nodes and classes of many skies."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from voyager.energy.way import exposed
from voyager.planner.frame import Frame
from voyager.planner.stops import Stops, build_stops
from voyager.sky.chances import Chances, chances
from voyager.sky.days import CLASSES

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]


@dataclass(frozen=True)
class Scope:
    """``nodes`` and ``poors``: which of the frame's kinds are the days that come and the poor days of the classes.

    ``drawn``: the sea is drawn each morning; else the days of waiting for it are asked of the stops.
    """

    stops: Stops
    nodes: slice
    poors: slice
    drawn: bool
    chances: Chances | None

    @property
    def furthest(self) -> Ints:
        """The furthest mooring that a day from each mooring may end at: the next one that asks for nights, (N,)."""
        count = len(self.stops.first)
        out = np.full(count, count - 1, dtype=np.int64)
        following = count - 1
        for number in range(count - 1, -1, -1):
            out[number] = following
            following = number if self.stops.must_stop[number] else following
        return out


def one_sky_scope(frame: Frame, extra: dict[int, int] | None = None) -> Scope:
    """The chosen sky, known beforehand, and a poor day that nobody saw coming; ``extra`` nights are asked as well."""
    poor = frame.weather.poor
    stops = build_stops(frame.voyage, frame.route, frame.voyage.sky, extra, frame.begin)
    return Scope(stops, slice(0, 1), slice(poor, poor + 1), False, None)


def many_skies_scope(frame: Frame) -> Scope:
    """All nodes, the classes that the skipper can tell in the morning, the sea as it is drawn."""
    poor, known = frame.weather.poor, frame.climate
    stops = build_stops(frame.voyage, frame.route, "good", begin=frame.begin)
    told = chances(
        frame.days.day_of_year,
        frame.stations.mean_lat,
        frame.voyage.forecast_skill,
        len(CLASSES),
        mean=known.mean,
        spread=known.spread,
    )
    return Scope(stops, frame.nodes, slice(poor + 1, frame.weather.cold), True, told)


@dataclass(frozen=True)
class Sea:
    """Chance that a morning is fit for each leg, (D,L), 1 where it needs no fitness; first and last leg that touches
    each mooring, (N,)."""

    fit: Floats
    onward: Ints
    behind: Ints

    def of(self, day: int, start: Ints, end: Ints) -> Floats:
        """Chance that the sea allows going between moorings (A,): one draw a day for the whole boat."""
        first, last = np.minimum(start, end), np.maximum(start, end)
        out = np.ones(len(start))
        for leg in np.flatnonzero((self.fit < 1).any(axis=0)):
            touched = (self.onward[first] <= leg) & (leg <= self.behind[last])
            out = np.where(touched, np.minimum(out, self.fit[day, leg]), out)
        return out


def sea_of(frame: Frame, drawn: bool) -> Sea:
    """Fitness by ``fit_to_go``; where the day's wind is known it is compared with ``wind_max_kmh`` instead.
    A leg that the boat is already on as the plan begins is fit that day.

    A forecast says it of the day itself, a weather file of how many days are calm enough.
    """
    legs, known = frame.route.legs, frame.climate
    fit = np.ones((len(frame.days.dates), len(legs)))
    for number, leg in enumerate(legs):
        if exposed(leg):
            limit = np.inf if leg.wind_max_mps is None else leg.wind_max_mps
            chance = known.calm(limit) if known.wind_table is not None else np.full(len(fit), leg.fit_to_go)
            chance = chance if drawn else np.ones(len(fit))
            wind = known.wind_known_mps
            fit[:, number] = np.where(np.isnan(wind), chance, wind <= limit)
    if frame.on_leg is not None:
        fit[0, frame.on_leg] = 1.0
    km = np.asarray([m.km for m in frame.route.moorings])
    onward = np.asarray(frame.route.leg_at(km + 1e-6))
    return Sea(fit, onward, np.asarray([m.leg for m in frame.route.moorings]))
