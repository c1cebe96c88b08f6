"""The answer from the middle of a day stands first and in local time."""

from typing import Any

import pytest

from tests.report.samples import sure_plan
from voyager.report.midday import midday_lines
from voyager.report.plan_text import plan_text


@pytest.fixture
def plan() -> dict[str, Any]:
    return sure_plan()


def test_it_stands_before_everything_else(plan: dict[str, Any]) -> None:
    text = plan_text(plan)
    assert text.index("From here") < text.index(plan["voyage"]["name"])


def test_every_sentence_is_printed(plan: dict[str, Any]) -> None:
    text = " ".join(" ".join(midday_lines(plan, 80)).split())
    assert "14:00 local time, km 63, 17.1 kWh (61 %)" in text
    assert text.split()[:6] == ["Now", "Wed", "3", "Mar", "2027,", "14:00"]
    for told in (plan["from"], plan["from"]["fallback"], plan["from"]["no_return"]):
        assert told["text"] in text


def test_local_time_follows_the_voyages_zone(plan: dict[str, Any]) -> None:
    """Dublin keeps UTC + 1 from the last Sunday of March (28 March 2027)."""
    plan["from"]["time_utc"] = "2027-03-29T13:00:00Z"
    assert "Mon 29 Mar 2027, 14:00 local time" in midday_lines(plan, 80)[0]


@pytest.mark.parametrize("text", ["Go on at 5.9 km/h.", "Slow to 5.4 km/h.", "Stop here."])
def test_what_to_do_leads_and_is_said_once(plan: dict[str, Any], text: str) -> None:
    plan["from"] |= {"text": text, "fallback": None, "no_return": None}
    lines = midday_lines(plan, 80)
    assert lines[1].split(maxsplit=1) == ["Do", text]
    assert len(lines) == 2


def test_what_is_not_held_is_said(plan: dict[str, Any]) -> None:
    plan["from"]["held"] = False
    assert "not held" in "".join(midday_lines(plan, 80))


def test_without_it_nothing_is_said(plan: dict[str, Any]) -> None:
    del plan["from"]
    assert midday_lines(plan, 80) == []
    assert "From here" not in plan_text(plan)
