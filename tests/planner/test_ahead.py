"""The one-sky plan's days as its tables tell them, against the same plan lived hour by hour."""

from dataclasses import replace
from pathlib import Path

import pytest

from tests.planner.samples import LEGS, battery, vessel, voyage
from voyager.boat.vessel import Vessel
from voyager.files.voyage_file import load_voyage
from voyager.planner.ahead import arrival
from voyager.planner.outlook import look
from voyager.route.voyage import Voyage

ROUTES = Path(__file__).parents[2] / "routes"


def both(boat: Vessel, here: Voyage) -> tuple[tuple[int | None, int], tuple[int | None, int]]:
    found = look(boat, here)
    schedule = found.schedule
    return arrival(found.frame, found.built, found.policy), (schedule.arrived, len(schedule.days))


@pytest.mark.parametrize("name", ["spring", "winter"])
@pytest.mark.parametrize("percent", [35.0, 80.0])
def test_the_demos_arrive_on_the_day_that_is_lived(name: str, percent: float) -> None:
    loaded = load_voyage(ROUTES / f"{name}.toml")
    told, lived = both(loaded.vessel, replace(loaded.voyage, charge_at_start_percent=percent))
    assert told == lived
    assert told[0] is not None


def test_nights_at_the_end_are_days_after_the_arrival() -> None:
    legs = (*LEGS[:-1], replace(LEGS[-1], nights=3))
    told, lived = both(vessel(), voyage(legs=legs))
    assert told == lived
    assert told[0] is not None
    assert told[1] == told[0] + 4


def test_a_voyage_that_does_not_arrive() -> None:
    legs = (*LEGS[:-1], replace(LEGS[-1], closed=((voyage().departs, voyage().departs.replace(year=2029)),)))
    told, lived = both(vessel(battery=battery(20.0)), voyage(legs=legs))
    assert told == lived
    assert told[0] is None
