"""What is around the boat for some days is the beginning of what it is for more."""

from dataclasses import fields, is_dataclass, replace
from datetime import date
from typing import Any

import numpy as np
import pytest

from tests.planner.samples import vessel, voyage
from voyager.planner.around import first_days
from voyager.planner.frame import Frame, build_frame
from voyager.planner.kept import Kept
from voyager.route.voyage import Forecast

FEW = 5
MARCH = date(2027, 3, 24)


def frame(days: int, kept: Kept | None = None, many: bool = True, **keys: Any) -> Frame:
    """Over the change of the clocks, with a forecast."""
    told = Forecast(date(2027, 3, 25), oktas=2.0, air_c=4.0)
    return build_frame(vessel(), replace(voyage(departs=MARCH, forecast=(told,)), **keys), days, many=many, kept=kept)


def arrays(value: Any, name: str = "") -> dict[str, Any]:
    """Every array in an object of objects."""
    if isinstance(value, np.ndarray):
        return {name: value}
    parts = enumerate(value) if isinstance(value, tuple) else ()
    if is_dataclass(value):
        parts = ((one.name, getattr(value, one.name)) for one in fields(value))
    return {key: found for at, part in parts for key, found in arrays(part, f"{name}.{at}").items()}


@pytest.mark.parametrize("many", [False, True])
def test_the_first_days_do_not_know_how_many_follow(many: bool) -> None:
    few, more = frame(FEW, many=many).bank.made, frame(FEW + 9, many=many).bank.made
    cut, own = arrays(first_days(more, FEW)), arrays(few)
    assert cut.keys() == own.keys()
    assert len(own) > 30
    for name in own:
        assert np.array_equal(cut[name], own[name], equal_nan=own[name].dtype.kind == "f"), name


def test_a_frame_of_what_was_kept_is_the_frame_made_anew() -> None:
    kept = Kept()
    frame(FEW + 3, kept)
    again, fresh = frame(FEW, kept), frame(FEW)
    for name in ("weather", "glass_w_m2", "windows", "sun", "kinds", "climate", "total_w"):
        one, other = arrays(getattr(again, name)), arrays(getattr(fresh, name))
        assert all(np.array_equal(one[key], other[key], equal_nan=True) for key in other if one[key].dtype.kind == "f")
    moored, anew = (one.panels.watts[:, one.mooring_mount] for one in (again, fresh))
    assert np.array_equal(moored, anew)
    assert anew.any()


def test_other_days_boats_and_skies_are_not_taken_for_the_same() -> None:
    kept = Kept()
    own = frame(FEW, kept).bank
    assert frame(FEW, kept).bank is own
    assert frame(FEW, kept, departs=date(2027, 3, 25)).bank is not own
    assert frame(FEW, kept, sky="good").bank is not own
    assert frame(FEW, kept, comfort="ample").bank is not own
    assert frame(FEW, kept, many=False).bank is not own


def test_only_a_few_of_each_kind_are_kept() -> None:
    kept = Kept(2)
    made = [kept.made("words", key, lambda key=key: [key]) for key in "abca"]
    assert kept.made("words", "c", list) is made[2]
    assert kept.made("words", "b", list) == []
    assert made[3] is not made[0]
    assert kept.made("words", "c", lambda: ["anew"], lambda one: False) == ["anew"]
