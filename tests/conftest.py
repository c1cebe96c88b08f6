"""What holds for all tests."""

import gc
from pathlib import Path

import pytest

gc.set_threshold(100_000, 50, 100)  # short-lived heaps: collecting as often as usual costs an eighth of the time

TESTS = Path(__file__).parent
LONGEST = (
    "tui/test_snapshots.py", "session/test_stages.py", "tui/test_snapshots_wide.py", "tui/test_saving.py",
    "planner/test_many.py", "tui/test_places.py", "tui/test_app.py", "session/test_plan.py", "tui/test_legs.py",
    "tui/serve/test_browser.py", "planner/test_again.py", "tui/test_files.py", "planner/test_decide.py",
    "tui/test_values.py", "planner/test_exhaustive.py", "tui/test_panes.py", "session/test_midday.py",
    "tui/test_onward.py", "planner/test_bands.py", "tui/test_habits.py", "planner/test_expectimax.py",
    "tui/test_pictures.py", "session/test_depart.py", "tui/test_monkey.py", "planner/test_policy.py",
)  # fmt: skip
"""Modules of more than a few seconds: begun first, so that no worker is left with one when the others have ended.
Those of the screens wait, those of the planner compute: in turn, they share the cores."""


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    rank = {TESTS / name: number for number, name in enumerate(LONGEST)}
    items.sort(key=lambda item: rank.get(item.path, len(rank)))


def pytest_sessionstart() -> None:
    missing = [name for name in LONGEST if not (TESTS / name).exists()]
    if missing:
        raise pytest.UsageError(f"tests/conftest.py: LONGEST names no file: {', '.join(missing)}")
