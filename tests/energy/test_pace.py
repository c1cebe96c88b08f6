"""The pace that sets all speeds of a day: least energy for a given time, and every limit that clips it."""

from dataclasses import replace

import numpy as np
import pytest
from scipy.optimize import brentq

from tests.energy.boats import CUBE
from voyager.boat.hull import Hull, propulsion_w, top_speed_mps
from voyager.boat.water import schijf_limit_mps
from voyager.energy.pace import LegSpeeds, pace_grid_w, power_curve, speeds
from voyager.route.leg import Leg

K = 80.0
CANAL = Leg("A", "B", "canal")
SEA = Leg("A", "B", "coastal", moor_anywhere=False)


def at(
    paces: list[float], current: float = 0.0, limit: float | None = None, hull: Hull = CUBE, leg: Leg = CANAL
) -> LegSpeeds:
    return speeds(power_curve(hull, leg, 0.0, 0.0), np.asarray(paces), current, limit)


def energy_and_time(water_mps: np.ndarray, currents: np.ndarray, km: np.ndarray) -> tuple[float, float]:
    hours = km / (water_mps + currents) / 3.6
    return float((K * water_mps**3 * hours).sum()), float(hours.sum())


def cheapest_wh(currents: np.ndarray, km: np.ndarray, hours: float) -> float:
    """Least energy of two legs in a given time: every split of the time on a fine grid, cube law, no pace in sight."""
    first = np.linspace(0.02, 0.98, 40_001) * hours
    v = [km[0] / first / 3.6 - currents[0], km[1] / (hours - first) / 3.6 - currents[1]]
    fits = (v[0] > 0) & (v[1] > 0)
    cost = np.where(fits, K * (np.abs(v[0]) ** 3 * first + np.abs(v[1]) ** 3 * (hours - first)), np.inf)
    return float(cost.min())


@pytest.mark.parametrize(
    ("currents", "km"),
    [((0.4, -0.4), (20.0, 20.0)), ((0.0, 0.8), (12.0, 30.0)), ((-0.6, 0.1), (9.0, 25.0)), ((0.3, 0.3), (10.0, 20.0))],
)
def test_one_pace_is_the_least_energy_for_its_time(currents: tuple[float, float], km: tuple[float, float]) -> None:
    current, length = np.asarray(currents), np.asarray(km)
    for pace in (150.0, 400.0, 900.0):
        water = np.asarray([float(at([pace], u).water_mps[0]) for u in currents])
        energy, hours = energy_and_time(water, current, length)
        assert energy == pytest.approx(cheapest_wh(current, length, hours), rel=2e-4)


def test_one_equal_speed_costs_more_where_currents_differ() -> None:
    """By some per cent where the water runs 1.5 km/h with the boat and against it."""
    current, length = np.asarray([0.42, -0.42]), np.asarray([20.0, 20.0])
    for pace in (200.0, 400.0):
        water = np.asarray([float(at([pace], u).water_mps[0]) for u in current])
        energy, hours = energy_and_time(water, current, length)
        same = brentq(lambda v, hours=hours: energy_and_time(np.asarray([v, v]), current, length)[1] - hours, 0.6, 5)
        dear, _ = energy_and_time(np.asarray([same, same]), current, length)
        assert 1.005 < dear / energy < 1.08
        assert water[1] > same > water[0]


def test_in_still_water_the_pace_is_the_power() -> None:
    """P = k v^3: P' v - P = 2 P."""
    done = at([100.0, 400.0, 1000.0])
    assert done.power_w == pytest.approx([100, 400, 1000], rel=1e-3)
    assert done.water_mps == pytest.approx(np.cbrt(np.asarray([100, 400, 1000]) / K), rel=4e-4)
    assert np.array_equal(done.ground_mps, done.water_mps)


def test_cheapest_speed_with_a_load_that_runs_only_under_way() -> None:
    """v* = (P_h / 2 k)^(1/3), energy per metre 1.5 P_h / v*: identity; the ship's analogue is D. Ronen, The effect of
    oil price on the optimal speed of ships, J. Opl Res. Soc. 33, 1982 (from memory). P_h 1000 W, k 50: 2.15443 m/s,
    696.238 J/m. Among all paces the cheapest one is that of the propulsion P_h / 2."""
    hull = Hull(coefficient_w_per_mps3=50.0, motor_max_w=6000.0, steerable_min_mps=0.5)
    paces = np.append(500.0, np.geomspace(50, 5000, 4001))
    done = speeds(power_curve(hull, CANAL, 0.0, 0.0), paces, 0.0, None)
    cost = (done.power_w + 1000.0) / done.ground_mps
    assert done.water_mps[0] == pytest.approx(2.15443, rel=2e-4)  # by line between 240 speeds
    assert cost[0] == pytest.approx(696.238, rel=1e-4)
    assert cost.min() > 696.238 * (1 - 1e-6)
    assert np.interp(2 * 2.15443, done.water_mps[1:], cost[1:]) == pytest.approx(696.238 * 5 / 3, rel=1e-3)


def test_a_faster_pace_is_never_slower() -> None:
    paces = np.geomspace(1, 50_000, 200).tolist()
    shallow = replace(CANAL, depth_m=1.3, width_m=9.0)
    hull = replace(CUBE, midship_area_m2=0.8)
    for current in (-0.6, 0.0, 0.9):
        done = at(paces, current, hull=hull, leg=shallow)
        assert (np.diff(done.water_mps) >= -1e-12).all()
        assert (np.diff(done.power_w) >= -1e-9).all()


def test_never_slower_than_it_steers_nor_more_than_the_motor() -> None:
    done = at([1e-3, 1e6])
    assert done.water_mps == pytest.approx([0.7, np.cbrt(4000 / K)], rel=3e-4)
    assert done.power_w == pytest.approx([K * 0.7**3, 4000.0], rel=1e-3)


def test_limits_hold_over_the_ground() -> None:
    limit = 6.4 / 3.6
    for current in (-0.3, 0.0, 0.5):
        done = at([10.0, 3000.0], current, limit)
        assert done.ground_mps[1] == pytest.approx(limit)
        assert done.power_w[1] == pytest.approx(K * (limit - current) ** 3, rel=1e-3)
    assert at([3000.0], 1.5, limit).water_mps[0] == pytest.approx(0.7)  # it must still steer


def test_a_fixed_speed_is_kept_at_every_pace() -> None:
    leg = replace(CANAL, speed_mps=1.9)
    done = at([20.0, 500.0, 4000.0], 0.4, leg=leg)
    assert done.water_mps == pytest.approx([1.9] * 3)
    assert done.ground_mps == pytest.approx([2.3] * 3)
    assert done.power_w == pytest.approx([K * 1.9**3] * 3)


def test_a_fixed_speed_that_the_motor_cannot_drive_is_its_best() -> None:
    done = at([500.0], leg=replace(CANAL, speed_mps=4.0))
    assert done.power_w == pytest.approx([CUBE.motor_max_w], rel=2e-3)
    assert done.water_mps == pytest.approx([(CUBE.motor_max_w / K) ** (1 / 3)], rel=2e-3)


def test_confined_water_stops_at_nine_tenths_of_schijf() -> None:
    hull = replace(CUBE, midship_area_m2=1.0)
    leg = replace(CANAL, depth_m=1.5, width_m=8.0)
    most = 0.9 * float(schijf_limit_mps(1.5, 8.0, 1.0))
    assert most < float(top_speed_mps(hull, depth_m=1.5))
    assert at([1e6], hull=hull, leg=leg).water_mps[0] == pytest.approx(most)
    assert at([1e6], hull=hull, leg=replace(leg, speed_mps=3.5)).water_mps[0] == pytest.approx(most)
    lake = replace(leg, water="lake")
    assert at([1e6], hull=hull, leg=lake).water_mps[0] > most * 1.01


def test_shallow_water_takes_speed_from_the_same_motor() -> None:
    deep, shallow = at([1e6]), at([1e6], leg=replace(CANAL, depth_m=1.2))
    assert shallow.power_w[0] == pytest.approx(4000.0, rel=2e-3)
    assert shallow.water_mps[0] < 0.95 * deep.water_mps[0]
    assert shallow.water_mps[0] == pytest.approx(float(top_speed_mps(CUBE, depth_m=1.2)), rel=1e-3)


def test_less_than_one_kilometre_an_hour_over_the_ground_can_not_be_done() -> None:
    done = at([5.0, 300.0, 3000.0], -1.5)
    assert done.water_mps[2] - 1.5 > 1 / 3.6
    slow = at([5.0, 3000.0], -3.42)
    assert slow.ground_mps.tolist() == [0.0, 0.0]
    edge = at([5.0], -0.7 + 1 / 3.6 - 0.01)
    assert edge.ground_mps[0] >= 1 / 3.6


def test_a_motor_too_weak_to_steer_can_not_do_the_leg() -> None:
    weak = replace(CUBE, motor_max_w=20.0)
    done = at([5.0, 3000.0], hull=weak)
    assert done.ground_mps.tolist() == [0.0, 0.0]


def test_poor_wind_costs_power_at_the_same_speed() -> None:
    hull = replace(CUBE, air_drag_area_m2=3.0)
    done = speeds(power_curve(hull, SEA, 6.0, 9.6), np.asarray([300.0, 900.0]), 0.0, None)
    for k in range(2):
        for wind, power in ((6.0, done.power_w[k]), (9.6, done.poor_power_w[k])):
            assert power == pytest.approx(
                float(propulsion_w(hull, done.water_mps[k], wind_mps=wind, exposed=True)), rel=1e-4
            )
    assert (done.poor_power_w > done.power_w * 1.05).all()


def test_paces_run_from_just_steering_to_all_of_the_motor() -> None:
    grid = pace_grid_w(replace(CUBE, steerable_min_mps=1.2), 12)
    assert len(grid) == 12
    assert grid[0] == round(K * 1.2**3)
    assert grid[-1] == 4000
    assert (np.diff(grid) > 0).all()
    assert np.array_equal(grid, np.round(grid))
    slow = pace_grid_w(replace(CUBE, steerable_min_mps=0.1), 6)
    assert slow[0] == 80  # two hundredths of the motor: no pace finer than that is of use
