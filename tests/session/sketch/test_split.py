"""Split and join: nothing of a leg is lost, and where it lies stays."""

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from pymap3d.vincenty import vdist

from tests.session.sketch.sketches import plain, sketches, voyage
from voyager.session.sketch.edits import set_leg
from voyager.session.sketch.join import join_legs
from voyager.session.sketch.measure import leg_km
from voyager.session.sketch.split import moorings, split_leg, split_words
from voyager.session.sketch.state import sketch_of


def total_km(sketch):
    return sum(leg_km(sketch, leg) for leg in sketch.legs)


def test_a_split_shares_out_what_the_leg_has():
    after = split_leg(voyage(), 0, 3.0, "Quay")
    assert plain(after)[0] == {"from": "A", "to": "Quay", "distance_km": 3.0, "locks": 1, "speed_kmh": 6.0}
    assert plain(after)[1] == {"from": "Quay", "to": "B", "distance_km": 9.0, "locks": 2, "speed_kmh": 6.0}
    assert [row.get("name") for row in after.places] == ["A", "Quay", "B", "C", "D"]
    # a quarter of the way up the meridian from 53.0 to 53.1, whose arc is even over so short a way
    assert after.places[1].get("at") == pytest.approx([53.025, -8.0], abs=2e-5)
    assert split_words(voyage(), 0, 3.0) == "leg 1 split at km 3 (locks, evenly spread: 1 before, 2 after)"


def test_locks_that_are_placed_stay_where_they_are_and_nights_at_the_end():
    after = split_leg(voyage(), 1, 5.0)
    first, second = plain(after)[1:3]
    assert first["lock_at_km"] == [2.0]
    assert second["lock_at_km"] == [4.0]
    assert "nights" not in first
    assert second["nights"] == 2
    assert first["to"] == second["from"] == "km 17"
    assert "distance_km" not in first | second


def test_at_the_middle_of_a_bent_line_the_points_go_to_their_sides():
    bent = set_leg(set_leg(voyage(), 0, "via", [[53.0, -7.9], [53.1, -7.9]]), 0, "distance_km", None)
    length = leg_km(bent, bent.legs[0])
    after = split_leg(bent, 0, length / 2)
    assert after.legs[0].get("via") == [[53.0, -7.9]]
    assert after.legs[1].get("via") == [[53.1, -7.9]]
    assert total_km(after) == pytest.approx(total_km(bent), abs=2e-3)


def test_where_nobody_may_moor_along_the_leg_nobody_may_at_the_split():
    assert split_leg(voyage(), 2, 5.0).places[3].get("moor") is False
    assert "no mooring there" in split_words(voyage(), 2, 5.0)
    assert split_leg(voyage(), 1, 5.0).places[2].get("moor") is None


def test_the_new_place_lies_at_its_height_and_in_the_shade_of_the_leg():
    made = set_leg(voyage(), 0, "shade_percent", 20)
    high = made.with_rows(
        "places", [made.places[0].put("height_m", 40), made.places[1].put("height_m", 80), *made.places[2:]]
    )
    place = split_leg(high, 0, 3.0).places[1]
    assert (place.get("height_m"), place.get("shade_percent")) == (50.0, 20)


@pytest.mark.parametrize("at", [0.0, -3.0, 12.0, 12.5, float("nan")])
def test_only_between_its_ends(at):
    with pytest.raises(ValueError, match=r"leg 1 is 12 km long: split it at a km between"):
        split_leg(voyage(), 0, at)


def test_refused_with_a_name_that_is_taken_or_a_length_that_is_not_known():
    with pytest.raises(ValueError, match='there is a place "C" already'):
        split_leg(voyage(), 0, 3.0, "C")
    lost = set_leg(set_leg(voyage(), 0, "distance_km", None), 0, "to", "Nowhere")
    with pytest.raises(ValueError, match="the length of leg 1 is not known"):
        split_leg(lost, 0, 3.0)


def test_the_point_lies_on_the_line_by_another_library():
    """Vincenty's formulae in pymap3d, independent of geographiclib."""
    whole = set_leg(voyage(), 0, "distance_km", None)
    after = split_leg(whole, 0, 4.0)
    at = after.places[1].get("at")
    assert vdist(53.0, -8.0, *at)[0] == pytest.approx(4000.0, abs=1.0)


@given(sketches(), st.integers(0, 4), st.integers(5, 95))
def test_a_split_keeps_all_length_locks_and_tunnels(sketch, index, percent):
    assume(index < len(sketch.legs))
    length = leg_km(sketch, sketch.legs[index])
    assume(length > 1)
    after = split_leg(sketch, index, length * percent / 100)
    assert total_km(after) == pytest.approx(total_km(sketch), abs=0.01)
    for key in ("locks", "bridges", "tunnel_km"):
        assert sum(leg.get(key) or 0 for leg in after.legs) == pytest.approx(
            sum(leg.get(key) or 0 for leg in sketch.legs)
        )
    places = [len(leg.get("lock_at_km") or ()) for leg in (*after.legs, *sketch.legs)]
    assert sum(places[: len(after.legs)]) == sum(places[len(after.legs) :])


@given(sketches(), st.integers(0, 4), st.integers(5, 95))
def test_split_then_join_is_the_same(sketch, index, percent):
    assume(index < len(sketch.legs))
    length = leg_km(sketch, sketch.legs[index])
    assume(length > 1)
    again = join_legs(split_leg(sketch, index, length * percent / 100), index)
    assert plain(again, "places") == plain(sketch, "places")
    assert len(again.legs) == len(sketch.legs)
    for leg, was in zip(plain(again), plain(sketch), strict=True):
        assert set(leg) == set(was)
        for key, value in was.items():
            assert leg[key] == (
                pytest.approx(value, abs=1e-6) if isinstance(value, float | list) and key != "via" else value
            )


@pytest.mark.parametrize(
    ("key", "value", "reason"),
    [
        ("water", "lake", "their water differ"),
        ("speed_kmh", None, "their speed_kmh differ"),
        ("current_kmh", 1.0, "their current_kmh differ"),
    ],
)
def test_what_can_not_be_one_leg(key, value, reason):
    halves = split_leg(voyage(), 0, 4.0)
    with pytest.raises(ValueError, match=reason):
        join_legs(set_leg(halves, 1, key, value), 0)


def test_not_over_a_gap_nor_over_nights_between():
    with pytest.raises(ValueError, match="mend the gap first"):
        join_legs(set_leg(voyage(), 1, "from", "D"), 0)
    with pytest.raises(ValueError, match="leg 1 has nights of its own at km 4"):
        join_legs(set_leg(split_leg(voyage(), 0, 4.0), 0, "nights", 1), 0)
    with pytest.raises(ValueError, match="no leg below"):
        join_legs(voyage(), 2)


def test_a_joint_line_bends_at_the_place_between_and_unequal_locks_keep_their_kilometres():
    places = [
        {"name": "A", "at": [53.0, -8.0]},
        {"name": "B", "at": [53.1, -8.0], "shore_kw": 3},
        {"name": "C", "at": [53.1, -7.9]},
    ]
    legs = [
        {"from": "A", "to": "B", "distance_km": 12},
        {"from": "B", "to": "C", "distance_km": 8, "locks": 4, "open_hours": ["09:00", "17:00"]},
    ]
    joint = join_legs(sketch_of({"voyage": {"place": places, "leg": legs}, "boat": {}}), 0)
    assert plain(joint) == [
        {
            "from": "A",
            "to": "C",
            "distance_km": 20.0,
            "via": [[53.1, -8.0]],
            "locks": 4,
            "lock_at_km": [13.0, 15.0, 17.0, 19.0],
            "open_hours": ["09:00", "17:00"],
        }
    ]
    assert len(joint.places) == 3


def test_moorings_are_those_of_a_plan():
    from voyager.files.voyage_file import load_voyage
    from voyager.route.line import build_route
    from voyager.session.demo import demo_path

    loaded = load_voyage(demo_path())
    import tomli

    with open(demo_path(), "rb") as file:
        sketch = sketch_of({"voyage": tomli.load(file), "boat": {}})
    planned = [m.name for m in build_route(loaded.voyage).moorings if m.place is None]
    assert [name for n in range(len(sketch.legs)) for _, name in moorings(sketch, n)] == planned


def test_figures_in_other_units_are_split_and_joined_in_theirs():
    miles = set_leg(set_leg(voyage(), 0, "distance_nm", 6.0), 0, "locks", None)
    halves = split_leg(set_leg(miles, 0, "lock_at_nm", [1.0, 4.0]), 0, 2 * 1.852, "Quay")
    first, second = plain(halves)[:2]
    assert (first["distance_nm"], second["distance_nm"]) == (2.0, 4.0)
    assert (first["lock_at_nm"], second["lock_at_nm"]) == ([1.0], [2.0])
    joint = plain(join_legs(halves, 0))[0]
    assert (joint["distance_nm"], joint["lock_at_nm"]) == (6.0, [1.0, 4.0])
    assert not {"distance_km", "lock_at_km"} & set(joint)


@pytest.mark.parametrize(("key", "value", "reason"), [
    ("via", 3, "are no list"), ("locks", 10**9, "locks from B on can't be 1e\\+09"), ("bridges", -1, "can't be -1"),
])  # fmt: skip
def test_what_is_not_sound_is_refused_with_its_reason(key, value, reason):
    legs = [{"from": start, "to": end, "distance_km": 5} for start, end in ("AB", "BC")]
    legs[1][key] = value
    sketch = sketch_of({"voyage": {"leg": legs}, "boat": {}})
    for edit in (lambda: split_leg(sketch, 1, 1.0), lambda: join_legs(sketch, 0)):
        with pytest.raises(ValueError, match=reason):
            edit()


def test_a_leg_beyond_all_measure_has_no_moorings_and_places_need_no_names():
    assert moorings(set_leg(voyage(), 0, "distance_km", 1e300), 0) == []
    sketch = sketch_of(
        {"voyage": {"place": [{"name": [1]}], "leg": [{"from": "A", "to": "B", "distance_km": 9}]}, "boat": {}}
    )
    assert split_leg(sketch, 0, 4.0).legs[0].get("to") == "km 4"
