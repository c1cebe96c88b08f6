"""The morning card: what the policy does at each mooring and day, by class of sky and charge, as plain values."""

from math import ceil
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from voyager.planner.bands import Band, EveningBand, bands_of, evening_bands_of
from voyager.sky.days import CLASSES

if TYPE_CHECKING:
    from voyager.planner.many import Followed
    from voyager.planner.outlook import Outlook
    from voyager.route.line import Mooring

Json = dict[str, Any]
Ints = NDArray[np.int64]
LEAST_CHANCE = 0.01
"""Mornings that fewer members wake to are left out."""
KWH_PLACES = 2


def card_told(found: "Outlook", through: "Followed") -> list[Json]:
    """``card`` of FILES section 5: every mooring and day with a chance of 0.01 and more, by class of the morning."""
    members, problem = through.voyages.members, found.policy.problem
    day, stop, chance = _mornings(found, through.wakes[: problem.days] / members)
    classes = np.tile(np.arange(problem.classes), len(day))
    rows = np.repeat(np.arange(len(day)), problem.classes)
    where = (day[rows], stop[rows], classes)
    both = zip(bands_of(found.policy, *where), evening_bands_of(found.policy, *where), strict=True)
    return [
        _row(found, int(day[r]), int(stop[r]), CLASSES[c], float(chance[r]), *bands)
        for r, c, bands in zip(rows.tolist(), classes.tolist(), both, strict=True)
    ]


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


def _row(
    found: "Outlook",
    day: int,
    stop: int,
    name: str,
    chance: float,
    bands: tuple[Band, ...],
    evening: tuple[EveningBand, ...],
) -> Json:
    here = found.frame.route.moorings[found.built.stops.mooring[stop]]
    told = [_band(found, day, stop, band) for band in bands]
    nights = [_night(found, band) for band in evening]
    return {
        "day": day + 1,
        "date": found.frame.days.dates[day].isoformat(),
        "mooring": here.name,
        "km": round(here.km, 3),
        "sky_class": name,
        "chance": round(chance, 3 if chance < 0.1 else 2),
        "bands": _merged(told),
        "evening": _merged(nights),
        "go_from_kwh": _from(told, "do", "go"),
        "shore_below_kwh": _shore_below(nights, found.frame.ceiling_kwh),
    }


def up(kwh: float) -> float:
    """A charge that what is said of it still holds at, kWh: rounded up."""
    return ceil(round(kwh * 10**KWH_PLACES, 4)) / 10**KWH_PLACES


def _band(found: "Outlook", day: int, stop: int, band: Band) -> Json:
    problem = found.policy.problem
    if band.action < 0:
        return _refuge(found, day, stop, band)
    acts = problem.mornings[day]
    if acts.pace[band.action] < 0:
        return {"from_kwh": up(band.from_kwh), "do": "stay", "held": band.held}
    end = _mooring(found, int(acts.end[band.action]))
    sails = acts.days[band.action] > 0 or acts.lands[band.action]
    journeys, trip = found.built.journeys[day], int(acts.trip[band.action])
    if sails:
        crossing = journeys.crossings[trip]
        speed = crossing.water_km / crossing.move_h
    else:
        speed = float(journeys.trips.water_km[trip] / journeys.trips.move_h[trip])
    return _go(found, band, end, float(found.built.ahead.pace_w[acts.pace[band.action]]), speed)


def _refuge(found: "Outlook", day: int, stop: int, band: Band) -> Json:
    """Nothing is held: fleeing to a plug, or staying at the coldest step."""
    if not band.flee:
        return {"from_kwh": up(band.from_kwh), "do": "stay", "held": False}
    refuge, flown = found.policy.problem.refuges[day], found.built.journeys[day].flights
    trip, end = int(refuge.trip[stop]), _mooring(found, int(refuge.end[stop]))
    back = end.km < _mooring(found, stop).km
    walker = found.built.back if back and found.built.back is not None else found.built.ahead
    speed = float(flown.water_km[trip] / flown.move_h[trip])
    return _go(found, band, end, float(walker.pace_w[flown.pace[trip]]), speed) | {"why": "to-shore"}


def _go(found: "Outlook", band: Band, end: "Mooring", pace_w: float, speed_kmh: float) -> Json:
    return {
        "from_kwh": up(band.from_kwh),
        "do": "go",
        "to": end.name,
        "to_km": round(end.km, 3),
        "pace_w": round(pace_w),
        "speed_kmh": round(speed_kmh, 1),
        "held": band.held,
    }


def _mooring(found: "Outlook", stop: int) -> "Mooring":
    return found.frame.route.moorings[found.built.stops.mooring[stop]]


def _night(found: "Outlook", band: EveningBand) -> Json:
    comfort = found.frame.vessel.comfort[band.step].name
    return {"from_kwh": up(band.from_kwh), "comfort": comfort, "plug_in": band.plugged, "held": band.held}


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


def _from(bands: list[Json], key: str, value: object) -> float | None:
    """Least charge from which every band up to full says ``value``."""
    least = None
    for band in reversed(bands):
        if band[key] != value:
            break
        least = float(band["from_kwh"])
    return least


def _shore_below(nights: list[Json], ceiling_kwh: float) -> float | None:
    """The charge below which the evening calls for the plug; the ceiling where it always does, None where never."""
    last = max((number for number, night in enumerate(nights) if night["plug_in"]), default=None)
    if last is None:
        return None
    return float(nights[last + 1]["from_kwh"]) if last + 1 < len(nights) else round(ceiling_kwh, KWH_PLACES)
