"""Everything that a plan needs to know of boat, route, days and sky before any choice is made.

Arrays by day, station and hour; nothing here depends on what the boat does.
"""

from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from voyager.boat.cabin import Piece
from voyager.boat.comfort import comfort_pieces
from voyager.boat.inverter import charger_output_w
from voyager.boat.vessel import Vessel
from voyager.energy.climate import Climate
from voyager.energy.loads import Loads
from voyager.energy.solar import Mount, PanelTable
from voyager.energy.way import StationAt, Way, build_way
from voyager.energy.weather import Kinds, Stations, Weather
from voyager.energy.wishes import Wish, wishes
from voyager.planner.around import MOST_MOUNTS, Bank, around, entered_w, total_w
from voyager.planner.entry import enter_day
from voyager.planner.hope import least_days
from voyager.planner.kept import Kept
from voyager.planner.kinds import NODES_FROM
from voyager.planner.start import Begin, Start, begin_at, pieces_between
from voyager.planner.windows import Windows, after, windows
from voyager.route.calendar import Days
from voyager.route.leg import EXPOSED
from voyager.route.line import Route, build_route, reversed_route
from voyager.route.voyage import Voyage
from voyager.sky.hours import DayShape
from voyager.sky.sun import SunTimes

if TYPE_CHECKING:
    from voyager.sky.record import Record

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
UNKNOWN_HEADINGS = tuple(float(a) for a in range(0, 360, 10))


@dataclass(frozen=True)
class Frame:
    """One voyage of one boat over D days under one sky, S stations, N moorings, C steps of the ladder.

    ``steps`` are the loads at each; those warmer than the voyage's own are never used and repeat it. ``whole_w``
    (D,C,S,H,n): their sums as ``total_w``, where they are known.
    """

    vessel: Vessel
    voyage: Voyage
    route: Route
    way: Way
    days: Days
    stations: Stations
    sun: SunTimes
    windows: Windows
    shape: DayShape
    climate: Climate
    kinds: Kinds
    weather: Weather
    glass_w_m2: Floats
    mooring_station: Ints
    reach_mount: Ints
    back_route: Route
    back_way: Way
    back_mount: Ints
    mooring_mount: Ints
    panels: PanelTable
    steps: tuple[Loads, ...]
    bank: Bank
    whole_w: Floats | None
    begin: Begin = field(default_factory=Begin)

    @property
    def start_kwh(self) -> float:
        """Charge with which the plan begins."""
        given = self.begin.charge_kwh
        return self.vessel.battery.capacity_kwh * self.voyage.charge_at_start_percent / 100 if given is None else given

    @cached_property
    def on_leg(self) -> int | None:
        """Number of the leg in whose middle the boat is as the plan begins, None at a place."""
        here = self.route.moorings[self.begin.mooring]
        return here.leg if here.place is None else None

    @cached_property
    def may_stay(self) -> bool:
        """Whether the boat may stay where the plan begins: not in the middle of a leg that is done in one go."""
        return self.on_leg is None or self.route.legs[self.on_leg].moor_anywhere

    def from_step(self, day: int | Ints) -> int:
        """The first hour step of a day that is lived; of many days, see ``lived_h``, the day's first."""
        return self.begin.step if np.ndim(day) == 0 and day == 0 else 0

    def lived_h(self, day: int | Ints) -> Floats | None:
        """Lived part of each hour step of a day (H,); None: all of it, and so of many days at once, among which the
        first may only be where the plan begins with it."""
        return self.begin.lived_h if np.ndim(day) == 0 and day == 0 else None

    def part(self, day: int | Ints, h: int) -> tuple[float, float]:
        """Where the lived part of an hour step begins, hours from the day's start, and how long it lasts."""
        lived = self.lived_h(day)
        return (float(h), 1.0) if lived is None else (max(float(h), self.begin.hours), float(lived[h]))

    def by_lived(self, day: int, values: Floats) -> Floats:
        """Sums over each hour step of a day (..., H') as means over the part of it that is lived."""
        lived = self.lived_h(day)
        if lived is None:
            return values
        share = lived[: values.shape[-1]]
        return np.asarray(values / np.where(share > 0, share, 1.0))

    @property
    def ceiling_kwh(self) -> float:
        """Highest charge that charging reaches."""
        return self.vessel.battery.ceiling_kwh

    @cached_property
    def wanted(self) -> int:
        """The voyage's own step on the ladder."""
        return wanted_step(self.vessel, self.voyage)

    @property
    def nodes(self) -> slice:
        """The nodes of many skies among the kinds; empty where the frame has one sky only."""
        return slice(NODES_FROM, self.weather.poor)

    @property
    def off(self) -> int:
        """The last step."""
        return len(self.vessel.comfort) - 1

    @cached_property
    def plugs_w(self) -> Floats:
        """What the shore charger gives at the battery at every mooring (N,), 0 without a plug that may be used."""
        at = np.asarray([m.shore_w for m in self.route.moorings])
        if self.voyage.shore_power == "never":
            return np.zeros_like(at)
        return charger_output_w(self.vessel.shore, at)

    @cached_property
    def asked(self) -> dict[tuple[Any, ...], list[Wish]]:
        """What ``wishes_of`` has made so far."""
        return {}

    @cached_property
    def total_w(self) -> Floats:
        """Everything aboard but propulsion, battery side, the cells' heater with it, (C,D,S,H,n)."""
        found = total_w(self.vessel, self.weather, self.steps) if self.whole_w is None else self.whole_w
        return np.moveaxis(found, 1, 0)


def wanted_step(vessel: Vessel, voyage: Voyage) -> int:
    """Number of the voyage's step on the boat's ladder, the first where none is named."""
    names = [step.name for step in vessel.comfort]
    return names.index(voyage.comfort) if voyage.comfort in names else 0


def build_frame(
    vessel: Vessel,
    voyage: Voyage,
    count: int,
    sky: str | None = None,
    *,
    record: "Record | None" = None,
    many: bool = False,
    start: Start | None = None,
    kept: Kept | None = None,
) -> Frame:
    """The frame of ``count`` days under one of the three skies (the voyage's own unless another is named).

    ``record``: weather file instead of the built-in climate. ``many``: with the nodes and poor days of many skies.
    ``start``: where the plan begins in the middle of the first day; what lies behind stays a part of the route.
    ``kept``: what is around the boat is taken from the plan before where it is the same.
    """
    route = build_route(voyage, None if start is None else start.km)
    begin = begin_at(start, np.asarray([m.km for m in route.moorings]))
    stations_of = StationAt()
    way = build_way(route, vessel.hull, stations_of)
    back_route = reversed_route(route)
    back_way = build_way(back_route, vessel.hull, stations_of)
    lat, lon = (np.asarray([getattr(m, a) for m in route.moorings]) for a in ("lat", "lon"))
    mooring_station = stations_of(lat, lon)
    stations = _stations(stations_of, route, way, mooring_station)
    here, first = int(mooring_station[begin.mooring]), wanted_step(vessel, voyage)
    made, mounts = around(
        vessel, voyage, count, stations, here, first, sky=sky or voyage.sky, many=many, record=record, kept=kept
    )
    reach_mount = _reach_mounts(mounts, route, way)
    back_mount = _reach_mounts(mounts, back_route, back_way)
    mooring_mount = np.asarray([_mooring_mount(mounts, route, int(s), n) for n, s in enumerate(mooring_station)])
    if kept is not None:
        _let_go(kept, mounts, len({*reach_mount.tolist(), *back_mount.tolist(), *mooring_mount.tolist()}))
    open_h = after(windows(voyage, made.days, made.sun), begin.hours)
    needed = _needed(voyage, route, way, back_way, (reach_mount, back_mount, mooring_mount), count, begin)
    needed &= _in_time(route, vessel, open_h, way, (reach_mount, back_mount, mooring_mount), count)
    panels = PanelTable(mounts.table(needed), np.zeros((0, 0, 0, 0, 0)))
    begin, lived = _entered(vessel, made.days, made.weather, made.glass_w_m2, begin, first, list(made.steps[first:]))
    steps = (*lived[:1] * first, *lived)
    whole_w = made.total_w if begin.lived_h is None else entered_w(vessel, made, steps)
    return Frame(
        vessel, voyage, route, way, made.days, stations, made.sun, open_h, made.shape, made.climate, made.kinds,
        made.weather, made.glass_w_m2, mooring_station, reach_mount, back_route, back_way, back_mount, mooring_mount,
        panels, steps, mounts, whole_w, begin,
    )  # fmt: skip


def _needed(
    voyage: Voyage, route: Route, way: Way, back: Way, mounts: tuple[Ints, Ints, Ints], count: int, begin: Begin
) -> NDArray[np.bool_]:
    """Days on which the boat may lie or pass each mount, (D,Q): not before the nights asked for on the way to it."""
    ahead = route.start_km[1:] > (route.moorings[begin.mooring].km if begin.mooring else -1.0)
    nights = np.cumsum([0, *(leg.nights * bool(to_come) for leg, to_come in zip(voyage.legs, ahead, strict=True))])
    legs = (way.reaches.leg, len(route.legs) - 1 - back.reaches.leg, np.asarray([m.leg for m in route.moorings]))
    first = np.full(max(int(mount.max()) for mount in mounts) + 1, count)
    for mount, leg in zip(mounts, legs, strict=True):
        np.minimum.at(first, mount, nights[leg])
    return np.asarray(np.arange(count)[:, None] >= first[None, :])


def _in_time(
    route: Route, vessel: Vessel, open_h: Windows, way: Way, mounts: tuple[Ints, Ints, Ints], count: int
) -> NDArray[np.bool_]:
    """Days on which a boat that passes each mount can still arrive before the horizon, (D,Q); all where it may lie or
    come back."""
    ends = least_days(route, vessel.hull, open_h, np.asarray(route.start_km[1:]))
    last = np.zeros(max(int(mount.max()) for mount in mounts) + 1, dtype=np.int64)
    np.maximum.at(last, mounts[0], count - ends[way.reaches.leg])
    last[mounts[1]] = last[mounts[2]] = count
    return np.asarray(np.arange(count)[:, None] <= last[None, :])


def _stations(numbers: StationAt, route: Route, way: Way, mooring_station: Ints) -> Stations:
    """Squares at the mean position of what lies in them; at sea where any leg in them is coastal or open."""
    count = len(numbers.keys)
    lat = np.asarray([key[0] for key in numbers.keys])
    lon = np.asarray([key[1] for key in numbers.keys])
    height = np.zeros(count)
    for square in range(count):
        inside = [m.height_m for m, s in zip(route.moorings, mooring_station, strict=True) if s == square]
        known = [h for h in inside if h != 0]
        height[square] = float(np.mean(known)) if known else 0.0
    sea = [route.legs[leg].water in EXPOSED for leg in way.reaches.leg]
    exposed = np.zeros(count, dtype=bool)
    np.logical_or.at(exposed, way.reaches.station, sea)
    return Stations(lat, lon, height, exposed)


def _let_go(kept: Kept, mounts: Bank, used: int) -> None:
    """Begin anew with the next plan where most of the mounts are of ways that were edited away."""
    if len(mounts.numbers) > 2 * used + MOST_MOUNTS:
        kept.clear()


def _reach_mounts(mounts: Bank, route: Route, way: Way) -> Ints:
    return np.asarray([_reach_mount(mounts, route, way, r) for r in range(len(way.reaches.leg))])


def _reach_mount(mounts: Bank, route: Route, way: Way, reach: int) -> int:
    leg = route.legs[way.reaches.leg[reach]]
    course = round(float(route.course_deg[way.reaches.leg[reach]])) % 360
    length = float(route.distance_km[way.reaches.leg[reach]])
    dark = min(1.0, leg.tunnel_km / length) if length > 0 else 0.0
    shade = 1 - (1 - leg.shade_percent / 100) * (1 - dark)
    return mounts.number(Mount(int(way.reaches.station[reach]), (float(course),), False, round(shade, 4)))


def _mooring_mount(mounts: Bank, route: Route, station: int, number: int) -> int:
    mooring = route.moorings[number]
    if mooring.heading_deg is None:
        headings = UNKNOWN_HEADINGS
    else:
        along = float(round(mooring.heading_deg / 5) * 5 % 360) if mooring.either_way else mooring.heading_deg
        headings = (along % 180, along % 180 + 180) if mooring.either_way else (along,)
    return mounts.number(Mount(station, headings, True, round(mooring.shade_percent / 100, 4)))


def _entered(
    vessel: Vessel, calendar: Days, weather: Weather, glass: Floats, begin: Begin, first: int, steps: list[Loads]
) -> tuple[Begin, list[Loads]]:
    """Loads with a first day that is lived from the beginning on, and the cabin as the hours before leave it."""
    if begin.lived_h is None:
        return begin, steps
    outside, pane = (np.moveaxis(values[0], 2, 1) for values in (weather.air_c, glass))
    days = [
        enter_day(vessel, comfort, calendar, outside, pane, done, begin)
        for comfort, done in zip(vessel.comfort[first:], steps, strict=True)
    ]
    _, air, structure = days[0]
    return replace(begin, air_c=air, structure_c=structure), [done for done, _, _ in days]


def pieces_of(frame: Frame, day: int, step: int) -> list[Piece]:
    """Pieces of one day at one step of the ladder, of the first day those from the beginning of the plan on."""
    length = int(frame.days.length_h[day])
    pieces = comfort_pieces(frame.vessel.comfort[step], frame.days.local_min[day], length)
    return pieces if frame.lived_h(day) is None else pieces_between(pieces, frame.begin.hours, float(length))


def wishes_of(frame: Frame, day: int, step: int) -> list[Wish]:
    """What is asked of the thermostat by these pieces; made once for all days with the same clock."""
    clock = frame.days.local_min[day].tobytes(), int(frame.days.length_h[day]), frame.lived_h(day) is None
    if (step, *clock) not in frame.asked:
        frame.asked[step, *clock] = wishes(frame.vessel, pieces_of(frame, day, step))
    return frame.asked[step, *clock]
