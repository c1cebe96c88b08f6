"""How sure a plan is, in words: every figure of the odds stands in the text, and the warnings come when they must."""

from datetime import date, timedelta
from pathlib import Path
from typing import Any

import pytest

from tests.report.samples import sure_plan
from tests.report.test_plan_text import against_golden
from voyager.report.odds import chance_by, charge_lines, date_lines, sure_lines
from voyager.report.plan_text import plan_text

GOLDEN = Path(__file__).parents[1] / "golden" / "plan-sure-80.txt"


@pytest.fixture
def plan() -> dict[str, Any]:
    return sure_plan()


def said(plan: dict[str, Any]) -> str:
    return " ".join(" ".join(sure_lines(plan, 80)).split())


def test_golden(plan: dict[str, Any]) -> None:
    """The sample read by eye: its figures are hand-made, the layout is what the file keeps."""
    against_golden(plan_text(plan), GOLDEN)


@pytest.mark.parametrize("width", [80, 104, 140])
def test_no_line_is_wider_than_the_terminal(plan: dict[str, Any], width: int) -> None:
    assert max(map(len, plan_text(plan, width).splitlines())) <= width


def test_the_figures_stand_in_the_text(plan: dict[str, Any]) -> None:
    text = said(plan)
    for part in (
        "one in ten by Thu 11 Mar 2027, half by Sat 13 Mar 2027, nine in ten by Wed 17 Mar 2027",
        "12.6 days on average (standard error 0.06); 0.2 % never arrive in the days looked at",
        "31 % (28-34 %) plug in; 0.41 stops (standard error 0.02) and 3.9 kWh on average",
        "Athlone 22 % (20-25 %), 9.8 kWh there",
        "1 more place, under 1 %",
        "1 % (0.5-2 %) fall below it",
        "3 % (2-4 %) have a day that is not held",
        "67.9 of 69.2 hours as asked on average; nine in ten have 61 or more",
        "sun 71.4 kWh (2.1 of it spilt), motor 23.8, heat 24.5 kWh",
    ):
        assert part in text


def test_without_odds_nothing_is_said(plan: dict[str, Any]) -> None:
    plan.update(odds=None, card=[])
    text = plan_text(plan)
    assert "How sure" not in text
    assert "Morning card" not in text
    assert "of the skies" not in text


@pytest.mark.parametrize(("mean", "text"), [(0.4, "0.4 stops"), (1, "1 stop "), (1.0, "1 stop "), (1.2, "1.2 stops")])
def test_one_stop_is_one(plan: dict[str, Any], mean: float, text: str) -> None:
    plan["odds"]["shore"]["stops_mean"] = mean
    assert text in said(plan)


@pytest.mark.parametrize(("chance", "warned"), [(0.1, False), (0.11, True)])
def test_a_guarantee_that_fails_often_is_said(plan: dict[str, Any], chance: float, warned: bool) -> None:
    plan["odds"]["not_held"]["chance"] = chance
    assert ("have a day that is not held: more than one in ten" in said(plan)) is warned


def test_a_share_that_never_arrives_has_no_date(plan: dict[str, Any]) -> None:
    plan["odds"]["arrival"] |= {"p90": None, "never": 0.3}
    assert "half by Sat 13 Mar 2027, fewer than nine in ten in the days looked at" in said(plan)
    plan["odds"]["arrival"] |= {"p10": None, "p50": None, "mean_days": None, "se_days": None, "by_date": []}
    assert "Arrival fewer than one in ten in the days looked at" in said(plan)
    assert "Hardly any arrives in these days." in plan_text(plan)


def test_dates_that_are_one_are_told_once(plan: dict[str, Any]) -> None:
    plan["odds"]["arrival"] |= {"p10": "2027-03-13", "never": 0.0, "se_days": 4.8e-05, "mean_days": 12.16201}
    text = said(plan)
    assert "Arrival one in ten and half by Sat 13 Mar 2027, nine in ten by Wed 17 Mar 2027" in text
    assert "12.2 days on average (standard error under 0.05); all of them arrive" in text


def test_few_places_are_listed_and_the_rest_counted(plan: dict[str, Any]) -> None:
    row = plan["odds"]["shore"]["places"][0]
    plan["odds"]["shore"]["places"] = [row | {"place": f"Quay {n}", "chance": 0.2 - 0.02 * n} for n in range(9)]
    assert "Quay 5 10 %" in said(plan)
    assert "3 more places, 8 % or less each" in said(plan)
    plan["odds"]["shore"]["places"] = [row | {"chance": 0.004}]
    assert "on average 1 place, under 1 % Reserve" in said(plan)
    plan["odds"]["shore"] |= {"chance": 0.0, "low": 0.0, "high": 0.004, "places": []}
    assert "Shore power 0 % (0-0.4 %) plug in Reserve" in said(plan)


def test_the_chance_of_the_one_skys_date_stands_beside_it(plan: dict[str, Any]) -> None:
    opening = " ".join(plan_text(plan).split("How sure")[0].split())
    assert "arrives Fri 12 Mar 2027: 12 days. 36 % of the skies have arrived by then." in opening


@pytest.mark.parametrize(
    ("day", "text"),
    [("2027-03-09", "under 0.5 %"), ("2027-03-10", "2 %"), ("2027-03-19", "99 %"), ("2027-04-30", "99.8 %")],
)
def test_chance_by_a_date(plan: dict[str, Any], day: str, text: str) -> None:
    assert chance_by(plan["odds"], day) == text


def test_being_in_time_is_said_where_it_is_asked(plan: dict[str, Any]) -> None:
    plan["voyage"]["by"] = "2027-03-16"
    assert "In time 87 % by Tue 16 Mar 2027, as asked" in said(plan)


def test_all_on_one_day(plan: dict[str, Any]) -> None:
    plan["odds"]["arrival"] |= {"by_date": [], "never": 0.0}
    assert chance_by(plan["odds"], "2027-03-13") == "100 %"
    assert chance_by(plan["odds"], "2027-03-12") == "under 0.5 %"
    assert "Hardly any arrives on another day than Sat 13 Mar 2027." in plan_text(plan)


def test_many_dates_are_thinned_and_the_last_change_kept(plan: dict[str, Any]) -> None:
    days = [(date(2027, 3, 1) + timedelta(n)).isoformat() for n in range(60)]
    rows = [{"date": day, "chance": min(0.02 * n + 0.01, 0.91), "low": 0.0, "high": 1.0} for n, day in enumerate(days)]
    plan["odds"]["arrival"]["by_date"] = rows
    lines = date_lines(plan["odds"])
    assert len(lines) <= 16
    assert "91 %" in lines[-1]
    assert "15 Apr" in lines[-1], "0.91 is first reached on the 46th day"


def test_the_band_of_charge_has_each_day_in_its_row(plan: dict[str, Any]) -> None:
    """Rows of 4 kWh for a battery of 28; the first day's P50 of 22.4 stands in the row of 20, the reserve at 4."""
    lines = charge_lines(plan)
    rows = {line[:2].strip(): line[3:] for line in lines[:-1]}
    assert list(rows) == ["28", "24", "20", "16", "12", "8", "4", "0"]
    assert rows["20"].split()[0] == "o"
    assert rows["24"].index("|") == rows["20"].index("o"), "its P90 of 25.6 stands above it, in the row of 24"
    assert set(rows["4"]) == {"."}
    assert "1 Mar" in lines[-1]
    assert all(line.isascii() for line in lines)


def test_a_long_voyage_keeps_to_the_width(plan: dict[str, Any]) -> None:
    plan["odds"]["days"] = [plan["odds"]["days"][0]] * 200
    assert max(map(len, charge_lines(plan))) <= 80
    plan["odds"]["days"] = []
    assert charge_lines(plan) == []


def test_days_without_members_leave_a_gap(plan: dict[str, Any]) -> None:
    plan["odds"]["days"][1] |= {f"charge_end_{name}_kwh": None for name in ("p10", "p50", "p90")}
    assert charge_lines(plan)
