"""On from the log: the plan begins where the last readings say, the days past stand as they were."""

import json
from datetime import UTC, date, datetime
from pathlib import Path
from typing import Any

import pytest

from tests.session.voyages import write
from voyager.errors import InputError
from voyager.files.log import Log, log_path
from voyager.logbook.entries import Entry
from voyager.planner.kept import Kept
from voyager.planner.start import Start
from voyager.report.plan_text import plan_text
from voyager.session.onward import onward
from voyager.session.plan import plan
from voyager.session.stages import stages


def utc(day: int, hour: int, minute: int = 0) -> datetime:
    return datetime(2027, 3, day, hour, minute, tzinfo=UTC)


LOG = (
    Entry(utc(1, 8), place="Ashby", charge_kwh=16.0),
    Entry(utc(1, 18), place="Beck", charge_kwh=14.0, solar_kwh=3.0, inside_c=15.0, outside_c=6.0),
    Entry(utc(2, 8), charge_kwh=12.0, solar_kwh=0.0, note="frost on deck"),
    Entry(utc(2, 11, 30), km=16.5, charge_kwh=11.0, solar_kwh=1.5),
)


@pytest.fixture(scope="module")
def path(tmp_path_factory: pytest.TempPathFactory) -> str:
    path = write(tmp_path_factory.mktemp("onward"), leg="earliest = 2027-03-02")
    with Log(log_path(path), create=True) as log:
        log.add(LOG)
    return path


@pytest.fixture(scope="module")
def gone_on(path: str) -> Any:
    return json.loads(json.dumps(plan(path, start="log")))


def test_where_the_boat_is(path: str) -> None:
    found = onward(path)
    assert found is not None
    assert found["departs"] == date(2027, 3, 2)
    assert found["start"] == Start(3.5, 16.5, 11.0, True)
    assert (found["day"], found["time_utc"]) == (2, "2027-03-02T11:30:00Z")


def test_readings_still_to_come_are_passed_over(path: str) -> None:
    found = onward(path, now=utc(2, 9))
    assert found is not None
    assert found["start"] == Start(0.0, 12.0, 12.0, True)


def test_without_a_log_there_is_nowhere_to_go_on_from(tmp_path: Path) -> None:
    path = write(tmp_path)
    assert onward(path) is None
    with pytest.raises(InputError, match="no log yet"):
        plan(path, start="log")
    assert not Path(log_path(path)).exists()


def test_the_plan_is_that_of_the_same_place_hour_and_charge(path: str, gone_on: Any) -> None:
    want = json.loads(json.dumps(plan(path, {"departs": "2027-03-02"}, start="11:30 km 16.5 11kWh")))
    assert {key: gone_on[key] for key in want} == want
    assert gone_on["voyage"]["departs"] == gone_on["days"][0]["date"] == "2027-03-02"
    assert gone_on["days"][0]["day"] == 1


def test_the_days_past_stand_as_they_were(gone_on: Any) -> None:
    first, today = gone_on["past"]
    assert (first["day"], first["voyage_day"], first["date"], first["mark"]) == (-1, 1, "2027-03-01", "logged")
    assert (first["from"], first["mooring"], first["start_km"], first["end_km"]) == ("Ashby", "Beck", 0.0, 12.0)
    assert (first["charge_start_kwh"], first["charge_end_kwh"], first["solar_kwh"]) == (16.0, 12.0, 3.0)
    assert (first["propulsion_kwh"], first["outside_c"]) == (None, 6.0)
    assert (today["day"], today["voyage_day"], today["length_h"]) == (1, 2, 3.5)
    assert (today["charge_end_kwh"], today["end_km"], today["notes"]) == (11.0, 16.5, ["frost on deck"])
    assert gone_on["log"]["voyage_day"] == 2


def test_the_text_shows_the_past_first(gone_on: Any) -> None:
    text = plan_text(gone_on)
    assert text.index("Days past, by the log") < text.index("From here") < text.index("Departs")
    assert "The plan's day 1 is the voyage's day 2." in " ".join(text.split())
    assert max(map(len, text.splitlines())) <= 80


def test_drafts_know_the_past_too(path: str, gone_on: Any) -> None:
    one, last = stages(path, members=(0, 4), start="log", kept=Kept())
    assert json.loads(json.dumps(one["past"])) == last["past"] == gone_on["past"]
    assert one["from"]["km"] == last["from"]["km"] == 16.5


@pytest.mark.parametrize(
    ("entries", "leaves"),
    [
        ([(1, 18, "Beck")], "2027-03-03"), ([(1, 18, "Beck"), (2, 8, "Beck")], "2027-03-03"),
        ([(1, 18, "Beck"), (2, 15, "Beck")], "2027-03-03"), ([(1, 18, "Beck"), (3, 8, "Beck")], "2027-03-03"),
    ],
)  # fmt: skip
def test_a_whole_day_asked_for_is_lain_once(tmp_path: Path, entries: list[tuple[int, int, str]], leaves: str) -> None:
    """Made fast on the first evening where one day is asked for: on the third day it goes on, whenever it is asked."""
    path = write(tmp_path, charge=90)
    Path(path).write_text(Path(path).read_text("utf-8").replace("locks = 2", "nights = 1"), "utf-8")
    with Log(log_path(path), create=True) as log:
        log.add([Entry(utc(1, 8), place="Ashby", charge_kwh=18.0)])
        log.add([Entry(utc(day, hour), place=place, charge_kwh=16.0) for day, hour, place in entries])
    made: Any = plan(path, start="log")
    assert next(day["date"] for day in made["days"] if day["mark"] == "underway") == leaves


def test_the_log_says_when_not_the_user(path: str) -> None:
    with pytest.raises(InputError, match="leave the departure away"):
        plan(path, {"departs": "2027-03-05"}, start="log")
