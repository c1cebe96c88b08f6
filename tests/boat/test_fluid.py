"""Density and viscosity of water against published values and independent routes."""

import numpy as np
import pytest

from voyager.boat.fluid import density_kg_m3, fluid, viscosity_m2_s


def test_fresh_water_at_15_degrees() -> None:
    """ITTC 7.5-02-01-03: 999.1026 kg/m3, 1.13858e-6 m2/s."""
    water = fluid("fresh", 15.0)
    assert water.density_kg_m3 == pytest.approx(999.1026, rel=5e-4)
    assert water.viscosity_m2_s == pytest.approx(1.13858e-6, rel=5e-4)


def test_sea_water_at_15_degrees() -> None:
    """ITTC 7.5-02-01-03: 1026.021 kg/m3, 1.18831e-6 m2/s, of sea water of 35.165 g/kg."""
    water = fluid("salt", 15.0)
    assert water.density_kg_m3 == pytest.approx(1026.021, rel=5e-4)
    assert water.viscosity_m2_s == pytest.approx(1.18831e-6, rel=5e-4)


def test_density_at_the_published_points() -> None:
    """UNESCO Technical Papers in Marine Science 36, 1981, check values (from memory)."""
    found = density_kg_m3([5, 25, 5, 25], [0, 0, 35, 35])
    assert found == pytest.approx([999.96675, 997.04796, 1027.67547, 1023.34306], abs=6e-6)


def test_fresh_water_by_an_independent_route() -> None:
    """IAPWS-95 and the viscosity of IAPWS R12-08 at 101.325 kPa, 0 to 30 degC, computed by the package iapws 1.5.5."""
    warm = np.arange(0.0, 31.0, 5.0)
    density = [999.8430855, 999.9666335, 999.7024702, 999.1026215, 998.2071504, 997.0476368, 995.6494539]
    pa_s = [1.791756e-3, 1.518173e-3, 1.305900e-3, 1.137568e-3, 1.001596e-3, 8.900225e-4, 7.972218e-4]
    assert density_kg_m3(warm, 0.0) == pytest.approx(density, rel=1e-5)
    assert viscosity_m2_s(warm, 0.0) == pytest.approx(np.array(pa_s) / density, rel=1e-4)


def test_sea_water_by_an_independent_route() -> None:
    """Density by TEOS-10 at 35.16504 g/kg, 0 to 30 degC, computed by the package gsw 3.6."""
    warm = np.arange(0.0, 31.0, 5.0)
    teos = [1028.1071846, 1027.6756028, 1026.9541083, 1025.9760294, 1024.7660000, 1023.3436314, 1021.7260866]
    assert density_kg_m3(warm, 35.0) == pytest.approx(teos, rel=1e-5)


def test_sea_water_is_the_thicker() -> None:
    """Tables of towing tanks have it 4 to 7 % over fresh water at any temperature (common practice, no source)."""
    warm = np.linspace(0.0, 40.0, 9)
    ratio = viscosity_m2_s(warm, 35.0) / viscosity_m2_s(warm, 0.0)
    assert ((ratio > 1.03) & (ratio < 1.07)).all()
    assert (np.diff(viscosity_m2_s(warm, 35.0)) < 0).all()
