"""Panel power of one station, for every way in which the boat may lie there or pass."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from voyager.boat.arrays import PanelArray, power_w
from voyager.sky.hours import DayShape
from voyager.sky.light import Irradiance, Sun, irradiance_on
from voyager.sky.plane import kinds_on_plane

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]

NEIGHBOUR_SHADES_BELOW = float(np.sin(np.radians(20.0)))
"""Sine of the sun's altitude under which raised rows shade one another."""
BLOCK = 32768
"""Numbers in one block of work: a few of them stay in the processor's cache."""


@dataclass(frozen=True)
class Mount:
    """How the boat lies at a station: one heading, two (either way along a bank) or many (unknown)."""

    station: int
    headings_deg: tuple[float, ...]
    moored: bool
    shade_fraction: float = 0.0


@dataclass(frozen=True)
class Rows:
    """The sunlit hours (N,) of a station, in order; sun (N, 4), sky (n, N, 4), air and wind (n, N, 1)."""

    day: Ints
    hour: Ints
    sun: Sun
    sky: Irradiance
    air_c: Floats
    wind_mps: Floats

    @property
    def first_of_day(self) -> Ints:
        """Rows at which a day begins."""
        return np.flatnonzero(np.diff(self.day, prepend=-1))

    def by_day(self, values: Floats) -> Floats:
        """Sums over each day of (..., N, n), repeated for each of the day's hours."""
        first = self.first_of_day
        sums = np.add.reduceat(values, first, axis=-2)
        return np.asarray(np.repeat(sums, np.diff(first, append=len(self.day)), axis=-2))


def station_rows(
    shape: DayShape, station: int, days: Bools, clearness: Floats, air_c: Floats, wind_mps: Floats
) -> Rows:
    """Sunlit hours of the days (D,) asked for; clearness and wind (D, n), air (D, H, n) at the station."""
    lit = np.any(shape.light.sun.weight_h[:, station] > 0, axis=-1) & days[:, None]
    day, hour = np.nonzero(lit)
    light = shape.light[day, station, hour]
    kinds = [np.ascontiguousarray(a.T)[..., None] for a in (clearness[day], air_c[day, hour], wind_mps[day])]
    return Rows(day, hour, light.sun, irradiance_on(light, kinds[0]), kinds[1], kinds[2])


Plane = tuple[float, float, float, float]
"""Tilt and azimuth [degrees], part of the light that is let through, part lost to a neighbour at low sun."""


class Wanted:
    """The distinct planes of an array at a station and the days on which each is needed."""

    def __init__(self, days: int) -> None:
        self._index: dict[Plane, int] = {}
        self._needed: list[Bools] = []
        self._none = np.zeros(days, dtype=bool)

    def ask(self, plane: Plane, days: Bools) -> int:
        """Number under which the plane's power will be found."""
        tilt, azimuth, passing, rows_loss = plane
        plane = (tilt, round(azimuth % 360.0, 6) if tilt else 0.0, passing, rows_loss)
        number = self._index.setdefault(plane, len(self._index))
        if number == len(self._needed):
            self._needed.append(self._none.copy())
        self._needed[number] |= days
        return number

    def watts(self, array: PanelArray, rows: Rows) -> Floats:
        """Mean power of each sunlit hour [W] (planes, N, n), 0 on days not asked for."""
        kinds = len(rows.air_c)
        out = np.zeros((len(self._index), len(rows.day), kinds))
        if not self._index:
            return out
        planes = np.array(list(self._index))
        number, row = np.nonzero(np.array(self._needed)[:, rows.day])
        step = max(1, BLOCK // (rows.sun.weight_h.shape[1] * kinds))
        for start in range(0, len(row), step):
            at = slice(start, start + step)
            out[number[at], row[at]] = _hour_w(array, rows, row[at], planes[number[at]]).T
        return out


def _hour_w(array: PanelArray, rows: Rows, row: Ints, planes: Floats) -> Floats:
    """Mean power [W] (n, P) of pairs of row and plane."""
    tilt, azimuth, passing, rows_loss = (planes[:, [k]] for k in range(4))
    sun = rows.sun.take(row)
    plane = kinds_on_plane(sun, rows.sky.take(row, axis=1), tilt, azimuth)
    effective, poa = plane.effective_w_m2, plane.poa_w_m2
    if np.any(passing < 1.0) or np.any(rows_loss > 0.0):
        through = passing * np.where(sun.cos_zenith < NEIGHBOUR_SHADES_BELOW, 1.0 - rows_loss, 1.0)
        effective, poa = effective * through, poa * through
    air, wind = np.take(rows.air_c, row, axis=1), np.take(rows.wind_mps, row, axis=1)
    return np.asarray(np.einsum("pk,npk->np", sun.weight_h, power_w(array, effective, poa, air, wind)))


@dataclass(frozen=True)
class _Choice:
    """Where a mount's power stands: planes by heading under way, raised, and raised on the other side."""

    under_way: list[int]
    raised: list[int]
    mirrored: list[int]


def array_watts(array: PanelArray, rows: Rows, mounts: Sequence[Mount], needed: Bools, days: int) -> list[Floats]:
    """Power of one array [W] for each mount of the station, each (headings, N, n); ``needed`` (mounts, D)."""
    windy = array.raise_wind_max_mps < rows.wind_mps[..., 0].T
    stormy = np.zeros(days, dtype=bool)
    stormy[rows.day[np.any(windy, axis=-1)]] = True
    wanted = Wanted(days)
    choices = [_ask(wanted, array, mount, use, stormy) for mount, use in zip(mounts, needed, strict=True)]
    watts = wanted.watts(array, rows)
    return [_chosen(choice, watts, rows, windy) for choice in choices]


def _ask(wanted: Wanted, array: PanelArray, mount: Mount, days: Bools, stormy: Bools) -> _Choice:
    raised = mount.moored and array.raised
    passing = (1.0 - mount.shade_fraction) * (1.0 - array.shade_percent / 100)
    low = array.rows_shade_percent / 100 if array.moored_tilt_deg else 0.0
    tilt, side = array.moored_tilt_deg, array.moored_azimuth_deg

    def ask(plane_tilt: float, azimuth: float, loss: float, on: Bools) -> list[int]:
        return [wanted.ask((plane_tilt, azimuth + h, passing, loss), on) for h in mount.headings_deg]

    lying = days & stormy if raised else days
    return _Choice(
        ask(array.tilt_deg, array.azimuth_deg, 0.0, lying) if np.any(lying) or not raised else [],
        ask(tilt, side, low, days) if raised else [],
        ask(tilt, -side, low, days) if raised and array.sunward else [],
    )


def _chosen(choice: _Choice, watts: Floats, rows: Rows, windy: Bools) -> Floats:
    if not choice.raised:
        return np.asarray(watts[choice.under_way])
    power = watts[choice.raised]
    if choice.mirrored and choice.mirrored != choice.raised:
        other = watts[choice.mirrored]
        power = np.where(rows.by_day(other) > rows.by_day(power), other, power)
    if not choice.under_way:
        return np.asarray(power)
    return np.where(windy, watts[choice.under_way], power)


def over_headings(watts: Sequence[Floats], rows: Rows, worst: Bools) -> Floats:
    """Power by array (N, n, A) from each array's (headings, N, n): the mean, or the heading of the poorest day."""
    stacked = np.stack(watts, axis=-1)
    if stacked.shape[0] == 1:
        return np.asarray(stacked[0])
    mean = np.mean(stacked, axis=0)
    if not np.any(worst):
        return np.asarray(mean)
    poorest = np.argmin(rows.by_day(np.sum(stacked, axis=-1)), axis=0)
    least = np.take_along_axis(stacked, poorest[None, :, :, None], axis=0)[0]
    return np.asarray(np.where(worst[None, :, None], least, mean))


def fill(out: NDArray[Any], rows: Rows, mount: int, values: Floats, days: Bools) -> None:
    """Put values (N, ...) of a mount into a table (D, Q, H, ...), on the days it is needed."""
    use = days[rows.day]
    out[rows.day[use], mount, rows.hour[use]] = values[use]
