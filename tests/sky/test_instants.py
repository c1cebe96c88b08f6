"""The sky at instants against pvlib's own objects, and by its limits."""

import numpy as np
import pandas as pd
import pytest
from pvlib.irradiance import disc
from pvlib.location import Location

from voyager.sky.instants import clear_at, extra_w_m2, split_at, sun_at

LAT, LON, HEIGHT = 52.1, 5.2, 40.0
HOURS = np.datetime64("2026-04-10", "s").astype(float) + 3600.0 * np.arange(24)
TIMES = pd.DatetimeIndex(pd.to_datetime(HOURS, unit="s", utc=True))


def test_clear_sky_is_that_of_pvlibs_location() -> None:
    ours = clear_at(HOURS, LAT, LON, HEIGHT)
    theirs = Location(LAT, LON, altitude=HEIGHT).get_clearsky(TIMES)
    for name, values in (("ghi", ours.ghi_w_m2), ("dhi", ours.dhi_w_m2), ("dni", ours.dni_w_m2)):
        np.testing.assert_allclose(values, theirs[name], rtol=0.01, atol=1.0)


def test_the_sun_is_a_unit_vector_by_day_and_weighs_nothing_by_night() -> None:
    sun = sun_at(HOURS, 1.0, LAT, LON)
    where = Location(LAT, LON).get_solarposition(TIMES)
    up = where.zenith.to_numpy() < 90
    np.testing.assert_array_equal(sun.weight_h, up.astype(float))
    np.testing.assert_allclose((sun.east**2 + sun.north**2 + sun.cos_zenith**2)[up], 1.0, atol=1e-12)
    azimuth = np.degrees(np.arctan2(sun.east, sun.north)) % 360
    np.testing.assert_allclose(azimuth[up], where.azimuth[up], atol=0.01)


@pytest.mark.parametrize("clearness", [0.05, 0.3, 0.6, 0.75])
def test_split_sky_adds_up_and_has_pvlibs_beam(clearness: float) -> None:
    noon = HOURS[11:14]
    cosine = sun_at(noon, 1.0, LAT, LON).cos_zenith
    sky = split_at(noon, np.full(3, clearness), cosine)
    np.testing.assert_allclose(sky.ghi_w_m2, clearness * extra_w_m2(noon) * cosine)
    np.testing.assert_allclose(sky.dhi_w_m2 + sky.dni_w_m2 * cosine, sky.ghi_w_m2)
    np.testing.assert_allclose(sky.isotropic_w_m2 + sky.circumsolar_w_m2 * cosine, sky.dhi_w_m2)
    beam = disc(sky.ghi_w_m2, np.degrees(np.arccos(cosine)), TIMES[11:14])["dni"]
    np.testing.assert_allclose(sky.dni_w_m2, beam)


def test_an_overcast_sky_has_no_beam_and_a_clear_one_is_mostly_beam() -> None:
    noon = HOURS[12:13]
    cosine = sun_at(noon, 1.0, LAT, LON).cos_zenith
    dull, clear = (split_at(noon, np.array([k]), cosine) for k in (0.1, 0.75))
    assert dull.dni_w_m2[0] * cosine[0] < 0.03 * dull.ghi_w_m2[0]
    assert clear.dhi_w_m2[0] < 0.25 * clear.ghi_w_m2[0]
