"""``voyager log`` through the command line, on a real log; planning and planned against actual are stood for."""

import json
from pathlib import Path
from typing import Any

import pytest

from tests.cli.support import stand_in, voyager
from tests.session.voyages import write
from voyager.errors import InputError

Capture = pytest.CaptureFixture[str]
TEXT = "2027-03-02 14:00 Beck 61% sun 3.2 in 17 out 4: blocked filter"


@pytest.fixture
def voyage(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> str:
    def actual(*_: object, **__: object) -> None:
        raise InputError("nothing to hold against yet")

    stand_in(monkeypatch, "voyager.session.plan", plan=lambda *_, **__: {"days": [{"day": 1, "date": "2027-03-01"}]})
    stand_in(monkeypatch, "voyager.session.actual", actual=actual)
    return write(tmp_path)


def test_an_entry_is_noted_shown_changed_and_removed(voyage: str, capsys: Capture) -> None:
    status, out, _ = voyager(capsys, "log", voyage, "--add", TEXT)
    assert (status, "Entry 1 noted." in out, "Beck" in out, "blocked filter" in out) == (0, True, True, True)
    assert Path(voyage).with_name("voyage.log.sqlite").exists()
    status, out, _ = voyager(capsys, "log", voyage)
    assert (status, "voyage.log.sqlite: 1 entry" in out, "nothing to hold against yet" in out) == (0, True, True)
    assert "Entry 1 changed." in voyager(capsys, "log", voyage, "--change", "1", "in 15")[1]
    assert " 15.0 " in voyager(capsys, "log", voyage, "--entries")[1]
    assert "Entry 1 removed." in voyager(capsys, "log", voyage, "--remove", "1")[1]
    empty = voyager(capsys, "log", voyage, "--entries")[1]
    assert "No entries yet" in empty
    assert '  voyager log VOYAGE --add "14:00 km 20 61% sun 3.2 in 17 out 4: note"' in empty.splitlines()


def test_the_first_entry_keeps_a_plan(voyage: str, capsys: Capture) -> None:
    from voyager.session.log import plans_kept

    for _ in range(2):
        voyager(capsys, "log", voyage, "--add", TEXT)
    assert plans_kept(voyage) == 1


def test_everything_as_json(voyage: str, capsys: Capture, tmp_path: Path) -> None:
    def asked(*words: str) -> Any:
        status, out, _ = voyager(capsys, "log", voyage, "--json", *words)
        assert status == 0
        found = json.loads(out)
        assert next(iter(found)) == "format"
        return found

    entry = asked("--add", TEXT)
    assert (entry["done"], entry["entry"]["charge_percent"], entry["entry"]["source"]) == ("noted", 61.0, "command")
    file = tmp_path / "m.csv"
    file.write_text("time,km\n2027-03-02T08:00Z,5\n", "utf-8")
    assert asked("--import", str(file))["added"] == 1
    shown = asked()
    assert [one["km"] for one in shown["entries"]] == [5.0, 12.0]
    assert (shown["actual"], shown["notes"]) == (None, ["nothing to hold against yet"])
    assert "actual" not in asked("--entries")
    assert asked("--remove", "2")["entry"]["km"] == 5.0


def test_only_the_last_entries_are_shown_unless_all_are_asked_for(voyage: str, capsys: Capture, tmp_path: Path) -> None:
    file = tmp_path / "m.csv"
    file.write_text("time,km\n" + "".join(f"2027-03-02T{hour:02}:00Z,{hour}\n" for hour in range(20)), "utf-8")
    voyager(capsys, "log", voyage, "--import", str(file))
    assert "20 entries, the last 12 here; --entries shows all" in voyager(capsys, "log", voyage)[1]
    assert "20 entries\n" in voyager(capsys, "log", voyage, "--entries")[1]


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["--add", "14:00"], "says nothing but a time"),
        (["--counters"], "--counters goes with --import FILE"),
        (["--change", "x", "61%"], "'x' is not the number of an entry"),
        (["--change", "7", "61%"], "the log has no entry 7"),
        (["--remove", "0"], "'0' is not the number of an entry"),
        (["--remove", "1", "--add", "61%"], "not allowed with"),
        (["--import", "none.csv"], "no such file"),
    ],
)
def test_what_is_wrong_is_one_sentence_and_nothing_is_written(
    voyage: str, capsys: Capture, words: list[str], said: str
) -> None:
    status, out, err = voyager(capsys, "log", voyage, *words)
    assert (status, out, err.count("\n"), said in err) == (2, "", 1, True), err
    assert "No entries yet" in voyager(capsys, "log", voyage, "--entries")[1]
