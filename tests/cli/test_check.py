"""`voyager check` and `voyager schema`: what goes to stdout, to stderr, and the exit status."""

import json
import subprocess
import sys
from pathlib import Path

import pytest

from tests.cli.support import stand_in, voyager
from tests.files.support import PAIR, ROUTES, VOYAGES, pair

Capture = pytest.CaptureFixture[str]
HEAVY = {"pvlib", "scipy", "pandas", "textual", "numpy", "rich", "geopy", "tzfpy", "geographiclib"}
LOADED = """
import sys
from voyager.cli.main import main
status = main(["check", sys.argv[1]])
print(*sorted({name.split(".")[0] for name in sys.modules}), file=sys.stderr)
sys.exit(status)
"""


@pytest.mark.parametrize("name", VOYAGES)
def test_a_sound_voyage_is_said_to_be_sound(capsys: Capture, name: str) -> None:
    status, out, err = voyager(capsys, "check", str(ROUTES / name))
    assert (status, err) == (0, "")
    first, *notes = out.splitlines()
    assert first == f"{ROUTES / name}: no problems found"
    assert all(note.startswith("note: ") for note in notes)


def test_problems_go_to_stderr_one_a_line_and_nothing_to_stdout(tmp_path: Path, capsys: Capture) -> None:
    path = pair(tmp_path, voyage=("departs = 2027-03-01", "departs = 2027-02-30\nspeed = 3"), boat=("400", "-400"))
    status, out, err = voyager(capsys, "check", str(path))
    assert (status, out) == (2, "")
    lines = err.splitlines()
    assert [line.split(": ")[:2] for line in lines] == [
        [f"{path}:2", "departs"], [f"{path}:3", "speed"], [f"{tmp_path / 'boat.toml'}:6", "array[1].panel_wp"],
    ]  # fmt: skip


@pytest.mark.parametrize("name", ["nowhere.toml", ".", "", "a\x1bb"])
def test_what_is_no_file_is_one_sentence(capsys: Capture, name: str) -> None:
    status, out, err = voyager(capsys, "check", name)
    assert (status, out, len(err.splitlines())) == (2, "", 1)
    assert "\x1b" not in err


@pytest.mark.parametrize(("arrives", "status"), [("2027-03-11", 0), (None, 1)])
def test_strict_plans_too(monkeypatch: pytest.MonkeyPatch, capsys: Capture, arrives: object, status: int) -> None:
    result = {"voyage": {"sky": "cautious"}, "arrives": arrives, "short": None}
    stand_in(monkeypatch, "voyager.session.plan", plan=lambda path, progress: result)
    answered, out, err = voyager(capsys, "check", "--strict", str(PAIR / "shannon.toml"))
    assert (answered, err) == (status, "")
    assert ("arrives on 2027-03-11" if arrives else "no plan arrives") in out


def test_a_check_loads_nothing_heavy() -> None:
    run = [sys.executable, "-c", LOADED, str(ROUTES / "autumn.toml")]
    done = subprocess.run(run, capture_output=True, text=True, check=True)
    assert "no problems found" in done.stdout
    assert not HEAVY & set(done.stderr.split())
    assert "pydantic" in done.stderr.split()


@pytest.mark.parametrize("kind", ["boat", "voyage"])
def test_the_schema_is_printed_as_json(capsys: Capture, kind: str) -> None:
    status, out, err = voyager(capsys, "schema", kind)
    assert (status, err) == (0, "")
    assert json.loads(out)["$schema"].endswith("2020-12/schema")
    assert out.isascii()


def test_another_schema_is_refused(capsys: Capture) -> None:
    status, out, err = voyager(capsys, "schema", "ship")
    assert (status, out, len(err.splitlines())) == (2, "", 1)
