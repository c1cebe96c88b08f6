"""To raise an array or not, by what it gives and by the wind."""

from dataclasses import replace

import numpy as np
import pytest

from voyager.boat.arrays import PanelArray
from voyager.planner.berth import Lie
from voyager.planner.raising import WORTH_KWH, Raising, raising

ROOF = PanelArray("roof", 400.0, 8, moored_tilt_deg=30.0, moored_azimuth_deg=90.0, raise_wind_max_mps=9.0)
DECK = PanelArray("deck", 200.0, 1)


def lie(flat: float, raised: float, mirrored: float, wind: float = 3.0) -> Lie:
    one, two, three = (np.array([[kwh]]) for kwh in (flat, raised, mirrored))
    return Lie((90.0,), one, two, three, 180.0, wind, wind)


def test_the_better_side_is_raised() -> None:
    assert raising(ROOF, lie(2.0, 2.5, 1.0), 0, 0) == Raising("raise", None, 0.5, 90.0)
    assert raising(ROOF, lie(2.0, 1.0, 2.5), 0, 0) == Raising("raise", None, 0.5, -90.0)


@pytest.mark.parametrize(("wind", "do", "why"), [(9.0, "raise", None), (9.1, "flat", "wind")])
def test_not_in_more_wind_than_the_file_allows(wind: float, do: str, why: str | None) -> None:
    found = raising(ROOF, lie(2.0, 2.5, 1.0, wind), 0, 0)
    assert (found.do, found.why) == (do, why)


def test_not_for_next_to_nothing() -> None:
    assert raising(ROOF, lie(2.0, 2.0 + WORTH_KWH / 2, 1.0), 0, 0).why == "no-gain"
    assert raising(ROOF, lie(2.0, 1.0, 1.0), 0, 0).gain_kwh == -1.0


def test_what_cannot_be_raised_stays() -> None:
    assert raising(DECK, lie(2.0, 2.0, 2.0), 0, 0).do == "fixed"
    assert raising(replace(DECK, moored_tilt_deg=30.0), lie(2.0, 2.5, 2.0), 0, 0).do == "raise"
