"""The heading of a plan: its dates and how long it takes."""

import json
from pathlib import Path
from typing import Any

import pytest

from voyager.report.summary import notes, opening

SAMPLE: dict[str, Any] = json.loads((Path(__file__).parents[1] / "reference" / "sample_plan.json").read_text("utf-8"))


def _dates(**changes: Any) -> str:
    return " ".join(" ".join(opening(SAMPLE | changes, 80)).split()).split("Departs")[1]


@pytest.mark.parametrize(("stay", "text"), [(0, "{} days."), (6, "{} days, and 6 more there.")])
def test_days_count_to_the_arrival_and_nights_there_apart(stay: int, text: str) -> None:
    """Nights asked for at the destination are planned and lived, but the voyage has arrived before them."""
    arrived = [day["date"] for day in SAMPLE["days"]].index(SAMPLE["arrives"])
    days = SAMPLE["days"][: arrived + 1] + SAMPLE["days"][-1:] * stay
    assert text.format(arrived + 1) in _dates(days=days)


def test_a_plan_that_does_not_arrive_says_how_far_it_looked() -> None:
    assert f"does not arrive in the {len(SAMPLE['days'])} days planned" in _dates(arrives=None)


@pytest.mark.parametrize(("by", "text"), [("2027-03-10", "2 days later than asked"), ("2027-03-12", "")])
def test_an_arrival_after_the_date_asked_for_is_said_beside_it(by: str, text: str) -> None:
    said = _dates(voyage=SAMPLE["voyage"] | {"by": by})
    assert SAMPLE["arrives"] == "2027-03-12"
    assert text in said
    assert ("later than asked" in said) == bool(text)


def test_skies_stand_below_a_table_that_is_too_narrow_for_them() -> None:
    days = [
        day | {"sky_class": sky} for day, sky in zip(SAMPLE["days"], ["dull", "dark", "dull", "dull"], strict=False)
    ]
    told = "Sky known that morning, by day: dark 2; dull 1, 3-4"
    assert told in notes(SAMPLE | {"days": days}, 80)
    assert told not in notes(SAMPLE | {"days": days}, 120)
    assert not any("Sky" in line for line in notes(SAMPLE | {"days": [day | {"sky_class": None} for day in days]}, 80))
