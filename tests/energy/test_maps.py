"""Chains of hours as four numbers are the simulator's own steps, one after the other."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.energy.boats import PACK, SOCKET
from voyager.boat.battery import Battery
from voyager.energy.maps import Chain, chain, joined
from voyager.energy.step import Flows, hour, unclamped_kwh

HUGE = Battery(
    1000.0,
    ceiling_percent=95.0,
    charge_efficiency=0.94,
    discharge_efficiency=0.91,
    charge_max_w=3000.0,
    discharge_max_w=4000.0,
)
"""So deep that a dozen hours never empty it from the middle; its ceiling is met from just below."""


def flows(net: np.ndarray, plug: np.ndarray, cold: np.ndarray) -> Flows:
    none = np.zeros_like(net)
    return Flows(np.maximum(net, 0.0), np.maximum(-net, 0.0), none, none, none, plug, cold)


def chained(hours: list[tuple[float, float, bool]]) -> Chain:
    out = chain((1,), HUGE.ceiling_kwh)
    for net, plug, cold in hours:
        out.append(unclamped_kwh(HUGE, np.asarray([net + plug]), np.asarray([cold])))
    return out


def four(chain_: Chain) -> np.ndarray:
    return np.asarray([chain_.add, chain_.cap, chain_.low_add, chain_.low_cap])[:, 0]


HOUR = st.tuples(st.floats(-6000, 6000), st.one_of(st.just(0.0), st.floats(0, 4000)), st.booleans())
HOURS = st.lists(HOUR, max_size=12)


@settings(max_examples=300, deadline=None)
@given(HOURS, st.floats(0, 12))
def test_four_numbers_are_the_hours_one_by_one(hours: list[tuple[float, float, bool]], below: float) -> None:
    start = HUGE.ceiling_kwh - below
    charge, lowest = np.asarray([start]), start
    for net, plug, cold in hours:
        charge = hour(HUGE, SOCKET, charge, flows(np.asarray([net]), np.asarray([plug]), np.asarray([cold]))).charge_kwh
        lowest = min(lowest, float(charge[0]))
    whole = chained(hours)
    assert float(whole.end_kwh(start)[0]) == pytest.approx(float(charge[0]), abs=1e-9)
    assert float(whole.lowest_kwh(start)[0]) == pytest.approx(lowest, abs=1e-9)


@settings(max_examples=200, deadline=None)
@given(HOURS, HOURS, HOURS)
def test_joining_is_appending_and_associative(
    one: list[tuple[float, float, bool]], two: list[tuple[float, float, bool]], three: list[tuple[float, float, bool]]
) -> None:
    a, b, c = chained(one), chained(two), chained(three)
    assert four(joined(joined(a, b), c)) == pytest.approx(four(joined(a, joined(b, c))), abs=1e-9)
    together = joined(a, b)
    whole = chained([*one, *two])
    for start in (HUGE.ceiling_kwh, HUGE.ceiling_kwh - 3, HUGE.ceiling_kwh - 40):
        assert together.end_kwh(start) == pytest.approx(whole.end_kwh(start), abs=1e-9)
        assert together.lowest_kwh(start) == pytest.approx(whole.lowest_kwh(start), abs=1e-9)


def test_the_empty_chain_changes_nothing() -> None:
    nothing, some = chain((1,), HUGE.ceiling_kwh), chained([(900.0, 0.0, False), (-2500.0, 0.0, False)])
    assert float(nothing.end_kwh(3.0)[0]) == float(nothing.lowest_kwh(3.0)[0]) == 3.0
    assert four(joined(nothing, some)) == pytest.approx(four(some), abs=1e-12)
    assert four(joined(some, nothing)) == pytest.approx(four(some), abs=1e-12)


def test_a_day_by_hand() -> None:
    """Pack of 20 kWh, ceiling 19: 1.8 kWh drawn as 2, then 4 h of 1 kW in at 0.95, then 0.9 drawn as 1."""
    day = chain((1,), PACK.ceiling_kwh)
    for net in (-1800.0, 1000.0, 1000.0, 1000.0, 1000.0, -900.0):
        day.append(unclamped_kwh(PACK, np.asarray([net]), np.asarray([False])))
    assert four(day) == pytest.approx([0.8, 18.0, -2.0, 17.0], abs=1e-12)
    assert float(day.end_kwh(10.0)[0]) == pytest.approx(10.8)
    assert float(day.end_kwh(18.5)[0]) == pytest.approx(18.0)
    assert float(day.lowest_kwh(10.0)[0]) == pytest.approx(8.0)
    assert float(day.lowest_kwh(19.0)[0]) == pytest.approx(17.0)


def test_chains_broadcast() -> None:
    first, second = chain((3, 1), 19.0), chain((1, 4), 19.0)
    first.append(np.asarray([[-1.0], [0.0], [2.0]]))
    second.append(np.asarray([[0.5, -0.5, 0.0, 4.0]]))
    both = joined(first, second)
    assert both.add.shape == both.low_cap.shape == (3, 4)
    assert both.end_kwh(10.0)[0, 3] == pytest.approx(13.0)
    assert both.lowest_kwh(10.0)[0, 3] == pytest.approx(9.0)
