"""The card of an evening, drawn and stepped through."""

from typing import Any

import pytest

from tests.tui import fake
from tests.tui.harness import opened, press, text
from voyager.tui import evening_view
from voyager.tui.evening_view import EveningView
from voyager.tui.runs import Line, length
from voyager.tui.units import Units


def view(day: int = 3, units: Units | None = None, **changes: Any) -> EveningView:
    plan = fake.plan("shannon.toml")
    evening = next((one for one in plan["evenings"] if one["day"] == day), None)
    return EveningView(plan, plan["days"][day - 1], None if evening is None else evening | changes, units or Units())


def texts(lines: list[Line]) -> list[str]:
    return ["".join(run.text for run in line) for line in lines]


@pytest.mark.parametrize("size", [(76, 19), (118, 36), (50, 10)])
def test_every_part_is_named_and_fits_its_width(size: tuple[int, int]) -> None:
    width, height = size
    lines = evening_view.draw(view(), width, height)
    assert all(length(line) <= width for line in lines)
    shown = texts(lines)
    for name in ("Lie", "Panels", "Heat", "Battery", "Tomorrow", "Take care"):
        assert sum(line.startswith(name) for line in shown) == 1, name


def test_it_all_stands_on_a_small_screen() -> None:
    assert len(evening_view.draw(view(), 76, 19)) <= 19


def test_what_it_says() -> None:
    shown = " ".join(" ".join(texts(evening_view.draw(view(), 200, 40))).split())
    for words in (
        "Day 3, Wed 3 Mar", "Athlone · made fast 13:20 to 08:30 tomorrow",
        "Bow to the west: the sun is to port (south)", "Starboard side to the bank",
        "Roof: raise to 30° over port, facing south; +0.41 kWh", "18:00 to 22:00 at 15 °C", "panel 2.40 kWh",
        "57% this evening, 47% next morning", "never run it asleep or unattended",
    ):  # fmt: skip
        assert words in shown, words


def test_what_tomorrow_needs() -> None:
    shown = " ".join(" ".join(texts(evening_view.draw(view(2), 200, 40))).split())
    for words in ("Cast off at 08:30 for Athlone", "2 locks, Lanesborough to Athlone: 09:00 to 17:00", "held from 40%"):
        assert words in shown, words


def test_units_as_asked_for() -> None:
    shown = " ".join(texts(evening_view.draw(view(units=Units("kn", "NM", "°F")), 200, 40)))
    assert "at 59 °F" in shown
    assert "16 kn" in shown
    assert "km/h" not in shown


def test_a_night_on_the_water_has_no_evening() -> None:
    assert evening_view.AT_SEA in texts(evening_view.draw(view(10), 76, 19))


def test_the_last_evening_has_no_tomorrow() -> None:
    shown = texts(evening_view.draw(view(12), 76, 19))
    assert any("The voyage ends here." in line for line in shown)


@pytest.mark.parametrize("size", [(80, 24), (120, 40)])
async def test_the_pane_goes_with_the_cursor_and_by_its_own_keys(size: tuple[int, int]) -> None:
    async with opened(size=size) as (app, pilot):
        await press(app, pilot, "tab", "down", "down", "e")
        assert "Day 3, Wed 3 Mar" in text(app)
        assert "Bow to the west" in text(app)
        await press(app, pilot, "right")
        assert "Day 4" in text(app)
        assert app.first.pointed == ("day", 3)
        await press(app, pilot, "escape")
        assert app.first.opened is None
        await press(app, pilot, "f7", "m")
        assert app.first.opened == "morning"


async def test_evening_morning_and_hours_take_each_others_place() -> None:
    async with opened(size=(120, 40)) as (app, pilot):
        await press(app, pilot, "tab", "down", "e", "h", "m", "o")
        shown = [name for name, pane in app.first.panes.items() if pane.display]
        assert shown == ["sure"]
