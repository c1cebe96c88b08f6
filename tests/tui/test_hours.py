"""The day hour by hour, as it is drawn and as its pane goes through the days."""

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.tui import fake
from tests.tui.harness import opened, press, text
from voyager.tui import hours_view, ribbon, words
from voyager.tui.hours_view import HoursView
from voyager.tui.packed import evening_of, hours_of, packed
from voyager.tui.runs import Line, length
from voyager.tui.units import Units


def view(day: int = 3, units: Units | None = None, **changes: Any) -> HoursView:
    plan = fake.plan("shannon.toml", members=1000)
    row = plan["days"][day - 1] | changes
    return HoursView(plan, row, row["hours"], units or Units())


def texts(lines: list[Line]) -> list[str]:
    return ["".join(run.text for run in line) for line in lines]


def named(lines: list[str], name: str) -> str:
    return next(line for line in lines if line.startswith(name))


@pytest.mark.parametrize("size", [(76, 19), (72, 22), (118, 36), (200, 60)])
def test_all_strips_stand_above_the_fold(size: tuple[int, int]) -> None:
    width, height = size
    shown = texts(hours_view.draw(view(), width, height))
    assert all(len(line) <= width for line in shown)
    names = ("from", "way", "sun", "motor", "hotel", "heating", "loss", "charge", "cabin °C", "outside", "! heater")
    for name in names:
        assert next(at for at, line in enumerate(shown) if line.startswith(name)) < height, name


def test_strips_stand_under_their_hours() -> None:
    """The motor runs from 09:00 for five hours, the third of them mostly waiting; two columns an hour at this width."""
    shown = texts(hours_view.draw(view(), 76, 19))
    motor, way = named(shown, "motor")[10:58], named(shown, "way")[10:58]
    assert [at // 2 for at in range(0, 48, 2) if motor[at] != " "] == [1, 2, 3, 4, 5]
    assert way[:14] == "··▸▸▸▸║║▸▸▸▸··"
    assert named(shown, "from")[10:22] == "08  10  12  "


def test_totals_are_the_days() -> None:
    shown = texts(hours_view.draw(view(), 76, 19))
    day = view().day
    for name, key in (("sun", "solar_kwh"), ("motor", "propulsion_kwh"), ("heating", "heating_kwh")):
        assert named(shown, name).rstrip().endswith(f"{day[key]:.2f} kWh")


def test_the_table_has_a_line_an_hour_and_their_sum() -> None:
    shown = texts(hours_view.table(view()))
    assert len(shown) == 1 + 24 + 1
    solar = [line[6:12].strip() for line in shown[1:-1]]
    total = sum(0.0 if cell == words.NONE else float(cell) for cell in solar)
    assert total == pytest.approx(view().day["solar_kwh"], abs=0.05)
    assert float(shown[-1][6:12]) == pytest.approx(view().day["solar_kwh"], abs=0.005)


def test_a_cabin_colder_than_asked_is_marked() -> None:
    """At 18:00 it is to be 15 degrees and is 13."""
    shown = texts(hours_view.draw(view(), 76, 19))
    assert "13!" in named(shown, "cabin")
    assert "15!" not in named(shown, "cabin")
    assert sum("13.0!" in line for line in shown) == 1


def test_degrees_as_asked_for() -> None:
    shown = texts(hours_view.draw(view(units=Units(temperature="°F")), 76, 19))
    assert "55!" in named(shown, "cabin °F")
    assert "30" in named(shown, "outside")


def test_shore_and_what_is_spilt_appear_where_there_is_any() -> None:
    assert not any(line.startswith("shore") for line in texts(hours_view.draw(view(), 76, 19)))
    plugged = view(day=next(day["day"] for day in fake.sample()["days"] if day["shore_kwh"] > 0))
    assert named(texts(hours_view.draw(plugged, 76, 19)), "shore")


@given(st.lists(st.floats(0, 28), min_size=1, max_size=25), st.integers(1, 4), st.integers(3, 9))
def test_a_ribbon_fits_and_marks_its_lowest_hour_once(charges: list[float], cells: int, rows: int) -> None:
    lines = texts(ribbon.draw(charges, [5.0] * len(charges), 28.0, cells, rows, 10))
    assert len(lines) == rows
    assert all(len(line) == 10 + cells * len(charges) for line in lines)
    marks = sum(line.count(ribbon.LOWEST) for line in lines)
    full = -(-round(8 * rows * min(charges) / 28.0) // 8) >= rows
    assert marks == (0 if full else cells)


def test_a_ribbon_is_as_high_as_its_charge() -> None:
    """Four rows of 7 kWh each: 21 kWh fill three, 7 one; the floor of 3.5 stands in the lowest."""
    lines = texts(ribbon.draw([21.0, 7.0], [3.5, 3.5], 28.0, 1, 4, 10))
    assert [line[10:] for line in lines] == ["  ", "█ ", "█▾", "╌╌"]


def test_hours_and_evenings_are_packed_by_day_and_read_back() -> None:
    plan = fake.plan("shannon.toml")
    small = packed(plan)
    assert [hours_of(day) for day in small["days"]] == [day["hours"] for day in plan["days"]]
    assert evening_of(small, 3) == plan["evenings"][2]
    assert evening_of(small, 10) is None


@pytest.mark.parametrize("size", [(80, 24), (120, 40)])
async def test_the_pane_goes_through_the_days(size: tuple[int, int]) -> None:
    async with opened(size=size) as (app, pilot):
        await press(app, pilot, "tab", "down", "h")
        assert "Day 2, Tue 2 Mar" in text(app)
        await press(app, pilot, "right")
        assert "Day 3, Wed 3 Mar" in text(app)
        assert app.first.pointed == ("day", 2)
        await press(app, pilot, "left", "left", "left")
        assert "Day 1, Mon 1 Mar" in text(app)
        await press(app, pilot, "escape")
        assert "Day 1, Mon 1 Mar ▸" not in text(app)


async def test_the_table_is_a_scroll_away() -> None:
    async with opened() as (app, pilot):
        await press(app, pilot, "h", "pagedown", "pagedown", "pagedown")
        assert "sum" in text(app)
        await press(app, pilot, "f4")
        assert app.first.opened is None


async def test_all_the_keys_work_without_a_plan() -> None:
    async with opened("slow.toml", wait=False) as (app, pilot):
        for pane in ("hours", "evening"):
            await app.first.toggle(pane)
            await pilot.pause()
            for key in ("day(1)", "day(-1)", "scroll_by(10)"):
                await app.first.panes[pane].run_action(key)
            assert length(app.first.panes[pane].lines[0]) <= 80


def test_shore_power_is_not_drawn_as_something_wrong() -> None:
    parts = {name: part for name, _, part in hours_view.FLOWS}
    assert parts["shore"] != parts["unserved"] == "low"
