"""The strip that says what moved."""

from copy import deepcopy
from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.report.samples import sure_plan
from tests.tui.harness import opened, press, text
from voyager.tui.desk import Desk
from voyager.tui.details import day_lines
from voyager.tui.moved_view import lines, packed


def desk(change: Any = None) -> Desk:
    before = sure_plan()
    after = deepcopy(before)
    if change is not None:
        change(after)
    return Desk("x.toml", baseline=before, plan=after)


def test_nothing_is_said_without_a_plan_to_compare_with() -> None:
    plan = sure_plan()
    assert lines(Desk("x.toml", plan=plan), 80, False) == []
    assert lines(Desk("x.toml", plan=plan, baseline=plan), 80, False) == []
    assert "nothing that is shown" in lines(desk(), 80, False)[0][1]


def test_what_moved_is_said_with_the_key_that_ends_it() -> None:
    [(_, line)] = lines(desk(lambda plan: plan.update(arrives="2027-03-20")), 120, True)
    assert line.startswith("Moved: arrives ")
    assert "→ Sat 20 Mar" in line
    assert line.endswith("(k ends comparing)")


def test_against_a_provisional_plan_it_is_said_to_be_so_far() -> None:
    [(_, line)] = lines(replace(desk(lambda plan: plan.update(arrives="2027-03-20")), draft=True), 120, True)
    assert line.startswith("Moved so far: arrives ")


ITEMS = st.lists(st.text("abc ", min_size=1, max_size=30), min_size=1, max_size=12)


@given(ITEMS, st.integers(50, 140), st.sampled_from([2, 4]))
def test_lines_hold_whole_items_and_count_the_rest(told: list[str], width: int, most: int) -> None:
    told = [f"<{one}>" for one in told]
    rows = packed(told, width, most, "(k)")
    assert 1 <= len(rows) <= most
    assert all(len(row) <= width for row in rows)
    shown = sum(row.count("<") for row in rows)
    assert shown == sum(row.count(">") for row in rows)
    if shown < len(told):
        assert f"and {len(told) - shown} more" in rows[-1]
    assert shown >= 1


async def test_it_stands_until_dismissed_and_counts_from_the_first_edit() -> None:
    async with opened() as (app, pilot):
        assert "Moved" not in text(app)
        first = app.desk.plan
        await press(app, pilot, "right_square_bracket", "right_square_bracket")
        assert app.desk.baseline is first
        assert "Moved: departs Mon 1 Mar → Wed 3 Mar (2 days later)" in text(app)
        await press(app, pilot, "k")
        assert "Moved" not in text(app)
        await press(app, pilot, "right_square_bracket")
        assert "departs Wed 3 Mar → Thu 4 Mar (1 day later)" in text(app)


@pytest.mark.parametrize("size", [(80, 24), (120, 40)])
async def test_it_is_seen_beside_an_open_pane(size: tuple[int, int]) -> None:
    async with opened(size=size) as (app, pilot):
        await press(app, pilot, "v", "down", "plus")
        assert "Moved: departs" in text(app)


def test_sun_that_is_lost_is_spilt_here_as_in_the_details_of_a_day() -> None:
    told = " ".join(line for _, line in lines(desk(_spilt), 200, True))
    plan = sure_plan()
    day = {**plan["days"][0], "spilled_kwh": 2.5}
    assert "sun spilt" in told
    assert "spilt 2.5" in " ".join(line for _, line in day_lines({**plan, "days": [day]}, 0, full=True))


def _spilt(plan: Any) -> None:
    plan["days"][0]["spilled_kwh"] += 50.0
