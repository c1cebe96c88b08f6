"""What the one sky's skipper sees: the class of the day itself, and the sea's days of waiting."""

from datetime import date
from functools import cache
from itertools import pairwise

import numpy as np
import pytest

from tests.planner.samples import vessel, voyage
from voyager.planner.frame import Frame, build_frame
from voyager.planner.seen import CALM, NOTHING, ROUGH, class_mornings, one_class_mornings
from voyager.planner.stops import build_stops
from voyager.route.leg import Leg
from voyager.route.place import Place
from voyager.sky.chances import NODES

COAST = (Place("Cove", 53.0, -6.0), Place("Haven", 53.2, -6.0), Place("Ness", 53.4, -6.0))


@cache
def coast(sky: str, count: int = 20) -> Frame:
    legs = tuple(
        Leg(a.name, b.name, "coastal", distance_km=22.0, moor_anywhere=False, fit_to_go=0.5, nights=1)
        for a, b in pairwise(COAST)
    )
    here = voyage(places=COAST, legs=legs, sky=sky, departs=date(2027, 6, 7), comfort="off")
    return build_frame(vessel(), here, count, many=True)


def fifth(score: float) -> int:
    """Edges of the fifths of the standard normal, 0.2533 and 0.8416 (Abramowitz & Stegun, table 26.1)."""
    return sum(score >= edge for edge in (-0.8416, -0.2533, 0.2533, 0.8416))


@pytest.mark.parametrize("sky", ["cautious", "middling", "good"])
def test_the_class_is_that_of_the_day_itself(sky: str) -> None:
    """f = z: dark to bright by the fifths; the node is the nearest one."""
    frame = coast(sky)
    told = class_mornings(frame, build_stops(frame.voyage, frame.route, sky))
    score = frame.kinds.score[:, 0]
    assert told.cls.tolist() == [fifth(z) for z in score]
    assert len(set(told.cls.tolist())) >= 4
    for z, node in zip(score, told.node, strict=True):
        assert abs(z - NODES[node]) == min(abs(z - x) for x in NODES)


@pytest.mark.parametrize(("sky", "waits"), [("cautious", 2), ("middling", 1), ("good", 0)])
def test_days_of_waiting_are_the_seas_alone(sky: str, waits: int) -> None:
    """Two legs fit on half of the mornings owe two days, one or none; the nights asked for are no waiting."""
    frame = coast(sky)
    told = class_mornings(frame, build_stops(frame.voyage, frame.route, sky))
    assert int(told.waits.sum()) == waits
    assert told.waits[-1] == 0


def test_a_morning_of_waiting_has_a_rough_sea_and_another_a_calm_one() -> None:
    frame = coast("cautious")
    told = class_mornings(frame, build_stops(frame.voyage, frame.route, "cautious"))
    rough, calm = told.of(3, True), told.of(3, False)
    assert (rough.cls, rough.node) == (calm.cls, calm.node) == (told.cls[3], told.node[3])
    assert (rough.sea, calm.sea) == (ROUGH, CALM)
    assert rough.told
    assert calm.told
    for fit in (0.0, 0.05, 0.5, 0.999):
        assert not rough.sea < fit  # no chance short of certainty lets it go
        assert (calm.sea < fit) == (fit > 0)
    assert rough.sea < 1.0  # where no sea is, nobody waits


def test_a_skipper_who_is_told_nothing_knows_one_class() -> None:
    told = one_class_mornings(coast("cautious"))
    assert not np.any(told.cls)
    assert not np.any(told.node)
    assert not np.any(told.waits)
    assert told.of(0, False) == NOTHING
