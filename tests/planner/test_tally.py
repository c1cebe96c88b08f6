"""Odds of few members counted by hand, and properties that hold for any."""

from datetime import date, timedelta
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from voyager.planner.tally import Voyages, shore_stops, tally

FIRST = date(2027, 3, 1)


def voyages(members: int = 4, days: int = 5, **given: Any) -> Voyages:
    """Members that lie still, plug in nowhere and never arrive, but for what is given."""
    each, daily = np.zeros(members), np.zeros((members, days))
    base: dict[str, Any] = {
        "arrive_day": np.full(members, -1), "arrive_days": each + np.nan, "plugged": daily > 0,
        "plug_place": np.full((members, days), -1), "shore_kwh": daily, "below": each > 0, "not_held": each > 0,
        "solar_kwh": each, "spilled_kwh": each, "heating_kwh": each, "propulsion_kwh": each, "asked_h": each,
        "warm_h": each, "charge_end_kwh": daily, "km": daily,
        "dates": [FIRST + timedelta(day) for day in range(days)], "places": ("Alder Quay", "Bere Lock"),
    }  # fmt: skip
    return Voyages(**base | given)


def test_arrival_counted_by_hand() -> None:
    """Ten members: one arrives on day 2, five on day 3, two on day 4, two never."""
    arrive = np.array([1, 2, 2, 2, 2, 2, 3, 3, -1, -1])
    odds: Any = tally(voyages(10, arrive_day=arrive, arrive_days=np.where(arrive < 0, np.nan, arrive + 0.5)), 7)
    arrival = odds["arrival"]
    assert (odds["members"], odds["seed"]) == (10, 7)
    assert (arrival["p10"], arrival["p50"], arrival["p90"]) == ("2027-03-02", "2027-03-03", None)
    assert [(row["date"], row["chance"]) for row in arrival["by_date"]] == [
        ("2027-03-02", 0.1), ("2027-03-03", 0.6), ("2027-03-04", 0.8), ("2027-03-05", 0.8)
    ]  # fmt: skip
    assert arrival["never"] == 0.2
    assert arrival["mean_days"] == 2.6, "mean of 1.5, 5 of 2.5, 2 of 3.5 is 2.625, its error 0.23: one decimal"
    assert arrival["se_days"] == 0.23
    assert [day["arrived"] for day in odds["days"]] == [0, 0.1, 0.6, 0.8, 0.8]


def test_nobody_arrives() -> None:
    arrival: Any = tally(voyages(), 1)["arrival"]
    assert [arrival[key] for key in ("p10", "p50", "p90", "mean_days", "se_days")] == [None] * 5
    assert (arrival["by_date"], arrival["never"]) == ([], 1.0)


def test_a_single_member_has_no_error() -> None:
    odds: Any = tally(voyages(1, arrive_day=np.array([2]), arrive_days=np.array([2.4])), 1)
    assert (odds["arrival"]["mean_days"], odds["arrival"]["se_days"], odds["shore"]["stops_se"]) == (2.0, None, None)


def test_days_end_when_all_have_arrived() -> None:
    odds: Any = tally(voyages(2, 9, arrive_day=np.array([1, 4]), arrive_days=np.array([1.5, 4.5])), 1)
    assert [day["day"] for day in odds["days"]] == [1, 2, 3, 4, 5]


def test_dates_of_hardly_any_chance_are_left_out() -> None:
    """0.4 % and 99.6 % are outside 0.005 … 0.995, their ends inside."""
    arrive = np.repeat([0, 1, 2, 3, 4], [4, 1, 990, 1, 4])
    arrival: Any = tally(voyages(1000, arrive_day=arrive, arrive_days=arrive + 0.5), 1)["arrival"]
    assert [row["date"] for row in arrival["by_date"]] == ["2027-03-02", "2027-03-03"]


def test_stays_with_a_plug_are_stops() -> None:
    """Two evenings at one mooring are one stop, also with an evening without between; another mooring is another."""
    km = np.array([[5.0, 5, 9, 9, 9], [5, 5, 5, 9, 5], [0, 0, 0, 0, 0]])
    plug = np.array([[1, 1, 0, 1, 1], [1, 0, 1, 1, 1], [0, 0, 0, 0, 0]]) > 0
    assert shore_stops(voyages(3, km=km, plugged=plug)).tolist() == [2, 3, 0]


def test_shore_power_counted_by_hand() -> None:
    """Of four, two plug in at Alder Quay (mooring 0) for 6 and 9 + 3 kWh, one of them at Bere Lock for 2."""
    plugged, place, kwh = np.zeros((4, 5), bool), np.full((4, 5), -1), np.zeros((4, 5))
    km = np.tile([0.0, 0, 0, 8, 8], (4, 1))
    for member, day, number, energy in ((0, 1, 0, 6.0), (1, 0, 0, 9.0), (1, 1, 0, 3.0), (1, 4, 1, 2.0)):
        plugged[member, day], place[member, day], kwh[member, day] = True, number, energy
    shore: Any = tally(voyages(plugged=plugged, plug_place=place, shore_kwh=kwh, km=km), 1)["shore"]
    assert shore["chance"] == 0.5
    assert shore["stops_mean"] == 0.8, "0.75 with an error of 0.48"
    assert shore["kwh_mean"] == 5.0, "0, 0, 6 and 14 kWh: 5 with an error of 3.3"
    assert [(row["place"], row["chance"], row["kwh_mean"]) for row in shore["places"]] == [
        ("Alder Quay", 0.5, 9.0), ("Bere Lock", 0.25, 2.0)
    ]  # fmt: skip


def test_two_moorings_of_one_name_are_one_place() -> None:
    plugged, place = np.zeros((4, 5), bool), np.full((4, 5), -1)
    plugged[:2, 0], place[0, 0], place[1, 0] = True, 0, 1
    shore: Any = tally(voyages(plugged=plugged, plug_place=place, places=("Quay", "Quay")), 1)["shore"]
    assert [(row["place"], row["chance"]) for row in shore["places"]] == [("Quay", 0.5)]


def test_energy_and_warmth_carry_only_their_digits() -> None:
    """100 members of 70 ± 5 kWh: error 0.5, so a tenth; spread of nought keeps the decimals that there are."""
    solar = np.where(np.arange(100) % 2, 75.0, 65.0) + 0.04321
    found: Any = tally(voyages(100, solar_kwh=solar, asked_h=np.full(100, 66.25), warm_h=np.arange(100.0)), 1)
    assert found["energy"]["solar_kwh_mean"] == 70.0
    assert found["warmth"]["asked_hours"] == 66.25
    assert found["warmth"]["warm_hours_mean"] == 50.0, "49.5 with an error of 2.9: whole hours"
    assert found["warmth"]["warm_hours_p10"] == 9.0


def test_members_followed_no_more_leave_the_band() -> None:
    charge = np.array([[10.0, np.nan], [20, 20], [20, 20], [20, 20]])
    days: Any = tally(voyages(days=2, charge_end_kwh=charge), 1)["days"]
    assert [days[1][f"charge_end_{name}_kwh"] for name in ("p10", "p50", "p90")] == [20.0] * 3
    assert days[0]["charge_end_p10_kwh"] < days[0]["charge_end_p50_kwh"]
    nobody: Any = tally(voyages(days=2, charge_end_kwh=charge * np.nan), 1)["days"]
    assert nobody[0]["charge_end_p50_kwh"] is None


def test_the_arrived_stay_at_the_end_of_the_route() -> None:
    """Three of four arrive on the first day; the last one is still at km 10 on the second."""
    km = np.array([[30.0, np.nan]] * 3 + [[5.0, 10.0]])
    arrive = np.array([0, 0, 0, 2])
    whole = np.column_stack([km, [np.nan] * 3 + [30.0]])
    found = voyages(days=3, km=whole, arrive_day=arrive, arrive_days=arrive + 0.5)
    days: Any = tally(found, 1)["days"]
    assert [days[1][f"km_{name}"] for name in ("p10", "p50", "p90")] == [10.0, 30.0, 30.0]
    assert [days[2][f"km_{name}"] for name in ("p10", "p50", "p90")] == [30.0] * 3


@settings(deadline=None, max_examples=60)
@given(st.integers(1, 300), st.integers(1, 20), st.integers(0, 9999))
def test_what_holds_for_any_voyages(members: int, days: int, number: int) -> None:
    rng = np.random.default_rng(number)
    arrive = rng.integers(-1, days, members)
    plugged = rng.random((members, days)) < 0.2
    place = np.where(plugged, rng.integers(0, 2, (members, days)), -1)
    odds: Any = tally(
        voyages(members, days, arrive_day=arrive, arrive_days=arrive + 0.5, plugged=plugged, plug_place=place,
                shore_kwh=plugged * 2.0, km=np.cumsum(rng.integers(0, 2, (members, days)), axis=1) * 5.0,
                charge_end_kwh=rng.random((members, days)) * 28, below=rng.random(members) < 0.1), number,
    )  # fmt: skip
    chances = [row["chance"] for row in odds["arrival"]["by_date"]]
    assert chances == sorted(chances)
    assert [day["arrived"] for day in odds["days"]] == sorted(day["arrived"] for day in odds["days"])
    assert len(odds["days"]) == (int(arrive.max()) + 1 if (arrive >= 0).all() else days)
    assert [odds["arrival"][key] for key in ("p10", "p50", "p90")] == [
        _first_date(arrive, days, percent) for percent in (10, 50, 90)
    ]
    for row in (odds["shore"], odds["below_reserve"], odds["not_held"], *odds["shore"]["places"]):
        assert row["low"] <= row["chance"] <= row["high"]
    for day in odds["days"]:
        assert day["charge_end_p10_kwh"] <= day["charge_end_p50_kwh"] <= day["charge_end_p90_kwh"]
    assert odds["shore"]["stops_mean"] <= plugged.sum() / members + 0.5


def _first_date(arrive: Any, days: int, percent: int) -> str | None:
    """The slow way: the first day by whose end the share has arrived."""
    for day in range(days):
        if 100 * ((arrive >= 0) & (arrive <= day)).sum() >= percent * len(arrive):
            return (FIRST + timedelta(day)).isoformat()
    return None


@pytest.mark.parametrize("key", ["below", "not_held"])
def test_bad_days_are_counted_by_member(key: str) -> None:
    found: Any = tally(voyages(20, **{key: np.arange(20) < 3}), 1)
    assert found[{"below": "below_reserve", "not_held": "not_held"}[key]]["chance"] == 0.15
