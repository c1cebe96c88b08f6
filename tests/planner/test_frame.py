"""What a plan knows before any choice: plugs, loads, days that go on from one another, mounts and stations."""

from dataclasses import replace
from datetime import date

import numpy as np
import pytest

from tests.planner.samples import LEGS, PLACES, battery, vessel, voyage
from voyager.boat.cabin import Heater
from voyager.boat.inverter import Inverter
from voyager.boat.vessel import Hotel
from voyager.planner.frame import build_frame, pieces_of
from voyager.route.leg import Leg
from voyager.route.place import Place


def test_ladder_from_the_voyages_step_to_off() -> None:
    frame = build_frame(vessel(), voyage(comfort="plain"), 1)
    assert (frame.wanted, frame.off) == (1, 2)
    assert build_frame(vessel(), voyage(comfort=None), 1).wanted == 0
    assert build_frame(vessel(), voyage(comfort="off"), 1).wanted == 2


def test_plug_gives_the_lesser_of_socket_and_charger() -> None:
    """1.2 kW at the socket less a tenth is 1,080 W; 3 kW is more than the charger's 1,500 W."""
    places = (replace(PLACES[0], shore_w=1200.0), *PLACES[1:])
    frame = build_frame(vessel(), voyage(places=places), 1)
    plugs = {m.name: w for m, w in zip(frame.route.moorings, frame.plugs_w, strict=True)}
    assert plugs["Ashby"] == pytest.approx(1080.0)
    assert plugs["Beck"] == 1500.0
    assert plugs["Croft"] == 0.0
    assert not build_frame(vessel(), voyage(places=places, shore_power="never"), 1).plugs_w.any()


def test_load_at_off_in_summer_is_the_hotel_and_the_inverter() -> None:
    """No frost in July: 45 W direct; at noon 230 W alternating through 0.92 and 20 W of standby."""
    alternating = (0.0,) * 12 + (230.0,) + (0.0,) * 11
    boat = vessel(hotel=Hotel((45.0,) * 24, alternating), inverter=Inverter(2500.0, 0.92, standby_w=20.0))
    frame = build_frame(boat, voyage(departs=date(2027, 7, 1)), 2)
    watts = frame.total_w[frame.off, 1, 0, :24, 0]
    noon = 4
    assert watts[noon] == pytest.approx(45.0 + 230.0 / 0.92 + 20.0)
    assert np.delete(watts, noon) == pytest.approx(45.0)


def test_no_step_of_the_ladder_takes_less_than_the_one_below_it() -> None:
    frame = build_frame(vessel(), voyage(departs=date(2027, 1, 5)), 4)
    day_kwh = frame.total_w[:, :, :, :24].sum(axis=3) / 1e3
    assert (np.diff(day_kwh, axis=0) <= 1e-9).all()
    assert (day_kwh[0, ..., 0] > day_kwh[2, ..., 0] + 1.0).all()


def test_cold_night_asks_for_more_heat_and_has_no_sun() -> None:
    frame = build_frame(vessel(), voyage(departs=date(2027, 1, 5)), 3)
    weather = frame.weather
    assert (weather.clearness[..., weather.cold] == 0).all()
    assert (weather.air_c[..., weather.cold].mean(axis=2) < weather.air_c[..., 0].mean(axis=2)).all()
    heating = frame.total_w[frame.wanted].sum(axis=2)
    assert (heating[..., weather.cold] > heating[..., 0]).all()


def test_poor_day_gives_less_sun_than_the_middling_sky() -> None:
    frame = build_frame(vessel(), voyage(), 10, sky="middling")
    energy = frame.panels.watts.sum(axis=2)
    assert (energy[..., frame.weather.poor] < energy[..., 0].mean(axis=0)).all()


def test_every_day_begins_as_warm_as_the_day_before_ended() -> None:
    """A cabin with slow walls goes on where it was, to what an hour changes."""
    slow = replace(vessel().cabin, structure_capacity_wh_per_k=600.0, structure_w_per_k=150.0)
    boat = vessel(cabin=slow, heaters=(Heater("stove", 2000.0, alternating=False),))
    frame = build_frame(boat, voyage(departs=date(2027, 1, 5), comfort="ample"), 3)
    step = frame.steps[0]
    last = int(frame.days.length_h[0]) - 1
    gap = np.abs(step.air_c[1:, :, 0, 0] - step.air_c[:-1, :, 0, last])
    assert (gap < 1.5).all()


def test_two_clocks_of_a_day_are_told_apart() -> None:
    """Pieces of a day of 23 h end with its 23rd step."""
    frame = build_frame(vessel(), voyage(departs=date(2027, 3, 26)), 3)
    assert list(frame.days.length_h) == [24, 23, 24]
    assert max(p.hour for p in pieces_of(frame, 1, 1)) == 22
    assert sum(p.hours for p in pieces_of(frame, 1, 1)) == pytest.approx(23.0)
    # breakfast from 06:30 civil lies 21.5 h after 08:00 the day before, by the changed clock
    warm = [p for p in pieces_of(frame, 1, 1) if p.asked]
    assert warm[-1].hour + warm[-1].start_h + warm[-1].hours == pytest.approx(23.0)
    first = next(p for p in warm if p.hour > 15)
    assert first.hour + first.start_h == pytest.approx(21.5)


def test_stations_are_degree_squares_at_the_height_of_their_places() -> None:
    places = (Place("Low", 53.0, -8.0, height_m=40.0), Place("High", 54.0, -8.0, height_m=160.0))
    legs = (Leg("Low", "High", "canal", distance_km=115.0, moor_anywhere=False),)
    frame = build_frame(vessel(), voyage(places=places, legs=legs), 1)
    heights = dict(zip(np.round(frame.stations.lat, 3).tolist(), frame.stations.height_m.tolist(), strict=True))
    assert heights == {53.0: 40.0, 54.0: 160.0}
    assert list(frame.stations.height_m[frame.mooring_station]) == [40.0, 160.0]


def test_sea_blows_only_where_a_leg_lies_on_it() -> None:
    places = (Place("In", 53.0, -6.0), Place("Bar", 53.8, -6.0), Place("Out", 54.9, -6.0))
    legs = (
        Leg("In", "Bar", "canal", distance_km=111.0, moor_anywhere=False),
        Leg("Bar", "Out", "coastal", distance_km=111.0, moor_anywhere=False),
    )
    frame = build_frame(vessel(), voyage(places=places, legs=legs), 1)
    at_sea = dict(zip(np.round(frame.stations.lat).tolist(), frame.stations.exposed.tolist(), strict=True))
    assert at_sea[53.0] is False
    assert at_sea[54.0] is True
    wind = frame.weather.wind_mps[0, :, 0]
    assert wind[frame.stations.exposed].min() > wind[~frame.stations.exposed].max()


def test_shade_of_a_leg_and_tunnels_cut_the_sun_under_way() -> None:
    """Half the light through trees, a third of the leg in a tunnel: a third is left, a little less at low light."""
    legs = (replace(LEGS[0], shade_percent=50.0, tunnel_km=4.0), LEGS[1])
    open_frame, dark = (build_frame(vessel(), voyage(legs=legs_), 1) for legs_ in (LEGS, legs))
    reach = [int(f.reach_mount[0]) for f in (open_frame, dark)]
    bright, dim = (f.panels.watts[0, r, :, 0].sum() for f, r in zip((open_frame, dark), reach, strict=True))
    assert dim == pytest.approx(bright / 3, rel=0.04)


def test_shade_of_a_place_cuts_the_sun_moored() -> None:
    places = (replace(PLACES[0], shade_percent=40.0), *PLACES[1:])
    bright, dim = (
        f.panels.watts[0, f.mooring_mount[0], :, 0].sum()
        for f in (build_frame(vessel(), voyage(places=p), 1) for p in (PLACES, places))
    )
    assert dim == pytest.approx(0.6 * bright, rel=0.03)


def test_heater_of_the_cells_is_a_load_where_it_is_cold() -> None:
    cold = voyage(departs=date(2027, 1, 10), places=tuple(replace(p, lat=p.lat + 9, lon=25.0) for p in PLACES))
    with_heater = build_frame(vessel(battery=battery(heater_w=100.0)), cold, 3)
    without = build_frame(vessel(), cold, 3)
    assert without.weather.blocked.any()
    assert not with_heater.weather.blocked.any()
    more = with_heater.total_w - without.total_w
    frozen = np.broadcast_to(without.weather.cold_cells[None], more.shape)
    assert more[frozen] == pytest.approx(100.0)
    assert more[~frozen] == pytest.approx(0.0)


def test_known_heading_beats_the_mean_of_all() -> None:
    """On a lake a berth with a heading has that one; a bank has both ways along it; else the mean of 36."""
    tilted = vessel(arrays=(replace(vessel().arrays[0], moored_tilt_deg=40.0, moored_azimuth_deg=90.0),))
    lake = tuple(replace(leg, water="lake", moor_anywhere=False) for leg in LEGS)
    south = (replace(PLACES[0], heading_deg=90.0), replace(PLACES[1], heading_deg=270.0), PLACES[2])
    frame = build_frame(tilted, voyage(places=south, legs=lake), 1)
    facing, away, unknown = (frame.panels.watts[0, frame.mooring_mount[n], :, 0].sum() for n in range(3))
    assert away < unknown < facing


def test_panels_are_reckoned_from_the_first_day_that_can_need_them() -> None:
    """Two nights asked for at the first leg's end: nobody lies at a berth beyond it in the first two days."""
    places = (*PLACES[:-1], replace(PLACES[-1], heading_deg=37.0))
    tilted = vessel(arrays=(replace(vessel().arrays[0], moored_tilt_deg=40.0),))
    asked = build_frame(tilted, voyage(places=places, legs=(replace(LEGS[0], nights=2), *LEGS[1:])), 5)
    free = build_frame(tilted, voyage(places=places), 5)
    late, early = (frame.panels.watts[:, frame.mooring_mount[-1]] for frame in (asked, free))
    assert late[:2].sum() == 0
    assert early[:2].sum() > 0
    np.testing.assert_allclose(late[2:], early[2:])
