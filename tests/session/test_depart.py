"""One departure after another: rows as each voyage is planned on its own, the last that is in time, what is refused."""

from datetime import date, timedelta
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from tests.files.test_weather import csv_file
from tests.planner.test_tally import FIRST, voyages
from tests.session.voyages import write
from voyager.errors import Cancelled, InputError, Problems
from voyager.planner.estimates import wilson
from voyager.session import odds
from voyager.session.depart import depart, departure_told
from voyager.session.plan import plan

DATES = (date(2027, 3, 1), date(2027, 3, 4))
MEMBERS, SEED = 40, 3
Json = dict[str, Any]
TOP = ["format", "sure", "by", "latest", "members", "seed", "departures"]
ROW = ["departs", "arrival_p50", "arrival_p90", "in_time", "shore_stops_mean", "warm_share", "below_reserve"]


@pytest.fixture(scope="module")
def file(tmp_path_factory: pytest.TempPathFactory) -> str:
    """Two days of canal on a small battery that is low, due on the fourth."""
    keys = {"capacity_kwh": 9, "charge": 30, "top": "by = 2027-03-04"}
    return write(tmp_path_factory.mktemp("depart"), **keys)


@pytest.fixture(scope="module")
def told(file: str) -> Json:
    return depart(file, DATES, members=MEMBERS, seed=SEED)


def test_keys_and_dates(told: Json) -> None:
    assert list(told) == TOP
    assert all(list(row) == ROW for row in told["departures"])
    assert [row["departs"] for row in told["departures"]] == [f"2027-03-0{day}" for day in (1, 2, 3, 4)]
    assert (told["format"], told["members"], told["seed"], told["sure"], told["by"]) == (
        1,
        MEMBERS,
        SEED,
        0.8,
        "2027-03-04",
    )


def test_each_row_is_the_plan_of_that_departure(told: Json, file: str) -> None:
    """The odds that the plan itself prints for it."""
    compared = 0
    for row in told["departures"]:
        single: Any = plan(file, {"departs": row["departs"]}, members=MEMBERS, seed=SEED)["odds"]
        assert (row["arrival_p50"], row["arrival_p90"]) == (single["arrival"]["p50"], single["arrival"]["p90"])
        assert row["shore_stops_mean"] == single["shore"]["stops_mean"]
        assert row["below_reserve"] == single["below_reserve"]["chance"]
        by = {one["date"]: one for one in single["arrival"]["by_date"]}
        if "2027-03-04" in by:
            assert row["in_time"]["chance"] == by["2027-03-04"]["chance"]
            compared += 1
    assert compared == 2


def test_a_row_does_not_depend_on_the_others(told: Json, file: str) -> None:
    """Every departure sees the same skies on the same dates."""
    every = depart(file, DATES, members=MEMBERS, seed=SEED, every=2)["departures"]
    assert every == told["departures"][::2]
    alone = depart(file, (DATES[1], DATES[1]), members=MEMBERS, seed=SEED)["departures"]
    assert alone == told["departures"][3:]


def test_later_is_no_surer(told: Json) -> None:
    """Due on a date, a day fewer to get there; the last departure is the last that is sure enough."""
    chances = [row["in_time"]["chance"] for row in told["departures"]]
    assert chances == sorted(chances, reverse=True)
    assert chances[0] > 0.9 > chances[2] > 0.8 > chances[3]
    sure = [row["departs"] for row in told["departures"] if row["in_time"]["chance"] >= told["sure"]]
    assert told["latest"] == sure[-1]


def test_the_last_departure_by_how_sure_one_wants_to_be(told: Json, file: str) -> None:
    assert told["latest"] == "2027-03-03"
    got = depart(file, DATES, members=MEMBERS, seed=SEED, sure=0.9)
    assert got["latest"] == "2027-03-02"
    assert got["departures"] == told["departures"]
    assert depart(file, (DATES[1], DATES[1]), members=5, sure=0.1)["latest"] is None


def test_without_a_date_nothing_is_late(file: str, tmp_path: Path) -> None:
    got = depart(write(tmp_path, capacity_kwh=9, charge=55), DATES, members=5, every=3)
    assert (got["by"], got["latest"]) == (None, None)
    assert [row["in_time"] for row in got["departures"]] == [None, None]
    asked = depart(write(tmp_path), DATES, members=5, every=3, changes={"by": "2027-03-02"})
    assert asked["by"] == "2027-03-02"
    assert asked["departures"][-1]["in_time"]["chance"] == 0.0


def test_in_time_is_made_fast_by_the_end_of_that_date() -> None:
    """Members of which three of ten are there on the second day, six by the third: by hand, with Wilson's interval."""
    arrive = np.array([1, 1, 1, 2, 2, 2, 4, 4, -1, -1])
    run = voyages(10, arrive_day=arrive, arrive_days=np.where(arrive < 0, np.nan, arrive + 0.5))
    for days, count in ((0, 0), (1, 3), (2, 6), (3, 6), (4, 8), (30, 8)):
        in_time = departure_told(FIRST, run, FIRST + timedelta(days), 1)["in_time"]
        low, high = wilson(count, 10)
        assert in_time == {"chance": count / 10, "low": round(low, 2), "high": round(high, 2)}
    assert departure_told(FIRST, run, FIRST - timedelta(1), 1)["in_time"]["chance"] == 0.0
    assert departure_told(FIRST, run, None, 1)["in_time"] is None


def test_warmth_is_a_share_of_what_was_asked_for() -> None:
    """A quarter of the hours missing; nobody asks: nothing to tell."""
    warm = voyages(
        4, asked_h=np.full(4, 40.0), warm_h=np.full(4, 30.0), arrive_day=np.full(4, 1), arrive_days=np.full(4, 1.5)
    )
    assert departure_told(FIRST, warm, None, 1)["warm_share"] == 0.75
    assert departure_told(FIRST, voyages(4), None, 1)["warm_share"] is None


def test_dates_in_the_wrong_order_are_refused(file: str) -> None:
    with pytest.raises(InputError, match="2027-03-04 is after the last one 2027-03-01; write them as FIRST"):
        depart(file, (DATES[1], DATES[0]))


def test_departures_beyond_the_season_of_the_weather_file_are_refused(tmp_path: Path) -> None:
    """Seventy days from February: the first of March is in them, the first of August is not."""
    csv_file(tmp_path, days=70, start="2020-02-01", lat=53.1, lon=-8.0)
    path = write(tmp_path, top='weather = "w.csv"')
    assert len(depart(path, DATES, members=5)["departures"]) == 4
    with pytest.raises(InputError, match="another season than the voyage's from 2027-08-01"):
        depart(path, (DATES[0], date(2027, 8, 1)), every=153, members=5)


def test_what_is_wrong_with_the_files_is_said(tmp_path: Path) -> None:
    path = write(tmp_path, comfort="balmy")
    with pytest.raises(Problems, match="balmy"):
        depart(path, DATES, members=1)


def test_more_members_than_memory_holds_are_refused_before_anything_is_planned(
    file: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(odds, "_free_bytes", lambda: 10_000_000)
    heard: list[str] = []
    with pytest.raises(InputError, match=r"1000000 members over .* days need some .* GB of memory"):
        depart(file, DATES, members=1_000_000, progress=lambda share, text: heard.append(text))
    assert heard == []


def test_it_tells_how_far_it_is_and_stops_when_told(file: str) -> None:
    heard: list[tuple[float, str]] = []
    depart(file, DATES, members=5, every=2, progress=lambda share, text: heard.append((share, text)))
    assert all(0 <= share <= 1 for share, _ in heard)
    starts = [(share, text) for share, text in heard if text.startswith("leaving")]
    assert starts == [(0.0, "leaving on 2027-03-01"), (0.5, "leaving on 2027-03-03")]
    with pytest.raises(Cancelled):
        depart(file, DATES, members=5, cancelled=lambda: True)
