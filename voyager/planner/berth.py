"""How to lie at a mooring from making fast to casting off: what each heading and mounting gives to the panels.

Only what the sky and the arrays give is compared; what a full battery spills is left to the plan.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from voyager.boat.arrays import PanelArray
from voyager.energy.solar import Mount, panel_table
from voyager.planner.frame import Frame
from voyager.route.line import Mooring
from voyager.sky.light import irradiance_on

Floats = NDArray[np.float64]
FREE_HEADINGS = tuple(45.0 * k for k in range(8))
BEAM_KWH_M2 = 0.05


@dataclass(frozen=True)
class Stay:
    """From an hour of one day to an hour of the next, made fast at one mooring; both from their day's own start."""

    day: int
    mooring: int
    from_h: float
    until_h: float


@dataclass(frozen=True)
class Lie:
    """What a stay gives [kWh] by heading (H,) [degrees] and array (A,), each array flat (as under way), raised as its
    file says, and raised over the other side (``mirrored``; the same as raised where it can't be turned over).

    ``sun_deg`` where most of the beam comes from, None where there is next to none; ``wind_mps`` the stronger wind of
    both days, ``poor_wind_mps`` that of a poor day.
    """

    headings_deg: tuple[float, ...]
    flat: Floats
    raised: Floats
    mirrored: Floats
    sun_deg: float | None
    wind_mps: float
    poor_wind_mps: float

    def best(self, arrays: Sequence[PanelArray]) -> Floats:
        """The best mounting of every array that the wind allows, (H, A)."""
        calm = np.asarray([self.wind_mps <= array.raise_wind_max_mps for array in arrays])
        return np.asarray(np.where(calm, np.maximum(self.flat, np.maximum(self.raised, self.mirrored)), self.flat))


def headings_of(mooring: Mooring) -> tuple[float, ...]:
    """The headings that may be chosen: one where it is given, two along a bank, eight where nothing is known."""
    if mooring.heading_deg is None:
        return FREE_HEADINGS
    along = mooring.heading_deg % 360
    return (along % 180, along % 180 + 180) if mooring.either_way else (along,)


def lies(frame: Frame, stays: Sequence[Stay]) -> list[Lie]:
    """What each stay gives under the frame's one sky; its next day must be one of the frame's."""
    mounts: dict[Mount, int] = {}
    rows = [[mounts.setdefault(mount, len(mounts)) for mount in _mounts(frame, stay)] for stay in stays]
    if not stays:
        return []
    needed = np.zeros((len(frame.days.dates), len(mounts)), dtype=bool)
    for stay, row in zip(stays, rows, strict=True):
        needed[stay.day : stay.day + 2, row] = True
    sky = slice(0, 1)
    watts = panel_table(
        [way for array in frame.vessel.arrays for way in _ways(array)],
        frame.shape,
        clearness=frame.weather.clearness[..., sky],
        air_c=frame.weather.air_c[..., sky],
        wind_mps=frame.weather.wind_mps[..., sky],
        mounts=list(mounts),
        needed=needed,
    ).array_watts[:, :, :, 0]
    return [_lie(frame, stay, watts[stay.day : stay.day + 2, row]) for stay, row in zip(stays, rows, strict=True)]


def _mounts(frame: Frame, stay: Stay) -> list[Mount]:
    mooring = frame.route.moorings[stay.mooring]
    station, shade = int(frame.mooring_station[stay.mooring]), round(mooring.shade_percent / 100, 4)
    return [Mount(station, (heading,), True, shade) for heading in headings_of(mooring)]


def _ways(array: PanelArray) -> tuple[PanelArray, PanelArray, PanelArray]:
    """The array moored flat, raised, and raised over the other side."""
    flat = replace(array, moored_tilt_deg=array.tilt_deg, moored_azimuth_deg=array.azimuth_deg, sunward=False)
    raised = replace(array, sunward=False)
    mirrored = replace(raised, moored_azimuth_deg=-array.moored_azimuth_deg) if array.sunward else raised
    return flat, raised, mirrored


def _lie(frame: Frame, stay: Stay, watts: Floats) -> Lie:
    """Of the power (2, headings, hour, ways of arrays) of the stay's two days."""
    station, kinds = int(frame.mooring_station[stay.mooring]), frame.weather
    share = _shares(frame, stay, watts.shape[2])
    kwh = np.einsum("dh,dqhw->qw", share, watts) / 1e3
    flat, raised, mirrored = (kwh[:, way::3] for way in range(3))
    wind = kinds.wind_mps[stay.day : stay.day + 2, station]
    headings = headings_of(frame.route.moorings[stay.mooring])
    sun = _sun_deg(frame, stay, station, share)
    return Lie(headings, flat, raised, mirrored, sun, float(wind[:, 0].max()), float(wind[:, kinds.poor].max()))


def _shares(frame: Frame, stay: Stay, hours: int) -> Floats:
    """How much of each hour step of both days is spent lying there (2, H); what the day has no hours for is dark."""
    edges = np.arange(hours + 1.0)
    first = np.clip(edges[1:] - np.maximum(edges[:-1], stay.from_h), 0.0, 1.0)
    second = np.clip(np.minimum(edges[1:], stay.until_h) - edges[:-1], 0.0, 1.0)
    return np.stack([first, second])


def _sun_deg(frame: Frame, stay: Stay, station: int, share: Floats) -> float | None:
    """Azimuth of the beam's sum over the stay; None below 0.05 kWh/m² on a pane that faces it."""
    days = slice(stay.day, stay.day + 2)
    light = frame.shape.light[days, station]
    sky = irradiance_on(light, frame.weather.clearness[days, station, 0][:, None, None])
    beam = (sky.dni_w_m2 + sky.circumsolar_w_m2) * light.sun.weight_h * share[..., None] / 1e3
    east, north = float((beam * light.sun.east).sum()), float((beam * light.sun.north).sum())
    if np.hypot(east, north) < BEAM_KWH_M2:
        return None
    return float(np.degrees(np.arctan2(east, north)) % 360)
