"""What a map is drawn from: projection, clipping, unsound voyages."""

import math
from itertools import pairwise
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from voyager.route.mercator import latitude, northing
from voyager.session.map import chart, position

CHANNEL = {
    "place": [
        {"name": "Solent", "at": [50.75, -1.30], "shore_kw": 3.6},
        {"name": "Cherbourg", "at": [49.66, -1.62], "shore_kw": 0},
        {"name": "Barfleur", "at": [49.68, -1.25], "moor": False},
        {"name": "Nowhere"},
    ],
    "leg": [
        {"from": "Solent", "to": "Cherbourg", "water": "open", "via": [[50.5, -1.7]]},
        {"from": "Cherbourg", "to": "Barfleur", "water": "coastal"},
        {"from": "Barfleur", "to": "Nowhere"},
    ],
}
JUNK = st.one_of(st.none(), st.booleans(), st.integers(), st.floats(), st.text(max_size=3))
DEEP = st.recursive(JUNK, lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=3), inner))
ROWS = st.lists(
    st.dictionaries(st.sampled_from(["name", "at", "shore_kw", "moor", "from", "to", "via"]), DEEP) | DEEP, max_size=4
)


def charted(voyage: Any, window: Any = None) -> dict[str, Any]:
    return chart("unread.toml", {"voyage": voyage, "boat": {}}, window)


def test_a_route_with_its_places_and_ends():
    found = charted(CHANNEL)
    assert [leg["index"] for leg in found["legs"]] == [0, 1]
    assert (found["start"], found["end"]) == ("Solent", "Nowhere")
    names = {place["name"]: place for place in found["places"]}
    assert list(names) == ["Solent", "Cherbourg", "Barfleur"]
    assert [names[name]["shore"] for name in names] == [True, False, False]
    assert [names[name]["moor"] for name in names] == [True, True, False]
    assert [names[name]["leg"] for name in names] == [0, 0, 1]
    line = found["legs"][0]["line"]
    assert line[0] == pytest.approx((-1.30, float(northing(np.array(50.75)))))
    assert min(math.dist(point, (-1.7, float(northing(np.array(50.5))))) for point in line) < found["window"]["dot"]
    west, south, east, north = found["bounds"]
    assert (west, east) == pytest.approx((-1.7, -1.25))
    assert (latitude(south), latitude(north)) == pytest.approx((49.66, 50.75), abs=0.01)


def test_long_legs_bend_as_the_shortest_way_does():
    """From 50° north to 50° north, 60° apart, the great circle's top is at atan(tan 50° / cos 30°) = 53.99° north."""
    voyage = {
        "place": [{"name": "A", "at": [50, -60]}, {"name": "B", "at": [50, 0]}],
        "leg": [{"from": "A", "to": "B"}],
    }
    top = max(y for _, y in charted(voyage)["legs"][0]["line"])
    assert latitude(top) == pytest.approx(53.99, abs=0.15)


def test_over_the_date_line_the_route_goes_on():
    places = [{"name": "A", "at": [-17, 178]}, {"name": "B", "at": [-17, -178]}, {"name": "C", "at": [-14, -172]}]
    found = charted({"place": places, "leg": [{"from": "A", "to": "B"}, {"from": "B", "to": "C"}]})
    assert found["bounds"][2] - found["bounds"][0] == pytest.approx(10.0)
    assert [round(place["x"]) for place in found["places"]] == [178, 182, 188]
    assert any(x > 180 for line in found["coast"] for x, _ in line), "Fiji lies on both sides"


def test_the_window_is_what_was_asked_for():
    y = float(northing(np.array(50.2)))
    window = {"west": -2.0, "east": 0.0, "south": y - 1, "north": y + 1, "dot": 0.01}
    found = charted(CHANNEL, window)
    assert found["window"] == window
    for ring in found["land"]:
        assert all(-2.0 <= x <= 0.0 and abs(north - y) < 1 + 1e-5 for x, north in ring)
    steps = [math.dist(a, b) for line in (*found["coast"], *found["land"]) for a, b in pairwise(line[:-1])]
    assert np.median(steps) >= 0.01 / 2, "about one point a dot"
    finer = charted(CHANNEL, {**window, "dot": 0.001})
    assert sum(map(len, finer["coast"])) > sum(map(len, found["coast"]))


def test_inland_there_is_no_coast():
    places = [{"name": "A", "at": [52.3, -1.2]}, {"name": "B", "at": [52.31, -1.19]}]
    found = charted({"place": places, "leg": [{"from": "A", "to": "B"}]})
    assert found["coast"] == []


@pytest.mark.parametrize("voyage", [{}, {"place": []}, {"leg": [{"from": "A", "to": "B"}]}, {"place": 3, "leg": "x"}])
def test_nothing_to_draw_is_no_fault(voyage):
    found = charted(voyage)
    assert found["bounds"] is None
    assert found["window"] is None
    assert not found["coast"] + found["land"] + found["legs"] + found["places"]


@settings(max_examples=150, deadline=None)
@given(ROWS, ROWS)
def test_no_sketch_however_broken_is_too_much(places, legs):
    found = charted({"place": places, "leg": legs})
    assert all(math.isfinite(place["x"]) and math.isfinite(place["y"]) for place in found["places"])


NO_POSITION = [None, [], [1], [1, 2, 3], ["1", 2], [True, 2], [91, 0], [0, 181], [math.nan, 0], "12", [10**400, 0]]


@pytest.mark.parametrize("value", NO_POSITION)
def test_what_is_no_position(value):
    assert position(value) is None
