"""The panes "this morning" and "how sure", by keys and by mouse, while plans come and go."""

from tests.tui.harness import Held, burst, opened, press, settled, text, until
from voyager.tui.screens.page import PageScreen
from voyager.tui.widgets.days import DayList
from voyager.tui.widgets.legs import LegTable
from voyager.tui.widgets.morning import MorningPane
from voyager.tui.widgets.sure import SurePane


async def test_the_card_opens_at_the_first_day_and_closes_where_the_cursor_was():
    async with opened() as (app, pilot):
        await press(app, pilot, "down", "up", "m")
        shown = text(app)
        for words in ("Day 1, Mon 1 Mar", "Carrick-on-Shannon", "plan: 25.2 kWh, dull", "go from 16.3", "stay",
                      "→ Rooskey", "evening", "▼90%"):  # fmt: skip
            assert words in shown
        assert [name for name in ("dark", "dull", "mixed", "fair", "bright") if f"{name:<6}  41%" in shown] == [
            "dark", "dull", "mixed", "fair", "bright"]  # fmt: skip
        assert not app.query_one(DayList).display
        await press(app, pilot, "m")
        assert app.focused is app.query_one(LegTable)
        assert app.query_one(DayList).display
        await press(app, pilot, "m", "escape")
        assert app.focused is app.query_one(LegTable)


async def test_stepping_through_days_takes_the_list_along():
    async with opened(size=(120, 40)) as (app, pilot):
        await press(app, pilot, "m", "right", "right", "right", "left")
        assert "Day 3, Wed 3 Mar" in text(app)
        assert app.query_one(DayList).cursor == 2
        await press(app, pilot, "m", "tab")
        assert app.focused is app.query_one(DayList)
        await press(app, pilot, "down")
        assert app.query_one(DayList).cursor == 3


async def test_the_card_goes_with_the_cursor_of_the_lists():
    async with opened(size=(120, 40)) as (app, pilot):
        await press(app, pilot, "tab", "m", "shift+tab", "down", "down", "down", "down")
        assert app.focused is app.query_one(DayList)
        assert "Day 5, Fri 5 Mar" in text(app)
        await press(app, pilot, "shift+tab", "up", "down")
        assert app.focused is app.query_one(LegTable)
        assert "Day 2, Tue 2 Mar" in text(app)


async def test_other_berths_of_a_morning_can_be_read():
    async with opened() as (app, pilot):
        await press(app, pilot, "m", "right", "right")
        assert "Rooskey 7%" in text(app)
        await press(app, pilot, "up")
        shown = text(app)
        assert "▸ Rooskey, km 24.0" in shown
        assert "plan:" not in shown
        await press(app, pilot, "up", "down")
        assert "▸ Lanesborough, km 49.0 · plan: 17.1 kWh" in text(app)
        await press(app, pilot, "up", "right", "left")
        assert "▸ Lanesborough" in text(app)


async def test_a_morning_past_the_plans_last_has_a_card_too():
    async with opened() as (app, pilot):
        await press(app, pilot, "m", *["right"] * 14)
        shown = text(app)
        assert "Day 14, Sun 14 Mar ▸ Limerick" in shown
        assert "▼" not in shown
        await press(app, pilot, "left")
        assert "Day 12" in text(app)


async def test_a_morning_that_hardly_ever_comes_says_so():
    async with opened() as (app, pilot):
        await press(app, pilot, "m", *["right"] * 10)
        shown = " ".join(text(app).split())
        assert "Day 11" in shown
        assert "No card: the boat wakes at Limerick on this day in fewer than one of a hundred" in shown


async def test_every_band_can_be_read_in_full():
    async with opened() as (app, pilot):
        await press(app, pilot, "m", "enter")
        assert isinstance(app.screen, PageScreen)
        assert "24.3 to  26.6 kWh  go to Rooskey, km 24.0, at 6.6 km/h" in text(app)
        await press(app, pilot, "escape")
        assert app.focused is app.query_one(MorningPane)


async def test_evenings_that_differ_stand_with_their_sky():
    async with opened() as (app, pilot):
        await press(app, pilot, "m", *["right"] * 4, "pagedown")
        assert "plug < 13.3  plug in, off · from 13.3 frugal" in text(app)


async def test_mouse_steps_picks_and_closes():
    async with opened(size=(120, 40)) as (app, pilot):
        await press(app, pilot, "m")
        for _ in range(2):
            at = where(app, "▸ Carrick" if app.query_one(MorningPane).day == 1 else "▸ Rooskey")
            await pilot.click(offset=at)
            await settled(app, pilot)
        assert "Day 3, Wed 3 Mar" in text(app)
        await pilot.click(offset=where(app, "Rooskey 7%"))
        await settled(app, pilot)
        assert "▸ Rooskey, km 24.0" in text(app)
        await pilot.click(offset=where(app, "◂ Day"))
        await settled(app, pilot)
        assert "Day 2" in text(app)
        await pilot.click(offset=where(app, "×"))
        await settled(app, pilot)
        assert not app.query_one(MorningPane).display


def where(app, words: str) -> tuple[int, int]:
    """Column and row of words on the screen."""
    for y, line in enumerate(text(app).splitlines()):
        if words in line:
            return line.index(words), y
    raise AssertionError(f"{words} is not on the screen")


async def test_odds_open_close_and_take_the_others_place():
    async with opened() as (app, pilot):
        await press(app, pilot, "m", "o")
        shown = text(app)
        assert "This morning" not in shown
        assert "10% by Thu 11 Mar, 50% by Sat 13 Mar, 90% by Tue 16 Mar" in shown
        await press(app, pilot, "m")
        assert app.focused is app.query_one(MorningPane)
        assert not app.query_one(SurePane).display
        await press(app, pilot, "m")
        assert app.focused is app.query_one(LegTable)


async def test_the_foot_says_how_sure_it_is():
    async with opened(size=(120, 40)) as (app, _):
        assert "1,000 skies: 10% by 11 Mar, 50% by 13 Mar, 90% by 16 Mar · shore 31% · not held 3%" in text(app)


async def test_no_card_while_the_odds_are_computed_and_it_says_so():
    async with opened(worker=Held(), wait=False) as (app, pilot):
        await until(lambda: app.desk.draft)
        await burst(app, "m")
        await app.gate.settled()
        await pilot.pause()
        shown = text(app)
        assert "This morning (provisional)" in shown
        assert "This is being computed" in shown
        app.worker.let_go.set()
        await settled(app, pilot)
        shown = text(app)
        assert "provisional" not in shown
        assert "go from 16.3" in shown


async def test_a_provisional_plan_is_marked_in_words():
    async with opened(worker=Held(), size=(120, 40), wait=False) as (app, pilot):
        await until(lambda: app.desk.draft)
        await pilot.pause()
        shown = text(app)
        assert "Legs (provisional)" in shown
        assert "Days (provisional)" in shown
        assert "Provisional, under one sky: 1,000 skies are being computed." in shown
        assert "arrives Fri 12 Mar 2027" in shown


async def test_the_odds_come_in_without_moving_cursor_or_scroll():
    async with opened(worker=Held(), wait=False) as (app, pilot):
        await until(lambda: app.desk.draft)
        await pilot.pause()
        days, legs = app.query_one(DayList), app.query_one(LegTable)
        await burst(app, "down", "down", "right", "tab", *["down"] * 9, "up")
        await app.gate.settled()
        await pilot.pause()
        days.scroll_to(y=3, animate=False)
        await pilot.pause()
        before = (days.cursor, days.scroll_offset, legs.cursor_coordinate, legs.scroll_offset, app.focused)
        assert app.desk.draft
        app.worker.let_go.set()
        await settled(app, pilot)
        assert app.desk.plan["odds"] is not None
        assert (days.cursor, days.scroll_offset, legs.cursor_coordinate, legs.scroll_offset, app.focused) == before
        assert days.scroll_offset.y == 3


async def test_columns_that_must_grow_leave_cursor_and_scroll():
    async with opened() as (app, pilot):
        table = app.query_one(LegTable)
        await press(app, pilot, "down", "down", "right", "right")
        table.scroll_to(y=2, animate=False)
        await settled(app, pilot)
        before = (table.cursor_coordinate, table.scroll_offset)
        app.change(plan={**app.desk.plan, "legs": [{**leg, "energy_kwh": 12345.0} for leg in app.desk.plan["legs"]]})
        await settled(app, pilot)
        assert "12345" in text(app)
        assert (table.cursor_coordinate, table.scroll_offset) == before
        assert table.scroll_offset.y == 2


async def test_day_and_berth_of_the_card_stay_when_a_new_plan_comes():
    async with opened(worker=Held(), wait=False) as (app, pilot):
        app.worker.let_go.set()
        await settled(app, pilot)
        await press(app, pilot, "m", "right", "right", "up")
        app.worker.let_go.clear()
        await burst(app, "right_square_bracket")
        await until(lambda: app.desk.draft)
        assert app.query_one(MorningPane).day == 3
        app.worker.let_go.set()
        await settled(app, pilot)
        assert app.query_one(MorningPane).day == 3
        assert "▸ Rooskey, km 24.0" in text(app)


async def test_a_change_while_the_odds_are_computed_starts_anew():
    async with opened(worker=Held(), wait=False) as (app, pilot):
        await until(lambda: app.desk.draft)
        first = app.desk.ticket
        await burst(app, "right_square_bracket")
        await until(lambda: app.desk.ticket > first)
        app.worker.let_go.set()
        await settled(app, pilot)
        assert app.worker.asked == [{}, {"departs": "2027-03-02"}]
        assert app.desk.plan["voyage"]["departs"] == "2027-03-02"
        assert app.desk.plan["odds"]["arrival"]["p50"] == "2027-03-14"
        assert not app.desk.draft


async def test_stopping_the_odds_keeps_the_plan_under_one_sky_and_going_on_gets_them():
    async with opened(worker=Held(), wait=False) as (app, pilot):
        await until(lambda: app.desk.draft)
        await press(app, pilot, "x", "o")
        shown = " ".join(text(app).split())
        assert "Planning was stopped." in shown
        assert "The plan under one sky is shown, without odds; x plans on." in shown
        assert "The odds of this plan were not computed." in shown
        assert "former plan" not in shown
        app.worker.let_go.set()
        await press(app, pilot, "x")
        assert app.desk.plan["odds"] is not None
        assert "stopped" not in text(app)


async def test_odds_that_are_refused_leave_the_plan_under_one_sky():
    async with opened("oddless.toml") as (app, _):
        shown = text(app)
        assert "more skies than memory allows" in shown
        assert "arrives Fri 12 Mar 2027" in shown
        assert "without odds" in shown


async def test_a_pane_that_is_open_survives_every_size():
    async with opened(size=(120, 40)) as (app, pilot):
        await press(app, pilot, "m", "right", "shift+tab")
        for size in ((80, 24), (40, 10), (200, 60), (80, 24)):
            await pilot.resize_terminal(*size)
            await settled(app, pilot)
            assert app.is_running
        assert "Day 2" in text(app)
        await press(app, pilot, "m")
        assert "Legs" in text(app)
