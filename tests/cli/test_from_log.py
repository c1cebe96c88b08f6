"""``voyager plan --from log``: on from the last readings; the plan is kept for the days to come."""

from datetime import UTC, datetime
from pathlib import Path

import pytest

from tests.cli.support import voyager
from tests.session.voyages import write
from voyager.files.log import Log, log_path
from voyager.logbook.entries import Entry

Capture = pytest.CaptureFixture[str]


def utc(day: int, hour: int) -> datetime:
    return datetime(2027, 3, day, hour, tzinfo=UTC)


def test_the_days_past_stand_first_and_the_plan_is_kept(tmp_path: Path, capsys: Capture) -> None:
    path = write(tmp_path)
    with Log(log_path(path), create=True) as log:
        log.add([Entry(utc(1, 8), km=0.0, charge_kwh=16.0), Entry(utc(2, 8), place="Beck", charge_kwh=12.0)])
    status, out, _ = voyager(capsys, "plan", path, "--from", "log", "--members", "0")
    assert status == 0
    assert out.index("Days past, by the log") < out.index("Departs Tue 2 Mar 2027")
    with Log(log_path(path)) as log:
        [kept] = log.plans()
    assert kept.days[0]["date"] == "2027-03-02"
    assert kept.days[0]["charge_start_kwh"] == 12.0


def test_without_a_log_it_is_a_sentence_and_no_file(tmp_path: Path, capsys: Capture) -> None:
    path = write(tmp_path)
    status, out, said = voyager(capsys, "plan", path, "--from", "log")
    assert (status, out) == (2, "")
    assert "no log yet" in said
    assert not Path(log_path(path)).exists()


def test_the_log_and_a_departure_both_say_when(tmp_path: Path, capsys: Capture) -> None:
    status, out, said = voyager(capsys, "plan", write(tmp_path), "--from", "log", "--depart", "2027-03-04")
    assert (status, out) == (2, "")
    assert "leave the departure away" in said
