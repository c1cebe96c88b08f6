"""``voyager fit next VOYAGE`` on a faked session: what is asked for, what is printed, what is refused."""

import argparse
import json
from pathlib import Path
from typing import Any

import pytest

from tests.cli.support import stand_in, voyager
from tests.report.test_worth_text import RESULT
from voyager.cli import fit_next

Capture = pytest.CaptureFixture[str]


@pytest.fixture
def asked(monkeypatch: pytest.MonkeyPatch) -> dict[str, Any]:
    """What the session is asked for; it answers with the sample."""
    kept: dict[str, Any] = {}

    def worth(path: str, **options: object) -> object:
        kept.update(path=path, **options)
        return RESULT

    stand_in(monkeypatch, "voyager.session.worth", worth=worth)
    return kept


def run(*words: str) -> int:
    parser = argparse.ArgumentParser()
    fit_next.add_arguments(parser)
    return fit_next.run(parser.parse_args(words))


def test_the_answer_in_words(asked: dict[str, Any], capsys: Capture) -> None:
    assert run("v.toml") == 0
    assert [asked[key] for key in ("path", "members", "seed")] == ["v.toml", 200, 1]
    assert "Test:    runs both ways" in capsys.readouterr().out


def test_as_json_with_other_skies(asked: dict[str, Any], capsys: Capture) -> None:
    assert run("v.toml", "--json", "--members", "50", "--seed", "7") == 0
    assert [asked[key] for key in ("members", "seed")] == [50, 7]
    told = json.loads(capsys.readouterr().out)
    assert told == RESULT
    assert next(iter(told)) == "format"


@pytest.mark.parametrize("words", [["--members", "2.5"], ["--seed", "-1"]])
def test_what_is_no_number_of_skies_is_refused(asked: dict[str, Any], words: list[str]) -> None:
    with pytest.raises(SystemExit) as left:
        run("v.toml", *words)
    assert left.value.code == 2
    assert not asked


@pytest.mark.long
def test_the_readme_shows_what_the_autumn_voyage_prints(capsys: Capture) -> None:
    root = Path(__file__).parents[2]
    shown = (root / "README.md").read_text("utf-8").partition("## The measurement worth making next\n")[2]
    block = shown.partition("begins so:\n\n")[2].partition("\n## ")[0]
    lines = [line.removeprefix("    ").rstrip() for line in block.strip("\n").splitlines()]
    run(str(root / "routes" / "autumn.toml"))
    assert len(lines) > 10
    assert "\n".join(lines) in capsys.readouterr().out


def test_it_is_a_word_of_fit(asked: dict[str, Any], capsys: Capture) -> None:
    status, out, err = voyager(capsys, "fit", "next", "v.toml", "--seed", "4")
    assert (status, err, asked["seed"]) == (0, "", 4)
    assert "Hull coefficient: from" in out
    status, out, err = voyager(capsys, "fit", "next", "v.toml", "--members", "x")
    assert (status, out, err.count("\n")) == (2, "", 1)
