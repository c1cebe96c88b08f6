"""The morning card: what the policy does at each mooring and day, by class of sky and charge, as plain values."""

from collections.abc import Callable
from math import ceil
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from voyager.planner.bands import Band, EveningBand, bands_of, evening_bands_of
from voyager.sky.days import CLASSES

if TYPE_CHECKING:
    from voyager.planner.many import Followed
    from voyager.planner.outlook import Outlook

Json = dict[str, Any]
Ints = NDArray[np.int64]
LEAST_CHANCE = 0.01
"""Mornings that fewer members wake to are left out."""
KWH_PLACES = 2


def card_told(found: "Outlook", through: "Followed", tick: Callable[[], None] = lambda: None) -> list[Json]:
    """``card`` of FILES section 5: every mooring and day with a chance of 0.01 and more, by class of the morning.

    ``tick`` is called before each day.
    """
    members, problem = through.voyages.members, found.policy.problem
    day, stop, chance = _mornings(found, through.wakes[: problem.days] / members)
    teller, out = _Teller(found), list[Json]()
    for one in np.unique(day):
        tick()
        rows = np.repeat(np.flatnonzero(day == one), problem.classes)
        classes = np.tile(np.arange(problem.classes), len(rows) // problem.classes)
        where = (day[rows], stop[rows], classes)
        both = zip(bands_of(found.policy, *where), evening_bands_of(found.policy, *where), strict=True)
        out += [
            teller.row(int(one), int(stop[r]), CLASSES[c], float(chance[r]), *bands)
            for r, c, bands in zip(rows.tolist(), classes.tolist(), both, strict=True)
        ]
    return out


def _mornings(found: "Outlook", share: NDArray[np.float64]) -> tuple[Ints, Ints, NDArray[np.float64]]:
    """Days, stops and chances (R,) of waking at a mooring: of its stops the one that may be left, if any wake there."""
    mooring = found.built.stops.mooring
    by_mooring = np.zeros((len(share), len(found.frame.route.moorings)))
    np.add.at(by_mooring.T, mooring, share.T)
    day, number = np.nonzero(by_mooring >= LEAST_CHANCE)
    stops = [_likeliest(share[d], np.flatnonzero(mooring == n), found) for d, n in zip(day, number, strict=True)]
    return day, np.asarray(stops, dtype=np.int64), by_mooring[day, number]


def _likeliest(share: NDArray[np.float64], stops: Ints, found: "Outlook") -> int:
    free = [s for s in stops if not found.built.stops.forced[s] and share[s] >= LEAST_CHANCE]
    return int(free[0] if free else stops[np.argmax(share[stops])])


class _Teller:
    """Bands as plain values; what an action does is worked out once."""

    def __init__(self, found: "Outlook") -> None:
        self.found = found
        self.moorings = [found.frame.route.moorings[number] for number in found.built.stops.mooring]
        self.done: dict[tuple[int, int], Json] = {}

    def row(
        self,
        day: int,
        stop: int,
        name: str,
        chance: float,
        bands: tuple[Band, ...],
        evening: tuple[EveningBand, ...],
    ) -> Json:
        """One mooring, day and class of morning."""
        here, frame = self.moorings[stop], self.found.frame
        told = [{"from_kwh": up(band.from_kwh)} | self._do(day, stop, band) for band in bands]
        nights = [self._night(band) for band in evening]
        return {
            "day": day + 1,
            "date": frame.days.dates[day].isoformat(),
            "mooring": here.name,
            "km": round(here.km, 3),
            "sky_class": name,
            "chance": round(chance, 3 if chance < 0.1 else 2),
            "bands": _merged(told),
            "evening": _merged(nights),
            "go_from_kwh": _go_from(told),
            "shore_below_kwh": _shore_below(nights, frame.ceiling_kwh),
        }

    def _do(self, day: int, stop: int, band: Band) -> Json:
        if band.action < 0 and band.flee:
            return self._flight(day, stop) | {"held": band.held, "why": "to-shore"}
        if band.action < 0:
            return {"do": "stay", "held": False}
        if (day, band.action) not in self.done:
            self.done[day, band.action] = self._action(day, band.action)
        return self.done[day, band.action]

    def _action(self, day: int, action: int) -> Json:
        acts, journeys = self.found.policy.problem.mornings[day], self.found.built.journeys[day]
        if acts.pace[action] < 0:
            return {"do": "stay", "held": True}
        trip, pace = int(acts.trip[action]), int(acts.pace[action])
        if acts.days[action] > 0 or acts.lands[action]:
            crossing = journeys.crossings[trip]
            speed = crossing.water_km / crossing.move_h
        else:
            speed = float(journeys.trips.water_km[trip] / journeys.trips.move_h[trip])
        return self._go(int(acts.end[action]), self.found.built.ahead.pace_w[pace], speed) | {"held": True}

    def _flight(self, day: int, stop: int) -> Json:
        """Nothing is held, but a plug can be reached."""
        refuge, flown = self.found.policy.problem.refuges[day], self.found.built.journeys[day].flights
        trip, end, built = int(refuge.trip[stop]), int(refuge.end[stop]), self.found.built
        back = self.moorings[end].km < self.moorings[stop].km
        walker = built.back if back and built.back is not None else built.ahead
        return self._go(end, walker.pace_w[flown.pace[trip]], float(flown.water_km[trip] / flown.move_h[trip]))

    def _go(self, end: int, pace_w: float, speed_kmh: float) -> Json:
        to = self.moorings[end]
        return {
            "do": "go",
            "to": to.name,
            "to_km": round(to.km, 3),
            "pace_w": round(float(pace_w)),
            "speed_kmh": round(speed_kmh, 1),
        }

    def _night(self, band: EveningBand) -> Json:
        comfort = self.found.frame.vessel.comfort[band.step].name
        return {"from_kwh": up(band.from_kwh), "comfort": comfort, "plug_in": band.plugged, "held": band.held}


def up(kwh: float) -> float:
    """A charge that what is said of it still holds at, kWh: rounded up."""
    return float(ceil(round(kwh * 10**KWH_PLACES, 4)) / 10**KWH_PLACES)


def _merged(bands: list[Json]) -> list[Json]:
    """Without neighbours that say the same, and without those that rounding leaves no room."""
    out: list[Json] = []
    for band in bands:
        if out and out[-1]["from_kwh"] == band["from_kwh"]:
            out.pop()
        if not out or _said(out[-1]) != _said(band):
            out.append(band)
    return out


def _said(band: Json) -> Json:
    return {key: value for key, value in band.items() if key != "from_kwh"}


def _go_from(bands: list[Json]) -> float | None:
    """Least charge from which every band up to full goes."""
    least = None
    for band in reversed(bands):
        if band["do"] != "go":
            break
        least = float(band["from_kwh"])
    return least


def _shore_below(nights: list[Json], ceiling_kwh: float) -> float | None:
    """The charge below which the evening calls for the plug; the ceiling where it always does, None where never."""
    last = max((number for number, night in enumerate(nights) if night["plug_in"]), default=None)
    if last is None:
        return None
    return float(nights[last + 1]["from_kwh"]) if last + 1 < len(nights) else round(ceiling_kwh, KWH_PLACES)
