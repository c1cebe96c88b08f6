"""The hours of a plan against its days, and against what a skipper would work out from the files."""

from datetime import datetime
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

import pytest

from tests.session.voyages import write
from voyager.session.hours import FLOWS
from voyager.session.plan import plan

ROUTES = Path(__file__).parents[2] / "routes"
COMFORT = ((6.5, 8.5, 14.0), (18.0, 22.0, 15.0))
"""The sample boat's step ``plain``: civil hours and degrees; 5 otherwise, as FILES section 2 has it."""


@pytest.fixture(scope="module", params=["spring", "winter", "locks", "middle"])
def told(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Any:
    if request.param == "locks":
        leg = 'locks = 3\nopen_hours = ["12:00", "15:00"]'
        return plan(write(tmp_path_factory.mktemp("locks"), leg=leg))
    if request.param == "middle":
        return plan(write(tmp_path_factory.mktemp("middle")), start="11:20 km 3 70%")
    return plan(str(ROUTES / f"{request.param}.toml"))


def test_the_hours_add_up_to_the_day(told: Any) -> None:
    for day in told["days"]:
        for name in FLOWS:
            total = sum(hour[f"{name}_kwh"] for hour in day["hours"])
            assert total == pytest.approx(day[f"{name}_kwh"], abs=1e-6), (day["day"], name)
        assert sum(hour["underway_h"] for hour in day["hours"]) == pytest.approx(day["hours_underway"], abs=3e-3)
        assert sum(hour["waiting_h"] for hour in day["hours"]) == pytest.approx(day["waiting_h"], abs=3e-3)


def test_each_hour_closes(told: Any) -> None:
    for day in told["days"]:
        before = day["charge_start_kwh"]
        for hour in day["hours"]:
            gained = hour["solar_kwh"] + hour["shore_kwh"] - hour["spilled_kwh"]
            spent = sum(hour[f"{name}_kwh"] for name in ("propulsion", "hotel", "heating", "loss"))
            assert hour["charge_kwh"] == pytest.approx(before + gained - spent, abs=1e-6)
            before = hour["charge_kwh"]
        assert before == pytest.approx(day["charge_end_kwh"], abs=1e-6)
        assert max(hour["floor_kwh"] for hour in day["hours"]) <= day["floor_kwh"] + 1e-6


def test_power_is_drawn_on_the_way_only(told: Any) -> None:
    """The energy of a stretch is spread evenly over it, a wait on it included."""
    for hour in (hour for day in told["days"] for hour in day["hours"]):
        away = hour["underway_h"] + hour["waiting_h"]
        assert 0 <= away <= 1 + 1e-3
        assert (hour["propulsion_kwh"] > 0) is (away > 0) or hour["unserved_kwh"] > 0


def test_warmth_is_asked_for_by_the_clock(tmp_path: Path) -> None:
    told: Any = plan(write(tmp_path))
    for day in (day for day in told["days"] if day["comfort"] == "plain"):
        for hour in day["hours"][12:]:
            ends = datetime.fromisoformat(hour["ends_utc"]).astimezone(ZoneInfo("Europe/Dublin"))
            clock = ends.hour + ends.minute / 60 - 1e-6
            wish = next((c for first, last, c in COMFORT if first < clock <= last), None)
            assert hour["asked"] is (wish is not None)
            assert hour["setpoint_c"] == (5.0 if wish is None else wish)


def test_a_boat_waits_where_the_lock_is_shut(tmp_path: Path) -> None:
    """Locks on the first leg open at 12:00 by the clock (UTC in Dublin's March): made fast before one until then."""
    path = write(tmp_path, leg='locks = 3\nopen_hours = ["12:00", "15:00"]')
    told: Any = plan(path)
    waits = [hour for day in told["days"] for hour in day["hours"] if hour["waiting_h"] > 0]
    assert waits
    assert all(hour["ends_utc"][11:13] in {"11", "12"} for hour in waits)
