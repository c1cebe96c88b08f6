"""Panel power against pvlib's ModelChain and against one-minute integration."""

from dataclasses import replace

import numpy as np
import pandas as pd
import pytest

from tests.energy.modelchain import GivenSun, chain_w, model_chain
from voyager.boat.arrays import PanelArray
from voyager.energy.solar import Mount, panel_table
from voyager.sky.hours import DayShape, day_shape, irradiance

ARRAYS = (
    PanelArray("flat", 410, 9, low_light_percent=0),
    PanelArray("aft", 180, 4, tilt_deg=25, azimuth_deg=180, low_light_percent=0, controller_max_w=350),
    PanelArray("side", 300, 2, tilt_deg=70, azimuth_deg=90, low_light_percent=0, temperature_percent_per_k=-0.29),
)


def above_one_degree(shape: DayShape) -> DayShape:
    """Without the minutes in which pvlib holds cos z at that of 89°: only there the two differ by intent."""
    light = shape.light
    high = np.where(light.sun.cos_zenith >= 0.01746, light.sun.weight_h, 0.0)
    return replace(shape, light=replace(light, sun=replace(light.sun, weight_h=high)))


@pytest.mark.parametrize(("lat", "heading"), [(53.0, 35.0), (62.0, 260.0), (-38.0, 120.0)])
def test_power_equals_pvlibs_model_chain_by_month_and_array(lat: float, heading: float) -> None:
    days = 45
    starts = np.datetime64("2027-02-20T08:00:00") + np.arange(days + 1) * np.timedelta64(24, "h")
    shape = above_one_degree(day_shape(starts, np.full(days, 24), lat, 5.0))
    rng = np.random.default_rng(3)
    k, air = rng.uniform(0.05, 0.75, (days, 1, 1)), rng.uniform(-5, 25, (days, 1, 25, 1))
    wind = rng.uniform(0, 9, (days, 1, 1))
    ours = panel_table(
        ARRAYS, shape, clearness=k, air_c=air, wind_mps=wind, mounts=[Mount(0, (heading,), False)]
    ).array_watts[:, 0, :, 0]

    sky, light = irradiance(shape, k), shape.light
    lit = np.nonzero(light.sun.weight_h > 0)
    minutes = lit[2] * 60 + lit[3] * 15
    times = pd.DatetimeIndex(starts[lit[0]] + minutes.astype("timedelta64[m]"), tz="UTC")
    weather = pd.DataFrame(
        {
            "ghi": sky.ghi_w_m2[..., 0][lit],
            "dhi": sky.dhi_w_m2[..., 0][lit],
            "dni": sky.dni_w_m2[..., 0][lit],
            "temp_air": air[lit[0], 0, lit[2], 0],
            "wind_speed": wind[lit[0], 0, 0],
        },
        index=times,
    )
    place = GivenSun(lat, 5.0).put(np.degrees(np.arccos(light.sun.cos_zenith[lit])), shape.azimuth_deg[lit])
    theirs = chain_w(model_chain(ARRAYS, heading, place, False), ARRAYS, weather, light.extra_w[lit])
    month = starts[:-1].astype("datetime64[M]")
    for one in np.unique(month):
        expected = np.sum((theirs * light.sun.weight_h[lit][:, None])[month[lit[0]] == one], axis=0)
        np.testing.assert_allclose(np.sum(ours[month == one], axis=(0, 1)), expected, rtol=1e-6)
