"""The route as a whole: lengths, positions, moorings, locks and the way back."""

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings

from tests.route.samples import RIVER, RIVER_LEGS, voyage, voyages
from voyager.errors import InputError
from voyager.route.geodesy import course_deg, distance_m
from voyager.route.leg import Leg
from voyager.route.line import Event, Route, build_route, reversed_route
from voyager.route.place import Place
from voyager.route.voyage import Voyage

EXAMPLES = settings(deadline=None, max_examples=40)


def apart_m(a: tuple[np.ndarray, np.ndarray], b: tuple[np.ndarray, np.ndarray]) -> float:
    points = zip(*(np.atleast_1d(x).tolist() for x in (*a, *b)), strict=True)
    return max(distance_m((p, q), (r, s)) for p, q, r, s in points)


def test_length_in_the_file_beats_the_measured_one() -> None:
    route = build_route(voyage())
    lake_km = distance_m((53.67, -7.99), (53.42, -7.94)) / 1000.0
    assert route.distance_km[[0, 2]].tolist() == [25.0, 59.0]
    assert route.distance_km[1] == pytest.approx(lake_km, abs=1e-6)
    assert route.start_km.tolist() == [0.0, *np.cumsum(route.distance_km)]


@EXAMPLES
@given(voyages())
def test_measured_legs_are_the_sum_of_geopys_geodesics(given_voyage: Voyage) -> None:
    route = build_route(given_voyage)
    at = {place.name: (place.lat, place.lon) for place in given_voyage.places}
    for leg, km in zip(route.legs, route.distance_km, strict=True):
        points = [at[leg.start], *leg.via, at[leg.end]]
        metres = sum(distance_m(a, b) for a, b in pairwise(points))
        assert km * 1000.0 == pytest.approx(leg.distance_km * 1000.0 if leg.distance_km else metres, abs=1e-2)


@EXAMPLES
@given(voyages())
def test_route_passes_through_its_places(given_voyage: Voyage) -> None:
    route = build_route(given_voyage)
    at = {place.name: (place.lat, place.lon) for place in given_voyage.places}
    names = [route.legs[0].start] + [leg.end for leg in route.legs]
    lat, lon = np.array([at[name] for name in names]).T
    assert apart_m(route.position(route.start_km), (lat, lon)) < 0.01


def test_stretched_leg_is_walked_evenly() -> None:
    route = build_route(voyage())
    half = route.position(12.5)
    ends = [distance_m((float(half[0]), float(half[1])), (p.lat, p.lon)) for p in RIVER[:2]]
    assert ends[0] == pytest.approx(ends[1], abs=1.0)


def test_leg_at_gives_the_leg_ahead_and_the_last_at_the_end() -> None:
    route = build_route(voyage())
    assert route.leg_at([0.0, 24.9, 25.0, *route.start_km[1:], 1e6]).tolist() == [0, 0, 1, 1, 2, 3, 3, 3]


def test_mean_course_of_a_straight_leg_is_its_middle_course() -> None:
    route = build_route(voyage())
    lake = course_deg((53.67, -7.99), (53.42, -7.94))
    assert route.course_deg[1] == pytest.approx(lake, abs=0.05)
    assert route.course(route.start_km[1] + 1.0) == pytest.approx(lake, abs=0.05)


def test_moorings_of_the_river_sample() -> None:
    moorings = build_route(voyage()).moorings
    rooskey, lanesborough = moorings[0], next(m for m in moorings if m.name == "Lanesborough")
    assert (rooskey.km, rooskey.leg, rooskey.place, rooskey.height_m) == (0.0, 0, 0, 40.0)
    assert (lanesborough.km, lanesborough.leg, lanesborough.place) == (25.0, 0, 1)
    assert (lanesborough.shore_w, lanesborough.shade_percent) == (3600.0, 10.0)
    along = [m for m in moorings if m.leg == 0 and m.place is None]
    assert [m.km for m in along] == pytest.approx([5.0, 10.0, 15.0, 20.0])
    assert [m.name for m in along] == ["km 5", "km 10", "km 15", "km 20"]
    assert [m.height_m for m in along] == pytest.approx([39.2, 38.4, 37.6, 36.8])
    assert {m.shade_percent for m in along} == {30.0}
    assert {m.shore_w for m in along} == {0.0}


def test_no_mooring_where_a_leg_or_a_place_forbids_it() -> None:
    moorings = build_route(voyage()).moorings
    assert not [m for m in moorings if m.leg == 1 and m.place is None]
    assert "Portumna" not in {m.name for m in moorings}
    assert moorings[-1].name == "Killaloe"


def test_first_and_last_place_always_moor() -> None:
    places = (Place("a", 53.0, -8.0, moor=False), Place("b", 53.1, -8.0, moor=False))
    legs = (Leg("a", "b", moor_anywhere=False),)
    assert [m.name for m in build_route(voyage(places, legs)).moorings] == ["a", "b"]


def test_headings_follow_the_bank_the_place_or_nothing() -> None:
    route = build_route(voyage())
    by_name = {m.name: m for m in route.moorings}
    down = course_deg((53.83, -7.92), (53.67, -7.99))
    for name in ("Rooskey", "km 5", "Lanesborough"):
        assert (by_name[name].heading_deg, by_name[name].either_way) == (pytest.approx(down, abs=0.1), True)
    assert (by_name["Athlone"].heading_deg, by_name["Athlone"].either_way) == (20.0, False)
    arriving = course_deg((52.9, -8.4), (52.81, -8.44))
    assert (by_name["Killaloe"].heading_deg, by_name["Killaloe"].either_way) == (pytest.approx(arriving, abs=0.1), True)


def test_heading_is_unknown_on_a_lake_and_where_a_lake_leg_arrives() -> None:
    places = (Place("a", 53.0, -8.0), Place("b", 53.1, -8.0), Place("c", 53.2, -8.0))
    legs = (Leg("a", "b", "lake"), Leg("b", "c", "canal"))
    a, lake, b, *_, c = build_route(voyage(places, legs, mooring_every_km=6.0)).moorings
    assert [(m.heading_deg, m.either_way) for m in (a, lake, b)] == [(None, False)] * 3
    assert c.either_way


@EXAMPLES
@given(voyages())
def test_moorings_divide_each_leg_evenly(given_voyage: Voyage) -> None:
    route = build_route(given_voyage)
    km = [m.km for m in route.moorings]
    assert km == sorted(km)
    for leg, length in enumerate(route.distance_km):
        along = [m.km - route.start_km[leg] for m in route.moorings if m.leg == leg and m.place is None]
        gaps = np.diff([0.0, *along, length])
        assert np.all(gaps <= given_voyage.mooring_every_km + 1e-6)
        assert np.allclose(gaps, gaps[0], atol=1e-6)
        assert all(0.5 <= x <= length - 0.5 for x in along)
        if along:  # one fewer would be too few
            assert length / len(along) > given_voyage.mooring_every_km * (1 - 1e-6)


@EXAMPLES
@given(voyages())
def test_moorings_stand_where_the_route_does(given_voyage: Voyage) -> None:
    route = build_route(given_voyage)
    along = [m for m in route.moorings if m.place is None]
    if along:
        lat, lon = np.array([(m.lat, m.lon) for m in along]).T
        assert apart_m(route.position([m.km for m in along]), (lat, lon)) < 0.01
        assert route.leg_at([m.km for m in along]).tolist() == [m.leg for m in along]


def test_moorings_closer_than_half_a_kilometre_to_an_end_are_left_out() -> None:
    places = (Place("a", 53.0, -8.0), Place("b", 53.1, -8.0))
    route = build_route(voyage(places, (Leg("a", "b", distance_km=2.0),), mooring_every_km=0.25))
    assert [m.km for m in route.moorings] == [0.0, 0.5, 0.75, 1.0, 1.25, 1.5, 2.0]


def test_events_lie_evenly_or_where_the_file_puts_them() -> None:
    route = build_route(voyage())
    assert route.events(0) == (Event(6.25, "lock"), Event(18.75, "lock"))
    assert route.events(1) == (Event(route.distance_km[1] / 2, "bridge"),)
    assert route.events(2) == (Event(20.0, "lock"), Event(31.0, "lock"))
    assert route.events(3) == ()


def test_lock_beyond_the_measured_leg_is_one_sentence() -> None:
    legs = (*RIVER_LEGS[:1], Leg("Lanesborough", "Athlone", "lake", locks=1, lock_at_km=(40.0,)), *RIVER_LEGS[2:])
    with pytest.raises(InputError, match=r"Lanesborough to Athlone: lock_at_km 40 lies beyond the leg's 28\.0. km"):
        build_route(voyage(legs=legs))


def test_goeta_canal_locks_keep_their_mean_spacing() -> None:
    """190.5 km and 58 locks (public figures); rounded ends at Sjoetorp and Mem."""
    places = (Place("Sjoetorp", 58.84, 13.98), Place("Mem", 58.48, 16.42))
    route = build_route(voyage(places, (Leg("Sjoetorp", "Mem", distance_km=190.5, locks=58),)))
    km = [event.km for event in route.events(0)]
    assert len(km) == 58
    assert np.allclose(np.diff(km), 190.5 / 58)
    assert distance_m((58.84, 13.98), (58.48, 16.42)) < 190_500.0


@pytest.mark.parametrize(
    ("start", "end", "km"),
    [
        (Place("Amsterdam", 52.37, 4.97), Place("Tiel", 51.90, 5.43), 72.0),
        (Place("Brunsbuettel", 53.89, 9.14), Place("Holtenau", 54.37, 10.15), 98.6),
    ],
)
def test_canals_are_as_long_as_their_authorities_say(start: Place, end: Place, km: float) -> None:
    """Amsterdam-Rijnkanaal 72 km, Kiel Canal 98.6 km (public figures): longer than the straight line, halves equal."""
    route = build_route(voyage((start, end), (Leg(start.name, end.name, distance_km=km),)))
    straight_km = distance_m((start.lat, start.lon), (end.lat, end.lon)) / 1000
    assert route.start_km[-1] == pytest.approx(km)
    assert 0.8 * km < straight_km < km
    middle = tuple(float(x) for x in route.position(km / 2))
    halves = [distance_m((p.lat, p.lon), middle) / 1000 for p in (start, end)]
    assert halves == pytest.approx([straight_km / 2] * 2, rel=1e-3)


def fiji() -> Route:
    places = (Place("Suva", -18.1, 178.4), Place("Taveuni", -16.8, -179.9), Place("Lakeba", -18.2, -178.8))
    legs = (Leg("Suva", "Taveuni", "open", moor_anywhere=False), Leg("Taveuni", "Lakeba", "coastal"))
    return build_route(voyage(places, legs))


def test_date_line_is_no_detour() -> None:
    route = fiji()
    assert route.start_km[-1] < 450.0
    _, lon = route.position(np.arange(0.0, route.start_km[-1], 1.0))
    assert np.all(np.abs(lon) > 178.0)
    assert np.all((route.course_deg[0] < 90.0) & (route.course_deg[1] > 90.0))


def test_zero_length_legs_and_round_trips_do_not_crash() -> None:
    places = (Place("a", 53.0, -8.0), Place("b", 53.0, -8.0), Place("c", 53.1, -8.0))
    legs = (Leg("a", "b"), Leg("b", "c", via=((53.0, -8.0),)), Leg("c", "c", distance_km=8.0), Leg("c", "b"))
    route = build_route(voyage(places, legs))
    assert route.distance_km[[0, 2]].tolist() == [0.0, 8.0]
    assert route.leg_at(0.0) == 1
    still = [m for m in route.moorings if m.leg == 2]
    assert [m.heading_deg for m in still] == [None] * len(still)
    assert np.all(np.isfinite(route.course(np.linspace(0.0, route.start_km[-1], 50))))
    assert [m.leg for m in reversed_route(route).moorings if m.place is not None] == [0, 0, 1, 2, 3]


@EXAMPLES
@given(voyages())
def test_way_back_mirrors_the_way_out(given_voyage: Voyage) -> None:
    out = build_route(given_voyage)
    back = reversed_route(out)
    total = out.start_km[-1]
    km = np.linspace(0.0, total, 23)
    assert apart_m(back.position(km), out.position(total - km)) < 0.01
    assert [m.km for m in back.moorings] == pytest.approx([total - m.km for m in out.moorings[::-1]])
    assert [m.name for m in back.moorings] == [m.name for m in out.moorings[::-1]]
    assert [leg.current_mps for leg in back.legs] == [-0.3] * len(out.legs)
    for leg in range(len(out.legs)):
        there, again = out.events(len(out.legs) - 1 - leg), back.events(leg)
        assert [e.km for e in again] == pytest.approx([back.distance_km[leg] - e.km for e in there[::-1]], abs=1e-9)


@EXAMPLES
@given(voyages())
def test_way_back_is_the_route_of_the_voyage_back(given_voyage: Voyage) -> None:
    back = reversed_route(build_route(given_voyage))
    built = build_route(voyage(given_voyage.places, back.legs, mooring_every_km=given_voyage.mooring_every_km))
    km = np.linspace(0.0, back.start_km[-1], 23)
    assert apart_m(back.position(km), built.position(km)) < 1.0
    assert [(m.leg, m.place) for m in back.moorings] == [(m.leg, m.place) for m in built.moorings]
    turns = (np.asarray(back.course_deg) - built.course_deg + 180.0) % 360.0 - 180.0
    moved = [leg for leg, turn in enumerate(turns) if abs(turn) > 0.01 and not build_is_closed(built, leg)]
    assert moved == []


def build_is_closed(route: Route, leg: int) -> bool:
    """A leg that returns to its start has no mean course worth comparing."""
    (a, b), (c, d) = (route.position(route.start_km[leg + k]) for k in (0, 1))
    return distance_m((float(a), float(b)), (float(c), float(d))) < 0.02 * 1000.0 * route.distance_km[leg] + 1.0


def test_way_back_turns_streams_and_forgets_asked_nights() -> None:
    back = reversed_route(build_route(voyage()))
    assert (back.legs[0].start, back.legs[0].end) == ("Killaloe", "Portumna")
    assert back.legs[-1].current_mps == -0.2
    assert back.legs[1].lock_at_km == (28.0, 39.0)
    assert back.legs[1].nights == 0
    assert back.events(1) == (Event(28.0, "lock"), Event(39.0, "lock"))


def test_course_back_is_opposite() -> None:
    out = build_route(voyage())
    back, km = reversed_route(out), out.start_km[-1] - 3.21
    assert (back.course(3.21) - out.course(km)) % 360.0 == pytest.approx(180.0)
