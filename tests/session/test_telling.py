"""Single figures of a told plan where the schedule alone does not say them."""

from dataclasses import replace
from datetime import date

import numpy as np

from tests.planner.samples import PLACES, battery, vessel, voyage
from voyager.planner.outlook import Outlook, look
from voyager.session.telling import days_told
from voyager.session.values import utc

DARK = {
    "departs": date(2027, 12, 20),
    "places": (PLACES[0], replace(PLACES[1], shore_w=0.0), PLACES[2]),
    "charge_at_start_percent": 60.0,
}


def _small() -> Outlook:
    """Midwinter with 6 kWh and no plug: too little for any heating."""
    return look(vessel(battery=battery(6.0)), voyage(**DARK))


def test_a_cabin_left_cold_tells_how_cold_it_gets_in_the_hours_asked_for() -> None:
    """At ``off`` nobody heats, yet ``cabin_low_c`` belongs to the hours of the voyage's own step."""
    found = _small()
    days = days_told(found.frame, found.built, found.schedule)
    assert {day["comfort"] for day in days} == {"off"}
    for day, lived in zip(days, found.schedule.days, strict=True):
        assert day["asked_hours"] == 6.0
        assert day["warm_hours"] == 0.0
        low = day["cabin_low_c"]
        assert isinstance(low, float)
        assert lived.outside_c.min() < low < 15.0
        assert low >= round(float(lived.ledger.air_c.min()), 2)


def test_where_nothing_is_asked_there_is_no_low() -> None:
    found = look(vessel(), voyage(comfort="off"))
    assert [day["cabin_low_c"] for day in days_told(found.frame, found.built, found.schedule)] == [None]


def test_instants_are_utc_to_the_second() -> None:
    assert utc(np.datetime64("2027-03-04T07:15:00", "s")) == "2027-03-04T07:15:00Z"
