"""The friction line against its published table."""

import numpy as np
import pytest

from voyager.boat.friction import force_n, friction_coefficient, pressure_n, reynolds

TUPPER = {
    1e5: 0.008333,
    5e5: 0.005482,
    1e6: 0.004688,
    5e6: 0.003397,
    1e7: 0.003000,
    5e7: 0.002309,
    5e8: 0.001671,
    1e9: 0.001531,
}


def test_line_of_1957() -> None:
    """Tupper, Introduction to Naval Architecture, Table 8.3, all eight rows to its last digit."""
    assert friction_coefficient(list(TUPPER)) == pytest.approx(list(TUPPER.values()), abs=1e-6)
    assert float(friction_coefficient(1e7)) == pytest.approx(0.003, abs=1e-12)


def test_reynolds_number_by_hand() -> None:
    """7.72 m/s x 140 m / 1.188e-6 m2/s = 9.0976e8."""
    assert float(reynolds(7.72, 140.0, 1.188e-6)) == pytest.approx(9.0976e8, rel=1e-4)


def test_force_of_a_coefficient() -> None:
    """By hand: 0.004 x 1000 / 2 x 2 m2 x 9 = 36 N."""
    assert float(force_n(0.004, 1000.0, 2.0, 3.0)) == pytest.approx(36.0)
    assert pressure_n(1000.0, [1.0, 2.0], [1.0, 0.0]) == pytest.approx(np.array([500.0, 0.0]))
