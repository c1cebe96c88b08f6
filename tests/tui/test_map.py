"""The map as it is drawn, and the pane by keys and by mouse."""

import math
from itertools import pairwise
from typing import Any

import numpy as np
import pytest
from geographiclib.geodesic import Geodesic
from hypothesis import given
from hypothesis import strategies as st
from rich.cells import cell_len
from textual import events

from tests.tui.harness import burst, opened, press, settled, text
from voyager.route.land import on_land
from voyager.route.mercator import latitude
from voyager.session.map import chart
from voyager.tui.map_dots import BROAD, Frame, degrees_of, ground, strokes
from voyager.tui.map_names import Name, laid
from voyager.tui.map_view import NO_COAST, NOT_FOR, ON_LAND, SIGNS, Scene, boat_at, draw
from voyager.tui.map_window import View, covers, fitted, holds, nice, scale_bar, window
from voyager.tui.runs import length
from voyager.tui.units import Units
from voyager.tui.widgets.days import DayList
from voyager.tui.widgets.legs import LegTable
from voyager.tui.widgets.map import MapPane

WIDE, HIGH = 100, 30
PLACES = [
    {"name": "Solent", "at": [50.75, -1.30], "shore_kw": 3.6},
    {"name": "Poole", "at": [50.68, -1.95]},
    {"name": "Cherbourg", "at": [49.66, -1.62], "shore_kw": 3.6},
    {"name": "Barfleur", "at": [49.68, -1.25], "moor": False},
    {"name": "Ouistreham", "at": [49.29, -0.25], "shore_kw": 3.6},
]
LEGS = [{"from": one["name"], "to": other["name"], "water": "open"} for one, other in pairwise(PLACES)]
DAYS = [
    {"day": 1, "date": "2027-06-01", "mooring": "Poole", "at": [50.68, -1.95]},
    {"day": 2, "date": "2027-06-02", "mooring": "km 90.0", "at": [50.1, -1.75]},
    {"day": 3, "date": "2027-06-03", "mooring": "Cherbourg", "at": [49.66, -1.62]},
]


def charted(places: Any = PLACES, legs: Any = LEGS, wanted: Any = None) -> dict[str, Any]:
    return chart("unread.toml", {"voyage": {"place": places, "leg": legs}, "boat": {}}, wanted)


def scene(**changes: Any) -> Scene:
    return Scene(**{"chart": charted(), "days": DAYS, "day": DAYS[1], "leg": 2, **changes})


def fit(found: dict[str, Any], wide: int = WIDE, high: int = HIGH) -> View:
    view = fitted(found["bounds"], wide, high - 2)
    if view is None:
        raise AssertionError("nothing to fit")
    return view


def drawn(of: Scene, wide: int = WIDE, high: int = HIGH) -> list[str]:
    lines = draw(of, fit(dict(of.chart), wide, high), None, wide, high)
    return ["".join(run.text for run in line) for line in lines]


@pytest.mark.parametrize(("wide", "high"), [(WIDE, HIGH), (78, 18), (40, 10), (30, 3)])
@pytest.mark.parametrize("plain", [False, True])
def test_every_line_has_its_width_and_every_sign_one_cell(wide, high, plain):
    lines = drawn(scene(plain=plain), wide, high)
    assert len(lines) == high
    assert all(len(line) == wide == cell_len(line) for line in lines[:-2])
    assert all(cell_len(line) == len(line) <= max(wide, 40) for line in lines[-2:])
    if plain:
        assert all(ord(letter) < 128 for line in lines for letter in line)


def test_the_map_tells_places_boat_route_and_that_it_is_not_for_navigation():
    lines = drawn(scene())
    shown = "\n".join(lines)
    for words in ("Solent (start)", "Ouistreham (end)", "Cherbourg", "Barfleur", "Poole", "km 90.0", NOT_FOR,
                  "Mercator", "◆ day 2, Wed 2 Jun: km 90.0", "1:10 million"):  # fmt: skip
        assert words in shown
    for sign in SIGNS.values():
        assert sign in shown or sign in (SIGNS["night"], SIGNS["here"])
    assert NO_COAST not in shown


def test_signs_stand_where_their_places_are():
    found = charted()
    view = fit(found)
    frame = Frame(view.x, view.y, view.dot, WIDE, HIGH - 2)
    lines = drawn(scene(day=DAYS[0]))
    for name, sign in (("Solent", "╧"), ("Poole", "◆"), ("Cherbourg", "╧"), ("Barfleur", "×")):
        place = next(place for place in found["places"] if place["name"] == name)
        column, row = frame.cell((place["x"], place["y"]))
        assert lines[row][column] == sign, name
    column, row = frame.cell(degrees_of(DAYS[1]["at"], found["bounds"]))
    assert lines[row][column] == SIGNS["night"]


def test_the_boat_by_its_log_has_a_sign_of_its_own():
    found = charted()
    frame = Frame((view := fit(found)).x, view.y, view.dot, WIDE, HIGH - 2)
    now = {"at": [50.1, -1.75], "km": 90.0}
    lines = drawn(scene(day=DAYS[0], now=now))
    column, row = frame.cell(degrees_of(now["at"], found["bounds"]))
    assert lines[row][column] == SIGNS["here"]
    assert "km 90" in lines[row]
    assert "here by the log" in lines[-2]
    assert SIGNS["here"] not in "\n".join(drawn(scene(now=now)))
    assert "◆ logged, Wed 2 Jun: km 90.0" in drawn(scene(day={**DAYS[1], "mark": "logged", "day": -1}))[-2]


def test_north_is_up_and_east_is_right():
    lines = drawn(scene())
    row, column = ({name: value for name in ("Solent", "Cherbourg", "Ouistreham") for value in [at(lines, name)[k]]}
                   for k in (0, 1))  # fmt: skip
    assert row["Solent"] < row["Cherbourg"] < row["Ouistreham"]
    assert column["Cherbourg"] < column["Ouistreham"]


def at(lines: list[str], name: str) -> tuple[int, int]:
    return next((row, line.index(name)) for row, line in enumerate(lines) if name in line)


def test_land_is_where_land_is():
    """Each cell's middle, held to the winding of the coast itself."""
    found = charted()
    view = fit(found)
    below = ground(found, Frame(view.x, view.y, view.dot, WIDE, HIGH))
    columns, rows = np.arange(WIDE), np.arange(HIGH)
    x = view.x + (2 * columns + 1 - WIDE) * view.dot
    lat = [latitude(view.y - (4 * row + 2 - 2 * HIGH) * view.dot) for row in rows]
    truth = on_land(np.array(lat)[:, None], x[None, :])
    shown = np.array([list(row) for row in below.land], dtype=bool)
    assert 0.2 < truth.mean() < 0.9
    assert (shown == truth).mean() > 0.98
    coast = np.array([list(row) for row in below.coast]) > 0
    changes = np.zeros_like(truth)
    changes[:, 1:] = truth[:, 1:] != truth[:, :-1]
    near = coast | np.roll(coast, 1, axis=1) | np.roll(coast, -1, axis=1)
    assert near[changes].mean() > 0.97, "between land and sea there is a coast"


def test_without_shade_dots_say_where_land_is():
    shaded = [
        run for line in draw(scene(), fit(charted()), None, WIDE, HIGH) for run in line if run.part.endswith(ON_LAND)
    ]
    assert length(shaded) > WIDE
    bare = draw(scene(shaded=False), fit(charted()), None, WIDE, HIGH)
    assert not [run for line in bare for run in line if run.part.endswith(ON_LAND)]
    assert "·   ·" in "".join(run.text for line in bare for run in line)


def test_without_coast_the_ground_is_plain_and_says_so():
    places = [{"name": "Braunston", "at": [52.29, -1.20]}, {"name": "Calcutt", "at": [52.27, -1.32]}]
    found = charted(places, [{"from": "Braunston", "to": "Calcutt"}])
    lines = drawn(Scene(found, shaded=False))
    assert any(NO_COAST in line for line in lines)
    assert not any("·" in line for line in lines[:-2])


def test_without_positions_one_sentence():
    assert "position" in "".join(run.text for line in draw(Scene(charted([], [])), None, None, 80, 20) for run in line)


def test_the_leg_pointed_at_is_of_another_part_and_the_route_broader_than_the_coast():
    lines = draw(scene(), fit(charted()), None, WIDE, HIGH)
    parts = {run.part.removesuffix(ON_LAND) for line in lines for run in line}
    assert {"leg", "route", "coast"} <= parts
    frame = Frame(0.0, 0.0, 1.0, 10, 5)
    across = [[(-5.2, 0.3), (5.2, 0.3)]]
    fine, broad = (sum(mask.bit_count() for row in strokes(across, frame, pen) for mask in row)
                   for pen in (((0.0, 0.0),), BROAD))  # fmt: skip
    assert fine == 12, "from dot 4.8 to dot 15.2"
    assert broad == pytest.approx(24, abs=2)


EIGHTHS = st.integers(-24000, 24000).map(lambda number: number / 8)
"""Exact in binary, so that both walks meet the same dots."""


@given(*[EIGHTHS] * 4)
def test_a_line_cut_at_the_frame_is_the_line_seen_through_it(ax, ay, bx, by):
    """The frame's own dots of a long line are those of the line walked from end to end."""
    frame = Frame(0.0, 0.0, 1.0, 6, 4)
    shown = strokes([[(ax, ay), (bx, by)]], frame)
    west, north = frame.west, frame.north
    steps = int(max(abs(bx - ax), abs(by - ay))) + 1
    walked = [bytearray(6) for _ in range(4)]
    bits = [[1, 8], [2, 16], [4, 32], [64, 128]]
    for step in range(steps + 1):
        x, y = (ax - west) + (bx - ax) / steps * step, (north - ay) + (ay - by) / steps * step
        if 0 <= x < 12 and 0 <= y < 16:
            walked[int(y) // 4][int(x) // 2] |= bits[int(y) % 4][int(x) % 2]
    assert shown == walked


@pytest.mark.parametrize("units", [Units(), Units(length="NM")])
@pytest.mark.parametrize("lat", [0.0, 36.0, 52.0, 66.0])
def test_the_scale_is_true_in_the_middle(lat, units):
    """Held to the geodesic between the ends of the bar on the WGS84 ellipsoid (geographiclib, Karney 2013): within one
    cell and the half per cent that the sphere is off."""
    x, y = degrees_of((lat, -7.0), None)
    view = View(x, y, 0.004)
    bar, figure, unit = scale_bar(view, units, 24, plain=False).split(" ")
    cells = len(bar) - 1
    km = float(figure) * (1.852 if unit == "NM" else 1.0)
    degrees = cells * 2 * view.dot
    true_km = Geodesic.WGS84.Inverse(lat, x, lat, x + degrees)["s12"] / 1000
    assert unit == units.length
    assert km == pytest.approx(true_km, rel=0.5 / cells + 0.005)


@given(st.floats(1e-3, 1e5))
def test_round_lengths_are_the_largest_that_fit(most):
    found = nice(most)
    mantissa = found / 10.0 ** math.floor(math.log10(found) + 1e-9)
    assert round(mantissa, 6) in (1, 2, 5)
    assert found <= most * (1 + 1e-9)
    assert found * 2.5 > most * (1 - 1e-9)


@given(st.floats(-170, 170), st.floats(-80, 80), st.floats(1e-3, 0.3), st.integers(-3, 3), st.integers(-3, 3))
def test_moved_there_and_back_and_zoomed_in_and_out_it_is_the_same(x, y, dot, columns, rows):
    view = View(x, y, dot)
    assert view.panned(columns, rows).panned(-columns, -rows).x == pytest.approx(x)
    assert view.panned(columns, rows).panned(-columns, -rows).y == pytest.approx(y)
    assert view.zoomed(1.5).zoomed(1 / 1.5).dot == pytest.approx(dot)
    point = (x + 3 * dot, y - 2 * dot)
    nearer = view.zoomed_at(point, 2.0)
    assert (point[0] - nearer.x) / nearer.dot == pytest.approx(3.0)
    assert (point[1] - nearer.y) / nearer.dot == pytest.approx(-2.0)


def test_a_chart_covers_what_it_was_made_for_and_nothing_beyond():
    view = View(-1.0, 55.0, 0.01)
    found = {"window": window(view, 80, 20, times=2.0)}
    assert covers(found, view, 80, 20)
    assert covers(found, view.panned(30, 8), 80, 20)
    assert not covers(found, view.panned(50, 0), 80, 20)
    assert not covers(found, view.zoomed(1.5), 80, 20), "not fine enough"
    assert not covers(found, view.zoomed(1 / 3), 80, 20)
    assert not covers({"window": None}, view, 80, 20)
    wide = window(View(0.0, 0.0, 0.8), 900, 20, times=2.0)
    assert wide["east"] - wide["west"] == 540.0
    assert covers({"window": wide}, View(0.0, 0.0, 0.8), 900, 20), "what is not asked for is not missed"
    assert holds(view, (view.x, view.y), 80, 20)
    assert not holds(view, (view.x + 81 * view.dot, view.y), 80, 20)


def test_over_the_date_line_the_boat_stays_with_the_route():
    places = [{"name": "A", "at": [-17, 178]}, {"name": "B", "at": [-17, -178]}]
    found = charted(places, [{"from": "A", "to": "B"}])
    boat = boat_at(Scene(found, day={"day": 1, "date": "2027-06-01", "mooring": "km 9", "at": [-17.0, -179.0]}))
    assert boat is not None
    assert boat[0] == pytest.approx(181.0)


NAMES = st.lists(
    st.tuples(st.text("abc", min_size=1, max_size=9), st.integers(0, 39), st.integers(0, 9), st.booleans())
)


@given(NAMES, st.sets(st.tuples(st.integers(0, 39), st.integers(0, 9)), max_size=60))
def test_names_cover_neither_each_other_nor_a_sign(rows, route):
    names = [Name(words, column, row, strong) for words, column, row, strong in rows]
    signs = {(name.column, name.row) for name in names}
    seen: set[tuple[int, int]] = set()
    for name in laid(names, signs, route, 40, 10):
        cells = {(name.column + k, name.row) for k in range(len(name.text))}
        assert not cells & (seen | signs)
        assert all(0 <= x < 40 and 0 <= y < 10 for x, y in cells)
        assert name.strong or len(cells & route) <= 2
        seen |= cells


async def test_the_map_opens_moves_zooms_and_closes():
    async with opened(size=(120, 40)) as (app, pilot):
        await press(app, pilot, "g")
        pane = app.query_one(MapPane)
        assert app.focused is pane
        whole = text(app)
        for words in ("Carrick-on-Shannon (start)", "Map", NOT_FOR, "north up"):
            assert words in whole
        await press(app, pilot, "plus", "plus")
        near = pane.view
        assert near is not None
        await until_charted(pilot, pane)
        await press(app, pilot, "right", "down")
        assert pane.view is not None
        assert pane.view.x > near.x
        assert pane.view.y < near.y
        await press(app, pilot, "minus", "0")
        assert pane.view is None
        assert text(app) == whole
        await press(app, pilot, "escape")
        assert not pane.display
        assert app.focused is app.query_one(LegTable)


async def until_charted(pilot: Any, pane: MapPane) -> None:
    """The finer chart is asked for a moment after the last step."""
    await pilot.pause(0.3)
    assert pane.chart is not None
    assert pane.view is not None
    assert covers(pane.chart, pane.view, *pane.cells)


async def test_days_are_stepped_through_and_the_list_goes_along():
    async with opened(size=(120, 40)) as (app, pilot):
        await press(app, pilot, "g", "full_stop", "full_stop")
        assert "◆ day 3," in text(app)
        assert app.query_one(DayList).cursor == 2
        await press(app, pilot, "comma")
        assert "◆ day 2," in text(app)


async def test_the_map_goes_with_the_cursor_of_the_legs():
    async with opened(size=(120, 40)) as (app, pilot):
        await press(app, pilot, "g", "escape", "down", "down", "g")
        assert app.query_one(MapPane).leg == 2


async def test_a_click_on_a_place_points_at_its_leg_and_the_wheel_zooms():
    async with opened(size=(120, 40)) as (app, pilot):
        await press(app, pilot, "g")
        pane = app.query_one(MapPane)
        row, column, target = next(
            (row, at, run.does)
            for row, line in enumerate(pane.lines)
            for at, run in zip(starts(line), line, strict=True)
            if run.does and run.does != "leg(0)"
        )
        await pilot.click(MapPane, offset=(column, row + 1))
        assert f"leg({pane.leg})" == target
        assert app.query_one(LegTable).cursor_row == pane.leg
        seen = pane._seen()
        x, y = 20, 5
        at = pane.region.x + x, pane.region.y + y
        pane.post_message(events.MouseScrollUp(pane, x, y, 0, -1, 0, False, False, False, *at))
        await pilot.pause()
        before, after = (under(view, pane, x, y - 1) for view in (seen, pane.view))
        assert pane.view.dot == pytest.approx(seen.dot / 1.5)
        assert after == pytest.approx(before), "what is under the mouse stays there"


def under(view: View, pane: MapPane, column: int, row: int) -> tuple[float, float]:
    """The point in the middle of a cell."""
    wide, high = pane.cells
    return view.x + (2 * column + 1 - wide) * view.dot, view.y - (4 * row + 2 - 2 * high) * view.dot


def starts(line: Any) -> list[int]:
    return [sum(len(run.text) for run in line[:at]) for at in range(len(line))]


@pytest.mark.parametrize("theme", ["voyager-dark", "voyager-light", "ansi-dark", "ansi-light"])
@pytest.mark.parametrize("size", [(80, 24), (120, 40)])
async def test_it_is_readable_in_every_look_and_size(theme, size):
    async with opened(size=size, theme=theme) as (app, pilot):
        await press(app, pilot, "g")
        shown = text(app)
        for words in ("(start)", "(end)", "◆ day 1", NOT_FOR):
            assert words in shown
        assert ("·   ·" in shown) == theme.startswith("ansi")


async def test_keys_pressed_before_the_chart_has_come_wait_their_turn():
    """In a burst the first of them come before any answer can; each is acted on all the same."""
    async with opened(size=(120, 40)) as (app, pilot):
        await press(app, pilot, "g", "plus", "minus", "plus", "escape")
        slow = app.query_one(MapPane).view
    pane = MapPane()
    pane.action_zoom(1)
    pane.action_pan(1, 0)
    assert pane.view is None
    assert len(pane.pending) == 2
    async with opened(size=(120, 40)) as (app, pilot):
        await burst(app, "g", "plus", "minus", "plus", "escape")
        await settled(app, pilot)
        assert app.query_one(MapPane).view == slow
        assert not app.query_one(MapPane).pending


async def test_before_the_chart_has_come_it_says_what_it_waits_for():
    pane = MapPane()
    assert "".join(run.text for line in pane.draw(60, 10) for run in line).startswith("reading the coast")
