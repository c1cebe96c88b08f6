"""What would mend a plan that falls short, replayed."""

from pathlib import Path
from typing import Any

from tests.session.voyages import write
from voyager.session.plan import plan


def short_of(directory: Path, **keys: object) -> dict[str, Any]:
    told: Any = plan(write(directory, **keys))
    return dict(told["short"] or {})


def test_a_start_below_the_floor_asks_for_more_charge(tmp_path: Path) -> None:
    """20 kWh with 15 % in reserve have their floor above 3 kWh: at 10 % the first day can not be held."""
    short = short_of(tmp_path, charge=10)
    assert short["day"] == 1
    texts = [mend["text"] for mend in short["mends"]]
    start = next(text for text in texts if text.startswith("start with"))
    percent = int(start.split()[2])
    assert percent >= 15
    assert short_of(tmp_path, charge=percent) == {}


def test_a_start_that_is_held_is_not_asked_for_more(tmp_path: Path) -> None:
    assert short_of(tmp_path, charge=80) == {}
