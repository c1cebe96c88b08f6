"""A pane may have the whole board."""

from tests.tui.harness import opened, press


async def test_the_open_pane_is_enlarged_and_made_small_again():
    async with opened(size=(120, 40)) as (app, pilot):
        await press(app, pilot, "h")
        pane = app.first.panes["hours"]
        small = pane.size
        await press(app, pilot, "z")
        assert pane.size.width > small.width + 30
        assert pane.size.height > small.height + 5
        assert not app.first.query_one("#days").display
        await press(app, pilot, "z")
        assert pane.size == small
        await press(app, pilot, "z", "h")
        assert app.first.query_one("#days").display
        assert app.first.query_one("#legs").display


async def test_where_no_pane_is_open_it_is_said():
    async with opened(notices=True) as (app, pilot):
        await press(app, pilot, "z")
        assert not app.first.has_class("-whole")
