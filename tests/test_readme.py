"""What the README shows works: its two files pass and plan, its commands are the ones of ``.ci/run``."""

import json
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from tests.cli.support import sample, voyager
from tests.report.samples import ODDS
from voyager.cli import parser
from voyager.report.export import DAY_KEYS

ROOT = Path(__file__).parents[1]
README = (ROOT / "README.md").read_text("utf-8")
SET_UP = [
    "python3 -m venv .venv && .venv/bin/pip install -q -c .ci/constraints.txt -e . && .venv/bin/voyager open",
    "python3 -m venv .venv && .venv/bin/pip install -q -c .ci/constraints.txt -e '.[test]' && .venv/bin/pytest -q",
]


@pytest.fixture(scope="module")
def example(tmp_path_factory: pytest.TempPathFactory) -> str:
    """The README's boat and voyage, written under the names in their first lines."""
    folder = tmp_path_factory.mktemp("readme")
    blocks = re.findall(r"```toml\n(# (\S+\.toml)\b.*?)```", README, re.DOTALL)
    for text, name in blocks:
        (folder / name).write_text(text, "utf-8")
    return str(folder / blocks[1][1])


@pytest.fixture(scope="module")
def planned(example: str) -> dict[str, Any]:
    """The plan of the example, once."""
    from voyager.session.plan import plan

    return plan(example)


@pytest.fixture(scope="module")
def sure(example: str) -> dict[str, Any]:
    """The same with the odds of a few skies, once."""
    from voyager.session.plan import plan

    return plan(example, members=20)


def test_set_up_commands_stand_alone_on_their_lines() -> None:
    indented = [line.strip() for line in README.splitlines() if line.startswith("    python3")]
    assert indented == SET_UP
    assert SET_UP[1] in (ROOT / ".ci" / "run").read_text("utf-8")


def test_every_command_is_in_the_readme() -> None:
    assert all(f"voyager {name}" in README for name in parser.COMMANDS)


def test_constraints_are_names_and_versions_only() -> None:
    lines = (ROOT / ".ci" / "constraints.txt").read_text("utf-8").splitlines()
    assert all(re.fullmatch(r"[A-Za-z0-9._-]+==[A-Za-z0-9.]+", line) for line in lines)


def test_every_requirement_is_constrained() -> None:
    import tomllib

    project = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["project"]
    asked = [*project["dependencies"], *project["optional-dependencies"]["test"]]
    constrained = re.sub(r"[-_.]+", "-", (ROOT / ".ci" / "constraints.txt").read_text("utf-8").lower())
    names = [re.sub(r"[-_.]+", "-", re.split(r"[<>=\[; ]", one)[0].lower()) for one in asked]
    assert [name for name in names if f"{name}==" not in constrained] == []


def test_the_example_passes_check(example: str, capsys: pytest.CaptureFixture[str]) -> None:
    status, _, err = voyager(capsys, "check", example)
    assert status == 0, err


def test_the_forecast_shown_fits_the_example(example: str, tmp_path: Path) -> None:
    from voyager.files.voyage_file import load_voyage

    shown = re.search(r"```toml\nweather = [^\n]*\n(forecast = .*?)```", README, re.DOTALL)
    assert shown
    folder = Path(example).parent
    (tmp_path / "dipper.toml").write_text((folder / "dipper.toml").read_text("utf-8"), "utf-8")
    voyage = tmp_path / "with-forecast.toml"
    voyage.write_text(Path(example).read_text("utf-8") + shown[1], "utf-8")
    assert [row.oktas for row in load_voyage(str(voyage)).voyage.forecast] == [3, None]


def test_the_example_has_a_plan_of_the_documented_shape(planned: dict[str, Any]) -> None:
    shape = sample()
    assert shape.keys() - {"about"} <= planned.keys()
    assert planned["days"]
    for part in ("voyage", "boat"):
        assert shape[part].keys() <= planned[part].keys()
    for part in ("days", "legs", "cautions"):
        assert all(shape[part][0].keys() <= row.keys() for row in planned[part])
    assert [key for key in planned["days"][0] if key in DAY_KEYS] == list(DAY_KEYS)


def test_the_odds_have_the_documented_shape(sure: dict[str, Any]) -> None:
    assert set(keys(ODDS["odds"])) == set(keys(sure["odds"])) | {"place"}
    assert sure["odds"]["members"] == sure["voyage"]["members"] == 20
    assert sure["card"], "somebody wakes somewhere"
    assert set(keys(sure["card"])) <= set(keys(ODDS["card"]))
    assert all(ODDS["card"][0].keys() == row.keys() for row in sure["card"])


def test_every_option_of_plan_is_in_the_readme() -> None:
    known = parser.options(parser.build({"plan"}), "plan")
    assert [word for word in known if word.startswith("--") and word != "--help" and word not in README] == []


def pictures() -> list[str]:
    """The README's pictures in text: odds, card, departures, from midday."""
    return [block.strip("\n") for block in re.findall(r"```text\n(.*?)```", README, re.DOTALL)]


def test_pictures_have_the_layout_of_the_commands() -> None:
    from voyager.report.card_page import HEAD

    sure, card, departures, midday = pictures()
    assert sure.startswith("How sure (1,000 skies, seed 1")
    assert "\n".join(HEAD) in card
    assert departures.startswith("Departs     Half by     9 in 10 by  In time")
    assert midday.lstrip().startswith("Now ")
    assert max(len(line) for picture in pictures() for line in picture.splitlines()) <= 80


def test_the_fit_shown_is_what_the_command_prints(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    shown = re.search(r"`voyager (fit trial [^`]*)` says:\n\n(.*?)\n\nThe standard error", README, re.DOTALL)
    assert shown
    (tmp_path / "my-boat.toml").write_text((ROOT / "routes" / "quillet.toml").read_text("utf-8"), "utf-8")
    (tmp_path / "routes").symlink_to(ROOT / "routes")
    monkeypatch.chdir(tmp_path)
    out = re.sub(r"# \d{4}-\d{2}-\d{2}, ", "# 2026-11-28, ", voyager(capsys, *shown[1].split())[1])
    found, difference = shown[2].replace("\n    ", "\n").removeprefix("    ").split("\n\n")
    assert found in out
    assert out.endswith(difference + "\n")


@pytest.mark.long
def test_pictures_of_odds_and_card_are_what_the_spring_voyage_prints() -> None:
    from voyager.report.card_page import card_page
    from voyager.report.plan_text import plan_text
    from voyager.session.plan import plan

    result = plan(str(ROOT / "routes" / "spring.toml"), members=1000)
    sure, card, *_ = pictures()
    assert sure in plan_text(result)
    assert card in card_page(result, 4)


def test_every_day_of_the_example_closes(planned: dict[str, Any]) -> None:
    """FILES section 1: to 1e-6 kWh."""
    for day in planned["days"]:
        spent = sum(day[f"{key}_kwh"] for key in ("propulsion", "hotel", "heating", "loss", "spilled"))
        end = day["charge_start_kwh"] + day["solar_kwh"] + day["shore_kwh"] - spent
        assert end == pytest.approx(day["charge_end_kwh"], abs=1e-6)


def test_the_command_prints_that_plan(
    example: str, planned: dict[str, Any], capsys: pytest.CaptureFixture[str]
) -> None:
    status, out, err = voyager(capsys, "plan", example, "--json", "--members", "0")
    assert (status, err) == (0 if planned["arrives"] else 1, "")
    assert json.loads(out) == json.loads(json.dumps(planned))


def test_output_page_names_every_key(example: str, planned: dict[str, Any], sure: dict[str, Any]) -> None:
    """Keys of the real results, at any depth, stand in OUTPUT.md."""
    from voyager.session.fits import fit
    from voyager.session.place import speeds, sun

    page = set(re.findall(r"`([a-z0-9_]+)`", (ROOT / "voyager" / "report" / "OUTPUT.md").read_text("utf-8")))
    trial = {**fit("trial", str(ROOT / "routes" / "measured" / "trial.csv")), "values": {}, "difference": []}
    results = (planned, sure, sample(), ODDS, sun(53, -8, "2027-03-01"), speeds(example), trial)
    assert {key for result in results for key in keys(result)} - page == {"about", "depart"}


def keys(value: object) -> Iterator[str]:
    """All keys of nested mappings."""
    if isinstance(value, dict):
        yield from value
        value = list(value.values())
    if isinstance(value, list):
        for one in value:
            yield from keys(one)


def test_the_example_keeps_to_a_canals_speed(planned: dict[str, Any]) -> None:
    """Four miles an hour, the usual limit of a British canal (common practice, no source)."""
    assert max(leg["speed_kmh"] for leg in planned["legs"]) <= 6.45


@pytest.fixture(scope="module")
def logged(tmp_path_factory: pytest.TempPathFactory) -> str:
    """A copy of the spring voyage with the invented log of ``routes/measured``."""
    import shutil

    from voyager.session.log import import_file

    folder = tmp_path_factory.mktemp("logged")
    for name in ("spring.toml", "quillet.toml"):
        shutil.copy(ROOT / "routes" / name, folder)
    assert import_file(str(folder / "spring.toml"), str(ROOT / "routes" / "measured" / "log.csv"))["added"] == 7
    return str(folder / "spring.toml")


def indented(start: str) -> list[str]:
    """The indented block of the README that begins with this line, without its indent."""
    lines = README.splitlines()
    first = lines.index("    " + start)
    end = next(n for n in range(first, len(lines)) if not lines[n].startswith("    "))
    return [line.removeprefix("    ") for line in lines[first:end]]


def test_the_log_shown_is_what_the_command_prints(logged: str) -> None:
    from voyager.report.log_text import table_lines
    from voyager.session.log import entries

    shown = indented("No  Time              Place            km   %  Charge  Sun    In  Out")
    assert len(shown) > 5
    assert shown == table_lines(entries(logged))[: len(shown)]


@pytest.mark.long
def test_planned_against_actual_shown_is_what_the_command_prints(logged: str) -> None:
    from voyager.report.actual_text import actual_text
    from voyager.session.actual import actual

    shown = indented("Planned against actual (kWh; + more charge left than planned)")
    text = actual_text(actual(logged)).splitlines()
    first = text.index(shown[0])
    assert shown == text[first : first + len(shown)]
