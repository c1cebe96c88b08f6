"""The horizon that a voyage needs, and the size that can be planned."""

import pytest

from tests.planner.samples import vessel, voyage
from voyager.errors import InputError
from voyager.planner.frame import build_frame
from voyager.planner.outlook import SOON_SPARE_DAYS, look, plan_frame


def test_days_seen_go_past_the_arrival() -> None:
    found = look(vessel(), voyage())
    assert found.schedule.arrived is not None
    assert len(found.frame.days.dates) >= len(found.schedule.days) + SOON_SPARE_DAYS


def test_a_longer_horizon_finds_the_same_plan() -> None:
    found = look(vessel(), voyage())
    longer = plan_frame(build_frame(vessel(), voyage(), len(found.frame.days.dates) + 15))
    assert [day.end for day in longer.schedule.days] == [day.end for day in found.schedule.days]


def test_more_moorings_than_can_be_planned_are_refused_in_one_sentence() -> None:
    with pytest.raises(InputError, match=r"mooring_every_km = 0\.01 makes \d+ moorings"):
        look(vessel(), voyage(mooring_every_km=0.01))
