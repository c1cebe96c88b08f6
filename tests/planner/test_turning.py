"""The point of no return against plain arithmetic, where it can be done by hand."""

from dataclasses import replace
from datetime import date

import numpy as np
import pytest

from tests.planner.samples import OFF, battery, vessel, voyage
from voyager.boat.arrays import PanelArray
from voyager.planner.frame import Frame, build_frame
from voyager.planner.start import Start
from voyager.planner.turning import Outing, turning_point, with_nodes
from voyager.planner.walks import build_walker
from voyager.route.leg import Leg
from voyager.route.place import Place

V_KMH = 7.2
POWER_W = 95 * 2.0**3 + 30
HOTEL_W = 50.0
ETA = 0.98
FLOOR_KWH = 3.0
OPENS, CLOSES = 10 + 20 / 60, 17.0
LOCK_KM, LOCK_H, LOCK_KWH = 8.0, 0.5, 0.4


def frame(plug_w: float = 0.0, start_km: float = 0.0, **leg: object) -> Frame:
    """A canal of 40 km at a fixed 2 m/s without sun, entered at 10:20 of a June day that starts at 08:00."""
    still = Leg("Ash", "Elm", "canal", distance_km=40.0, moor_anywhere=False, speed_mps=2.0)
    places = (Place("Ash", 52.0, 0.0, shore_w=plug_w), Place("Elm", 52.3, 0.0))
    one = voyage(
        places=places, legs=(replace(still, **leg),), departs=date(2027, 6, 1), time_zone="UTC", comfort="off",  # type: ignore[arg-type]
        travel_min=(540, 1020), day_starts_min=480,
    )  # fmt: skip
    boat = vessel(
        arrays=(PanelArray("none", 1e-6, 1),), heaters=(), comfort=(OFF,),
        battery=battery(capacity_by_c=((-20.0, 1.0), (20.0, 1.0))),
    )  # fmt: skip
    return build_frame(boat, one, 3, start=Start(OPENS - 8.0, start_km))


def by_hand(charge_kwh: float, evening_h: float, start_km: float = 0.0, lock: bool = False) -> float:
    """Furthest kilometre, a tenth at a time, from which home (km 0) is reached by 17:00 with 3 kWh in the evening."""
    furthest = None
    for tenth in range(round(start_km * 10), 401):
        km = tenth / 10
        out_h, back_h, locks = (km - start_km) / V_KMH, km / V_KMH, 0
        if lock and km > LOCK_KM:
            locks = 2
        home_h = OPENS + out_h + back_h + locks * LOCK_H
        moved_kwh = (out_h + back_h) * (POWER_W - 30) / 1e3 + (home_h - OPENS) * 30 / 1e3 + locks * LOCK_KWH
        idle_kwh = (evening_h - OPENS) * HOTEL_W / 1e3
        if home_h > CLOSES + 1e-9 or charge_kwh - (moved_kwh + idle_kwh) / ETA < FLOOR_KWH - 1e-9:
            break
        furthest = km
    assert furthest is not None
    assert furthest < 40.0
    return furthest


def found(here: Frame, charge_kwh: float) -> float | None:
    outing = Outing(OPENS - 8.0, 0, len(here.route.moorings) - 1, 0)
    point = turning_point(here, build_walker(here), outing, charge_kwh, here.weather.poor)
    return None if point is None else point.km


@pytest.mark.parametrize("charge", [4.5, 6.0, 7.25, 8.0, 16.0])
def test_it_is_where_arithmetic_puts_it(charge: float) -> None:
    here = frame()
    assert float(here.weather.floor_kwh[0, 0]) == pytest.approx(FLOOR_KWH)
    evening = 8.0 + float(here.windows.evening[0, 0])
    assert found(here, charge) == pytest.approx(by_hand(charge, evening), abs=0.11)


def test_time_binds_where_charge_does_not() -> None:
    assert found(frame(), 16.0) == pytest.approx(V_KMH * (CLOSES - OPENS) / 2, abs=0.11)


@pytest.mark.parametrize("charge", [5.2, 6.5, 16.0])
def test_locks_passed_are_passed_again(charge: float) -> None:
    here = frame(locks=1, lock_at_km=(LOCK_KM,), lock_min=LOCK_H * 60, lock_kwh=LOCK_KWH)
    evening = 8.0 + float(here.windows.evening[0, 0])
    assert found(here, charge) == pytest.approx(by_hand(charge, evening, lock=True), abs=0.21)


@pytest.mark.parametrize("charge", [6.0, 9.0])
def test_from_the_middle_of_the_leg(charge: float) -> None:
    here = frame(start_km=6.0)
    evening = 8.0 + float(here.windows.evening[0, 0])
    assert found(here, charge) == pytest.approx(by_hand(charge, evening, 6.0), abs=0.11)


def test_nowhere_back_from_here() -> None:
    assert found(frame(start_km=20.0), 4.0) == pytest.approx(20.0)


def test_none_where_the_whole_trip_can_be_turned() -> None:
    short = frame(distance_km=12.0)
    assert found(short, 16.0) is None


@pytest.mark.parametrize(("plug_w", "plug"), [(0.0, False), (2000.0, True)])
def test_back_is_to_the_plug_or_a_haven(plug_w: float, plug: bool) -> None:
    here = frame(plug_w)
    point = turning_point(here, build_walker(here), Outing(OPENS - 8.0, 0, 1, 0), 6.0, here.weather.poor)
    assert point is not None
    assert (point.mooring, point.plug) == (0, plug)


def test_nodes_put_into_a_way_change_no_length() -> None:
    way = frame().way
    cut, number = with_nodes(way, np.asarray([0.0, 3.3, 3.3, 39.95, 40.0]))
    assert cut.km.sum() == pytest.approx(way.km.sum())
    assert cut.node_km[number] == pytest.approx([0.0, 3.3, 3.3, 39.95, 40.0])
    assert (np.diff(cut.node_km) >= -1e-12).all()
    assert len(cut.reach) == len(cut.node_km) - 1


def test_every_stretch_of_a_cut_way_keeps_its_leg() -> None:
    here = build_frame(vessel(), voyage(), 1)
    cut, _ = with_nodes(here.way, np.asarray([1.0, 11.9, 12.0, 12.1, 29.0]))
    middle = (cut.node_km[1:] + cut.node_km[:-1]) / 2
    real = cut.km > 1e-6
    assert (cut.leg[real] == here.route.leg_at(middle[real])).all()
    assert (cut.reaches.leg[cut.reach] == cut.leg).all()
