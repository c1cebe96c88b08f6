"""Everything the first screen lets a user do, done by keys and by mouse."""

from datetime import date

import pytest
from textual.widgets import OptionList

from tests.tui.harness import Nearby, burst, opened, press, settled, text, until
from voyager.tui.screens.calendar import Month
from voyager.tui.screens.page import PageScreen
from voyager.tui.widgets.choices import Choice
from voyager.tui.widgets.days import DayList
from voyager.tui.widgets.legs import SPEED, STAY, LegSheet, LegTable
from voyager.tui.widgets.lines import Lines
from voyager.tui.widgets.title import TitleLine

EMPTY: dict[str, object] = {}


def asked(app) -> dict[str, object]:
    return app.worker.asked[-1]


async def test_shows_legs_days_totals_and_cautions():
    async with opened(size=(120, 40)) as (app, _):
        shown = text(app)
    for words in ("Rooskey", "river", "24.0", "under way", "charge low", "arrives Fri 12 Mar 2027", "heater 11"):
        assert words in shown
    assert "263 km" in shown
    assert "lowest charge 41% on 4 Mar" in shown
    assert "not for navigation" in shown


async def test_every_day_shows_mark_as_word_and_sign_and_reason():
    async with opened(size=(120, 40)) as (app, _):
        shown = text(app)
        marks = ("▸ under way", "· rest", "▴ charge", "╧ shore")
        for words in (*marks, "as asked", "recovering", "to a plug", "sea unfit"):
            assert words in shown


@pytest.mark.parametrize(("keys", "key", "value"), [
    (("s", "down", "enter"), "sky", "middling"),
    (("s", "g"), "sky", "good"),
    (("c", "a"), "comfort", "ample"),
    (("right_square_bracket",), "departs", "2027-03-02"),
    (("left_square_bracket",), "departs", "2027-02-28"),
    (("d", "right", "down", "enter"), "departs", "2027-03-09"),
    (("d", "pagedown", "enter"), "departs", "2027-04-01"),
    (("d", *"2027-05-06", "enter"), "departs", "2027-05-06"),
    (("b", "right", "enter"), "by", "2027-03-13"),
])  # fmt: skip
async def test_picking_a_choice_plans_anew(keys, key, value):
    async with opened() as (app, pilot):
        await press(app, pilot, *keys)
        assert asked(app) == {key: value}
        assert app.query_one(f"#choice-{key}", Choice).changed


async def test_an_aim_that_needs_a_date_asks_for_it():
    async with opened() as (app, pilot):
        await press(app, pilot, "a", "f")
        assert app.screen.query_one(Month).day.isoformat() == "2027-03-12"
        await press(app, pilot, "down", "enter")
        assert asked(app) == {"aim": "fewest-shore", "by": "2027-03-19"}
        await press(app, pilot, "u")
        assert asked(app) == {}
        await press(app, pilot, "r", "a", "c")
        assert asked(app) == {"aim": "calmest", "by": "2027-03-19"}


async def test_escape_leaves_a_choice_as_it_was():
    async with opened() as (app, pilot):
        await press(app, pilot, "s", "down", "escape")
        await press(app, pilot, "d", "down", "escape")
        await press(app, pilot, "a", "f", "escape")
        assert app.worker.asked == [EMPTY]


async def test_an_impossible_date_is_refused_with_its_reason():
    async with opened() as (app, pilot):
        await press(app, pilot, "d", *"2027-02-30", "enter")
        assert app.screen.query_one(Month).reason == "✗ a day that exists, as 2027-03-05: 2027-02-30 does not"
        await press(app, pilot, "backspace", "backspace", "2", "8", "enter")
        assert asked(app) == {"departs": "2027-02-28"}


async def test_a_by_can_be_taken_away_again():
    async with opened() as (app, pilot):
        await press(app, pilot, "b", "enter", "b", "delete")
        assert asked(app) == EMPTY


async def test_typing_over_a_speed_fixes_it_and_clearing_frees_it():
    async with opened() as (app, pilot):
        await press(app, pilot, "down", "7", ".", "5", "enter")
        assert asked(app) == {"legs": {2: {"speed_kmh": 7.5}}}
        assert "=7.5" in text(app)
        assert app.query_one(LegTable).cursor_row == 2
        await press(app, pilot, "up", "delete")
        assert asked(app) == EMPTY


async def test_freeing_a_speed_that_the_file_fixes():
    async with opened() as (app, pilot):
        await press(app, pilot, "end", "up", "backspace")
        assert asked(app) == {"legs": {6: {"speed_kmh": None}}}


async def test_knots_are_understood():
    async with opened() as (app, pilot):
        await press(app, pilot, *"3.5", "space", *"kn", "enter")
        assert asked(app) == {"legs": {1: {"speed_kn": 3.5}}}


async def test_nights_to_stay():
    async with opened() as (app, pilot):
        await press(app, pilot, *["right"] * (STAY - SPEED), "2", "enter", "1", "enter")
        assert asked(app) == {"legs": {1: {"nights": 2}, 2: {"nights": 1}}}


async def test_a_wrong_speed_stays_in_the_cell_with_its_reason():
    async with opened() as (app, pilot):
        await press(app, pilot, "9", "9", "9", "enter")
        sheet = app.query_one(LegSheet)
        assert app.focused is sheet.cell
        assert "✗ must be a figure above 0 and up to 100 km/h" in text(app)
        assert app.worker.asked == [EMPTY]
        await press(app, pilot, "escape")
        assert app.focused is sheet.table
        assert "✗" not in text(app)


async def test_of_many_steps_taken_back_the_last_alone_is_told():
    async with opened(notices=True) as (app, pilot):
        await press(app, pilot, *["right_square_bracket"] * 3, *["u"] * 3)
        assert len(app.screen.query("Toast")) == 1
        assert "Taken back: departs" in text(app)


async def test_undo_and_redo():
    async with opened() as (app, pilot):
        await press(app, pilot, "7", "enter", "s", "g", "u")
        assert asked(app) == {"legs": {1: {"speed_kmh": 7.0}}}
        await press(app, pilot, "u")
        assert asked(app) == EMPTY
        count = len(app.worker.asked)
        await press(app, pilot, "u")
        assert len(app.worker.asked) == count
        await press(app, pilot, "r", "r")
        assert asked(app) == {"sky": "good", "legs": {1: {"speed_kmh": 7.0}}}


async def test_help_names_every_action():
    async with opened(size=(120, 100)) as (app, pilot):
        await press(app, pilot, "question_mark")
        shown = text(app)
        for words in ("Pick the sky to plan for", "Take the last change back", "Leave voyager", "╧ shore"):
            assert words in shown
        await press(app, pilot, "escape")
        assert not isinstance(app.screen, PageScreen)


async def test_details_and_cautions_can_be_read():
    async with opened() as (app, pilot):
        await press(app, pilot, "tab", "down", "i")
        assert "Day 2, Tue 2 Mar 2027" in text(app)
        assert "never run it asleep" in text(app)
        await press(app, pilot, "escape", "w")
        assert "days 1-10, 12" in text(app)


async def test_quit():
    async with opened() as (app, pilot):
        await pilot.press("q")
        await until(lambda: not app.is_running)
    assert app.return_code == 0


async def test_the_palette_finds_the_same_actions():
    async with opened(size=(100, 40)) as (app, pilot):
        names = {command.title for command in app.get_system_commands(app.screen)}
        assert {"Departs", "Sky", "Aim", "Comfort", "Undo", "Help", "Quit"} <= names
        await pilot.press("ctrl+p", *"later", "enter", "enter")
        await until(lambda: asked(app) == {"departs": "2027-03-02"})


async def test_mouse_opens_choices_and_points_at_days_and_cells():
    async with opened(size=(120, 40)) as (app, pilot):
        await pilot.click("#choice-sky")
        await settled(app, pilot)
        await pilot.click(OptionList, offset=(4, 2))
        await settled(app, pilot)
        assert asked(app) == {"sky": "good"}
        await pilot.click("#days", offset=(5, 4 * 2 + 1))
        await settled(app, pilot)
        assert app.query_one(DayList).cursor == 4
        assert "Day 5" in app.query_one("#about-lines", Lines).shown[0][1]
        await pilot.click("#leg-table", offset=app.query_one(LegTable).cell_region(2, SPEED).offset + (1, 0))
        await settled(app, pilot)
        assert app.query_one(LegTable).cursor_coordinate == (2, SPEED)


async def test_the_calendar_marks_departure_arrival_and_today():
    async with opened(today=date(2027, 3, 9)) as (app, pilot):
        await press(app, pilot, "d", "right")
        shown = text(app)
        assert "  1▸[ 2]" in shown
        assert " 9•" in shown
        assert " 12◂" in shown
        assert "▸ departs  ◂ arrives  • today" in shown
        await press(app, pilot, "left")
        assert "2027-03-01 departs" in text(app)


async def test_a_click_takes_a_day_of_the_month():
    async with opened() as (app, pilot):
        await press(app, pilot, "d")
        await pilot.click(Month, offset=(5, 3))
        await settled(app, pilot)
        assert asked(app) == {"departs": "2027-03-09"}


async def test_leaving_a_cell_by_mouse_takes_what_was_typed():
    async with opened(size=(120, 40)) as (app, pilot):
        await press(app, pilot, "8")
        await pilot.click("#days", offset=(5, 3))
        await settled(app, pilot)
        assert asked(app) == {"legs": {1: {"speed_kmh": 8.0}}}
        assert app.query_one(LegSheet).at is None


async def test_a_burst_of_keys_lands_in_order():
    async with opened() as (app, pilot):
        await burst(app, *"7.59", "backspace", "left", "6", "enter", *"8", "enter")
        await burst(app, "s", "m", *"9", "backspace", *"6.5", "tab")
        await settled(app, pilot)
        speeds = {1: {"speed_kmh": 7.65}, 2: {"speed_kmh": 8.0}, 3: {"speed_kmh": 6.5}}
        assert asked(app) == {"sky": "middling", "legs": speeds}


async def test_a_burst_through_a_calendar():
    async with opened() as (app, pilot):
        await burst(app, "d", *"2027-06-01", "enter", "b", "right", "enter", "u", "u", "r")
        await settled(app, pilot)
        assert asked(app) == {"departs": "2027-06-01"}


async def test_resizing_moves_the_days_beside_the_legs():
    async with opened() as (app, pilot):
        assert app.query_one("#days").region.x == 0
        await pilot.resize_terminal(120, 40)
        await settled(app, pilot)
        assert app.query_one("#days").region.x > 60
        assert app.query_one("#days").region.y == app.query_one("#legs").region.y
        await press(app, pilot, "7")
        await pilot.resize_terminal(80, 24)
        await settled(app, pilot)
        assert app.query_one(LegSheet).cell.display
        await pilot.resize_terminal(40, 10)
        await settled(app, pilot)


async def test_the_former_plan_stays_while_planning_and_is_marked():
    async with opened("slow.toml") as (app, pilot):
        await pilot.press("right_square_bracket")
        await until(lambda: app.query_one(TitleLine).status == "days and moorings")
        await pilot.pause()
        shown = text(app)
        assert "Days (former plan)" in shown
        assert "arrives Fri 12 Mar 2027" in shown
        assert "days and moorings" in shown
        await settled(app, pilot)
        assert "arrives Sat 13 Mar 2027" in text(app)
        assert "former plan" not in text(app)


async def test_the_newest_wish_wins():
    async with opened("slow.toml") as (app, pilot):
        await burst(app, *["right_square_bracket"] * 5)
        await settled(app, pilot)
        assert app.desk.plan["voyage"]["departs"] == "2027-03-06"


async def test_planning_can_be_stopped():
    async with opened("slow.toml") as (app, pilot):
        await pilot.press("right_square_bracket")
        await press(app, pilot, "x")
        assert "Planning was stopped." in text(app)
        assert app.desk.plan["voyage"]["departs"] == "2027-03-01"


async def test_a_refused_wish_keeps_the_former_plan_and_says_why():
    async with opened("refuses.toml") as (app, pilot):
        await press(app, pilot, "9", "enter")
        assert "faster than the motor can drive this boat" in text(app).replace("\n", " ")
        assert "Rooskey" in text(app)
        await press(app, pilot, "u")
        assert "✗" not in text(app)


async def test_a_fault_of_the_planner_is_said_in_a_sentence():
    async with opened("fault.toml") as (app, pilot):
        await press(app, pilot, "9", "enter")
        assert "The planner stopped on a fault of its own" in text(app)
        assert "Traceback" not in text(app)


async def test_what_is_short_and_what_mends_it():
    async with opened("short.toml", size=(120, 40)) as (app, _):
        shown = text(app)
        assert "✗ Day 6, Sat 6 Mar 2027, Portumna: 2.3 kWh short." in shown
        assert "Would mend it: Stay 2 nights longer at Athlone; or shore power at Portumna." in shown
        assert "not held" in shown


async def test_a_bad_file_closes_the_screen_with_its_problems():
    async with opened("bad.toml", wait=False) as (app, _):
        await until(lambda: app.return_value is not None)
    assert app.return_value == "bad.toml:4: departs: there is no 30 February\nbad.toml:9: leg: a leg needs to"


async def test_the_look_can_be_changed():
    async with opened() as (app, pilot):
        before = text(app)
        for look in ("voyager-light", "ansi-dark", "ansi-light", "voyager-dark"):
            await press(app, pilot, "t")
            assert app.theme == look
            assert text(app) == before


class Silent(Nearby):
    """A worker from which nothing has come yet."""

    def _run(self, kind, ticket, refused, call) -> bool:
        return False


async def test_the_screen_stands_and_takes_keys_before_the_voyage_is_read():
    async with opened(worker=Silent(), wait=False) as (app, pilot):
        await pilot.pause()
        assert "reading the voyage" in text(app)
        await burst(app, "s", "d", "7", "enter", "u", "r", "i", "escape", "w", "escape", "tab", "down")
        await burst(app, "right_square_bracket")
        await app.gate.settled()
        assert app.is_running
        assert app.worker.asked == [EMPTY]
        await burst(app, "q")
        await until(lambda: not app.is_running)


async def test_keys_pressed_while_a_wish_is_planned_are_not_lost():
    async with opened("slow.toml") as (app, pilot):
        await burst(app, "right_square_bracket", "down", "down", "9", "enter", "s", "m")
        await settled(app, pilot)
        assert asked(app) == {"departs": "2027-03-02", "sky": "middling", "legs": {3: {"speed_kmh": 9.0}}}


async def test_a_click_and_a_key_leave_a_list_once():
    async with opened() as (app, pilot):
        await press(app, pilot, "s", "down")
        picker = app.screen
        picker.leave("good")
        picker.leave("middling")
        await settled(app, pilot)
        assert asked(app) == {"sky": "good"}
        assert app.screen is app.first
