"""A trip told leg by leg: locks and miles of the narrow canals."""

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from typing import Any

import numpy as np
import pytest

from tests.planner.samples import vessel, voyage
from voyager.planner.frame import build_frame
from voyager.planner.kept import Kept
from voyager.planner.sail import Sail, sail
from voyager.planner.walks import PLAIN, build_walker
from voyager.route.leg import Leg
from voyager.route.place import Place
from voyager.route.voyage import Voyage

MILE_KM = 1.609344
HIGH_WATER = datetime(2027, 6, 8, 6, tzinfo=UTC)
ENDS = (Place("Foot", 52.0, -1.0), Place("Head", 52.1, -1.0))


@pytest.mark.parametrize(("miles", "locks"), [(9, 0), (6, 3), (3, 7), (1, 12)])
def test_a_narrow_canal_is_done_at_three_lock_miles_an_hour(miles: int, locks: int) -> None:
    """Rule of thumb of the narrow canals: a lock takes 15 to 20 minutes, miles and locks together go three to the
    hour. At 3 mph through the water with a lock's usual time, that is what a trip takes."""
    leg = Leg("Foot", "Head", distance_km=miles * MILE_KM, locks=locks, speed_mps=3 * MILE_KM / 3.6)
    asked = voyage(places=ENDS, legs=(leg,), departs=date(2027, 6, 7), mooring_every_km=50.0)
    walker = build_walker(build_frame(vessel(), asked, 1))
    trip = sail(walker, 0, 0, 1, 0)
    assert 15 <= leg.lock_min <= 20
    assert trip.parts[0].hours == pytest.approx((miles + locks) / 3)
    assert trip.locks == locks
    assert trip.parts[0].complete


def test_the_parts_of_a_trip_add_up_to_it() -> None:
    """Over two legs: kilometres, hours, energy and locks."""
    walker = build_walker(build_frame(vessel(), voyage(departs=date(2027, 6, 7)), 1))
    last = len(walker.route.moorings) - 1
    trip = sail(walker, 0, 0, last, len(walker.pace_w) - 1)
    assert [part.leg for part in trip.parts] == [0, 1]
    assert sum(part.km for part in trip.parts) == pytest.approx(30.0)
    away = trip.path.arrive_h[0] - trip.path.depart_h[0]
    assert sum(part.hours for part in trip.parts) == pytest.approx(away - trip.path.wait_h[0])
    assert sum(part.kwh for part in trip.parts) == pytest.approx(float(np.sum(trip.path.kwh_by_hour)))
    assert trip.locks == 2


def test_back_it_is_told_in_the_numbers_of_the_way_ahead() -> None:
    walker = build_walker(build_frame(vessel(), voyage(departs=date(2027, 6, 7)), 1), back=True)
    trip = sail(walker, 0, 3, 1, 5, back=True)
    assert trip.back
    assert (int(trip.path.start[0]), int(trip.path.end[0])) == (3, 1)


TIDAL = {"water": "river", "tide_high_water": HIGH_WATER, "tide_flood_mps": 0.8}


@pytest.mark.parametrize("leg", [0, 1])
@pytest.mark.parametrize(("before", "after"), [
    ({}, {}), ({}, {"locks": 2}), ({"locks": 1}, {"locks": 1, "lock_min": 35.0}), ({}, {"speed_mps": 1.2}),
    ({"locks": 1}, {"locks": 1, "open_min": (720, 900)}), ({}, {"current_mps": 0.3}), ({}, {"distance_km": 14.0}),
    ({}, {"depth_m": 1.2}), ({}, {"width_m": 8.0}), ({}, {"shade_percent": 60.0}), ({}, {"tunnel_km": 3.0}),
    ({}, {"limit_mps": 1.1}), ({}, {"water": "river"}), ({"water": "river"}, TIDAL),
    (TIDAL, {**TIDAL, "tide_high_water": HIGH_WATER + timedelta(hours=3)}), (TIDAL, {**TIDAL, "tide_flood_mps": 0.4}),
])  # fmt: skip
def test_a_trip_made_before_is_made_anew_where_its_way_is_another(
    leg: int, before: dict[str, Any], after: dict[str, Any]
) -> None:
    """After any edit, beside what was kept of the way before, it is the trip of a plan by itself."""
    plain, kept = voyage(departs=date(2027, 6, 7)), Kept()

    def with_leg(values: dict[str, Any]) -> Voyage:
        legs = [replace(one, **values) if number == leg else one for number, one in enumerate(plain.legs)]
        return replace(plain, legs=tuple(legs))

    own, edited = with_leg(before), with_leg(after)
    for asked in (own, edited):
        frame = build_frame(vessel(), asked, 2, kept=kept)
        last = len(frame.route.moorings) - 1
        found = [sail(build_walker(frame), 1, a, b, 5) for a, b in ((0, 2), (1, 3), (2, last))]
        alone = build_walker(build_frame(vessel(), asked, 2))
        for one, (a, b) in zip(found, ((0, 2), (1, 3), (2, last)), strict=True):
            assert_alike(one, sail(alone, 1, a, b, 5))


def assert_alike(one: Sail, other: Sail) -> None:
    """Two trips the same digit by digit; mounts have numbers of their own."""
    assert (one.parts, one.pace_w, one.back) == (other.parts, other.pace_w, other.back)
    for name in ("node_h", "node_km", "node_wait_h"):
        np.testing.assert_array_equal(getattr(one, name), getattr(other, name))
    for name in (*PLAIN, "kwh_by_hour", "poor_kwh_by_hour", "moving", "station"):
        np.testing.assert_array_equal(getattr(one.path, name), getattr(other.path, name))
