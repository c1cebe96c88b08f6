"""Places, points between, and legs drawn from positions."""

import pytest
from pymap3d.vincenty import vdist

from tests.session.sketch.sketches import plain, voyage
from voyager.session.sketch.edits import leg_from_positions, set_leg
from voyager.session.sketch.measure import leg_km
from voyager.session.sketch.places import add_place, move_place, remove_place, rename_place, set_place
from voyager.session.sketch.via import add_via, leg_words, middle_via, move_via, remove_via, set_via


def test_a_new_name_goes_into_the_legs():
    after = rename_place(voyage(), 1, " Bray ")
    assert (after.legs[0].get("to"), after.legs[1].get("from"), after.places[1].get("name")) == ("Bray",) * 3
    assert set_place(voyage(), 1, "name", "Bray") == after


def test_values_are_set_added_ordered_and_removed():
    after = set_place(add_place(voyage(), "E", (53.5, -8.0)), 4, "shore_kw", 3.6)
    assert plain(after, "places")[4] == {"name": "E", "at": [53.5, -8.0], "shore_kw": 3.6}
    assert [row.get("name") for row in move_place(after, 4, -4).places] == ["E", "A", "B", "C", "D"]
    assert remove_place(after, 4) == add_place(voyage(), "E", (53.5, -8.0)).with_rows("places", voyage().places)


@pytest.mark.parametrize(
    ("edit", "reason"),
    [
        (lambda s: rename_place(s, 0, "B"), 'there is a place "B" already'),
        (lambda s: rename_place(s, 0, " "), "needs a name"),
        (lambda s: add_place(s, "B"), 'there is a place "B" already'),
        (lambda s: remove_place(s, 1), "legs 1 and 2 use B"),
        (lambda s: remove_place(s, 0), "leg 1 uses A: change or remove it first"),
        (lambda s: set_place(s, 9, "moor", True), "no place 10"),
        (lambda s: move_place(s, 0, -1), "first already"),
        (lambda s: remove_via(s, 0, 0), "no such point"),
        (lambda s: leg_from_positions(s, 2, (53.0, -8.0), (53.0, -8.0)), "end where it begins"),
        (lambda s: leg_from_positions(s, 2, (53.0, -8.0), (54.0, -8.0), ("", "B")), 'a place "B" already'),
    ],
)
def test_what_is_refused(edit, reason):
    with pytest.raises(ValueError, match=reason):
        edit(voyage())


def test_points_between():
    one = add_via(voyage(), 0, (53.05, -7.9))
    two = add_via(one, 0, (53.02, -7.95), -1)
    assert two.legs[0].get("via") == [[53.02, -7.95], [53.05, -7.9]]
    assert move_via(two, 0, 0, 1).legs[0].get("via") == [[53.05, -7.9], [53.02, -7.95]]
    assert set_via(two, 0, 1, (53.06, -7.9)).legs[0].get("via")[1] == [53.06, -7.9]
    assert remove_via(two, 0, 0) == one
    assert remove_via(one, 0, 0) == voyage()
    assert middle_via(voyage(), 0) == pytest.approx((53.05, -8.0), abs=2e-5)


def test_a_leg_from_two_positions_has_the_length_and_course_between_them():
    """Against Vincenty's formulae in pymap3d, independent of geographiclib."""
    after = leg_from_positions(voyage(), 2, (53.3, -8.0), (53.42, -7.94), ("", "Athlone"))
    assert plain(after)[3] == {"from": "D", "to": "Athlone", "water": "lake"}
    metres, course = vdist(53.3, -8.0, 53.42, -7.94)
    assert leg_km(after, after.legs[3]) == pytest.approx(metres / 1000, abs=1e-3)
    assert leg_words((53.3, -8.0), (53.42, -7.94)) == f"{metres / 1000:.1f} km, course {course:.0f}°"


def test_unnamed_ends_are_named_after_their_positions():
    after = leg_from_positions(voyage(), -1, (54.0, -8.5), (-1.5, 7.25))
    assert plain(after)[0] == {"from": "54.0000N 8.5000W", "to": "1.5000S 7.2500E"}


def test_a_named_end_without_a_position_is_given_it():
    nameless = add_place(voyage(), "Lough Quay")
    after = leg_from_positions(nameless, 2, (53.3, -8.0), (53.42, -7.94), ("", "Lough Quay"))
    assert [row.get("at") for row in after.places if row.get("name") == "Lough Quay"] == [[53.42, -7.94]]
    assert after.legs[3].get("to") == "Lough Quay"


def test_a_given_length_beats_the_line():
    assert leg_km(voyage(), voyage().legs[0]) == 12.0
    miles = set_leg(voyage(), 0, "distance_nm", 10)
    assert leg_km(miles, miles.legs[0]) == pytest.approx(18.52)
