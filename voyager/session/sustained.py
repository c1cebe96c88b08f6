"""The speed that the sun alone sustains, hour by hour, over the days that a date may bring."""

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from voyager.boat.inverter import dc_w, is_on
from voyager.energy.loads import hotel
from voyager.energy.solar import Mount, panel_table
from voyager.energy.weather import Stations, Weather, one_sky_weather
from voyager.route.leg import EXPOSED
from voyager.session.here import Here
from voyager.sky.air import correlation
from voyager.sky.hours import day_shape
from voyager.sky.normal import normal_quantile

Floats = NDArray[np.float64]

PROBABILITIES = np.arange(1, 40) / 40
"""Days, equally likely, that stand for all days of the date; an hour's 10, 50 and 90 % are its own order among them."""
QUANTILES = {"p10": 3, "p50": 19, "p90": 35}
KMH = 3.6
SEARCHED = 2000


def by_hour(here: Here) -> list[dict[str, object]]:
    """Hours that may have sun, by local clock: ``by_hour`` of FILES section 6."""
    ordered = np.sort(_solar_w(here), axis=-1)[: int(here.days.length_h[0])]
    spare = _spare(here)
    clock = here.days.local_min[0]
    return [
        {
            "hour": f"{clock[h] // 60:02d}:{clock[h] % 60:02d}",
            "solar_w": {name: round(float(watts[at]), 1) for name, at in QUANTILES.items()},
            "speed_kmh": {name: round(spare(h, float(watts[at])), 2) for name, at in QUANTILES.items()},
        }
        for h, watts in enumerate(ordered)
        if watts[-1] >= 0.5
    ]


def _solar_w(here: Here) -> Floats:
    """Panel power under way [W] (25, n) on days of all quantiles of clearness, on the leg's mean course."""
    exposed = np.array([here.leg.water in EXPOSED])
    place = here.place
    station = Stations(np.array([place.lat]), np.array([place.lon]), np.array([place.height_m]), exposed)
    weather = [_weather(here, station, score) for score in normal_quantile(PROBABILITIES)]
    table = panel_table(
        here.vessel.arrays,
        day_shape(here.days.starts_utc, here.days.length_h, station.lat, station.lon),
        clearness=np.stack([one.clearness[..., 0] for one in weather], axis=-1),
        air_c=np.stack([one.air_c[..., 0] for one in weather], axis=-1),
        wind_mps=np.stack([one.wind_mps[..., 0] for one in weather], axis=-1),
        mounts=[Mount(0, (here.course_deg,), False, here.leg.shade_percent / 100)],
    )
    return np.asarray(table.watts[0, 0])


def _weather(here: Here, station: Stations, score: float) -> Weather:
    air_score = correlation(here.days.day_of_year, here.place.lat) * score
    return one_sky_weather(here.vessel, here.days, station, np.array([score]), air_score)


def _spare(here: Here) -> Callable[[int, float], float]:
    """Speed [km/h] that the sun [W] of a step sustains beyond what the boat uses aboard; 0 below steering."""
    vessel = here.vessel
    direct, alternating = hotel(vessel, here.days.local_hour[0])
    aboard = (
        direct + dc_w(vessel.inverter, alternating, is_on(vessel.inverter, alternating)) + vessel.hull.underway_extra_w
    )
    tried = np.linspace(0.0, here.top_mps, SEARCHED)
    power = here.power_w(tried)

    def speed_kmh(step: int, sun_w: float) -> float:
        speed = float(np.interp(sun_w - aboard[step], power, tried, left=0.0))
        return speed * KMH if speed >= vessel.hull.steerable_min_mps else 0.0

    return speed_kmh
