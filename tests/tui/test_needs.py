"""From day to day that needs something."""

from tests.tui.harness import opened, press, text
from voyager.tui.needs import needs, next_need


def day(shore_kwh: float = 0.0, held: bool = True) -> dict[str, object]:
    return {"shore_kwh": shore_kwh, "held": held}


def test_a_plug_and_a_day_that_is_not_held_are_needs():
    assert [needs(one) for one in (day(), day(3.0), day(0.0, False))] == ["", "takes shore power", "is not held"]


def test_the_next_one_is_found_and_after_the_last_the_first_again():
    days = [day(), day(3.0), day(), day(held=False)]
    assert [next_need(days, after) for after in (-1, 0, 1, 2, 3)] == [1, 1, 3, 3, 1]
    assert next_need([day(), day()], 0) is None
    assert next_need([], 5) is None
    assert next_need([day(1.0)], 0) == 0


async def test_a_key_goes_to_the_days_that_take_shore_power():
    async with opened() as (app, pilot):
        days = app.desk.plan["days"]
        plugs = [one["day"] for one in days if one["shore_kwh"] > 0 or not one["held"]]
        assert plugs, "the sample has days with a plug"
        for number in [*plugs, plugs[0]]:
            await press(app, pilot, "j")
            assert app.first.focused.id == "days"
            assert f"Day {number}," in text(app)


async def test_where_nothing_is_needed_it_is_said(monkeypatch):
    async with opened(notices=True) as (app, pilot):
        monkeypatch.setattr("voyager.tui.needs.needs", lambda one: "")
        await press(app, pilot, "j")
        assert "No day of this plan takes" in text(app)
