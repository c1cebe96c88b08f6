"""The other way round, and there and back."""

import pytest
from hypothesis import given

from tests.session.sketch.sketches import plain, sketches, voyage
from voyager.session.sketch.edits import set_leg
from voyager.session.sketch.gaps import gaps
from voyager.session.sketch.measure import leg_km
from voyager.session.sketch.turn import reverse, reverse_words, there_and_back


def test_everything_along_the_way_is_mirrored():
    tide = {"high_water": "2027-03-01T05:40:00Z", "flood_kn": 2.0}
    sketch = set_leg(set_leg(voyage(), 0, "tide", tide), 0, "via", [[53.02, -7.9], [53.05, -7.8]])
    sketch = set_leg(sketch, 1, "distance_km", 10.0)
    legs = plain(reverse(sketch))
    assert [(leg["from"], leg["to"]) for leg in legs] == [("D", "C"), ("C", "B"), ("B", "A")]
    assert legs[1]["lock_at_km"] == [1.0, 8.0]
    assert legs[1]["current_kmh"] == -0.5
    assert legs[2]["via"] == [[53.05, -7.8], [53.02, -7.9]]
    assert legs[2]["tide"] == {"high_water": "2027-03-01T05:40:00Z", "flood_kn": -2.0}


def test_nights_stay_at_their_place_and_what_is_left_out_is_said():
    legs = plain(reverse(voyage()))
    assert [leg.get("nights") for leg in legs] == [2, None, None]  # two nights at C, where leg 2 had ended
    assert "latest" not in legs[0]
    assert reverse_words(voyage()) == "the voyage the other way round (left out: 1 night at D and 1 date of legs)"


def test_placed_locks_need_the_length():
    lost = set_leg(voyage(), 1, "to", "Nowhere")
    with pytest.raises(ValueError, match="leg 2 says where its locks or bridges lie but not how long it is"):
        reverse(lost)


@given(sketches(dated=False))
def test_twice_is_the_same(sketch):
    again = reverse(reverse(sketch))
    assert [leg.ident for leg in again.legs] == [leg.ident for leg in sketch.legs]
    assert plain(again) == plain(sketch)


@given(sketches())
def test_only_dates_and_the_last_nights_are_lost(sketch):
    lost = {"earliest", "latest"}
    again = reverse(reverse(sketch))
    for n, (leg, was) in enumerate(zip(plain(again), plain(sketch), strict=True), start=1):
        gone = lost | ({"nights"} if n == len(sketch.legs) else set())
        assert leg == {key: value for key, value in was.items() if key not in gone}


@given(sketches())
def test_there_and_back_hangs_together_and_is_twice_as_long(sketch):
    both = there_and_back(sketch)
    assert gaps(both) == []
    lengths = [leg_km(both, leg) for leg in both.legs]
    count = len(sketch.legs)
    assert all(abs(a - b) < 1e-9 for a, b in zip(lengths[:count], lengths[: count - 1 : -1], strict=True))
    assert both.legs[0].get("from") == both.legs[-1].get("to")
    assert both.legs[:count] == sketch.legs
    assert len({row.ident for row in both.legs}) == 2 * count


def test_figures_in_other_units_are_mirrored_in_theirs():
    miles = set_leg(
        set_leg(set_leg(voyage(), 1, "distance_nm", 6.0), 1, "lock_at_nm", [1.0, 4.0]), 1, "current_kn", 0.3
    )
    turned = plain(reverse(miles))[1]
    assert turned["lock_at_nm"] == pytest.approx([2.0, 5.0])
    assert turned["current_kn"] == -0.3
    assert "lock_at_km" not in turned
