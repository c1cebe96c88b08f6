"""Panel power against pvlib's ModelChain, by table and by the look-up of members."""

from dataclasses import replace

import numpy as np
import pytest

from tests.energy.modelchain import SubHours
from voyager.boat.arrays import PanelArray
from voyager.energy.solar import Mount, look_up, member_table, panel_table
from voyager.sky.hours import DayShape, day_shape

ARRAYS = (
    PanelArray("flat", 410, 9, low_light_percent=0),
    PanelArray("aft", 180, 4, tilt_deg=25, azimuth_deg=180, low_light_percent=0, controller_max_w=350),
    PanelArray("side", 300, 2, tilt_deg=70, azimuth_deg=90, low_light_percent=0, temperature_percent_per_k=-0.29),
)
DAYS = 45
STARTS = np.datetime64("2027-02-20T08:00:00") + np.arange(DAYS + 1) * np.timedelta64(24, "h")
MONTH = STARTS[:-1].astype("datetime64[M]")


def above_one_degree(shape: DayShape) -> DayShape:
    """Without the minutes in which pvlib holds cos z at that of 89°: only there the two differ by intent."""
    light = shape.light
    high = np.where(light.sun.cos_zenith >= 0.01746, light.sun.weight_h, 0.0)
    return replace(shape, light=replace(light, sun=replace(light.sun, weight_h=high)))


def by_month(watts: np.ndarray) -> np.ndarray:
    """Energy (months, A) [Wh] of hourly power (D, H, A)."""
    return np.array([np.sum(watts[month == MONTH], axis=(0, 1), dtype=float) for month in np.unique(MONTH)])


@pytest.mark.parametrize(("lat", "heading"), [(53.0, 35.0), (62.0, 260.0), (-38.0, 120.0)])
def test_table_equals_pvlibs_model_chain_by_month_and_array(lat: float, heading: float) -> None:
    shape = above_one_degree(day_shape(STARTS, np.full(DAYS, 24), lat, 5.0))
    rng = np.random.default_rng(3)
    k, air = rng.uniform(0.05, 0.75, (DAYS, 1, 1)), rng.uniform(-5, 25, (DAYS, 1, 25, 1))
    wind = rng.uniform(0, 9, (DAYS, 1, 1))
    mounts = [Mount(0, (heading,), False)]
    ours = panel_table(ARRAYS, shape, clearness=k, air_c=air, wind_mps=wind, mounts=mounts).array_watts[:, 0, :, 0]
    theirs = SubHours(STARTS, shape, lat, 5.0).power_w(ARRAYS, heading, k[:, 0, 0], air[:, 0, :, 0], wind[:, 0, 0])
    np.testing.assert_allclose(by_month(ours), by_month(theirs), rtol=1e-6)


def test_members_look_up_equals_pvlibs_model_chain_by_month_and_array() -> None:
    """DESIGN's figure: equal to 1e-4 by month and array on equal input (whole days, horizon included)."""
    shape = day_shape(STARTS, np.full(DAYS, 24), 53.0, 5.0)
    rng = np.random.default_rng(4)
    air, wind, k = rng.uniform(-2, 12, (DAYS, 1, 25)), rng.uniform(0, 9, (DAYS, 1)), rng.uniform(0.02, 0.8, (3, DAYS))
    change = rng.normal(0, 4, k.shape)
    unlimited = tuple(replace(a, controller_max_w=None) for a in ARRAYS)
    shape = above_one_degree(shape)
    table = member_table(unlimited, shape, air_c=air, wind_mps=wind, mounts=[Mount(0, (35.0,), False)])
    ours = look_up(table, np.arange(DAYS), 0, k, change)
    hours = SubHours(STARTS, shape, 53.0, 5.0)
    for member in range(len(k)):
        warmed = air[:, 0] + change[member][:, None]
        theirs = hours.power_w(unlimited, 35.0, k[member], warmed, wind[:, 0])
        np.testing.assert_allclose(by_month(ours[member]), by_month(theirs), rtol=1e-4)
