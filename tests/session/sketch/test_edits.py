"""Edits of legs, forecast and boat: what they change, what they leave alone, what they refuse."""

from datetime import date

import pytest
from hypothesis import given

from tests.session.sketch.sketches import plain, sketches, voyage
from voyager.session.sketch import edits
from voyager.session.sketch.gaps import gaps
from voyager.session.sketch.state import Sketch, sketch_of


def test_a_value_is_set_and_taken_away_and_the_former_sketch_stays():
    before = voyage()
    after = edits.set_leg(before, 0, "speed_kmh", 7.5)
    assert after.legs[0].get("speed_kmh") == 7.5
    assert before.legs[0].get("speed_kmh") == 6.0
    assert after.legs[1] is before.legs[1]
    assert "speed_kmh" not in edits.set_leg(after, 0, "speed_kmh", None).legs[0].values


def test_a_value_in_the_other_unit_takes_the_place_of_the_first():
    knots = edits.set_leg(voyage(), 0, "speed_kn", 3.5)
    assert knots.legs[0].get("speed_kn") == 3.5
    assert "speed_kmh" not in knots.legs[0].values


def test_both_halves_of_a_tide():
    one = edits.set_leg(voyage(), 0, "tide.flood_kmh", -3)
    both = edits.set_leg(one, 0, "tide.high_water", "2027-03-01T05:40:00Z")
    assert both.legs[0].get("tide") == {"flood_kmh": -3, "high_water": "2027-03-01T05:40:00Z"}
    none = edits.set_leg(edits.set_leg(both, 0, "tide.flood_kmh", None), 0, "tide.high_water", None)
    assert "tide" not in none.legs[0].values


def test_a_new_leg_begins_where_the_one_above_ends():
    after = edits.add_leg(voyage(), 1)
    assert plain(after)[2] == {"from": "C", "water": "river"}
    assert len({row.ident for row in (*after.legs, *after.places)}) == 8
    assert plain(edits.add_leg(voyage(), -1))[0] == {"from": "A"}
    assert plain(edits.add_leg(Sketch(), -1)) == [{"from": ""}]


def test_duplicate_remove_and_move():
    twice = edits.duplicate_leg(voyage(), 1)
    assert twice.legs[1].values == twice.legs[2].values
    assert twice.legs[1].ident != twice.legs[2].ident
    assert edits.remove_legs(twice, {2}).legs == voyage().legs
    moved = edits.move_leg(voyage(), 0, 2)
    assert [leg.get("from") for leg in moved.legs] == ["B", "C", "A"]
    assert edits.move_leg(moved, 2, -2).legs == voyage().legs


@pytest.mark.parametrize(("edit", "reason"), [
    (lambda s: edits.set_leg(s, 9, "locks", 1), "there is no leg 10; the voyage has 3"),
    (lambda s: edits.move_leg(s, 0, -1), "the leg is the first already"),
    (lambda s: edits.move_leg(s, 2, 1), "the leg is the last already"),
    (lambda s: edits.remove_legs(s, [1, 7]), "there is no leg 8; the voyage has 3"),
])  # fmt: skip
def test_what_is_refused(edit, reason):
    with pytest.raises(ValueError, match=reason):
        edit(voyage())


def test_gaps_are_named_where_they_are():
    assert gaps(voyage()) == []
    assert gaps(edits.remove_legs(voyage(), [1])) == [(1, "leg 1 ends at B, leg 2 begins at C")]
    new = edits.add_leg(voyage(), 2)
    assert gaps(new) == [(3, "leg 4 does not say where it ends")]
    assert gaps(edits.set_leg(new, 3, "to", "Z")) == [(3, '"Z" is no place yet, leg 4 ends there')]
    assert gaps(edits.set_leg(voyage(), 2, "to", "C"))[0] == (2, 'leg 3 ends where it begins, at "C"')


@pytest.mark.parametrize("value", [[1, 2], {"a": 1}, 3, True])
def test_what_is_no_name_is_a_gap_and_no_fault(value):
    sketch = sketch_of({"voyage": {"place": [{"name": value}], "leg": [{"from": value, "to": value}]}, "boat": {}})
    assert gaps(sketch) == [(0, "leg 1 does not say where it ends"), (0, "leg 1 does not say where it begins")]


@given(sketches())
def test_sound_chains_have_no_gap(sketch):
    assert gaps(sketch) == []


def test_a_forecast_is_put_in_the_order_of_dates_and_goes_when_it_says_nothing():
    days = edits.put_forecast(edits.put_forecast(voyage(), "2027-03-03", "oktas", 5), "2027-03-01", "ghi_kwh_m2", 1.1)
    assert plain(days, "forecast") == [
        {"date": date(2027, 3, 1), "ghi_kwh_m2": 1.1},
        {"date": date(2027, 3, 3), "oktas": 5},
    ]
    sun = edits.put_forecast(days, "2027-03-03", "ghi_kwh_m2", 2.0)
    assert plain(sun, "forecast")[1] == {"date": date(2027, 3, 3), "ghi_kwh_m2": 2.0}
    assert plain(edits.put_forecast(sun, "2027-03-03", "ghi_kwh_m2", None), "forecast") == plain(days, "forecast")[:1]
    assert edits.put_forecast(voyage(), "2027-03-03", "oktas", None) == voyage()


def test_a_forecast_written_as_text_or_broken_is_found_or_passed_over():
    given = sketch_of({"voyage": {"forecast": [{"date": "2027-03-03", "oktas": 2}, {"date": 5}]}, "boat": {}})
    changed = edits.put_forecast(given, "2027-03-03", "oktas", 7)
    assert plain(changed, "forecast") == [{"date": "2027-03-03", "oktas": 7}, {"date": 5}]
