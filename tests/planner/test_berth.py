"""How to lie: against pvlib's ModelChain on the same light, and against where the sun stands."""

from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from tests.energy.modelchain import SubHours
from tests.planner.samples import LEGS, PLACES, vessel, voyage
from voyager.boat.arrays import PanelArray
from voyager.planner.berth import FREE_HEADINGS, Lie, Stay, headings_of, lies
from voyager.planner.frame import Frame, build_frame

SIDE = PanelArray("side", 400.0, 8, moored_tilt_deg=40.0, moored_azimuth_deg=90.0, low_light_percent=0.0)
SUNWARD = replace(SIDE, sunward=True)


def frame(
    heading_deg: float | None = 90.0, arrays: tuple[PanelArray, ...] = (SIDE,), lat: float = 53.0, **keys: Any
) -> Frame:
    """A bright March (lat 53) at a first place that lies as told; its station's own latitude is ``lat`` rounded."""
    places = tuple(replace(p, lat=lat + k * 0.1, heading_deg=heading_deg) for k, p in enumerate(PLACES))
    return build_frame(vessel(arrays=arrays), voyage(places=places, sky="good", **keys), 4)


def lie(found: Frame, from_h: float = 8.0, until_h: float = 9.0, mooring: int = 0) -> Lie:
    return lies(found, [Stay(0, mooring, from_h, until_h)])[0]


def by_pvlib(found: Frame, arrays: tuple[PanelArray, ...], heading: float, from_h: int, until_h: int) -> np.ndarray:
    """kWh (A,) of both days' hours, by ModelChain of arrays mounted as moored."""
    station = int(found.mooring_station[0])
    shape = replace(found.shape, light=found.shape.light[:, [station]])
    where = (float(values[station]) for values in (found.stations.lat, found.stations.lon))
    sky, chain = found.weather, SubHours(found.days.starts_utc, shape, *where)
    k, air, wind = sky.clearness[:, station, 0], sky.air_c[:, station, :, 0], sky.wind_mps[:, station, 0]
    watts = chain.power_w(arrays, heading, k, air, wind, moored=True)
    return np.asarray((watts[0, from_h:].sum(axis=0) + watts[1, :until_h].sum(axis=0)) / 1e3)


@pytest.mark.parametrize("heading", [90.0, 200.0, 315.0])
def test_each_mounting_gives_what_pvlib_says(heading: float) -> None:
    """The cut at 89° zenith, where pvlib holds the sun up, is worth less than half a percent here."""
    found = frame(heading, (SUNWARD,))
    flat = replace(SUNWARD, moored_tilt_deg=0.0, moored_azimuth_deg=0.0)
    over = replace(SUNWARD, moored_azimuth_deg=270.0)
    told = lie(found)
    ways = {"flat": flat, "raised": SUNWARD, "mirrored": over}
    expected = {name: by_pvlib(found, (array,), heading, 8, 9)[0] for name, array in ways.items()}
    ours = {name: float(getattr(told, name)[0, 0]) for name in ways}
    assert ours == pytest.approx(expected, rel=5e-3)
    assert max(expected, key=lambda name: expected[name]) == max(ours, key=lambda name: ours[name])


@pytest.mark.parametrize(("lat", "heading", "sunny"), [(53.0, 90, "raised"), (53.0, 270, "mirrored"),
                                                       (-38.0, 90, "mirrored"), (-38.0, 270, "raised")])  # fmt: skip
def test_the_sunny_side_is_where_the_sun_stands(lat: float, heading: float, sunny: str) -> None:
    """Bow to the east: at noon the sun is to starboard north of the tropics, to port south of them."""
    told = lie(frame(heading, (SUNWARD,), lat), from_h=4.0, until_h=8.0)
    assert float(getattr(told, sunny)[0, 0]) == float(told.best((SUNWARD,))[0, 0])
    assert told.sun_deg is not None
    assert abs(np.sin(np.radians(told.sun_deg))) < 0.5
    assert bool(np.cos(np.radians(told.sun_deg)) > 0) is (lat < 0)


def test_an_afternoon_has_its_sun_in_the_west() -> None:
    told = lie(frame(), from_h=7.0, until_h=0.0)
    assert told.sun_deg is not None
    assert 200 < told.sun_deg < 280


def test_along_a_bank_there_are_two_headings() -> None:
    found = frame(None)
    told = lie(found)
    assert len(told.headings_deg) == 2
    assert (told.headings_deg[1] - told.headings_deg[0]) % 360 == 180
    assert told.headings_deg[0] == found.route.moorings[0].heading_deg


def test_where_nothing_is_known_all_round() -> None:
    found = frame(None, legs=tuple(replace(leg, water="lake", locks=0) for leg in LEGS))
    assert headings_of(found.route.moorings[0]) == FREE_HEADINGS
    told = lie(found, 4.0, 8.0)
    south = {heading: float(told.raised[k, 0]) for k, heading in enumerate(FREE_HEADINGS)}
    assert max(south, key=lambda heading: south[heading]) == 90.0
    assert min(south, key=lambda heading: south[heading]) == 270.0


def test_hours_count_for_their_part() -> None:
    found = frame()
    whole, half = lie(found, 4.0, 0.0), lie(found, 4.5, 0.0)
    later = lie(found, 5.0, 0.0)
    assert half.flat[0, 0] == pytest.approx((whole.flat[0, 0] + later.flat[0, 0]) / 2, rel=1e-9)
    split = [lie(found, 4.0, 0.0), lie(found, 25.0, 6.0)]
    assert lie(found, 4.0, 6.0).flat[0, 0] == pytest.approx(sum(one.flat[0, 0] for one in split), rel=1e-9)


def test_a_wind_beyond_the_limit_lays_them_flat() -> None:
    limit = replace(SIDE, raise_wind_max_mps=0.5)
    told = lie(frame(90.0, (limit,)), 4.0, 8.0)
    assert told.wind_mps > 0.5
    assert told.best((limit,))[0, 0] == told.flat[0, 0]
