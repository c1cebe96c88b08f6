"""Golden text at 80 columns of the hand-made sample, and what the text must say when a plan goes wrong.

The golden file shows layout, read and corrected by eye against the sample; figures are checked against the sample
itself in the tests below it.
"""

from pathlib import Path
from typing import Any

import pytest

from tests.cli.support import sample
from voyager.report.plan_text import plan_text

GOLDEN = Path(__file__).parents[1] / "golden" / "plan-80.txt"
CURE = {"text": "Stay one more night at Portumna (137 km).", "nights": 1, "shore_at": None}


@pytest.fixture
def plan() -> dict[str, Any]:
    return sample()


def against_golden(text: str, golden: Path = GOLDEN) -> None:
    """Compare; what differs is left beside the golden file for the eye."""
    if text != golden.read_text("utf-8"):
        golden.with_suffix(".new.txt").write_text(text, "utf-8")
        pytest.fail(f"{golden.name} differs from the text now: see {golden.stem}.new.txt")


def test_golden(plan: dict[str, Any]) -> None:
    against_golden(plan_text(plan))


def test_the_golden_comparison_can_fail(plan: dict[str, Any], tmp_path: Path) -> None:
    copy = tmp_path / GOLDEN.name
    copy.write_text(GOLDEN.read_text("utf-8"), "utf-8")
    plan["days"][3]["shore_kwh"] += 0.1
    with pytest.raises(pytest.fail.Exception, match="differs"):
        against_golden(plan_text(plan), copy)
    assert "13.6" in copy.with_suffix(".new.txt").read_text("utf-8")


@pytest.mark.parametrize("width", [80, 104, 140])
def test_every_day_and_leg_stands_in_the_text(plan: dict[str, Any], width: int) -> None:
    rows = [line.split() for line in plan_text(plan, width).splitlines()]
    for day in plan["days"]:
        row = next(row for row in rows if row[:1] == [str(day["day"])] and day["mark"] in row)
        assert f"{day['charge_end_kwh']:.1f}" in row
    for leg in plan["legs"]:
        row = next(row for row in rows if row[:1] == [str(leg["leg"])] and leg["water"] in row)
        assert {f"{leg[key]:.1f}" for key in ("distance_km", "speed_kmh", "energy_kwh", "charge_end_kwh")} <= set(row)


@pytest.mark.parametrize("width", [80, 104, 140])
def test_no_line_is_wider_than_the_terminal(plan: dict[str, Any], width: int) -> None:
    plan["days"][0]["mooring"] = plan["legs"][0]["to"] = "A very long name of a place on a long and winding river"
    assert max(map(len, plan_text(plan, width).splitlines())) <= width


def test_text_without_styles_has_no_escape_and_the_same_words(plan: dict[str, Any]) -> None:
    import re

    bare, styled = plan_text(plan), plan_text(plan, styled=True)
    assert "\x1b" not in bare
    assert "\x1b[1m" in styled
    assert re.sub(r"\x1b\[[0-9;]*m", "", styled).split() == bare.split()


def test_markup_in_a_name_stays_text(plan: dict[str, Any]) -> None:
    plan["voyage"]["name"] = plan["days"][0]["mooring"] = "[red]Quay"
    assert plan_text(plan).count("[red]Quay") == 2


def test_a_plan_that_falls_short_says_where_how_much_and_what_mends_it(plan: dict[str, Any]) -> None:
    plan["arrives"] = None
    plan["short"] = {"day": 9, "date": "2027-03-09", "place": "Killaloe", "short_kwh": 2.34, "mends": [CURE]}
    plan["days"][8]["held"] = False
    plan["days"][8]["comfort"] = "off"
    text = plan_text(plan)
    assert "does not arrive in the 12 days planned" in text
    assert "Day 9, Tue 9 Mar 2027, Killaloe: 2.3 kWh short." in text
    assert f"  - {CURE['text']}" in text
    assert "Day 9: not held" in text
    assert "Day 9: comfort off, not frugal." in text


def test_a_short_plan_without_a_cure_says_so(plan: dict[str, Any]) -> None:
    plan["short"] = {"day": 9, "date": "2027-03-09", "place": "Killaloe", "short_kwh": 2.34, "mends": []}
    assert "was found to mend it" in plan_text(plan)


def test_a_plan_that_does_not_arrive_though_every_day_is_held_says_so(plan: dict[str, Any]) -> None:
    plan["arrives"] = None
    assert "No day lacks energy" in plan_text(plan)


def test_a_date_that_cannot_be_met_is_named_where_lateness_costs_no_energy(plan: dict[str, Any]) -> None:
    plan["arrives"] = None
    plan["voyage"] |= {"aim": "calmest", "by": "2027-03-02"}
    text = " ".join(plan_text(plan).split())
    assert "Tue 2 Mar 2027 is too early" in text
    assert "the aim soonest" in text
    assert "look at travel and lock hours" not in text


def test_a_plan_without_days_is_still_text(plan: dict[str, Any]) -> None:
    plan.update(days=[], legs=[], cautions=[], arrives=None)
    assert "does not arrive in the 0 days planned" in plan_text(plan)


def test_a_leg_never_reached_has_no_figures(plan: dict[str, Any]) -> None:
    for key in ("started_day", "day", "charge_end_kwh", "speed_kmh", "hours", "energy_kwh", "ground_kmh", "power_w"):
        plan["legs"][6][key] = None
    line = next(line for line in plan_text(plan).splitlines() if "Limerick" in line and "coastal" in line)
    assert line.split()[-4:] == ["-"] * 4


def test_cautions_stand_beside_their_days(plan: dict[str, Any]) -> None:
    text = plan_text(plan)
    assert "a Days 1-10, 12: Heater in use" in text
    coastal = next(line for line in text.splitlines() if line.startswith(" 12 Fri"))
    assert coastal.split()[-1] == "afgh"


def test_what_is_short_stands_before_the_days(plan: dict[str, Any]) -> None:
    """Of a plan of 120 days nobody should have to read the last to learn what ails the first."""
    text = plan_text(plan | {"arrives": None})
    assert text.index("\nShort\n") < text.index("\nDays (kWh")
