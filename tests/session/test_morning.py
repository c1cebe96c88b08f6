"""What is left of a morning: the same as a plan begun there says, for any day of the schedule."""

from pathlib import Path
from typing import Any

import pytest

from voyager.session.morning import left
from voyager.session.plan import plan

ROUTES = Path(__file__).parents[2] / "routes"


@pytest.fixture(scope="module")
def told() -> Any:
    return plan(str(ROUTES / "winter.toml"))


def test_it_answers_for_the_plan_last_told_alone(told: Any) -> None:
    day = told["days"][2]
    assert left(3, day["date"], day["charge_start_kwh"]) is not None
    assert left(3, day["date"], day["charge_start_kwh"] + 0.5) is None
    assert left(3, "2020-01-01", day["charge_start_kwh"]) is None
    assert left(999, day["date"], day["charge_start_kwh"]) is None


def test_it_is_what_a_plan_from_that_morning_says() -> None:
    """A plan that begins on the day itself, at its first hour with its charge, has another horizon and the same day."""
    path = str(ROUTES / "winter.toml")
    days: Any = plan(path)["days"]
    going = [day for day in days if day["mark"] == "underway"][:4]
    answers: list[Any] = [left(day["day"], day["date"], day["charge_start_kwh"]) for day in going]
    compared = 0
    for day, answer in zip(going, answers, strict=True):
        start = f"08:00 km {day['start_km']} {day['charge_start_kwh']:.7f}kWh"
        again: Any = plan(path, {"departs": day["date"]}, start=start)
        if again["from"]["to"] != day["mooring"] or again["days"][0]["pace_w"] != day["pace_w"]:
            continue
        compared += 1
        assert answer["slow"] is (again["from"]["do"] == "slow")
        assert answer["fallback"] == again["from"]["fallback"]
        assert answer["no_return"] == again["from"]["no_return"]
    assert compared >= 1


def test_a_day_that_stays_has_no_point_of_no_return(told: Any) -> None:
    plan(str(ROUTES / "winter.toml"))
    for day in told["days"]:
        answer = left(day["day"], day["date"], day["charge_start_kwh"])
        assert answer is not None
        if day["mark"] != "underway":
            assert answer["no_return"] is None
        elif answer["no_return"] is not None:
            assert day["start_km"] - 1e-3 <= answer["no_return"]["km"] <= day["end_km"] + 1e-3
