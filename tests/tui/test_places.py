"""Places, points between, a leg drawn from two positions, and the form of one leg."""

import pytest

from tests.tui.harness import burst, opened, press, settled, text
from voyager.session.sketch.state import sketch_of
from voyager.tui.places_view import KEYS, place_rows, point_rows, points
from voyager.tui.units import Units
from voyager.tui.widgets.leg_form import LegPane
from voyager.tui.widgets.legs import LegSheet, LegTable
from voyager.tui.widgets.places import PlacesPane

NAME, AT = KEYS.index("name"), KEYS.index("at")


def places(app):
    return [dict(row.values) for row in app.desk.sketch.places]


def leg(app, index=0):
    return dict(app.desk.sketch.legs[index].values)


def pane(app):
    return app.query_one(PlacesPane)


async def test_a_place_renamed_is_renamed_in_its_legs():
    async with opened() as (app, pilot):
        await press(app, pilot, "p", "down", *"Boyle", "enter")
        assert places(app)[1]["name"] == "Boyle"
        assert (leg(app, 0)["to"], leg(app, 1)["from"]) == ("Boyle", "Boyle")
        await press(app, pilot, "ctrl+z")
        assert places(app)[1]["name"] == "Rooskey"


@pytest.mark.parametrize(("key", "keys", "value"), [
    ("at", [*"53", "space", *"49.8", "space", *"N", "space", *"7", "space", *"55.2", "space", "W"], [53.83, -7.92]),
    ("at", [*"53.83,-7.92"], [53.83, -7.92]), ("shore_kw", [*"3.6"], 3.6), ("shore_price_per_kwh", [*"0.35"], 0.35),
    ("moor", ["n"], False), ("heading_deg", [*"120"], 120), ("shade_percent", [*"15"], 15), ("height_m", [*"45"], 45),
])  # fmt: skip
async def test_every_value_of_a_place(key, keys, value):
    async with opened() as (app, pilot):
        await press(app, pilot, "p", *["right"] * KEYS.index(key), *keys, "enter")
        assert places(app)[0][key] == value


async def test_an_ambiguous_position_is_refused_with_an_example():
    async with opened() as (app, pilot):
        await press(app, pilot, "p", "right", *"53", "space", *"25", "enter")
        assert "can be read in more than one way" in pane(app).places.said
        await press(app, pilot, "escape")
        assert len(app.desk.history.taken) == 1


async def test_add_move_and_remove_places():
    async with opened() as (app, pilot):
        await press(app, pilot, "p", "ctrl+n", *"Quay", "tab", *"52.05,-8.0", "enter")
        assert places(app)[1] == {"name": "Quay", "at": [52.05, -8.0]}
        await press(app, pilot, "up", "alt+down")
        assert places(app)[2]["name"] == "Quay"
        await press(app, pilot, "ctrl+x")
        assert "Quay" not in [place["name"] for place in places(app)]
        await press(app, pilot, "home", "ctrl+x")
        assert "leg 1 uses Carrick-on-Shannon" in " ".join(text(app).split())
        assert len(places(app)) == 8


async def test_a_place_without_position_is_marked_and_named():
    async with opened() as (app, pilot):
        await press(app, pilot, "p", "ctrl+n")
        assert "✗ without a position: New place 1" in text(app)


NOT_SOUND = [
    {"place": [{"name": "A"}]},
    {
        "place": [{"name": ["A"], "at": [10**400, 1]}],
        "leg": [{"from": ["A"], "to": {"a": 1}, "via": [[10**400, 0], 3]}],
    },
]


@pytest.mark.parametrize("voyage", NOT_SOUND, ids=["no leg", "no names"])
def test_places_and_points_of_what_is_not_sound(voyage):
    sketch = sketch_of({"voyage": voyage, "boat": {}})
    assert len(place_rows(sketch)) == len(voyage["place"])
    assert len(point_rows(points(sketch, 0), Units())) == len(points(sketch, 0))


async def test_points_of_a_leg_are_added_moved_changed_and_removed():
    async with opened() as (app, pilot):
        await press(app, pilot, "p", "tab", "ctrl+n")
        assert leg(app)["via"] == [pytest.approx([52.05, -8.0], abs=1e-4)]
        await press(app, pilot, *"52.04,-7.9", "enter", "ctrl+n")
        assert leg(app)["via"][0] == [52.04, -7.9]
        assert len(leg(app)["via"]) == 2
        await press(app, pilot, "home", "down", "alt+down")
        assert leg(app)["via"][1] == [52.04, -7.9]
        await press(app, pilot, "ctrl+x", "up", "ctrl+x")
        assert "via" not in leg(app)
        await press(app, pilot, "ctrl+x")
        assert "the ends of a leg are places" in " ".join(text(app).split())


async def test_the_points_follow_the_leg_under_the_cursor():
    async with opened(size=(120, 40)) as (app, pilot):
        await press(app, pilot, "p")
        assert "Points of leg 1" in text(app)
        await press(app, pilot, "ctrl+right", "ctrl+right")
        assert "Points of leg 3: Lanesborough → Athlone" in text(app)
        assert app.query_one(LegTable).cursor_row == 2
        await press(app, pilot, "escape", "down")
        assert app.query_one(LegTable).cursor_row == 3


async def test_a_leg_from_two_positions_shows_length_and_course_before_it_is_taken():
    async with opened() as (app, pilot):
        await press(app, pilot, "end", "ctrl+t")
        field = app.screen.query_one("#draw-start")
        assert field.value == "Kilrush"
        await press(app, pilot, *"53.7N", "space", *"8W")
        # one degree of latitude at 53 degrees is 111.3 km by the arc of the WGS84 meridian
        assert "111.3 km, course 0°" in text(app)
        assert len(app.desk.history.taken) == 1
        await press(app, pilot, "enter")
        assert (leg(app, 7)["from"], leg(app, 7)["to"]) == ("Kilrush", "53.7000N 8.0000W")
        assert "distance_km" not in leg(app, 7)
        assert places(app)[-1] == {"name": "53.7000N 8.0000W", "at": [53.7, -8.0]}


async def test_a_leg_that_can_not_be_drawn_says_why():
    async with opened() as (app, pilot):
        await press(app, pilot, "end", "ctrl+t", *"53", "space", *"25", "enter")
        assert "✗ To can be read in more than one way" in " ".join(text(app).split())
        await press(app, pilot, "escape")
        assert len(app.desk.sketch.legs) == 7


async def test_a_leg_to_a_name_that_lies_elsewhere_is_refused_before_what_was_typed_is_lost():
    async with opened() as (app, pilot):
        await press(app, pilot, "end", "ctrl+t", *"Athlone: 53.7N 8W", "enter")
        assert '✗ there is a place "Athlone" already' in " ".join(text(app).split())
        assert app.screen.query_one("#draw-end").value == "Athlone: 53.7N 8W"


async def test_a_burst_in_the_places_lands_in_order():
    async with opened() as (app, pilot):
        keys = [
            "p",
            "down",
            *"Boyl",
            "backspace",
            *"le",
            "tab",
            *"53.9,-8.2",
            "enter",
            *"53.8,-8.1",
            "up",
            "left",
            "ctrl+n",
        ]
        await burst(app, *keys, *"Cleen", "enter", "ctrl+z")
        await settled(app, pilot)
        assert places(app)[1] == {"name": "Boyle", "at": [53.9, -8.2]}
        assert places(app)[2]["name"] == "New place 1"
        assert places(app)[3] == {"name": "Lanesborough", "at": [53.8, -8.1]}


LEG_LINES = (
    ("open_hours", [*"9-17"], ["09:00", "17:00"]), ("closed_days", [*"sun"], ["sun"]), ("lock_at_km", ["5"], [5]),
    ("headroom_m", [*"2.5"], 2.5), ("overnight", ["y"], True), ("wind_max_kmh", [*"25"], 25),
    ("tunnel_km", [*"1.5"], 1.5),
    ("fit_to_go", [*"0.7"], 0.7), ("bridges", ["2"], 2), ("moor_anywhere", ["n"], False),
)  # fmt: skip


@pytest.mark.parametrize(("key", "keys", "value"), LEG_LINES)
async def test_every_key_of_a_leg_has_a_line_in_its_form(key, keys, value):
    async with opened() as (app, pilot):
        await press(app, pilot, "l")
        form = app.query_one(LegPane)
        form.grid.stand([entry.field.key for entry in form.lines].index(key))
        row = form.grid.cursor_row
        await press(app, pilot, *keys, "enter")
        assert leg(app)[key] == value
        form.grid.stand(row)
        await press(app, pilot, "delete")
        assert key not in leg(app)


async def test_the_form_goes_to_other_legs_nudges_and_refuses():
    async with opened() as (app, pilot):
        await press(app, pilot, "l", "right", "right")
        assert "Leg 3 of 7: Lanesborough → Athlone" in text(app)
        form = app.query_one(LegPane)
        keys = [entry.field.key for entry in form.lines]
        form.grid.stand(keys.index("shade_percent"))
        await press(app, pilot, "plus", "plus", "minus")
        assert leg(app, 2)["shade_percent"] == 5
        form.grid.stand(keys.index("tide.flood_kmh"))
        await press(app, pilot, *"3", "enter")
        assert leg(app, 2)["tide"] == {"flood_kmh": 3}
        form.grid.stand(keys.index("open_hours"))
        await press(app, pilot, *"17-9", "enter")
        assert form.said == "✗ must be the earlier time first: 09:00-17:00 may be meant"
        await press(app, pilot, "escape", "escape")
        assert app.query_one(LegTable).has_focus


async def test_what_was_half_typed_in_a_form_or_a_place_is_opened_again():
    async with opened() as (app, pilot):
        place = app.desk.sketch.places[2].ident
        app.first.resume({"row": place, "key": "at", "text": "53.6"})
        await settled(app, pilot)
        await press(app, pilot, *",-8", "enter")
        assert places(app)[2]["at"] == [53.6, -8.0]
        await press(app, pilot, "escape")
        app.first.resume({"row": app.desk.sketch.legs[3].ident, "key": "headroom_m", "text": "2."})
        await settled(app, pilot)
        await press(app, pilot, "5", "enter")
        assert leg(app, 3)["headroom_m"] == 2.5
        app.first.resume({"row": app.desk.sketch.legs[3].ident, "key": "lock_min", "text": "2"})
        await settled(app, pilot)
        await press(app, pilot, "5", "enter")
        assert leg(app, 3)["lock_min"] == 25
        kept = []
        app.typing = kept.append
        await press(app, pilot, "escape", "home", "l", "home", "down", "down", "down", "1")
        assert kept[-1] == {"row": app.desk.sketch.legs[0].ident, "key": "distance_km", "text": "1"}


async def test_what_is_typed_and_left_with_the_mouse_is_taken():
    async with opened(size=(120, 40)) as (app, pilot):
        await press(app, pilot, "7")
        await pilot.click("#days", offset=(5, 3))
        await settled(app, pilot)
        assert leg(app)["speed_kmh"] == 7
        assert app.query_one(LegSheet).at is None


async def test_a_change_taken_back_under_an_open_field_puts_it_away():
    async with opened() as (app, pilot):
        await press(app, pilot, "p", "ctrl+n", *"Quay", "ctrl+z")
        assert len(places(app)) == 8
        assert pane(app).places.at is None
        await press(app, pilot, "tab", "ctrl+n", *"52", "ctrl+z")
        assert "via" not in leg(app)
        assert pane(app).points.at is None
        await press(app, pilot, "escape", *["left"] * 4, "ctrl+n", *"Ath", "ctrl+z")
        assert app.query_one(LegSheet).at is None
        assert len(app.desk.sketch.legs) == 7


async def test_a_point_half_typed_is_opened_again():
    async with opened() as (app, pilot):
        await press(app, pilot, "p", "tab", "ctrl+n", "escape")
        app.first.resume({"row": app.desk.sketch.legs[0].ident, "key": "via.0", "text": "52.06,"})
        await settled(app, pilot)
        await press(app, pilot, *"-7.9", "enter")
        assert leg(app)["via"] == [[52.06, -7.9]]
