"""Positions on a route against geodesics, an independent way."""

import numpy as np
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from voyager.route.geodesy import distance_m, trace
from voyager.route.project import AS_NEAR_KM, along

THERE = trace([(53.0, -8.0), (53.2, -7.9), (53.3, -8.1)])
TURN_KM = THERE.length_km
BACK = trace([(53.0, -8.0), (53.2, -7.9), (53.3, -8.1), (53.2, -7.9), (53.0, -8.0)])


@settings(deadline=None, max_examples=40)
@example(share=0.525390625, off_m=1528.0)
@given(share=st.floats(0.02, 0.98), off_m=st.floats(-3000, 3000))
def test_a_position_beside_the_line_is_its_kilometre_and_its_distance(share: float, off_m: float) -> None:
    """The perpendicular is drawn by geographiclib; inside the bend, to the left, the other piece may be nearer."""
    from geographiclib.geodesic import Geodesic

    at_km = share * TURN_KM
    lat, lon = (float(one) for one in THERE.position(at_km))
    side = Geodesic.WGS84.Direct(lat, lon, float(THERE.course(at_km)) + 90, off_m)
    (km,), (off,) = along(THERE, [side["lat2"]], [side["lon2"]])
    assert off <= abs(off_m) / 1000 * 1.01 + AS_NEAR_KM
    bend_km = distance_m((53.0, -8.0), (53.2, -7.9)) / 1000
    if off_m > 0 or abs(at_km - bend_km) > 8:
        assert (km, off) == (pytest.approx(at_km, abs=0.03), pytest.approx(abs(off_m) / 1000, rel=0.01, abs=1e-3))


def test_there_and_back_the_boat_goes_on_from_where_it_was() -> None:
    kms = np.array([5.0, 20.0, TURN_KM, TURN_KM + 2, 2 * TURN_KM - 20, 2 * TURN_KM - 5])
    km, off = along(BACK, *(one.tolist() for one in BACK.position(kms)))
    assert km == pytest.approx(kms, abs=0.01)
    assert off.max() < 0.01
    (late,), _ = along(BACK, *([float(one)] for one in BACK.position(5.0)), from_km=TURN_KM)
    assert late == pytest.approx(2 * TURN_KM - 5, abs=0.01)


def test_a_boat_that_turned_back_is_behind() -> None:
    lat, lon = THERE.position(np.array([30.0, 10.0]))
    assert along(THERE, lat.tolist(), lon.tolist())[0] == pytest.approx([30, 10], abs=0.01)


def test_the_date_line_and_a_line_without_length() -> None:
    line = trace([(0.0, 179.9), (0.0, -179.9)])
    (km,), (off,) = along(line, [0.0], [-179.95])
    assert (km, off) == (pytest.approx(line.length_km * 0.75, rel=1e-3), pytest.approx(0, abs=1e-3))
    assert along(trace([(53.0, -8.0), (53.0, -8.0)]), [53.1], [-8.0])[1] == pytest.approx([11.1], abs=0.1)
