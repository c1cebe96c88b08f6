"""A trip told leg by leg: locks and miles of the narrow canals."""

from datetime import date

import numpy as np
import pytest

from tests.planner.samples import vessel, voyage
from voyager.planner.frame import build_frame
from voyager.planner.sail import sail
from voyager.planner.walks import build_walker
from voyager.route.leg import Leg
from voyager.route.place import Place

MILE_KM = 1.609344
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
