"""Planned against actual: the charts, the figures that add up, and the pane."""

import re
from datetime import date, timedelta
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from rich.cells import cell_len

from tests.tui import fake_log
from tests.tui.harness import Nearby, opened, press, settled, text, until
from voyager.tui import actual_chart, actual_view
from voyager.tui.actual_chart import PARTS
from voyager.tui.actual_view import ActualView, adding
from voyager.tui.ascii import plain
from voyager.tui.messages import Logged
from voyager.tui.runs import Line, length
from voyager.tui.units import Units

RESULT = fake_log.actual("shannon.toml", {})


def view(at: int = 1, units: Units | None = None, result: Any = RESULT) -> ActualView:
    return ActualView(result, at, units or Units())


def texts(lines: list[Line]) -> list[str]:
    return ["".join(run.text for run in line) for line in lines]


def many(count: int) -> dict[str, Any]:
    """A log of so many days."""
    days = []
    for number in range(count):
        day = RESULT["days"][(0, 1, 3)[number % 3]]
        days.append({**day, "day": number + 1, "date": (date(2027, 3, 1) + timedelta(days=number)).isoformat()})
    return {**RESULT, "days": days}


@pytest.mark.parametrize("size", [(76, 19), (74, 22), (118, 36), (50, 10)])
@pytest.mark.parametrize("at", [1, 2])
def test_every_line_fits_and_every_sign_is_one_cell(size: tuple[int, int], at: int) -> None:
    lines = actual_view.draw(view(at), *size)
    assert all(length(line) <= size[0] for line in lines)
    for line in texts(lines):
        assert cell_len(line) == len(line)
        assert "?" not in plain(line.replace("?", ""))


def test_charts_and_figures_stand_on_a_small_screen() -> None:
    shown = "\n".join(texts(actual_view.draw(view(), 76, 19))[:19])
    for words in ("Day 2, Tue 2 Mar", "100%", "▴2 Mar", "kWh 0", "SS sky", "HH hull", "BB habit", "◆ logged",
                  "= logged", "charge      −5.11    +0.80    −0.55    −0.20    −0.10    +0.35    −4.81"):  # fmt: skip
        assert words in shown, words


@pytest.mark.parametrize("at", [0, 1, 3, 4])
@pytest.mark.parametrize("width", [76, 118, 60])
def test_the_figures_of_the_day_add_up_as_they_are_shown(at: int, width: int) -> None:
    shown = texts(actual_view.draw(view(at), width, 19))
    if width == 76:
        line = next(line for line in shown if line.startswith("charge"))
        found = [Decimal(one.replace("−", "-")) for one in line.split()[1:]]
    else:
        lines = [re.search(r"(planned|sky|hull|cabin|hotel|habit|logged) +([+−]?\d+\.\d\d)$", line) for line in shown]
        found = [Decimal(one[2].replace("−", "-")) for one in lines if one]
    assert len(found) == 7
    assert sum(found[:-1]) == found[-1]
    assert abs(float(found[-1]) - RESULT["days"][at]["actual"]["change_kwh"]) < 0.011


@given(st.lists(st.floats(-50, 50), min_size=1, max_size=8))
def test_rounded_figures_add_up_and_none_is_off_by_more_than_a_digit(values: list[float]) -> None:
    shown = adding(values)
    assert sum((Decimal(str(one)) for one in shown), Decimal(0)) == Decimal(str(round(sum(values), 2)))
    assert all(abs(one - value) <= 0.0101 for one, value in zip(shown, values, strict=True))


@pytest.mark.parametrize(("width", "rows"), [(76, 5), (118, 10), (40, 6)])
def test_bars_are_as_long_as_what_they_show_and_on_its_side(width: int, rows: int) -> None:
    days = RESULT["days"]
    shown = actual_chart.span(days, 1, width)
    step, above, below = actual_chart.scale(days, rows)
    lines = actual_chart.bars(shown, days, rows)
    assert len(lines) == above + below + 1 == rows + 1
    wide = shown.each - 1
    for number, day in enumerate(shown.days):
        first = actual_chart.AXIS + number * shown.each
        cells = [line[first : first + wide] for line in texts(lines)]
        up, down = "".join(cells[:above]), "".join(cells[above + 1 :])
        for name, letter in PARTS.items():
            value = day[f"{name}_kwh"] or 0.0
            side, other = (up, down) if value > 0 else (down, up)
            assert abs(side.count(letter) * step / wide - abs(value)) <= step / wide, (day["day"], name)
            assert letter not in other


def test_parts_stack_without_a_hole_from_the_middle_outwards() -> None:
    days = RESULT["days"]
    shown = actual_chart.span(days, 0, 76)
    step, above, _ = actual_chart.scale(days, 8)
    lines = texts(actual_chart.bars(shown, days, 8))
    for number in range(len(days)):
        first = actual_chart.AXIS + number * shown.each
        for side in (lines[above - 1 :: -1], lines[above + 1 :]):
            cells = "".join(line[first : first + shown.each - 1] for line in side)
            assert " " not in cells.rstrip(), (number, cells, step)


@pytest.mark.parametrize("at", [0, 30, 59])
def test_of_a_long_log_the_days_about_the_one_pointed_at_are_drawn(at: int) -> None:
    result = many(60)
    shown = actual_chart.span(result["days"], at, 76)
    assert shown.first <= at < shown.first + len(shown.days) < 60 + 1
    lines = texts(actual_view.draw(view(at, result=result), 76, 19))
    assert any("▴" in line for line in lines)
    assert all(len(line) <= 76 for line in lines[:19])


def test_marks_stand_at_the_hour_and_height_of_their_readings() -> None:
    day = {**RESULT["days"][0], "to_utc": "2027-03-01T20:00:00Z"}
    day["actual"] = {**day["actual"], "charge_start_kwh": 28.0, "charge_end_kwh": 0.0}
    shown = actual_chart.span([day, RESULT["days"][2]], 0, 76)
    lines = texts(actual_chart.charge(shown, 28.0, 6))
    assert lines[0][actual_chart.AXIS] == "◆"
    assert lines[5][actual_chart.AXIS + shown.each // 2] == "◆"
    assert sum(line.count("◆") for line in lines) == 2


def test_a_day_that_cannot_be_split_says_so() -> None:
    shown = "\n".join(texts(actual_view.draw(view(2), 118, 36)))
    for words in ("can't be held against its plan", "????", "can't be told for this day", "- fewer than two readings"):
        assert words in shown, words


def test_drift_is_pointed_out_with_the_test_that_would_tell() -> None:
    lines = texts(actual_view.drift(view(), 118))
    assert lines[0].startswith("Boat file  ! hull: measured 1.21")
    assert "voyager fit trial" in lines[0] + lines[1]
    assert "Test: the battery monitor read every hour." in " ".join(" ".join(lines).split())


def test_a_log_that_tells_nothing_yet_says_what_it_takes() -> None:
    totals = {**RESULT["totals"], "days": 0}
    shown = "\n".join(texts(actual_view.draw(view(result={**RESULT, "drift": [], "totals": totals}), 118, 36)))
    assert actual_view.NONE_SPLIT in shown
    assert actual_view.NO_DRIFT in shown


def test_units_as_asked_for() -> None:
    shown = texts(actual_view.draw(view(units=Units("kn", "NM", "°F")), 118, 36))
    line = next(line for line in shown if " NM " in line)
    assert line.split()[-2:] == ["13.5", "13.5"]


# the pane


async def test_the_pane_goes_by_its_keys_and_clicks_and_the_list_of_days_with_it() -> None:
    async with opened(size=(120, 40)) as (app, pilot):
        await press(app, pilot, "A")
        assert "Day 5, Fri 5 Mar" in text(app)
        await press(app, pilot, "left", "left", "left")
        assert "Day 2, Tue 2 Mar" in text(app)
        assert app.first.pointed == ("day", 1)
        await press(app, pilot, "home")
        assert "▴1 Mar" in text(app)
        await press(app, pilot, "end", "enter")
        assert "What the parts mean" in text(app)
        await press(app, pilot, "escape", "escape")
        assert app.first.opened is None
        await press(app, pilot, "tab", "up", "up", "alt+a")
        assert "Day 3, Wed 3 Mar" in text(app)
        await press(app, pilot, "home")
        pane = app.first.panes["actual"]
        row = next(at for at, line in enumerate(texts(pane.lines)) if "▴" in line)
        column = texts(pane.lines)[row].index("3 Mar")
        await pilot.click(pane, offset=(column + 2, row + 1))
        await settled(app, pilot)
        assert pane.date == "2027-03-03"


async def test_an_empty_log_says_how_to_begin_one() -> None:
    async with opened("logless.toml") as (app, pilot):
        await press(app, pilot, "A")
        assert "✗ the log is empty; note the charge each morning" in text(app)
        assert "14:00 Kingston 61%" in text(app)


async def test_new_readings_and_edits_are_asked_for_anew() -> None:
    asked: list[tuple[str, Any]] = []

    class Counting(Nearby):
        def watch(self, name: str, function: str, arguments: tuple[Any, ...]) -> None:
            asked.append((name, arguments[1]["voyage"]["departs"]))
            super().watch(name, function, arguments)

    async with opened(worker=Counting()) as (app, pilot):
        await press(app, pilot, "A")
        assert len(asked) == 1
        app.post_message(Logged())
        await settled(app, pilot)
        await until(lambda: len(asked) == 2)
        await press(app, pilot, "right_square_bracket")
        await until(lambda: len(asked) == 3)
        assert asked[2] == ("actual", date(2027, 3, 2))
        await press(app, pilot, "escape")
        app.post_message(Logged())
        await settled(app, pilot)
        assert len(asked) == 3
        await press(app, pilot, "A")
        assert len(asked) == 4
        await press(app, pilot, "u")
        await until(lambda: len(asked) == 5)
        await app.reopen("other.toml")
        await until(lambda: len(asked) == 6)


async def test_a_wheel_turns_and_keys_wait_while_the_days_are_held_against_their_plans() -> None:
    class Mute(Nearby):
        def watch(self, name: str, function: str, arguments: tuple[Any, ...]) -> None:
            self._say("share", 0, (name, 0.4, "files"))

        def late(self) -> None:
            """The answer comes after all."""
            self._say("answer", 0, ("actual", RESULT))

    worker = Mute()
    async with opened(worker=worker) as (app, pilot):
        await press(app, pilot, "A")
        assert "holding the days of the log against their plans" in text(app)
        pane = app.first.panes["actual"]
        await until(lambda: "40%" in str(pane.border_title))
        app.first.lost()
        await press(app, pilot, "home")
        assert "✗ the planner's process ended" in text(app)
        await press(app, pilot, "A", "A", "home", "right")
        worker.late()
        await settled(app, pilot)
        assert "▴2 Mar" in text(app)
        assert "40%" not in str(pane.border_title)


async def test_a_question_that_ended_the_process_is_asked_again_only_when_the_pane_is_opened_anew() -> None:
    asked: list[str] = []

    class Deadly(Nearby):
        def watch(self, name: str, function: str, arguments: tuple[Any, ...]) -> None:
            asked.append(name)
            if len(asked) < 5:
                self._say("lost", self.ticket, None)

    async with opened(worker=Deadly()) as (app, pilot):
        await press(app, pilot, "A")
        assert "✗ the planner's process ended" in text(app)
        assert asked == ["actual"]
        await press(app, pilot, "A", "A")
        assert asked == ["actual"] * 2


async def test_the_table_in_focus_is_the_one_of_the_days() -> None:
    async with opened() as (app, pilot):
        await press(app, pilot, "A")
        table = app._table()
        assert (table.name, len(table.rows)) == ("actual", 5)
        row = dict(zip(table.headings, table.rows[1], strict=True))
        assert row["hull [kWh]"] == -0.55
        assert row["actual change [kWh]"] == pytest.approx(-4.81)
