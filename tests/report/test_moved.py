"""What moved: by hand-made changes of the sample plan, each figure worked out here."""

from copy import deepcopy
from typing import Any

import pytest

from tests.report.samples import sure_plan
from voyager.report.moved import Moved, moved, moved_lines


@pytest.fixture
def before() -> dict[str, Any]:
    return sure_plan()


def rows(before: dict[str, Any], after: dict[str, Any]) -> dict[str, Moved]:
    return {row.name: row for row in moved(before, after)}


def test_nothing_moved(before: dict[str, Any]) -> None:
    assert moved(before, deepcopy(before)) == []
    assert moved_lines(before, deepcopy(before)) == ["nothing moved"]


def test_what_is_not_seen_has_not_moved(before: dict[str, Any]) -> None:
    after = deepcopy(before)
    after["days"][0]["solar_kwh"] += 0.001
    after["odds"]["shore"]["chance"] += 0.004
    assert moved(before, after) == []


def test_arrival_and_departure(before: dict[str, Any]) -> None:
    before["voyage"]["departs"], before["arrives"] = "2027-12-27", "2027-12-30"
    after = deepcopy(before)
    after["voyage"]["departs"], after["arrives"] = "2027-12-20", "2028-01-02"
    found = rows(before, after)
    assert str(found["departs"]) == "departs Mon 27 Dec → Mon 20 Dec (7 days earlier)"
    assert str(found["arrives"]) == "arrives Thu 30 Dec 2027 → Sun 2 Jan 2028 (3 days later)"
    assert (found["departs"].good, found["arrives"].good) == (None, False)


def test_no_arrival_at_all(before: dict[str, Any]) -> None:
    after = deepcopy(before)
    after["arrives"] = None
    assert rows(before, after)["arrives"].now == "not in the days looked at"
    assert rows(before, after)["arrives"].good is False
    assert rows(after, before)["arrives"].good is True


def test_charge_shore_and_warmth(before: dict[str, Any]) -> None:
    after = deepcopy(before)
    full = before["boat"]["capacity_kwh"]
    low = min(day["charge_low_kwh"] for day in before["days"])
    first, shore = after["days"][0], sum(day["shore_kwh"] for day in before["days"])
    stops = [day for day in before["days"] if day["shore_kwh"]]
    first.update(charge_low_kwh=0.1 * full, shore_kwh=first["shore_kwh"] + 3.0, warm_hours=0.0, held=False)
    found = rows(before, after)
    assert found["lowest charge"][:3] == ("lowest charge", str(int(100 * low / full + 1e-6)), "10 %")
    assert found["lowest charge"].good is False
    assert (found["shore"].was, found["shore"].now, found["shore"].by) == (
        f"{shore:.1f}",
        f"{shore + 3:.1f} kWh",
        "+3.0 kWh",
    )
    assert found["shore stops"].by == "+1"
    assert found["shore stops"].was == str(len({day["mooring"] for day in stops}))
    assert found["days not held"].good is False
    asked = sum(day["asked_hours"] for day in before["days"])
    warm = sum(day["warm_hours"] for day in after["days"])
    assert found["warm"].now == f"{warm:.0f} of {asked:.0f} h"
    assert found["warm"].by.startswith("−")
    assert found["warm"].good is False


def test_chances_in_points(before: dict[str, Any]) -> None:
    after = deepcopy(before)
    after["odds"]["shore"]["chance"], before["odds"]["shore"]["chance"] = 0.12, 0.31
    after["odds"]["arrival"] |= {"p50": "2027-03-12", "p90": None, "never": 0.2}
    found = rows(before, after)
    assert str(found["chance of shore power"]) == "chance of shore power 31 → 12 % (−19 points)"
    assert found["chance of shore power"].good is True
    assert str(found["half arrive by"]) == "half arrive by Sat 13 Mar → Fri 12 Mar (1 day earlier)"
    assert found["nine in ten arrive by"].now == "not in the days looked at"
    assert found["chance never to arrive"].good is False


def test_in_time_where_a_date_is_asked_for(before: dict[str, Any]) -> None:
    before["voyage"]["by"] = "2027-03-14"
    after = deepcopy(before)
    after["voyage"]["by"] = "2027-03-17"
    assert str(rows(before, after)["in time"]) == "in time 71 % → 93 %"


def test_odds_stand_only_where_both_plans_have_them(before: dict[str, Any]) -> None:
    after = deepcopy(before)
    after["odds"]["shore"]["chance"] = 0.9
    assert moved(before, after)
    assert moved(before, {**after, "odds": None}) == []


def test_fewer_skies_are_said(before: dict[str, Any]) -> None:
    after = deepcopy(before)
    after["odds"]["members"] = 200
    assert moved_lines(before, after) == ["odds from 1,000 → 200 skies"]


def test_a_plan_without_days(before: dict[str, Any]) -> None:
    after = {**deepcopy(before), "days": [], "arrives": None}
    assert rows(before, after)["lowest charge"].now == "-"
