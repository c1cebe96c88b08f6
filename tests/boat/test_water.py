"""Shallow and confined water against published values and an independent derivation."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from voyager.boat.water import GRAVITY_MPS2, critical_speed_mps, froude, lackenby_delta, schijf_limit_mps


def test_critical_speed() -> None:
    """sqrt(g h): 5.42 m/s, 10.55 kn in 3 m."""
    assert critical_speed_mps(3.0) == pytest.approx(5.42, abs=0.01)
    assert critical_speed_mps(3.0) / (1852 / 3600) == pytest.approx(10.55, abs=0.01)


def test_froude_one_at_the_wave_speed_of_the_waterline() -> None:
    assert froude(critical_speed_mps(12.6), 12.6) == pytest.approx(1.0)
    assert froude([0.0, 3.0], [9.0, 9.0 / GRAVITY_MPS2]) == pytest.approx([0.0, 1.0])


@pytest.mark.parametrize(
    ("depth_froude", "schlichting", "lackenby"), [(0.4, 0.0, 0.0), (0.6, 1.0, 0.4), (0.8, 4.0, 4.3), (1.0, 14.0, 12.7)]
)
def test_speed_lost_to_the_depth(depth_froude: float, schlichting: float, lackenby: float) -> None:
    """Worksheet citing Schlichting, percent of speed, within 2 points; Lackenby's own hyperbolic form closely."""
    depth = 4.0
    lost = 100 * lackenby_delta(depth_froude * critical_speed_mps(depth), depth, None)
    assert lost == pytest.approx(schlichting, abs=2.0)
    assert lost == pytest.approx(lackenby, abs=0.06)


def test_midship_part_begins_at_a_twentieth() -> None:
    """Lackenby 1963 (from memory): 0.1242 (A/h2 - 0.05) where A/h2 >= 0.05; slow, so that the depth's part is nil."""
    delta = lackenby_delta(0.01, 2.0, np.array([0.0, 0.1, 0.2, 0.4, 0.8]))
    assert delta == pytest.approx([0, 0, 0, 0.1242 * 0.05, 0.1242 * 0.15], abs=1e-9)


@given(st.floats(0.01, 8.0), st.floats(1.001, 1.5), st.floats(0.3, 50.0), st.one_of(st.none(), st.floats(0.05, 5.0)))
def test_speed_bought_by_power_still_rises(speed: float, faster: float, depth: float, area: float | None) -> None:
    """The deep speed that a speed costs, v / (1 - delta), rises with v at every depth, and never falls below v."""
    speeds = np.array([speed, speed * faster])
    deep = speeds / (1 - lackenby_delta(speeds, depth, area))
    assert deep[1] > deep[0]
    assert (deep >= speeds).all()


@given(st.floats(0.5, 10.0), st.floats(3.0, 200.0), st.floats(0.001, 0.999))
def test_schijf_solves_its_equation(depth: float, width: float, filled: float) -> None:
    """Schijf 1949 (from memory): 1 - m - 1.5 F^(2/3) + F^2/2 = 0."""
    limit = schijf_limit_mps(depth, width, filled * depth * width)
    f = limit / critical_speed_mps(depth)
    assert 0 < f < 1
    assert 1 - filled - 1.5 * f ** (2 / 3) + f**2 / 2 == pytest.approx(0, abs=1e-12)


@pytest.mark.parametrize("filled", [0.02, 0.1, 0.25, 0.5])
def test_schijf_is_where_the_return_flow_runs_out(filled: float) -> None:
    """Independent: Bernoulli and continuity past the hull give v for each drop z of the level; the most is the limit.

    (v + u)^2 = v^2 + 2 g z and (v + u)(b h - b z - A) = v b h.
    """
    depth, width = 2.0, 15.0
    section = depth * width
    drop = np.linspace(1e-6, depth * (1 - filled) * 0.999, 400_000)
    squeezed = section / (section - width * drop - filled * section)
    speed = np.sqrt(2 * GRAVITY_MPS2 * drop / (squeezed**2 - 1))
    assert schijf_limit_mps(depth, width, filled * section) == pytest.approx(speed.max(), rel=1e-6)


def test_schijf_without_a_section_is_no_limit_and_with_a_full_one_nothing() -> None:
    assert schijf_limit_mps(2.0, 10.0, None) == np.inf
    assert schijf_limit_mps(None, 10.0, 1.0) == np.inf
    assert schijf_limit_mps(2.0, None, 1.0) == np.inf
    assert schijf_limit_mps(1.0, 3.0, 5.0) == 0.0


def test_water_broadcasts() -> None:
    assert lackenby_delta(np.ones((3, 1)), np.ones(4), 1.0).shape == (3, 4)
    assert schijf_limit_mps(np.ones((3, 1)), np.full(4, 10.0), 1.0).shape == (3, 4)
