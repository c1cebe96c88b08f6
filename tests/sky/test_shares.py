"""Hourly shares and the daily diffuse fraction against the books."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from voyager.sky.shares import daily_diffuse_fraction, hour_share_diffuse, hour_share_global
from voyager.sky.sun import half_day_arc_rad


def test_hour_share_global_duffie_and_beckman_example_2_13_2() -> None:
    """43° N, 23 August, 13 to 14 h, H 31.4 MJ: r_t 0.118, 3.7 MJ (D&B example 2.13.2, from memory)."""
    declination = 23.45 * np.sin(np.radians(360 * (284 + 235) / 365))
    dusk = half_day_arc_rad(np.radians(43.0), np.radians(declination))
    share = float(hour_share_global(np.radians(22.5), dusk))
    assert share == pytest.approx(0.118, rel=0.01)
    assert share * 31.4 == pytest.approx(3.7, rel=0.01)


def test_daily_diffuse_duffie_and_beckman_example_2_11_1() -> None:
    """38.6° N, 3 September, H 23 MJ: K 0.69, diffuse fraction 0.25."""
    declination = 23.45 * np.sin(np.radians(360 * (284 + 246) / 365))
    dusk = np.degrees(half_day_arc_rad(np.radians(38.6), np.radians(declination)))
    assert float(daily_diffuse_fraction(0.69, dusk <= 81.4)) == pytest.approx(0.25, rel=0.03)


def test_daily_diffuse_is_not_the_hourly_relation() -> None:
    """Erbs's hourly fraction at 0.5 is 0.659 (Erbs et al. 1982, from memory); the daily one is lower."""
    assert np.all(daily_diffuse_fraction(0.5, [True, False]) < 0.63)


@pytest.mark.parametrize("dusk_deg", [30.0, 60.0, 90.0, 120.0, 150.0])
def test_shares_sum_to_one_over_the_day(dusk_deg: float) -> None:
    """Liu & Jordan's exactly; Collares-Pereira & Rabl's as well as its fit, 4 %, which the day's shape takes out."""
    dusk = np.radians(dusk_deg)
    hours = np.linspace(-dusk, dusk, 20001) * 12 / np.pi
    angles = hours * np.pi / 12
    assert np.trapezoid(hour_share_diffuse(angles, dusk), hours) == pytest.approx(1, abs=1e-6)
    assert np.trapezoid(hour_share_global(angles, dusk), hours) == pytest.approx(1, abs=0.04)


@given(k=st.floats(0, 1), short=st.booleans())
def test_diffuse_fraction_is_a_fraction_and_falls_with_clearness(k: float, short: bool) -> None:
    here, above = daily_diffuse_fraction([k, k + 0.05], short)
    assert 0.1 < here <= 1
    assert above <= here + 0.002
