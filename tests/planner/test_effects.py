"""What a day part does to the charge: the heating reserve and trips by hand, chains against the simulator's run."""

from dataclasses import replace
from datetime import date

import numpy as np
import pytest

from tests.planner.samples import LEGS, battery, vessel, voyage
from voyager.boat.arrays import PanelArray
from voyager.boat.cabin import Comfort, Heater
from voyager.planner.effects import heating_reserve_kwh, hour_station, lying, trip_chains
from voyager.planner.frame import Frame, build_frame
from voyager.planner.outlook import plan_frame
from voyager.planner.walks import Trips, build_walker, day_trips
from voyager.sky.air import air_climate, diurnal_range_k, hourly_c

STEADY = Comfort("steady", (), 15.0)
OFF = Comfort("off", (), 2.0)
UA, PERSON_W, HOTEL_W, ETA = 70.0, 80.0, 50.0, 0.98
OCTOBER = {"departs": date(2027, 10, 10), "comfort": "steady"}


def _steady_boat() -> object:
    """Heat straight from the battery, one setpoint round the clock: the heater gives UA (15 - T) - 80 W."""
    return vessel(heaters=(Heater("stove", 3000.0, alternating=False),), comfort=(STEADY, OFF))


def _hand_need_kwh(frame: Frame, day: int, nights: int, setpoint: float, extra_off_day: bool) -> float:
    """The sum of the promise, hour by hour, at the first mooring."""
    station = int(frame.mooring_station[0])
    outside = frame.weather.air_c[day, station, :, frame.weather.cold]
    length, evening = int(frame.days.length_h[day]), int(frame.windows.evening[day, station])

    def hours(first: int, degrees: float) -> float:
        heat = [max(0.0, UA * (degrees - outside[h]) - PERSON_W) for h in range(first, length)]
        return (sum(heat) + HOTEL_W * (length - first)) / 1e3

    need = hours(evening, setpoint) + (nights - 1) * hours(0, setpoint)
    return (need + (hours(0, 2.0) if extra_off_day else 0.0)) / ETA


@pytest.mark.parametrize("nights", [1, 2, 3])
def test_reserve_is_the_night_more_whole_days_and_a_day_at_off(nights: int) -> None:
    frame = build_frame(_steady_boat(), voyage(heating_reserve_nights=nights, **OCTOBER), 3)
    for day in range(1, 3):
        reserve = heating_reserve_kwh(frame, day)
        assert reserve.shape == (len(frame.route.moorings), 2)
        assert reserve[0, 0] == pytest.approx(_hand_need_kwh(frame, day, nights, 15.0, True), rel=1e-6)
        assert reserve[0, 1] == pytest.approx(_hand_need_kwh(frame, day, nights, 2.0, False), rel=1e-6)


def test_reserve_counts_hours_of_a_day_of_25() -> None:
    """31 October 2027 in Dublin: the night before is an hour longer."""
    frame = build_frame(_steady_boat(), voyage(**(OCTOBER | {"departs": date(2027, 10, 29)})), 3)
    assert list(frame.days.length_h) == [24, 25, 24]
    assert heating_reserve_kwh(frame, 1)[0, 0] == pytest.approx(_hand_need_kwh(frame, 1, 1, 15.0, True), rel=1e-6)


def test_cold_night_is_1_28_standard_deviations_colder_than_the_mean() -> None:
    frame = build_frame(_steady_boat(), voyage(**OCTOBER), 2)
    lat, lon = frame.stations.lat[:1], frame.stations.lon[:1]
    doy = np.asarray(frame.days.day_of_year)[1:2]
    climate = air_climate(lat, lon, frame.stations.height_m[:1], doy)
    range_k = diurnal_range_k(lat, doy, np.zeros(1), climate.range_year_k, frame.stations.exposed[:1])
    clock = (7.0 + np.arange(24) + 0.5 + lon[0] / 15) % 24
    expected = hourly_c(climate.mean_c[0] - 1.28 * climate.sd_c[0], range_k[0], clock)
    np.testing.assert_allclose(frame.weather.air_c[1, 0, :24, frame.weather.cold], expected, atol=1e-6)


def _dark(**keys: object) -> Frame:
    """No panels, no heat: only the hotel and the motor."""
    boat = vessel(arrays=(PanelArray("none", 0.0),), heaters=(), comfort=(OFF,))
    return build_frame(boat, voyage(departs=date(2027, 6, 7), comfort="off", travel_min=(540, 1020), **keys), 2)


def _first_day(frame: Frame) -> Trips:
    walker, starts = build_walker(frame), np.asarray([0])
    goal = np.asarray([len(frame.route.moorings) - 1])
    return day_trips(walker, walker.block(0, 1, starts), 0, 0, starts, goal)


def test_trip_without_sun_takes_its_own_energy_and_the_hotels() -> None:
    """add = -(motor + 30 W under way + 50 W to the evening)/0.98; nothing charges, so the cap falls with it."""
    frame = _dark()
    trips = _first_day(frame)
    part = trip_chains(frame, 0, trips, [0])[0]
    evening = frame.windows.evening[0][frame.mooring_station[trips.end]]
    under_way = trips.arrive_h - trips.depart_h
    expected = -(trips.kwh + 0.030 * under_way + 0.050 * evening) / ETA
    np.testing.assert_allclose(part.add[:, 0], expected, atol=1e-9)
    np.testing.assert_allclose(part.low_add[:, 0], expected, atol=1e-9)
    np.testing.assert_allclose(part.cap[:, 0], frame.ceiling_kwh + expected, atol=1e-9)
    np.testing.assert_allclose(part.low_cap[:, 0], frame.ceiling_kwh + expected, atol=1e-9)


def test_stay_and_night_without_sun_are_the_hotel_alone() -> None:
    frame = _dark()
    lain = lying(frame, 0)
    evening = frame.windows.evening[0][frame.mooring_station]
    stay, night = lain.at("stay", 0), lain.at("night", 0)
    np.testing.assert_allclose(stay.add[:, 0], -0.050 * evening / ETA, atol=1e-9)
    np.testing.assert_allclose(night.add[:, 0], -0.050 * (24 - evening) / ETA, atol=1e-9)


def test_night_at_a_plug_charges_to_the_ceiling() -> None:
    """1,500 W less 50 W of hotel, stored at 0.98, through the hours of the night."""
    frame = _dark()
    lain = lying(frame, 0)
    beck = next(n for n, m in enumerate(frame.route.moorings) if m.name == "Beck")
    hours = 24 - int(frame.windows.evening[0, frame.mooring_station[beck]])
    assert lain.plugged.add[beck, 0] == pytest.approx(1.450 * 0.98 * hours)
    assert lain.plugged.cap[beck, 0] == pytest.approx(frame.ceiling_kwh)
    assert lain.plugged.add[0, 0] == pytest.approx(lain.at("night", 0).add[0, 0])


def test_poor_day_pays_for_its_wind() -> None:
    """On the coast the poor column of a trip without sun differs by the wind's energy alone."""
    frame = _dark()
    trips = _first_day(frame)
    poor_kwh = trips.poor_kwh_by_hour + 0.1 * (trips.moving > 0)
    more = replace(trips, by_hour=replace(trips.by_hour, poor_kwh=poor_kwh))
    poor = frame.weather.poor
    hours = (trips.moving > 0).sum(axis=1)
    before, after = (trip_chains(frame, 0, t, [0])[0].add for t in (trips, more))
    np.testing.assert_allclose(before[:, poor] - after[:, poor], 0.1 * hours / ETA, atol=1e-9)
    np.testing.assert_allclose(before[:, 0], after[:, 0], atol=1e-12)


def test_hour_belongs_to_where_the_boat_is_at_its_middle() -> None:
    frame = _dark()
    trips = replace(_first_day(frame), depart_h=np.full(len(_first_day(frame).start), 1.6))
    away = replace(trips, by_hour=replace(trips.by_hour, station=trips.station + 7))
    assert (hour_station(frame, 0, away, 1) == frame.mooring_station[trips.start]).all()
    long = trips.arrive_h > 3.5
    assert (hour_station(frame, 0, away, 2)[long] >= 7).all()
    assert (hour_station(frame, 0, away, 13) == frame.mooring_station[trips.end]).all()


def _gaps_kwh(frame: Frame) -> tuple[np.ndarray, np.ndarray, float]:
    """Evening and morning charge of the simulated days less what the tables say; what was heated in all."""
    found = plan_frame(frame)
    evening, morning, heating = [], [], 0.0
    for day in found.schedule.days:
        acts, nights = found.built.problem.mornings[day.day], found.built.problem.evenings[day.day]
        assert day.choice.action is not None
        a, s, c = day.choice.action, day.end, day.night_step
        heating += float(day.ledger.total("heating_kwh")[0])
        at_evening = float(day.ledger.charge_kwh[0, day.evening - 1])
        evening.append(at_evening - min(day.charge_start_kwh + acts.add[0, a], acts.cap[0, a]))
        maps = (
            (nights.plug_add[0, s], nights.plug_cap[0, s])
            if day.plugged
            else (nights.add[0, s, c], nights.cap[0, s, c])
        )
        morning.append(float(day.ledger.charge_kwh[0, -1]) - min(at_evening + maps[0], maps[1]))
    return np.asarray(evening), np.asarray(morning), heating


SLOW = {"travel_min": (600, 720), "mooring_every_km": 3.0, "legs": (replace(LEGS[0], nights=2), LEGS[1])}


def test_tables_equal_the_simulator_where_nothing_is_heated() -> None:
    """In June at frost guard the cabin plays no part: to the rounding of the tables, 1e-4 kWh."""
    frame = build_frame(vessel(battery=battery(12.0)), voyage(departs=date(2027, 6, 7), comfort="off", **SLOW), 12)
    evening, morning, heating = _gaps_kwh(frame)
    assert len(evening) >= 3
    assert heating < 1e-9
    assert np.abs(evening).max() < 1.01e-4
    assert np.abs(morning).max() < 1.01e-4


def test_tables_stay_near_the_simulator_where_the_cabin_is_heated() -> None:
    """The tables take every day at one step all through; the cabin's minutes of difference at the seams stay small."""
    frame = build_frame(vessel(battery=battery(30.0)), voyage(departs=date(2027, 3, 1), **SLOW), 14)
    evening, morning, heating = _gaps_kwh(frame)
    assert len(evening) >= 3
    assert heating > 5.0
    assert np.abs(evening).max() < 0.05
    assert np.abs(morning).max() < 0.05
