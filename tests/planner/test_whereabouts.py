"""Where the boat is at any hour, against the day that was sailed."""

from functools import lru_cache

import numpy as np
import pytest

from tests.planner.samples import vessel, voyage
from voyager.planner.outlook import Outlook, look
from voyager.planner.whereabouts import whereabouts


@lru_cache
def found() -> Outlook:
    return look(vessel(), voyage())


def test_a_day_under_way_begins_and_ends_where_the_plan_says() -> None:
    """Before casting off, halfway, and late in the evening; the sample canal runs due north."""
    plan = found()
    sailed = [day for day in plan.schedule.days if day.sail is not None]
    assert sailed
    for day in sailed:
        path = day.sail.path
        first, last = (plan.frame.route.moorings[plan.built.stops.mooring[stop]] for stop in (day.start, day.end))
        cast_off, made_fast = float(path.depart_h[0]), float(path.arrive_h[0])
        hours = np.asarray([cast_off - 0.01, (cast_off + made_fast) / 2, 23.9])
        here = whereabouts(plan.frame, plan.built, day, hours)
        assert here.km[[0, 2]] == pytest.approx([first.km, last.km])
        assert first.km < here.km[1] < last.km
        assert np.isnan(here.course_deg).tolist() == [True, False, True]
        assert (here.course_deg[1] + 180) % 360 == pytest.approx(180.0, abs=0.5)
        assert (here.lat[2], here.lon[2]) == pytest.approx((last.lat, last.lon), abs=1e-4)


def test_at_rest_it_stays() -> None:
    plan = found()
    after = whereabouts(plan.frame, plan.built, plan.schedule.days[-1], np.asarray([20.0]))
    assert after.km == pytest.approx([float(plan.frame.route.start_km[-1])])
    assert np.isnan(after.course_deg).all()
