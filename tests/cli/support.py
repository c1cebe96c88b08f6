"""Helpers: one command line run in this process, and commands with a faked session behind them."""

import json
from collections.abc import Callable
from pathlib import Path
from types import ModuleType
from typing import Any

import pytest

from voyager.cli.main import main

SAMPLE = Path(__file__).parents[1] / "reference" / "sample_plan.json"


def sample() -> dict[str, Any]:
    """The hand-made sample of the shape of a plan."""
    plan: dict[str, Any] = json.loads(SAMPLE.read_text("utf-8"))
    return plan


def voyager(capsys: pytest.CaptureFixture[str], *words: str) -> tuple[int, str, str]:
    """Exit status, stdout and stderr of one command line."""
    status = main(words)
    out, err = capsys.readouterr()
    return status, out, err


def stand_in(monkeypatch: pytest.MonkeyPatch, module: str, **functions: Callable[..., object]) -> None:
    """Put a module with these functions where a command will import its session from."""
    import sys

    fake = ModuleType(module)
    vars(fake).update(functions)
    monkeypatch.setitem(sys.modules, module, fake)
