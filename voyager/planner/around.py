"""What is around the boat on the days of a voyage, whatever its legs are: calendar, sun, weather, panels, loads aboard.

All of it goes by day from the first one on and knows nothing of how many follow: what was made for more days is cut.
"""

from collections.abc import Sequence
from dataclasses import dataclass, fields, is_dataclass, replace
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from voyager.boat.comfort import comfort_pieces
from voyager.boat.vessel import Vessel
from voyager.energy.climate import Climate, climate
from voyager.energy.lived import Lived
from voyager.energy.loads import Loads, loads, steady_air_c
from voyager.energy.run import cell_heater_w
from voyager.energy.solar import Mount, glass_w_m2, panel_table
from voyager.energy.weather import HOURS, Kinds, Stations, Weather, weather_of
from voyager.energy.wishes import wishes
from voyager.planner.kept import Kept
from voyager.planner.kinds import kinds_of
from voyager.route.calendar import Days, days
from voyager.route.voyage import Voyage
from voyager.sky.hours import DayShape, day_shape
from voyager.sky.sun import SunTimes, sun_times

if TYPE_CHECKING:
    from voyager.sky.record import Record

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]
Ints = NDArray[np.int64]
SPARE_DAYS = 12
"""Days more than asked for that are made where they are kept: the next plan may be a little longer."""
MOST_PARTS = 400
"""Parts of days lived that are kept: two or three a day."""
MOST_MOUNTS = 40
"""More mounts than twice those of a voyage that are kept of the ways before it."""


@dataclass(frozen=True)
class Around:
    """D days at S stations; ``glass_w_m2`` (D,S,H,n); ``steps`` the loads (D,S,n,H) of the ladder's C steps, every day
    beginning as the day before it ended; those warmer than the voyage's own are never used and repeat it.

    ``total_w`` (D,C,S,H,n): everything aboard but propulsion, battery side, the cells' heater with it.
    """

    days: Days
    sun: SunTimes
    shape: DayShape
    climate: Climate
    kinds: Kinds
    weather: Weather
    glass_w_m2: Floats
    steps: tuple[Loads, ...]
    total_w: Floats


def around(
    vessel: Vessel, voyage: Voyage, count: int, stations: Stations, here: int, first_step: int, *,
    sky: str, many: bool, record: "Record | None" = None, kept: Kept | None = None,
) -> tuple[Around, "Bank"]:  # fmt: skip
    """The first ``count`` days, and the bank of their panel power; both kept for the next plan where ``kept`` is given.

    ``here``: station of the forecast; ``first_step`` of the ladder whose loads are wanted. With a weather file only
    the same number of days will do, for its wind is told by the months that are looked at.
    """

    def make(more: int, numbers: dict[Mount, int]) -> tuple[Around, Bank]:
        made = _made(vessel, voyage, count + more, stations, here, first_step, sky, many, record)
        if kept is None:
            return made, Bank(vessel, made, numbers)
        slim = replace(made, steps=tuple(map(_slim, made.steps)))
        return slim, Bank(vessel, slim, numbers, Lived(MOST_PARTS), Lived(MOST_PARTS), Lived(MOST_PARTS))

    if kept is None:
        return make(0, {})
    where = tuple(getattr(stations, f.name).tobytes() for f in fields(stations))
    numbers: dict[Mount, int] = kept.made("mounts", where, dict)
    key = (
        vessel, voyage.departs, voyage.time_zone, voyage.day_starts_min, voyage.forecast, voyage.forecast_skill, sky,
        many, here, first_step, where, None if record is None else (record, count),
    )  # fmt: skip
    spare = SPARE_DAYS if record is None else 0
    found, bank = kept.made(
        "around",
        key,
        lambda: make(spare, numbers),
        lambda one: len(one[0].days.dates) >= count and one[1].numbers is numbers,
    )
    return (found if len(found.days.dates) == count else first_days(found, count)), bank


def first_days(whole: Around, count: int) -> Around:
    """The first days alone."""
    parts = {f.name: _cut(getattr(whole, f.name), count) for f in fields(whole) if f.name != "days"}
    old = whole.days
    names = ("length_h", "start_min", "shift_min", "shift_at_min")
    cut = replace(
        old, dates=old.dates[:count], starts_utc=old.starts_utc[: count + 1],
        **{name: getattr(old, name)[:count] for name in names},
    )  # fmt: skip
    return Around(cut, **parts)


def _cut(value: Any, count: int) -> Any:
    """Every array along its first axis, in objects and tuples of objects too."""
    if isinstance(value, np.ndarray):
        return value[:count]
    if isinstance(value, tuple):
        return tuple(_cut(one, count) for one in value)
    if is_dataclass(value) and not isinstance(value, type):
        return replace(value, **{f.name: _cut(getattr(value, f.name), count) for f in fields(value)})
    return value


def _made(
    vessel: Vessel, voyage: Voyage, count: int, stations: Stations, here: int, first_step: int, sky: str, many: bool,
    record: "Record | None",
) -> Around:  # fmt: skip
    calendar = days(voyage.departs, count, voyage.time_zone, voyage.day_starts_min)
    sun = sun_times(stations.lat, stations.lon, calendar.dates, midday_utc=_midday(calendar))
    shape = day_shape(calendar.starts_utc, calendar.length_h, stations.lat, stations.lon)
    skill = voyage.forecast_skill
    known = climate(calendar, stations, record=record, forecast=voyage.forecast, skill=skill, here=here)
    kinds = kinds_of(known, calendar.day_of_year, stations.mean_lat, sky, skill, many)
    weather = weather_of(vessel, calendar, stations, known, kinds)
    glass = _glass(vessel, shape, weather)
    steps = [_step_loads(vessel, calendar, weather, glass, c) for c in range(first_step, len(vessel.comfort))]
    steps = [*steps[:1] * first_step, *steps]
    return Around(
        calendar, sun, shape, known, kinds, weather, glass, tuple(steps), total_w(vessel, weather, steps)
    )


def total_w(vessel: Vessel, weather: Weather, steps: Sequence[Loads]) -> Floats:
    """Everything aboard but propulsion at steps of the ladder, (D,C,S,H,n)."""
    heater = cell_heater_w(vessel, weather.cold_cells)
    out = np.empty((len(heater), len(steps), *heater.shape[1:]))
    for c, step in enumerate(steps):
        np.add(np.moveaxis(step.total_w, 2, 3), heater, out=out[:, c])
    return out


def entered_w(vessel: Vessel, made: Around, steps: Sequence[Loads]) -> Floats:
    """The same, (D,C,S,H,n), with the first day's from its loads ``steps``, of which the other days may be unknown."""
    first = total_w(vessel, _cut(made.weather, 1), [_cut(step, 1) for step in steps])
    return np.concatenate([first, made.total_w[1:]])


def _slim(step: Loads) -> Loads:
    """What is still asked of the loads once their sums are known: hours asked for, the first day's air, structure."""
    shape = step.hotel_w.shape
    none = np.broadcast_to(np.nan, shape)
    asked = np.broadcast_to(step.asked_h[:, :1, :1].copy(), shape)
    return Loads(none, none, none, step.air_c[:1].copy(), none, asked, none, step.structure_c)


def _midday(calendar: Days) -> NDArray[np.datetime64]:
    """Civil noon of every day, near enough: 12 h less the day's own start after its start."""
    return np.asarray(calendar.starts_utc[:-1] + ((720 - calendar.start_min) * 60).astype("timedelta64[s]"))


class Bank:
    """Panel power of the mounts asked for so far, each on the days on which it was needed; ``numbers`` of the mounts,
    the same for all banks at these stations. Days lived under this weather: the ``cabins`` of one boat by day, step and
    hours, its ``sails`` by day and trip, the ``days`` of few members; None where nothing is kept."""

    def __init__(
        self, vessel: Vessel, made: Around, numbers: dict[Mount, int], cabins: Lived[Loads] | None = None,
        sails: Lived[Any] | None = None, days: Lived[Any] | None = None,
    ) -> None:  # fmt: skip
        self.vessel, self.made, self.numbers = vessel, made, numbers
        self.cabins, self.sails, self.days = cabins, sails, days
        count, kinds = len(self.made.days.dates), self.made.weather.cold
        self.watts, self.known = np.zeros((count, 0, HOURS, kinds)), np.zeros((count, 0), dtype=bool)

    def number(self, mount: Mount) -> int:
        """The mount's number, a new one where it is met for the first time."""
        return self.numbers.setdefault(mount, len(self.numbers))

    def table(self, needed: Bools) -> Floats:
        """Watts (D,Q,H,n) on the days needed (D,Q) at the least; elsewhere what is there, or nothing."""
        count, mounts = needed.shape
        if not self.known.size and count == len(self.known):
            self.watts, self.known = self._made(needed, np.arange(mounts)), needed.copy()
            return self.watts
        more = len(self.numbers) - self.watts.shape[1]
        if more > 0:
            self.watts = np.concatenate([self.watts, np.zeros((len(self.watts), more, *self.watts.shape[2:]))], axis=1)
            self.known = np.concatenate([self.known, np.zeros((len(self.known), more), dtype=bool)], axis=1)
        new = needed & ~self.known[:count, :mounts]
        places = np.flatnonzero(new.any(axis=0))
        if len(places):
            found = self._made(new[:, places], places)
            for place, q in enumerate(places.tolist()):
                at = np.flatnonzero(new[:, q])
                self.watts[at, q] = found[at, place]
                self.known[at, q] = True
        return self.watts[:count]

    def _made(self, needed: Bools, places: Ints) -> Floats:
        """Watts of the mounts numbered ``places`` (Q,) on the days needed (D,Q)."""
        made, skies, mounts, count = self.made, slice(0, self.made.weather.cold), list(self.numbers), len(needed)
        return panel_table(
            self.vessel.arrays,
            _cut(made.shape, count),
            clearness=made.weather.clearness[:count, :, skies],
            air_c=made.weather.air_c[:count, ..., skies],
            wind_mps=made.weather.wind_mps[:count, :, skies],
            mounts=[mounts[q] for q in places],
            worst=np.arange(made.weather.cold) >= made.weather.poor,
            needed=needed,
            by_array=False,
        ).watts


def _glass(vessel: Vessel, shape: DayShape, weather: Weather) -> Floats:
    """Irradiance on a pane by kind, (D,S,H,n), none in the cold night."""
    if vessel.cabin.window_m2 <= 0:
        return np.zeros_like(weather.air_c)
    glass = glass_w_m2(shape, weather.clearness[..., : weather.cold])
    return np.concatenate([glass, np.zeros((*glass.shape[:3], 1))], axis=3)


def _step_loads(vessel: Vessel, calendar: Days, weather: Weather, glass: Floats, number: int) -> Loads:
    """Loads at one step all through, (D,S,n,H): every day begins as the day before it ended."""
    outside, pane = np.moveaxis(weather.air_c, 3, 2), np.moveaxis(glass, 3, 2)
    comfort = vessel.comfort[number]
    air = steady_air_c(vessel, outside[..., 0], comfort.otherwise_c)
    structure = air if vessel.cabin.structure_capacity_wh_per_k is not None else None
    for _ in range(2):
        done = _all_days(vessel, calendar, number, outside, pane, air, structure)
        air = _next_day(_end_air(calendar, done))
        structure = None if done.structure_c is None else _next_day(done.structure_c)
    return done


def _next_day(end: Floats) -> Floats:
    """Every day begins as the one before it ended, the first one as it ends itself."""
    return np.concatenate([end[:1], end[:-1]])


def _end_air(calendar: Days, done: Loads) -> Floats:
    last = (calendar.length_h - 1)[:, None, None, None]
    return np.asarray(np.take_along_axis(done.air_c, np.broadcast_to(last, (*done.air_c.shape[:3], 1)), axis=3)[..., 0])


def _all_days(
    vessel: Vessel, calendar: Days, number: int, outside: Floats, pane: Floats, air: Floats, structure: Floats | None
) -> Loads:
    """Days with the same clock are computed together."""
    keys = [(tuple(calendar.local_min[d]), int(calendar.length_h[d])) for d in range(len(calendar.dates))]
    parts: dict[int, Loads] = {}
    for key in dict.fromkeys(keys):
        at = np.asarray([d for d, k in enumerate(keys) if k == key])
        part = loads(
            vessel,
            wishes(vessel, comfort_pieces(vessel.comfort[number], calendar.local_min[at[0]], key[1])),
            local_hour=calendar.local_hour[at[0]],
            outside_c=outside[at],
            glass_w_m2=pane[at],
            air_c=air[at],
            structure_c=None if structure is None else structure[at],
        )
        parts.update({int(d): _row(part, k) for k, d in enumerate(at)})
    return _stacked([parts[d] for d in range(len(keys))])


def _row(part: Loads, k: int) -> Loads:
    """One day of several."""
    return replace(part, **{name: value[k] for name, value in vars(part).items() if value is not None})


def _stacked(rows: list[Loads]) -> Loads:
    names = [name for name, value in vars(rows[0]).items() if value is not None]
    return replace(rows[0], **{name: np.stack([getattr(row, name) for row in rows]) for name in names})
