"""Who may know whom: the contracts of pyproject.toml, and what the light commands must not load."""

import subprocess
import sys
from collections.abc import Sequence
from pathlib import Path

import pytest
from importlinter import api
from importlinter.application import use_cases

ROOT = Path(__file__).parents[1]
HEAVY = ("numpy", "rich", "textual", "aiohttp", "pvlib", "scipy", "pandas", "pydantic")
LOADED = """
import sys
from voyager.cli.main import main
status = main({words!r})
sys.stderr.write("|".join(sorted({{name.partition(".")[0] for name in sys.modules}})))
sys.exit(status)
"""


def loaded(words: Sequence[str], status: int = 0) -> set[str]:
    """Top-level modules in a fresh process after one command line."""
    done = subprocess.run(
        [sys.executable, "-c", LOADED.format(words=list(words))], capture_output=True, text=True, check=False, cwd=ROOT
    )
    assert done.returncode == status, done.stderr
    return set(done.stderr.splitlines()[-1].split("|"))


def test_every_contract_is_kept() -> None:
    assert use_cases.lint_imports(config_filename=str(ROOT / "pyproject.toml"), cache_dir=None) == use_cases.SUCCESS


def test_the_contracts_hold_every_room_of_the_package() -> None:
    contracts = api.read_configuration(str(ROOT / "pyproject.toml"))["contracts_options"]
    layers = next(one for one in contracts if one["type"] == "layers")["layers"]
    named = {word.strip("() ") for layer in layers for word in layer.split("|")}
    rooms = {path.parent.name for path in (ROOT / "voyager").glob("*/__init__.py")}
    assert rooms <= named, "a room without a level"


@pytest.mark.parametrize(
    "words", ["--help", "--version", "plan --help", "sun --help", "speeds --help", "open --help", "serve --help"]
)
def test_help_loads_nothing_heavy(words: str) -> None:
    assert loaded(words.split()).isdisjoint(HEAVY)


def test_a_refused_command_line_loads_nothing_heavy() -> None:
    assert loaded(["plan"], status=2).isdisjoint(HEAVY)


def test_the_probe_sees_what_is_loaded() -> None:
    """Without this the tests above could pass on a blind probe: completion does load its library."""
    assert "shtab" in loaded(["completion", "bash"])
