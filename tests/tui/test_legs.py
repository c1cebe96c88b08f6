"""The legs as a sheet, by keys through the driver and by mouse."""

from dataclasses import replace

import pytest
from textual import events

from tests.tui.harness import Held, burst, opened, press, settled, text
from voyager.tui.leg_columns import FROM, KEYS, SPEED, STAY, TO, WATER
from voyager.tui.widgets.legs import LegSheet, LegTable

KM, CURRENT, LATEST = KEYS["distance_km"], KEYS["current_kmh"], KEYS["latest"]


def to(column, row=0):
    """Keys from the first cell, which is the speed of the first leg, to another."""
    way = ["right" if column > SPEED else "left"] * abs(column - SPEED)
    return [*way, *["down"] * row]


def legs(app):
    return [dict(row.values) for row in app.desk.sketch.legs]


def names(app):
    return [(leg["from"], leg.get("to")) for leg in legs(app)]


async def paste(app, pilot, words):
    app._driver.send_message(events.Paste(words))
    await settled(app, pilot)


@pytest.mark.parametrize(("column", "keys", "key", "value"), [
    (WATER, "co", "water", "coastal"), (KM, "31.5", "distance_km", 31.5), (KEYS["locks"], "4", "locks", 4),
    (SPEED, "7,5", "speed_kmh", 7.5), (STAY, "2", "nights", 2), (CURRENT, "1.5", "current_kmh", 1.5),
    (KEYS["limit_kmh"], "8", "limit_kmh", 8), (KEYS["depth_m"], "1.8", "depth_m", 1.8),
])  # fmt: skip
async def test_every_value_of_the_file_is_typed_over(column, keys, key, value):
    async with opened() as (app, pilot):
        await press(app, pilot, *to(column, 1), *keys, "enter")
        assert legs(app)[1][key] == value
        assert app.query_one(LegTable).cursor_coordinate == (2, column)
        await press(app, pilot, "ctrl+z")
        assert legs(app) == [dict(row.values) for row in app.desk.history.saved.legs]


async def test_tab_goes_on_to_the_right_and_shift_tab_back():
    async with opened() as (app, pilot):
        await press(app, pilot, *to(KM), "3", "0", "tab", "4", "tab", "7", "tab")
        assert (legs(app)[0]["distance_km"], legs(app)[0]["locks"], legs(app)[0]["speed_kmh"]) == (30, 4, 7)
        assert app.query_one(LegTable).cursor_coordinate == (0, STAY)
        await press(app, pilot, "2", "shift+tab")
        assert legs(app)[0]["nights"] == 2
        assert app.query_one(LegTable).cursor_coordinate == (0, SPEED)


async def test_a_burst_into_a_planning_app_lands_in_order():
    async with opened(worker=Held(), wait=False) as (app, pilot):
        await pilot.pause(0.3)
        keys = [*"12", "left", "9", "backspace", *"7", "enter", *"5.5", "tab", "3", "up", "delete", *"1", "enter"]
        await burst(app, *to(KM), *keys)
        await app.gate.settled()
        first, second = legs(app)[:2]
        assert first["distance_km"] == 172
        assert second["distance_km"] == 5.5
        assert second["locks"] == 3
        assert first["locks"] == 1
        app.worker.let_go.set()


async def test_a_burst_in_the_names_and_an_undo_in_between():
    async with opened() as (app, pilot):
        before = names(app)
        await burst(app, *to(TO), *"athl", "enter", *"killaloe", "backspace", "e", "tab", "c", "a", "enter", "ctrl+z")
        await settled(app, pilot)
        assert names(app)[0] == ("Carrick-on-Shannon", "Athlone")
        assert names(app)[1] == ("Rooskey", "Killaloe")
        assert legs(app)[1]["water"] == "river"
        await press(app, pilot, "ctrl+z", "ctrl+z")
        assert names(app) == before


async def test_a_name_that_is_no_place_is_offered_as_a_new_one():
    async with opened() as (app, pilot):
        await press(app, pilot, *to(TO), *"Mill", "enter")
        assert '"Mill" is no place yet: Enter again makes it one' in " ".join(text(app).split())
        assert len(app.desk.history.taken) == 1
        await press(app, pilot, "enter")
        assert names(app)[0][1] == "Mill"
        assert dict(app.desk.sketch.places[-1].values) == {"name": "Mill"}


async def test_a_wrong_text_stays_with_its_reason_in_every_kind_of_column():
    async with opened() as (app, pilot):
        for column, keys, reason in ((WATER, "c", "one of canal"), (KM, "0", "above 0"), (STAY, "4.5", "whole number")):
            app.query_one(LegTable).move_cursor(0, column)
            await press(app, pilot, *keys, "enter")
            assert app.query_one(LegSheet).cell.display
            assert reason in " ".join(text(app).split())
            await press(app, pilot, "escape")
        assert len(app.desk.history.taken) == 1


async def test_a_new_leg_shows_its_gap_planning_pauses_and_saving_is_allowed():
    async with opened() as (app, pilot):
        asked = len(app.worker.asked)
        await press(app, pilot, *to(TO, 1), "ctrl+n")
        assert names(app)[2] == ("Lanesborough", None)
        assert app.query_one(LegTable).cursor_coordinate == (2, TO)
        assert "3≠" in text(app)
        assert "gap: leg 3 does not say where it ends" in text(app)
        assert "Planning pauses" in text(app)
        assert app.desk.unsaved
        await press(app, pilot, *"athlone", "enter")
        said = " ".join(text(app).split())
        assert "leg 3 ends at Athlone, leg 4 begins at Lanesborough; Enter on From takes Athlone" in said
        assert app.desk.faults
        await press(app, pilot, "left", "enter")
        assert names(app)[3] == ("Athlone", "Athlone")
        await press(app, pilot, "ctrl+x")
        assert "gap" not in text(app)
        assert not app.desk.faults
        assert len(app.worker.asked) > asked


async def test_double_move_and_remove():
    async with opened() as (app, pilot):
        before = names(app)
        await press(app, pilot, "ctrl+d")
        assert names(app)[:2] == [before[0]] * 2
        await press(app, pilot, "ctrl+x", "up", "alt+down")
        assert names(app)[:2] == [before[1], before[0]]
        assert app.query_one(LegTable).cursor_row == 1
        await press(app, pilot, "alt+up")
        assert names(app) == before
        await press(app, pilot, "alt+up")
        assert names(app) == before
        await press(app, pilot, "down", "shift+down", "shift+down", "ctrl+x")
        assert names(app) == [before[0], *before[4:]]


async def test_marked_legs_are_copied_and_pasted():
    async with opened() as (app, pilot):
        before = names(app)
        await press(app, pilot, "down", "shift+down")
        assert "2 legs marked" in text(app)
        await press(app, pilot, "ctrl+k", "end")
        assert app.clipboard.splitlines()[0].startswith("from\tto\twater")
        await paste(app, pilot, app.clipboard)
        assert names(app) == [*before, *before[1:3]]
        added = [dict(leg) for leg in legs(app)[7:]]
        assert added == legs(app)[1:3]


async def test_rows_of_a_spreadsheet_are_pasted_all_or_none():
    async with opened() as (app, pilot):
        await paste(app, pilot, "From\tTo\tkm\nKilrush\tLoop Head\t30\nLoop Head\tAran\tfar")
        assert len(legs(app)) == 7
        assert "nothing was pasted: row 3, column 3 (distance_km)" in " ".join(text(app).split())
        await press(app, pilot, "end")
        await paste(app, pilot, "From\tTo\tkm\nKilrush\tLoop Head\t30\nLoop Head\tAran\t60")
        assert names(app)[7:] == [("Kilrush", "Loop Head"), ("Loop Head", "Aran")]
        await press(app, pilot, "ctrl+z")
        assert len(legs(app)) == 7


async def test_one_word_pasted_goes_into_the_cell():
    async with opened() as (app, pilot):
        await paste(app, pilot, "6.25")
        await press(app, pilot, "enter")
        assert legs(app)[0]["speed_kmh"] == 6.25


async def test_split_at_a_mooring_and_join_again():
    async with opened() as (app, pilot):
        await press(app, pilot, "slash")
        assert "Moorings along it" in text(app)
        await press(app, pilot, "enter")
        parts = legs(app)[:2]
        assert parts[0]["to"] == parts[1]["from"]
        assert sum(part["distance_km"] for part in parts) == pytest.approx(24.0)
        await press(app, pilot, "ampersand")
        assert legs(app)[0] == dict(app.desk.history.saved.legs[0].values)
        await press(app, pilot, "slash", *["backspace"] * 5, *"3.5", "space", *"Quay", "enter")
        assert names(app)[0] == ("Carrick-on-Shannon", "Quay")
        assert legs(app)[0]["distance_km"] == 3.5


async def test_a_split_beyond_the_end_says_so_and_a_join_that_can_not_be_is_told():
    async with opened() as (app, pilot):
        await press(app, pilot, "slash", *["backspace"] * 5, *"99", "enter")
        assert "must be a km between 0 and 24" in text(app)
        await press(app, pilot, "escape", "down", "ampersand")
        assert "their water differ" in text(app)
        assert len(app.desk.history.taken) == 1


async def test_reverse_and_there_and_back():
    async with opened() as (app, pilot):
        before = names(app)
        await press(app, pilot, "ctrl+b")
        assert names(app)[7:] == [(end, start) for start, end in before[::-1]]
        await press(app, pilot, "ctrl+z", "ctrl+r")
        assert names(app) == [(end, start) for start, end in before[::-1]]
        assert any("the other way round" in note.message for note in app._notifications)


async def test_plus_and_minus_nudge():
    async with opened() as (app, pilot):
        await press(app, pilot, "plus")
        assert legs(app)[0]["speed_kmh"] == 6.5  # 6.0 planned, half a km/h more
        await press(app, pilot, "minus", "minus")
        assert legs(app)[0]["speed_kmh"] == 5.5
        app.query_one(LegTable).move_cursor(0, WATER)
        await press(app, pilot, "plus")
        assert legs(app)[0]["water"] == "lake"
        app.query_one(LegTable).move_cursor(0, STAY)
        await press(app, pilot, "minus")
        assert "can go no lower" in text(app)


async def test_columns_beyond_the_edge_come_into_view():
    async with opened() as (app, pilot):
        assert "Latest" not in text(app)
        assert "›" in text(app)
        await press(app, pilot, *to(LATEST), *"2027-03-09", "enter")
        assert legs(app)[0]["latest"].isoformat() == "2027-03-09"
        shown = text(app)
        assert "2027-03-09" in shown
        assert "‹" in shown
        assert "Carrick" in shown


async def test_knots_and_miles_where_they_are_chosen():
    async with opened() as (app, pilot):
        await press(app, pilot, "U", "down", "enter")
        assert (app.desk.units.speed, app.desk.units.length) == ("kn", "NM")
        assert " NM " in text(app)
        await press(app, pilot, "3", "enter", *["left"] * (SPEED - KM), *"10", "enter")
        assert legs(app)[0]["speed_kn"] == 3
        assert legs(app)[1]["distance_nm"] == 10
        assert "distance_km" not in legs(app)[1]


async def test_what_is_half_typed_is_kept_and_opened_again():
    async with opened() as (app, pilot):
        kept = []
        app.typing = kept.append
        await press(app, pilot, "down", "7", ".")
        ident = app.desk.sketch.legs[1].ident
        assert kept[-1] == {"row": ident, "key": "speed_kmh", "text": "7."}
        await press(app, pilot, "escape")
        assert kept[-1] is None
        app.first.resume({"row": ident, "key": "speed_kmh", "text": "7."})
        await press(app, pilot, "5", "enter")
        assert legs(app)[1]["speed_kmh"] == 7.5


async def test_a_plan_that_comes_in_while_typing_leaves_the_field_alone():
    async with opened(worker=Held(), wait=False) as (app, pilot):
        worker = app.worker
        worker.let_go.set()
        await settled(app, pilot)
        worker.let_go.clear()
        await burst(app, "8", "enter", "9", ".")
        await app.gate.settled()
        worker.let_go.set()
        await settled(app, pilot)
        assert app.query_one(LegSheet).cell.value == "9."
        await press(app, pilot, "1", "enter")
        assert legs(app)[1]["speed_kmh"] == 9.1


async def test_mouse_points_and_a_second_click_opens():
    async with opened(size=(120, 40)) as (app, pilot):
        table = app.query_one(LegTable)
        x = table.cell_region(2, KM).x + 1
        await pilot.click("#leg-table", offset=(x, 3))
        await settled(app, pilot)
        assert table.cursor_coordinate == (2, KM)
        await pilot.click("#leg-table", offset=(x, 3), times=2)
        await settled(app, pilot)
        assert app.query_one(LegSheet).cell.display
        assert app.query_one(LegSheet).cell.value == "29"


async def test_letters_stay_commands_in_figure_columns_and_type_in_names():
    async with opened() as (app, pilot):
        await press(app, pilot, "u")
        assert not app.query_one(LegSheet).cell.display
        await press(app, pilot, *to(FROM), "u")
        assert app.query_one(LegSheet).cell.value == "u"


async def test_five_hundred_legs_are_drawn_for_the_lines_in_view_alone():
    async with opened() as (app, pilot):
        rows = "\n".join(f"P{n}\tP{n + 1}\tcanal\t{5 + n % 7}" for n in range(500))
        await paste(app, pilot, rows)
        assert len(legs(app)) == 507
        table = app.query_one(LegTable)
        table.drawn.clear()
        await press(app, pilot, "end", "7", "enter")
        assert legs(app)[506]["speed_kmh"] == 7 or legs(app)[506].get("speed_kmh") == 7.0
        assert len(table.drawn) < 120


async def test_a_short_voyage_leaves_room_for_the_reason_why_not():
    async with opened(size=(120, 40)) as (app, pilot):
        sketch = app.desk.sketch
        app.take(app.desk.edited(replace(sketch, legs=sketch.legs[:1]), "one leg"))
        await settled(app, pilot)
        app.query_one(LegSheet).refuse("nothing was pasted: " + "a long reason " * 7 + "at its very end")
        await settled(app, pilot)
        assert "at its very end" in text(app)


@pytest.mark.parametrize("width", [60, 67, 73, 80, 100, 120])
async def test_columns_are_seen_whole_and_nothing_touches_the_cursor(width):
    async with opened(size=(width, 40)) as (app, pilot):
        table = app.query_one(LegTable)
        for _ in range(len(table.columns)):
            shown = table.spans()
            for column, start, wide in shown:
                last = column == len(table.columns) - 1
                assert table.columns[column].fixed or column == table.first or start + wide <= table.wide + last
            here = next((start, wide) for column, start, wide in shown if column == table.column)
            cursor = table.get_component_rich_style("grid--cursor", partial=True).bgcolor
            line = table.render_line(table.row + 1 - int(table.scroll_offset.y))
            lit = [at for at in range(table.wide) if line.crop(at, at + 1)._segments[0].style.bgcolor == cursor]
            assert lit == list(range(here[0], min(here[0] + here[1] - 1, table.wide)))
            await press(app, pilot, "right")
