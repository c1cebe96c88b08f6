"""``voyager plan --depart FIRST..LAST`` on a faked session: what is asked for, what is refused, what is printed."""

import json
from copy import deepcopy
from datetime import date
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.cli.support import stand_in, voyager
from tests.report.samples import ODDS
from voyager.cli.departures import PLANNED, WITHOUT_EVERY, spacing

Capture = pytest.CaptureFixture[str]
RANGE = "2027-03-01..2027-03-25"


@pytest.fixture
def asked(monkeypatch: pytest.MonkeyPatch) -> dict[str, Any]:
    """What the session is asked for; it answers with the sample, or with what ``answer`` holds."""
    kept: dict[str, Any] = {"answer": deepcopy(ODDS["depart"])}

    def depart(path: str, dates: object, **options: object) -> object:
        kept.update(path=path, dates=dates, **options)
        return kept["answer"]

    stand_in(monkeypatch, "voyager.session.depart", depart=depart)
    return kept


def test_a_range_is_compared(asked: dict[str, Any], capsys: Capture) -> None:
    status, out, err = voyager(capsys, "plan", "v.toml", "--depart", RANGE, "--by", "2027-04-01", "--every", "4")
    assert (status, err) == (0, "")
    assert asked["dates"] == (date(2027, 3, 1), date(2027, 3, 25))
    assert asked["changes"] == {"by": "2027-04-01"}
    assert [asked[key] for key in ("path", "every", "sure", "members", "seed")] == ["v.toml", 4, 0.8, 1000, 1]
    assert "When is it too late to leave?" in out


def test_options_reach_the_session(asked: dict[str, Any], capsys: Capture) -> None:
    voyager(capsys, "plan", "v.toml", "--depart", RANGE, "--sure", "0.9", "--members", "200", "--seed", "7")
    assert [asked[key] for key in ("sure", "members", "seed")] == [0.9, 200, 7]


def test_json_is_the_comparison_with_format_first(asked: dict[str, Any], capsys: Capture) -> None:
    _, out, _ = voyager(capsys, "plan", "v.toml", "--depart", RANGE, "--json")
    assert json.loads(out) == {"format": 1} | asked["answer"]
    assert next(iter(json.loads(out))) == "format"


def test_dates_left_out_are_said(asked: dict[str, Any], capsys: Capture) -> None:
    _, _, err = voyager(capsys, "plan", "v.toml", "--depart", RANGE)
    assert asked["every"] == 2
    assert err == "voyager: planned every 2 days, 15 departures at most; --every 1 plans each day\n"
    _, _, err = voyager(capsys, "plan", "v.toml", "--depart", RANGE, "--every", "1")
    assert (asked["every"], err) == (1, "")


def test_a_comparison_in_which_nothing_arrives_has_status_1(asked: dict[str, Any], capsys: Capture) -> None:
    for one in asked["answer"]["departures"]:
        one.update(arrival_p50=None, arrival_p90=None)
    assert voyager(capsys, "plan", "v.toml", "--depart", RANGE)[0] == 1


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["--depart", "2027-03-25..2027-03-01"], "runs backwards; write 2027-03-01..2027-03-25"),
        (["--depart", "2027-03-01.."], "lacks an end"),
        (["--depart", "2027-03-01...2027-03-09"], "is not a date"),
        (["--depart", "2027-02-29..2027-03-09"], "2027-02-29 does not exist"),
        (["--depart", "2027-03-01..2027-04-30"], "holds 61 dates, 60 at most; shorten it or say how many days apart"),
        (["--depart", "1900-01-01..2900-01-01", "--every", "1"], "more than 366 departures; write --every"),
        (["--depart", RANGE, "--every", "0"], "'0' is not a whole number of days from 1 up"),
        (["--depart", RANGE, "--sure", "1.1"], "1.1 is not a chance"),
        (["--depart", RANGE, "--sure", "-0.1"], "-0.1 is not a chance"),
        (["--depart", RANGE, "--sure", "80%"], "80% is not a chance; write a number from 0 to 1"),
        (["--depart", RANGE, "--members", "0"], "needs skies"),
        (["--depart", RANGE, "--csv"], "--csv belongs to one departure"),
        (["--depart", RANGE, "--card"], "--card belongs to one departure"),
        (["--depart", RANGE, "--from", "14:00 km 63 61%"], "cannot stand beside a range"),
        (["--depart", "2027-03-01", "--sure", "0.9"], "--sure goes with a range"),
        (["--every", "3"], "--every goes with a range"),
        (["--members", "0", "--card"], "the morning card needs skies"),
        (["--members", "-3"], "whole number"),
        (["--members", "2.5"], "whole number"),
        (["--members", "9000000"], "too many skies; ask for 1000000 at most"),
        (["--members", "9" * 5000], "are too many skies; ask for 1000000 at most"),
        (["--seed", "1000000000"], "1000000000 is too large; 999999999 is the largest number taken"),
        (["--depart", RANGE, "--sure", "nan"], "nan is not a chance"),
        (["--card", "--json"], "not allowed with"),
    ],
)
def test_what_cannot_be_answered_is_refused_in_one_sentence(
    asked: dict[str, Any], capsys: Capture, words: list[str], said: str
) -> None:
    status, out, err = voyager(capsys, "plan", "v.toml", *words)
    assert (status, out, err.count("\n")) == (2, "", 1)
    assert said in err
    assert "path" not in asked


@given(st.integers(0, WITHOUT_EVERY - 1))
def test_at_most_fifteen_departures_unless_asked(more: int) -> None:
    first = date(2027, 3, 1)
    every = spacing((first, date.fromordinal(first.toordinal() + more)), None)
    assert len(range(0, more + 1, every)) <= PLANNED
    assert every == 1 or len(range(0, more + 1, every - 1)) > PLANNED


def test_the_spacing_that_a_long_range_is_told_is_taken() -> None:
    """The sentence of the test above says --every 5 for 61 dates."""
    assert spacing((date(2027, 3, 1), date(2027, 4, 30)), 5) == 5
