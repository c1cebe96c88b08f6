"""Distances and courses against published geodesics and an independent library."""

import math
from itertools import pairwise

import numpy as np
import pytest
from geographiclib.geodesic import Geodesic
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from pymap3d.vincenty import vdist

from voyager.route.geodesy import KNOT_MPS, NAUTICAL_MILE_M, course_deg, distance_m, join, trace

LAT = st.floats(-89.0, 89.0)
LON = st.floats(-180.0, 180.0)
POINT = st.tuples(LAT, LON)
FIJI = ((-18.1, 178.4), (-16.8, -179.9))

# C. F. F. Karney, Test set for geodesics (GeodTest), WGS84: from, to, distance, azimuth at the start.
KARNEY = [
    ((35.60777, -139.44815), (-11.17491, -69.95921), 8_935_244.560, 111.098748),
    ((-17.42761, 173.34268), (-15.84784, 5.93557), 16_076_603.163, -159.033558),
]


def sexagesimal(degrees: int, minutes: int, seconds: float) -> float:
    return degrees + minutes / 60.0 + seconds / 3600.0


# Geodetic Datum of Australia technical manual, Vincenty's formulae: Flinders Peak to Buninyong, GRS80.
FLINDERS_PEAK = (-sexagesimal(37, 57, 3.72030), sexagesimal(144, 25, 29.52440))
BUNINYONG = (-sexagesimal(37, 39, 10.15610), sexagesimal(143, 55, 35.38390))
FLINDERS_M, FLINDERS_DEG = 54_972.271, sexagesimal(306, 52, 5.37)


def apart_deg(a: float, b: float) -> float:
    return abs((a - b + 180.0) % 360.0 - 180.0)


@pytest.mark.parametrize(("start", "end", "metres", "azimuth"), KARNEY)
def test_distance_and_course_agree_with_karneys_test_set(
    start: tuple[float, float], end: tuple[float, float], metres: float, azimuth: float
) -> None:
    assert distance_m(start, end) == pytest.approx(metres, abs=1e-3)
    assert apart_deg(course_deg(start, end), azimuth) < 1e-6


def test_gda_manual_line_on_its_own_ellipsoid() -> None:
    grs80 = Geodesic(6_378_137.0, 1.0 / 298.257222101)
    line = grs80.Inverse(*FLINDERS_PEAK, *BUNINYONG)
    assert line["s12"] == pytest.approx(FLINDERS_M, abs=1e-3)
    assert apart_deg(line["azi1"], FLINDERS_DEG) < 0.005 / 3600.0


def test_gda_manual_line_differs_less_than_a_millimetre_on_wgs84() -> None:
    """The two ellipsoids' polar axes differ by 0.1 mm."""
    assert distance_m(FLINDERS_PEAK, BUNINYONG) == pytest.approx(FLINDERS_M, abs=1e-3)
    assert apart_deg(course_deg(FLINDERS_PEAK, BUNINYONG), FLINDERS_DEG) < 0.006 / 3600.0


@settings(deadline=None, max_examples=100)
@given(POINT, POINT)
def test_pymap3d_vincenty_agrees(a: tuple[float, float], b: tuple[float, float]) -> None:
    metres = distance_m(a, b)
    assume(10.0 < metres < 15_000_000.0)  # Vincenty's series fails near the antipode
    other_m, other_deg = vdist(*a, *b)
    assert metres == pytest.approx(float(other_m), abs=2e-3)
    assert apart_deg(course_deg(a, b), float(other_deg)) < max(1e-5, 0.1 / metres)


def test_units_by_definition() -> None:
    assert NAUTICAL_MILE_M == 1852.0
    assert pytest.approx(0.514444, abs=1e-6) == KNOT_MPS


def test_nautical_mile_is_a_minute_of_the_meridian() -> None:
    """The mean of the 5400 minutes from equator to pole, 10 001 965.729 m on WGS84, is 1852 m within 0.02 %."""
    assert distance_m((0.0, 0.0), (90.0, 0.0)) == pytest.approx(10_001_965.729, abs=1e-3)
    assert distance_m((0.0, 0.0), (90.0, 0.0)) / 5400.0 == pytest.approx(NAUTICAL_MILE_M, rel=2e-4)


def test_kiel_canal_is_longer_than_the_geodesic_between_its_ends() -> None:
    """98.6 km by the public length; Brunsbuettel and Holtenau by rounded positions."""
    straight_km = distance_m((53.89, 9.14), (54.37, 10.14)) / 1000.0
    bends = trace([(53.89, 9.14), (54.03, 9.29), (54.21, 9.47), (54.31, 9.66), (54.36, 9.95), (54.37, 10.14)])
    assert straight_km < bends.length_km < 98.6


def test_coincident_points_have_no_length_and_course_zero() -> None:
    assert distance_m((53.0, -8.0), (53.0, -8.0)) == 0.0
    assert course_deg((53.0, -8.0), (53.0, -8.0)) == 0.0


@pytest.mark.parametrize(("to", "course"), [((1, 0), 0), ((0, 1), 90), ((-1, 0), 180), ((0, -1), 270)])
def test_course_runs_clockwise_from_north(to: tuple[float, float], course: float) -> None:
    assert course_deg((0.0, 0.0), to) == pytest.approx(course, abs=1e-9)


@settings(deadline=None, max_examples=50)
@given(st.lists(POINT, min_size=2, max_size=3))
def test_trace_measures_as_geopy_does(points: list[tuple[float, float]]) -> None:
    points = [(lat / 2, lon / 40 + 179.0) for lat, lon in points]  # short lines about the date line
    metres = sum(distance_m(a, b) for a, b in pairwise(points))
    assert trace(points).length_km * 1000.0 == pytest.approx(metres, abs=2e-3)


@settings(deadline=None, max_examples=40)
@given(st.floats(-66, 66), LON, st.floats(0, 360), st.floats(0.01, 150.0), st.floats(0.0, 1.0))
def test_position_lies_on_the_geodesic_within_a_metre(
    lat: float, lon: float, azimuth: float, length_km: float, share: float
) -> None:
    end = Geodesic.WGS84.Direct(lat, lon, azimuth, 1000.0 * length_km)
    assume(abs(end["lat2"]) < 68.0)
    there = Geodesic.WGS84.Direct(lat, lon, azimuth, 1000.0 * length_km * share)
    at = trace([(lat, lon), (end["lat2"], end["lon2"])]).position(length_km * share)
    assert distance_m((float(at[0]), float(at[1])), (there["lat2"], there["lon2"])) < 1.0


@settings(deadline=None, max_examples=40)
@given(st.floats(-60, 60), LON, st.floats(0, 360), st.floats(1.0, 150.0), st.floats(0.0, 1.0))
def test_course_follows_the_geodesic(lat: float, lon: float, azimuth: float, length_km: float, share: float) -> None:
    end = Geodesic.WGS84.Direct(lat, lon, azimuth, 1000.0 * length_km)
    there = Geodesic.WGS84.Direct(lat, lon, azimuth, 1000.0 * length_km * share)
    course = float(trace([(lat, lon), (end["lat2"], end["lon2"])]).course(length_km * share))
    assert 0.0 <= course < 360.0
    assert apart_deg(course, there["azi2"]) < 0.06


def test_course_at_a_bend_is_that_of_the_piece_ahead_and_the_last_at_the_end() -> None:
    line = trace([(0.0, 0.0), (0.0, 0.1), (0.1, 0.1)])
    bend_km = distance_m((0.0, 0.0), (0.0, 0.1)) / 1000.0
    assert line.course([0.0, bend_km - 0.01, bend_km, line.length_km]) == pytest.approx([90, 90, 0, 0], abs=1e-3)


def test_date_line_is_crossed_the_short_way() -> None:
    line = trace(FIJI)
    assert line.length_km * 1000.0 == pytest.approx(float(vdist(*FIJI[0], *FIJI[1])[0]), abs=1e-2)
    lat, lon = line.position(np.linspace(0.0, line.length_km, 500))
    assert np.all(np.abs(lon) > 178.3)
    assert np.all((lon >= -180.0) & (lon < 180.0))
    steps = [distance_m(a, b) for a, b in pairwise(zip(lat.tolist(), lon.tolist(), strict=True))]
    assert np.allclose(steps, 1000.0 * line.length_km / 499, rtol=1e-3)


def test_join_keeps_longitudes_continuous_when_legs_meet_on_either_side() -> None:
    there, back = trace([(-17.0, 179.5), (-17.0, -179.5)]), trace([(-17.0, -179.5), (-17.0, 179.5)])
    both = join([there, back, there])
    assert np.max(np.abs(np.diff(both.lon))) < 0.05
    assert both.length_km == pytest.approx(3 * there.length_km)


def test_join_counts_a_circumnavigation_in_turns() -> None:
    ring = [(0.0, lon) for lon in (0.0, 120.0, -120.0, 0.0)]
    line = join([trace(ring), trace(ring)])
    assert line.lon[-1] == pytest.approx(720.0)
    assert line.length_km == pytest.approx(2 * 2 * math.pi * 6378.137, rel=1e-9)


def test_repeated_points_change_nothing() -> None:
    once, twice = trace(FIJI), trace([FIJI[0], FIJI[0], FIJI[1], FIJI[1]])
    assert np.array_equal(once.km, twice.km)
    assert np.array_equal(once.course_deg, twice.course_deg)


def test_points_all_alike_make_a_still_line() -> None:
    line = trace([(53.0, -8.0)] * 3)
    assert (line.length_km, line.still) == (0.0, True)
    assert line.position([0.0, 0.0])[0].tolist() == [53.0, 53.0]
    far = line.scaled(10.0)
    assert (far.length_km, far.still, float(far.position(5.0)[1])) == (10.0, True, -8.0)


def test_mean_course_is_the_vector_mean_by_length() -> None:
    line = trace([(0.0, 0.0), (0.0, 0.1), (0.1, 0.1)])
    east, north = distance_m((0.0, 0.0), (0.0, 0.1)), distance_m((0.0, 0.1), (0.1, 0.1))
    assert line.mean_course_deg() == pytest.approx(math.degrees(math.atan2(east, north)), abs=1e-3)


def test_mean_course_about_north_does_not_fall_on_south() -> None:
    line = trace([(0.0, 0.0), (0.1, 0.02), (0.2, 0.0)])
    assert apart_deg(line.mean_course_deg(), 0.0) < 1e-3
