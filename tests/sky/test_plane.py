"""Tilted planes against the books and pvlib."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pvlib import iam, irradiance

from voyager.sky.light import Irradiance, Sun
from voyager.sky.plane import incidence_cosine, incidence_modifier, on_pane, on_plane


def sun_at(zenith_deg: float, azimuth_deg: float) -> Sun:
    zenith, azimuth = np.radians(zenith_deg), np.radians(azimuth_deg)
    parts = (np.cos(zenith), np.sin(zenith) * np.sin(azimuth), np.sin(zenith) * np.cos(azimuth))
    return Sun(np.array([1.0]), *(np.array([p]) for p in parts))


def solar_time(lat: float, declination: float, hour_angle: float) -> Sun:
    """Sun of the books' examples: latitude, declination, hour angle in degrees."""
    phi, delta, omega = np.radians([lat, declination, hour_angle])
    up = np.sin(phi) * np.sin(delta) + np.cos(phi) * np.cos(delta) * np.cos(omega)
    north = np.sin(delta) * np.cos(phi) - np.cos(delta) * np.sin(phi) * np.cos(omega)
    return Sun(*(np.array([a]) for a in (1.0, up, -np.cos(delta) * np.sin(omega), north)))


def kind(ghi: float, dhi: float, dni: float, extra: float) -> Irradiance:
    """One kind of sky; the circumsolar part given cos z by closing."""
    index, cosine = dni / extra, (ghi - dhi) / dni if dni else 1.0
    parts = (ghi, dhi, dni, index * dhi / cosine, (1 - index) * dhi)
    return Irradiance(*(np.array([[p]]) for p in parts))


def test_incidence_reda_and_andreas_table_a5_1() -> None:
    """Reda & Andreas, NREL/TP-560-34302, 2008: tilt 30°, facing 10° east of south."""
    cosine = incidence_cosine(sun_at(50.11162, 194.34024), 30.0, 170.0)
    assert np.degrees(np.arccos(cosine[0])) == pytest.approx(25.18700, abs=0.001)


def test_beam_ratio_duffie_and_beckman_example_1_8_1() -> None:
    """43° N, 13 February, 10:30, tilt 45°, 15° west of south: R_b 1.66 (from memory)."""
    sun = solar_time(43.0, -14.0, -22.5)
    ratio = incidence_cosine(sun, 45.0, 195.0) / sun.cos_zenith
    assert ratio[0] == pytest.approx(1.66, abs=0.01)


def test_isotropic_limit_duffie_and_beckman_example_2_15_1() -> None:
    """40° N, 20 February, 9 to 10 h, I 1.04 MJ, ground 0.6, tilt 60° S; no circumsolar part: 1.171 MJ, R_b 1.714."""
    sun = solar_time(40.0, -11.6, -37.5)
    ratio = incidence_cosine(sun, 60.0, 180.0) / sun.cos_zenith
    assert ratio[0] == pytest.approx(1.714, rel=0.005)
    beam = 0.244 / sun.cos_zenith[0]
    sky = Irradiance(*(np.array([[p]]) for p in (1.04, 0.796, beam, 0.0, 0.796)))
    assert on_plane(sun, sky, 60.0, 180.0, albedo=0.6).poa_w_m2[0, 0] == pytest.approx(1.171, rel=0.005)


@settings(max_examples=100)
@given(
    zenith=st.floats(0, 88.9),
    azimuth=st.floats(0, 360),
    tilt=st.floats(0, 90),
    facing=st.floats(-360, 720),
    clear=st.floats(0.02, 0.8),
)
def test_planes_are_pvlibs_hay_davies_with_incidence_loss_on_the_beam(
    zenith: float, azimuth: float, tilt: float, facing: float, clear: float
) -> None:
    extra, cosine = 1380.0, np.cos(np.radians(zenith))
    dni, dhi = 900.0 * clear, 250.0 * (1 - clear) * cosine
    ghi = dhi + dni * cosine
    ours = on_plane(sun_at(zenith, azimuth), kind(ghi, dhi, dni, extra), tilt, facing, albedo=0.2)
    theirs = irradiance.get_total_irradiance(
        tilt, facing, zenith, azimuth, dni, ghi, dhi, dni_extra=extra, albedo=0.2, model="haydavies"
    )
    angle = irradiance.aoi(tilt, facing, zenith, azimuth)
    passing = np.nan_to_num(iam.physical(min(float(angle), 90.0)))
    assert ours.poa_w_m2[0, 0] == pytest.approx(theirs["poa_global"], abs=1e-3)
    effective = theirs["poa_direct"] * passing + theirs["poa_diffuse"]
    assert ours.effective_w_m2[0, 0] == pytest.approx(effective, abs=0.02)


def test_incidence_table_is_pvlibs_physical() -> None:
    angles = np.linspace(0, 89.99, 4001)
    np.testing.assert_allclose(incidence_modifier(np.cos(np.radians(angles))), iam.physical(angles), atol=2e-5)
    assert incidence_modifier(0.0) == 0.0
    assert incidence_modifier(1.0) == pytest.approx(1.0, abs=1e-12)


def test_flat_plane_sees_the_global_irradiance_whatever_it_faces() -> None:
    sky = kind(500.0, 200.0, 300.0 / np.cos(np.radians(55.0)), 1380.0)
    faces = np.array([[0.0], [77.0], [200.0]])
    poa = on_plane(sun_at(55.0, 140.0), sky, np.zeros((3, 1)), faces).poa_w_m2
    np.testing.assert_allclose(poa[:, 0, 0], 500.0)


def test_pane_is_the_mean_over_headings() -> None:
    sky, sun = kind(500.0, 200.0, 300.0 / np.cos(np.radians(70.0)), 1380.0), sun_at(70.0, 140.0)
    faces = np.arange(0.0, 360.0, 1.0)[:, None]
    around = on_plane(sun, sky, np.full_like(faces, 90.0), faces).poa_w_m2
    assert np.mean(around) == pytest.approx(on_pane(sun, sky)[0, 0], rel=1e-4)
