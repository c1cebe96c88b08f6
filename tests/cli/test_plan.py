"""``voyager plan`` on a faked session: forms of the answer, exit status, what is handed to the session."""

import csv
import io
import json
from typing import Any

import pytest

from tests.cli.support import sample, stand_in, voyager
from tests.report.samples import sure_plan

Capture = pytest.CaptureFixture[str]
ALL_CHANGES = ("--depart", "2027-03-05", "--sky", "good", "--aim", "calmest", "--by", "2027-04-01", "--comfort", "off")


@pytest.fixture
def asked(monkeypatch: pytest.MonkeyPatch) -> dict[str, Any]:
    """What the session is asked for; it answers with the sample, or with what ``answer`` holds."""
    kept: dict[str, Any] = {"answer": sample()}

    def plan(path: str, changes: object, **options: object) -> object:
        kept.update(path=path, changes=changes, **options)
        return kept["answer"]

    stand_in(monkeypatch, "voyager.session.plan", plan=plan)
    return kept


def test_text_at_80_columns(asked: dict[str, Any], capsys: Capture) -> None:
    status, out, err = voyager(capsys, "plan", "shannon.toml")
    assert (status, err, asked["path"], asked["changes"]) == (0, "", "shannon.toml", {})
    assert max(map(len, out.splitlines())) <= 80
    assert "Cautions" in out


def test_json_is_the_plan_with_format_first(asked: dict[str, Any], capsys: Capture) -> None:
    status, out, _ = voyager(capsys, "plan", "shannon.toml", "--json")
    assert status == 0
    assert json.loads(out) == asked["answer"]
    assert next(iter(json.loads(out))) == "format"


def test_csv_has_a_row_a_day(asked: dict[str, Any], capsys: Capture) -> None:
    _, out, _ = voyager(capsys, "plan", "shannon.toml", "--csv")
    rows = list(csv.DictReader(io.StringIO(out)))
    assert [row["mooring"] for row in rows] == [day["mooring"] for day in asked["answer"]["days"]]


@pytest.mark.parametrize("form", [(), ("--json",), ("--csv",)])
def test_a_plan_that_does_not_arrive_is_printed_with_status_1(
    asked: dict[str, Any], capsys: Capture, form: tuple[str, ...]
) -> None:
    asked["answer"]["arrives"] = None
    status, out, _ = voyager(capsys, "plan", "shannon.toml", *form)
    assert status == 1
    assert "Athlone" in out


def test_changes_carry_the_names_of_the_voyage_file(asked: dict[str, Any], capsys: Capture) -> None:
    voyager(capsys, "plan", "shannon.toml", *ALL_CHANGES)
    assert asked["changes"] == {
        "departs": "2027-03-05", "sky": "good", "aim": "calmest", "by": "2027-04-01", "comfort": "off",
    }  # fmt: skip


@pytest.mark.parametrize(
    ("words", "members", "seed", "start"),
    [
        ((), 1000, 1, None),
        (("--members", "0"), 0, 1, None),
        (("--members", "200", "--seed", "7", "--from", "14:00 km 63 61%"), 200, 7, "14:00 km 63 61%"),
    ],
)
def test_skies_and_start_reach_the_session(
    asked: dict[str, Any], capsys: Capture, words: tuple[str, ...], members: int, seed: int, start: str | None
) -> None:
    status, _, err = voyager(capsys, "plan", "shannon.toml", *words)
    assert (status, err) == (0, "")
    assert [asked[key] for key in ("members", "seed", "start")] == [members, seed, start]


@pytest.mark.parametrize(("words", "first"), [(("--card",), "Day 1,"), (("--card", "2"), "Day 3,")])
def test_the_card_alone(asked: dict[str, Any], capsys: Capture, words: tuple[str, ...], first: str) -> None:
    """The sample has mornings of days 1, 3 and 4."""
    asked["answer"] = sure_plan()
    status, out, err = voyager(capsys, "plan", "shannon.toml", *words)
    assert (status, err) == (0, "")
    assert out.startswith("Morning card: ")
    assert next(line for line in out.splitlines() if line.startswith("Day ")).startswith(first)
    assert "Totals" not in out
    assert len(out.splitlines()) <= 60
    assert "\f" not in out


@pytest.mark.parametrize(("day", "text"), [("5", "write --card 4 or less"), ("0", "a day from 1 up")])
def test_a_day_that_the_card_has_not(asked: dict[str, Any], capsys: Capture, day: str, text: str) -> None:
    asked["answer"] = sure_plan()
    status, out, err = voyager(capsys, "plan", "shannon.toml", "--card", day)
    assert (status, out) == (2, "")
    assert text in err


def test_a_card_asked_for_before_the_file_says_where_to_write_it(capsys: Capture) -> None:
    status, _, err = voyager(capsys, "plan", "--card", "shannon.toml")
    assert status == 2
    assert "write --card after VOYAGE" in err


def test_odds_stand_in_text_and_json(asked: dict[str, Any], capsys: Capture) -> None:
    asked["answer"] = sure_plan()
    _, out, _ = voyager(capsys, "plan", "shannon.toml")
    assert "How sure (1,000 skies, seed 1" in out
    _, out, _ = voyager(capsys, "plan", "shannon.toml", "--json")
    assert json.loads(out) == asked["answer"]
