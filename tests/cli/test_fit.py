"""``voyager fit``: a CSV to text, JSON, a picture and the boat file; nothing is written unless somebody said so."""

import json
import subprocess
import sys
import tomllib
from pathlib import Path
from typing import Any

import jsonschema
import pytest

from tests.cli.support import voyager
from voyager.cli import output
from voyager.cli.completion import script
from voyager.session.fit_cautions import ALWAYS, texts

Capture = pytest.CaptureFixture[str]
BOAT = """name = "Tern"
[hull]
coefficient_w_per_mps3 = 80   # guessed
[[array]]
name = "roof"
panel_wp = 400
[battery]
capacity_kwh = 20
"""
NUMBER, TEXT = {"type": "number"}, {"type": "string"}


def table(**keys: Any) -> dict[str, Any]:
    return {"type": "object", "properties": keys, "required": list(keys)}


def rows(**keys: Any) -> dict[str, Any]:
    return {"type": "array", "items": table(**keys)}


FIT = table(
    format={"const": 1},
    kind={"const": "trial"},
    file=TEXT,
    rows={"type": "integer"},
    used={"type": "integer"},
    left_out=rows(row={"type": "integer"}, why=TEXT),
    model=TEXT,
    parameters=rows(
        name=TEXT, key={"type": ["string", "null"]}, value=NUMBER, se=NUMBER, low=NUMBER, high=NUMBER, unit=TEXT
    ),
    derived=rows(name=TEXT, value=NUMBER, se={"type": ["number", "null"]}, unit=TEXT),
    residual=table(rms=NUMBER, unit=TEXT),
    cautions={"type": "array", "items": TEXT},
    written={"type": ["string", "null"]},
)
"""The ``fit`` object of FILES section 6."""


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A boat of 72 W/(m/s)³ on a current of 0.4 km/h, run both ways at five speeds."""
    lines = ["speed_kmh,motor_w,direction,run"]
    for number, kmh in enumerate((5.0, 6.0, 7.0, 8.0, 9.0)):
        watts = round(72 * (kmh / 3.6) ** 3 * (1.01, 0.99)[number % 2])
        lines += [f"{kmh + 0.4:.2f},{watts},out,{number}", f"{kmh - 0.4:.2f},{watts},back,{number}"]
    (tmp_path / "runs.csv").write_text("\n".join(lines) + "\n", "utf-8")
    (tmp_path / "tern.toml").write_text(BOAT, "utf-8")
    monkeypatch.chdir(tmp_path)
    return tmp_path


def test_text(folder: Path, capsys: Capture) -> None:
    status, out, err = voyager(capsys, "fit", "trial", "runs.csv")
    assert (status, err) == (0, "")
    assert "hull coefficient" in out
    assert "keep clear of other boats" in " ".join(out.split())


def test_the_plot_is_plain_where_asked(folder: Path, capsys: Capture, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("VOYAGER_ASCII", "1")
    out = voyager(capsys, "fit", "trial", "runs.csv")[1]
    assert "... cube law" in out
    assert "⠒" not in out


def test_json_has_the_keys_of_the_page_in_its_order(folder: Path, capsys: Capture) -> None:
    status, out, _ = voyager(capsys, "fit", "trial", "runs.csv", "--json")
    found = json.loads(out)
    jsonschema.validate(found, FIT)
    assert [key for key in found if key in FIT["properties"]] == list(FIT["properties"])
    assert (status, found["written"], found["cautions"]) == (0, None, ["traffic"])
    (coefficient,) = [one for one in found["parameters"] if one["key"] == "hull.coefficient_w_per_mps3"]
    assert coefficient["low"] < 72 < coefficient["high"]


def test_into_shows_the_change_and_writes_nothing_unasked(folder: Path, capsys: Capture) -> None:
    status, out, err = voyager(capsys, "fit", "trial", "runs.csv", "--into", "tern.toml")
    assert status == 0
    assert "-coefficient_w_per_mps3 = 80   # guessed\n" in out
    assert err == "voyager: nothing was written; add --yes to put this into tern.toml\n"
    assert (folder / "tern.toml").read_text("utf-8") == BOAT


@pytest.mark.parametrize(("answer", "written"), [("y", True), ("yes", True), ("n", False), ("", False)])
def test_somebody_at_the_terminal_is_asked(
    folder: Path, capsys: Capture, monkeypatch: pytest.MonkeyPatch, answer: str, written: bool
) -> None:
    import io

    monkeypatch.setattr(output, "interactive", lambda: True)
    monkeypatch.setattr(sys, "stdin", io.StringIO(f"{answer}\n"))
    status, _, err = voyager(capsys, "fit", "trial", "runs.csv", "--into", "tern.toml")
    assert status == 0
    assert "put this into tern.toml? [y/n]" in err
    assert ((folder / "tern.toml").read_text("utf-8") != BOAT) == written
    assert err.endswith("written: tern.toml\n" if written else "nothing was written\n")


def test_a_boat_file_changed_while_the_question_stood_is_left(
    folder: Path, capsys: Capture, monkeypatch: pytest.MonkeyPatch
) -> None:
    def answer(question: str) -> bool:
        (folder / "tern.toml").write_text(BOAT + "# meanwhile\n", "utf-8")
        return True

    monkeypatch.setattr(output, "interactive", lambda: True)
    monkeypatch.setattr(output, "agreed", answer)
    status, _, err = voyager(capsys, "fit", "trial", "runs.csv", "--into", "tern.toml")
    assert status == 2
    assert "changed by another program meanwhile; nothing was written" in err
    assert (folder / "tern.toml").read_text("utf-8") == BOAT + "# meanwhile\n"


def test_yes_writes_value_error_and_source(folder: Path, capsys: Capture) -> None:
    status, out, _ = voyager(capsys, "fit", "trial", "runs.csv", "--into", "tern.toml", "--yes", "--json")
    assert (status, json.loads(out)["written"]) == (0, "tern.toml")
    text = (folder / "tern.toml").read_text("utf-8")
    boat = tomllib.loads(text)
    assert boat["hull"]["coefficient_w_per_mps3"] == pytest.approx(72, rel=0.02)
    assert boat["standard_error"]["hull.coefficient_w_per_mps3"] > 0
    assert "# before, 80: guessed\n" in text
    assert "voyager fit trial runs.csv, ± " in text
    capsys.readouterr()
    assert "says so already" in voyager(capsys, "fit", "trial", "runs.csv", "--into", "tern.toml", "--yes")[2]


def test_a_picture_is_written_by_its_ending(folder: Path, capsys: Capture) -> None:
    for name, start in (("p.svg", b"<?xml"), ("p.png", b"\x89PNG")):
        assert voyager(capsys, "fit", "trial", "runs.csv", "--picture", name)[0] == 0
        assert (folder / name).read_bytes().startswith(start)


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("trial", "none.csv"), "none.csv:1: no such file; check its name and directory"),
        (("trial", "runs.csv", "--picture", "p.gif"), "--picture p.gif: its name must end in .svg or .png"),
        (("trial", "runs.csv", "--picture", "no/p.svg"), "there is no folder"),
        (("trial", "runs.csv", "--yes"), "--yes belongs to --into BOAT: name the boat file too"),
        (("trial", "runs.csv", "--into", "none.toml"), "none.toml:1: no such file; check its name and directory"),
        (("trial", "runs.csv", "--waterline", "8"), "it has no option --waterline; did you mean --waterline-m?"),
        (("model", "runs.csv", "--water", "sea"), "voyager fit model: argument --water: invalid choice: 'sea'"),
        (("trial", "runs.csv", "--draught-m", "x"), "argument --draught-m: 'x' is not a number; write it like -33.9"),
        (("trial", "runs.csv", "--draught-m", "0,6"), "'0,6' is not a number; decimals take a point, so 0.6 may be"),
        (("model", "runs.csv", "--scale", "1:x"), "argument --scale: 'x' is not a number"),
        (("tria", "runs.csv"), "voyager fit: argument KIND: invalid choice: 'tria'"),
        (("heat", "runs.csv"), "runs.csv:1: has the columns of fit trial, not those of fit heat"),
    ],
)
def test_what_is_wrong_is_told_and_nothing_else(
    folder: Path, capsys: Capture, words: tuple[str, ...], told: str
) -> None:
    status, out, err = voyager(capsys, "fit", *words)
    assert (status, out) == (2, "")
    assert told in err
    assert sorted(path.name for path in folder.iterdir()) == ["runs.csv", "tern.toml"]
    assert (folder / "tern.toml").read_text("utf-8") == BOAT


def test_a_fit_that_cannot_be_says_what_to_measure(folder: Path, capsys: Capture) -> None:
    text = (folder / "runs.csv").read_text("utf-8")
    (folder / "one-way.csv").write_text("\n".join(line for line in text.splitlines() if "back" not in line), "utf-8")
    status, out, err = voyager(capsys, "fit", "trial", "one-way.csv")
    assert (status, out) == (2, "")
    assert err.startswith("one-way.csv: ")
    assert "run the distance both ways" in err


def test_a_position_in_the_south_and_west_is_a_plain_argument(folder: Path, capsys: Capture) -> None:
    (folder / "days.csv").write_text("date,energy_kwh\n2026-01-01,x\n", "utf-8")
    err = voyager(
        capsys, "fit", "panels", "days.csv", "--at", "-33.9,-70.6", "--height-m", "-2", "--boat", "tern.toml"
    )[2]
    assert err.startswith("days.csv:2: energy_kwh: must be a number")


@pytest.mark.parametrize(("typed", "told"), [("8", "missing"), ("1:8", "missing"), ("1:0.5", "scale is 0.5")])
def test_a_scale_may_be_a_ratio(folder: Path, capsys: Capture, typed: str, told: str) -> None:
    (folder / "m.csv").write_text("distance_m,seconds,force_g\n6,10,40\n", "utf-8")
    size = () if told == "missing" else ("--model-length-m", "1.4", "--wetted-m2", "0.3")
    err = voyager(capsys, "fit", "model", "m.csv", "--scale", typed, *size)[2]
    assert told in err
    assert "--scale" not in err


@pytest.mark.parametrize("kind", ["heat", "trial", "panels", "model", "roll"])
def test_help_says_which_columns_and_what_to_heed(capsys: Capture, kind: str) -> None:
    words = " ".join(voyager(capsys, "fit", kind, "--help")[1].split()).replace("- ", "-")
    own = {"heat": "heater_w", "trial": "direction (out, back)", "panels": "battery_full (yes, no)",
           "model": "force_n or force_g or power_w", "roll": "period_s or roll_s"}  # fmt: skip
    assert own[kind] in words
    assert all(text in words for text in texts(ALWAYS[kind]))


def test_help_is_light() -> None:
    code = (
        "import sys; from voyager.cli.main import main; main(['fit', 'heat', '--help']); "
        "print([name for name in ('numpy', 'rich', 'pandas', 'scipy', 'matplotlib') if name in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.endswith("[]\n")
    assert "--person-w" in done.stdout


def test_the_shell_completes_kinds_and_their_options() -> None:
    text = script("bash")
    assert all(f"_shtab_voyager_fit_{kind}_" in text for kind in ("heat", "trial", "panels", "model", "roll", "next"))
    assert "--compare-by" in text
