"""What the boat should have used for what it really did, by the model: the passages that were made, the air outside."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from voyager.boat.hull import Hull, propulsion_w
from voyager.boat.inverter import efficiency
from voyager.boat.vessel import Vessel
from voyager.energy.loads import loads
from voyager.energy.passage import SpeedTable, speed_table
from voyager.energy.stretch import Stretch, stretch
from voyager.energy.way import StationAt, Way, build_way
from voyager.energy.wishes import Wish
from voyager.logbook.entries import Entry
from voyager.logbook.readings import Passage, hour_of, shares
from voyager.logbook.timeline import Timeline, shared
from voyager.route.leg import Leg
from voyager.route.line import Route, build_route, reversed_route
from voyager.route.tide import hours_from_high_water
from voyager.route.voyage import Voyage
from voyager.sky.air import wind_mean_mps

Floats = NDArray[np.float64]
PACES = 40
LOOSE = 4 / 3
BESIDE_KM = 0.5
NEAR_H = 24.0
"""A reading of the air outside says something about the hours no further from it than this."""
MID_MONTH_DAY = (15, 46, 74, 105, 135, 166, 196, 227, 258, 288, 319, 349)


@dataclass(frozen=True)
class Waters:
    """The way ahead and back with the speeds of all paces (P,), one group of winds a month; ``high_water_h`` (L,) of
    each leg, hours from the timeline's zero."""

    hull: Hull
    routes: tuple[Route, Route]
    ways: tuple[Way, Way]
    tables: tuple[SpeedTable, SpeedTable]
    whole_km: float
    pace_w: Floats
    months: tuple[int, ...]
    high_water_h: tuple[Floats, Floats]

    def stretch(self, passage: Passage, month: int) -> Stretch:
        """What a passage costs at every pace, in the mean wind of the month."""
        back = int(passage.to_km < passage.from_km)
        ends = passage.from_km, passage.to_km
        return stretch(
            self.ways[back], self.routes[back].legs, self.tables[back], self.months.index(month),
            (self.whole_km - ends[0], self.whole_km - ends[1]) if back else ends, passage.begins,
            self.high_water_h[back],
        )  # fmt: skip


def waters(voyage: Voyage, hull: Hull, months: Sequence[int], zero: np.datetime64) -> Waters:
    """The voyage's own route for passages in these months; times count from ``zero``."""
    ahead = build_route(voyage)
    slowest = float(propulsion_w(hull, np.asarray([hull.steerable_min_mps]))[0])
    routes = ahead, reversed_route(ahead)
    pace_w = np.geomspace(min(max(slowest, 1.0), hull.motor_max_w / 2), hull.motor_max_w, PACES)
    known = tuple(dict.fromkeys(months))
    numbers = StationAt()
    ways = build_way(routes[0], hull, numbers), build_way(routes[1], hull, numbers)
    tables = (
        speed_table(hull, routes[0].legs, pace_w, _winds(routes[0], known), 1.0),
        speed_table(hull, routes[1].legs, pace_w, _winds(routes[1], known), 1.0),
    )
    tides = _high_water(routes[0], zero), _high_water(routes[1], zero)
    return Waters(hull, routes, ways, tables, float(ahead.start_km[-1]), pace_w, known, tides)


def _high_water(route: Route, zero: np.datetime64) -> Floats:
    """Hours from ``zero`` to the given high water of each leg, (L,); 0 without a tide."""
    given = [leg.tide_high_water for leg in route.legs]
    return np.asarray([0.0 if at is None else -float(hours_from_high_water(np.asarray(zero), at)) for at in given])


def _winds(route: Route, months: Sequence[int]) -> Floats:
    """Each leg's own wind, else the mean of its water and month, (G,L)."""
    lat, _ = route.position((route.start_km[:-1] + route.start_km[1:]) / 2)
    pairs = list(zip(route.legs, lat.tolist(), strict=True))
    return np.asarray([[_wind(leg, at, MID_MONTH_DAY[month - 1]) for leg, at in pairs] for month in months])


def _wind(leg: Leg, lat: float, day_of_year: int) -> float:
    return float(wind_mean_mps(leg.water, lat, day_of_year)) if leg.wind_mps is None else leg.wind_mps


@dataclass(frozen=True)
class Cost:
    """Hours and propulsion kWh of a passage; ``timed``: the readings say how long it took."""

    hours: float
    kwh: float
    timed: bool


def passage_cost(found: Stretch, passage: Passage, pace_w: Floats, planned_w: float | None) -> Cost:
    """What a passage that was made costs, by the pace that takes the time that it took.

    Where the readings did not follow it, and lie further apart than casting off and making fast can (4/3 of the time at
    the planned pace, else at the middle one), it is that pace. Slower than the slowest pace is the slowest with waits,
    faster than the fastest the fastest.
    """
    fits = np.flatnonzero(np.isfinite(found.hours))
    if not len(fits):
        return Cost(passage.ends - passage.begins, 0.0, False)
    hours, kwh = found.hours[fits][::-1], found.kwh[fits][::-1]
    took = passage.ends - passage.begins
    pace = float(np.sqrt(pace_w[0] * pace_w[-1])) if planned_w is None else planned_w
    usual = float(np.interp(np.log(pace), np.log(pace_w[fits]), found.hours[fits]))
    timed = passage.watched or took <= usual * LOOSE
    took = min(max(took if timed else usual, float(hours[0])), float(hours[-1]))
    spent = np.interp(np.log(took), np.log(hours), np.log(np.maximum(kwh, 1e-9)))
    return Cost(took, float(np.exp(spent)), timed)


def propulsion_done(
    made: Sequence[Passage], line: Timeline, water: Waters, months: Sequence[int], paces_w: Sequence[float | None]
) -> tuple[Floats, Floats]:
    """Modelled propulsion of the passages that were made, with what runs only under way, kWh by hour (T,), and what of
    it is of passages that are not timed.

    ``months``, ``paces_w`` (D,): of each day, and the pace that it was planned at.
    """
    out, loose = np.zeros((2, len(line.change)))
    for passage in made:
        day = int(np.clip(np.searchsorted(line.edges, passage.begins, side="right") - 1, 0, len(months) - 1))
        cost = passage_cost(water.stretch(passage, months[day]), passage, water.pace_w, _nearest(paces_w, day))
        kwh = cost.kwh + water.hull.underway_extra_w * cost.hours / 1e3
        hours = shared(kwh, _when(line, passage, cost.timed), shares(len(out), passage.begins, passage.ends))
        out += hours
        loose += 0.0 if cost.timed else hours
    return out, loose


def _nearest(paces_w: Sequence[float | None], day: int) -> float | None:
    known = [(abs(n - day), pace) for n, pace in enumerate(paces_w) if pace]
    return min(known)[1] if known else None


def _when(line: Timeline, passage: Passage, timed: bool) -> Floats:
    """The hours in which a passage may have been: those between the readings where they time it; else those planned
    under way, else those with sun."""
    inside = shares(len(line.change), passage.begins, passage.ends)
    if timed:
        return np.ones_like(inside)
    for weights in (np.nan_to_num(line.underway), (np.nan_to_num(line.sun) > 0).astype(float)):
        if (weights * inside).sum() >= 0.5:
            return weights
    return np.ones_like(inside)


def shore_done(line: Timeline, places: Sequence[tuple[float, float]], route: Route) -> Floats:
    """Shore energy, kWh by hour (T,), where no reading says: as planned, but none in hours in which there was no plug
    between the places, (hour, kilometre), that were noted before and after."""
    out = line.shore.copy()
    if not places:
        return out
    hour, km = np.asarray(places, dtype=float).T
    plugs = np.asarray([one.km for one in route.moorings if one.shore_w > 0])
    for h in np.flatnonzero(np.nan_to_num(line.shore) > 0).tolist():
        first, last = max(int(np.searchsorted(hour, h, "right")) - 1, 0), int(np.searchsorted(hour, h + 1.0))
        near = km[first : last + 1]
        if not ((plugs >= near.min() - BESIDE_KM) & (plugs <= near.max() + BESIDE_KM)).any():
            out[h] = 0.0
    return out


def outside_c(line: Timeline, entries: Sequence[Entry]) -> Floats:
    """Air outside, degC by hour (T,): the planned one, put up or down by what readings within a day of it say."""
    noted = [(hour_of(one.time_utc, line.zero), one.outside_c) for one in entries if one.outside_c is not None]
    at = np.arange(len(line.change)) + 1.0
    known = np.isfinite(line.outside_c)
    if not noted or not known.any():
        return line.outside_c
    hour, air = (np.asarray(values, dtype=float) for values in zip(*noted, strict=True))
    off = np.interp(at, hour, air - np.interp(hour, at[known], line.outside_c[known]))
    place = np.searchsorted(hour, at)
    before, after = hour[np.maximum(place - 1, 0)], hour[np.minimum(place, len(hour) - 1)]
    near = np.minimum(np.abs(at - before), np.abs(at - after)) <= NEAR_H
    return np.asarray(np.where(near, line.outside_c + off, line.outside_c))


def setpoint_shift_k(line: Timeline, entries: Sequence[Entry]) -> Floats:
    """By how much the cabin was kept warmer than planned, K by hour (T,), one number a day: the mean over the readings
    inside, in hours with heating planned, of what they are above the plan's own air; 0 without such readings."""
    out = np.zeros(len(line.change))
    days: dict[int, list[float]] = {}
    for one in entries:
        hour = hour_of(one.time_utc, line.zero)
        if one.inside_c is None or not 0 <= hour < len(out):
            continue
        h = int(hour)
        if np.isfinite(line.cabin_c[h]) and line.heating[h] > 0:
            day = int(np.searchsorted(line.edges, hour, side="right")) - 1
            days.setdefault(day, []).append(one.inside_c - float(line.cabin_c[h]))
    for day, shifts in days.items():
        out[int(line.edges[day]) : int(line.edges[day + 1])] = np.mean(shifts)
    return out


def heating_done(vessel: Vessel, line: Timeline, outside: Floats, shift_k: Floats) -> tuple[Floats, Floats]:
    """Modelled heating, kWh by hour (T,), at the setpoints really kept: in the planned and in the real air outside.

    What the simulator's cabin asks for otherwise than in the planned air at the planned setpoints is added to the
    planned heating; sun through the glass is the plan's.
    """
    if not np.isfinite(line.setpoint_c).any() or not vessel.heaters:
        return line.heating, line.heating
    same, still = np.array_equal(outside, line.outside_c, equal_nan=True), not shift_k.any()
    if same and still:
        return line.heating, line.heating
    runs = np.stack([line.outside_c, line.outside_c, outside])
    kwh = _heating(vessel, line, runs, np.stack([0 * shift_k, shift_k, shift_k]))
    planned, warmer, colder = (np.maximum(0.0, line.heating + one - kwh[0]) for one in kwh)
    return np.where(np.isfinite(line.setpoint_c), warmer, planned), np.where(
        np.isfinite(line.setpoint_c), colder, planned
    )


def _heating(vessel: Vessel, line: Timeline, outside: Floats, shift_k: Floats) -> Floats:
    """Heating by the simulator's cabin, kWh by hour, of several runs (R,T) through all hours."""
    setpoint = np.nan_to_num(line.setpoint_c, nan=0.0) + shift_k
    air = np.nan_to_num(outside, nan=float(np.nanmean(line.outside_c)))
    asked, no = np.ones(len(air)), np.zeros(len(air), dtype=bool)
    wishes = [Wish(h, 1.0, setpoint[:, h], asked, no, 0.0 * asked, False) for h in range(air.shape[1])]
    begin = np.maximum(air[:, 0], setpoint[:, 0])
    structure = begin if vessel.cabin.structure_capacity_wh_per_k is not None else None
    found = loads(
        vessel, wishes, local_hour=line.local_hour, outside_c=air, glass_w_m2=np.zeros_like(air), air_c=begin,
        structure_c=structure,
    )  # fmt: skip
    return np.asarray(found.heating_w / 1e3)


def battery_side(vessel: Vessel) -> tuple[float, float]:
    """kWh at the battery for one of heating and one of hotel: through the inverter at its load, standby apart."""
    bare = vessel.inverter
    through = [one.max_w for one in vessel.heaters if one.alternating]
    heating = 1.0
    if bare.max_w is not None and through:
        share = sum(through) / sum(one.max_w for one in vessel.heaters)
        heating = 1 + share * (1 / float(efficiency(bare, min(sum(through), bare.max_w))) - 1)
    direct, alternating = sum(vessel.hotel.direct_w), sum(vessel.hotel.alternating_w)
    hotel = 1.0
    if bare.max_w is not None and alternating > 0:
        hotel = (direct + alternating / float(efficiency(bare, alternating / 24))) / (direct + alternating)
    return heating, hotel
