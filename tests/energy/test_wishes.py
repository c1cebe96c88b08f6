"""Members that ask for different comfort: the pieces of all steps cut alike, and each member as it is alone."""

from collections.abc import Callable
from dataclasses import fields, replace
from functools import cache

import numpy as np
import pytest

from tests.energy.boats import CABIN, OFF, heater, inverter, vessel
from voyager.boat.cabin import Comfort
from voyager.boat.comfort import comfort_pieces
from voyager.boat.vessel import Hotel, Vessel
from voyager.energy.ledger import Ledger, balance_kwh, joined
from voyager.energy.run import State, Track, run
from voyager.energy.wishes import Wish, of_members, wishes, wishes_by_step

WARM = Comfort("warm", ((390, 1350, 20.0),), 12.0)
MILD = Comfort("mild", ((405, 525, 15.0), (1065, 1335, 16.0)), 8.0)
LADDER = (WARM, MILD, OFF)
STARTS = 480 + 60 * np.arange(24)
MEMBERS = np.asarray([0, 2, 1, 1, 0, 2])


def boat(**keys: object) -> Vessel:
    """A small stove on the inverter, so that it is at its limit on a cold morning."""
    ac = Hotel((40.0,) * 24, (0.0,) * 7 + (250.0,) + (0.0,) * 16)
    parts = {"heaters": (heater(1500.0),), "inverter": inverter(max_w=1400.0), "hotel": ac, "comfort": LADDER}
    return vessel(**(parts | keys))


def slow_walls() -> Vessel:
    return boat(cabin=replace(CABIN, structure_capacity_wh_per_k=500.0, structure_w_per_k=140.0))


@cache
def track() -> Track:
    """Six members on a day in winter, each with its own sun and air."""
    rng = np.random.default_rng(4)
    hours = np.arange(25)
    sun = np.maximum(0.0, 900 * np.sin((hours - 1) / 9 * np.pi)) * (hours < 10)
    air = -2.0 + 4 * np.sin(hours / 4) + rng.normal(0, 4, (6, 1))
    plug = np.where(hours >= 12, 1200.0, 0.0) * np.asarray([0, 1, 0, 1, 0, 0])[:, None]
    go = np.where((hours > 1) & (hours < 5), 900.0, 0.0) * np.asarray([1, 0, 0, 1, 1, 0])[:, None]
    return Track(sun * rng.uniform(0, 2, (6, 1)), air, 0.1 * sun + 0 * air, go, plug, (STARTS[0] // 60 + hours) % 24)


def state(own: Vessel, at: slice = slice(None)) -> State:
    two = own.cabin.structure_capacity_wh_per_k is not None
    air = np.asarray([9.0, 4.0, 12.0, 3.0, 14.0, 2.0])[at]
    charge = np.asarray([12.0, 0.4, 19.8, 6.0, 1.0, 9.0])[at]
    return State(charge, air, air - 1.0 if two else None, np.asarray([1.0, -4.0, 2.0, 0.0, -3.5, 6.0])[at])


def pieces(own: Vessel, length: int = 24) -> list:
    return [comfort_pieces(step, STARTS[:length], length) for step in own.comfort]


def one(own: Vessel, member: int) -> tuple[Ledger, State]:
    """A member alone, at its own step's own pieces."""
    at = slice(member, member + 1)
    t = track()
    alone = Track(
        t.solar_w[at], t.outside_c[at], t.glass_w_m2[at], t.propulsion_w[at], t.charger_w[at], t.local_hour
    )  # fmt: skip
    return run(own, alone, wishes(own, pieces(own)[MEMBERS[member]]), 0, 24, state(own, at))


def every(own: Vessel, first: int = 0, last: int = 24, begin: State | None = None) -> tuple[Ledger, State]:
    """All members at once, each at its own step."""
    own_wishes = of_members(wishes_by_step(own, pieces(own)), MEMBERS)
    return run(own, track(), own_wishes, first, last, state(own) if begin is None else begin)


def differences(together: Ledger, alone: list[Ledger]) -> dict[str, float]:
    """Greatest difference of each column between members at once and each alone."""
    out = {}
    for f in fields(Ledger):
        a, b = getattr(together, f.name), np.concatenate([getattr(part, f.name) for part in alone])
        both = np.isfinite(a) & np.isfinite(b)
        assert np.array_equal(np.isfinite(a), np.isfinite(b)), f.name
        out[f.name] = float(np.abs(a[both] - b[both]).max())
    return out


def test_members_at_their_own_steps_are_each_member_alone() -> None:
    """Every column, hours of warmth in the half hour after a rise too."""
    together, after = every(boat())
    alone = [one(boat(), m) for m in range(6)]
    assert max(differences(together, [ledger for ledger, _ in alone]).values()) < 1e-9
    for name in ("charge_kwh", "air_c", "cell_c"):
        assert getattr(after, name) == pytest.approx([float(getattr(s, name)[0]) for _, s in alone], abs=1e-9), name
    asked = together.total("asked_h")
    assert asked[MEMBERS == 0] == pytest.approx(16.0)
    assert asked[MEMBERS == 1] == pytest.approx(6.5)
    assert not asked[MEMBERS == 2].any()
    assert 0 < together.total("warm_h")[0] < 16.0


def test_slow_walls_follow_the_cuts_to_a_few_watt_hours() -> None:
    """Sub-steps of the second node differ with the cuts: 10 Wh of heat and charge in a day at the most."""
    together, _ = every(slow_walls())
    alone = [one(slow_walls(), m)[0] for m in range(6)]
    for name in ("heating_kwh", "loss_kwh", "shore_kwh", "spilled_kwh"):
        gaps = together.total(name) - np.asarray([float(ledger.total(name)[0]) for ledger in alone])
        assert np.abs(gaps).max() < 0.01, name
    gap = np.abs(together.charge_kwh[:, -1] - [float(ledger.charge_kwh[0, -1]) for ledger in alone])
    assert gap.max() < 0.01
    assert together.total("heating_kwh")[0] > 5.0


@pytest.mark.parametrize("make", [boat, slow_walls])
def test_members_do_not_depend_on_what_the_others_ask_for(make: Callable[[], Vessel]) -> None:
    """The first member at its step beside five others, and beside five that ask for nothing."""
    own, by_step = make(), wishes_by_step(make(), pieces(make()))
    alike = np.asarray([0, 2, 2, 2, 2, 2])
    mixed, _ = every(own)
    plain, _ = run(own, track(), of_members(by_step, alike), 0, 24, state(own))
    for f in fields(Ledger):
        assert np.array_equal(getattr(mixed, f.name)[0], getattr(plain, f.name)[0]), f.name


@pytest.mark.parametrize("make", [boat, slow_walls])
def test_every_member_closes_and_a_day_may_be_cut_at_any_hour(make: Callable[[], Vessel]) -> None:
    own = make()
    whole, end = every(own)
    assert np.abs(balance_kwh(state(own).charge_kwh, whole)).max() < 1e-9
    for cut in (1, 7, 12, 23):
        before, middle = every(own, 0, cut)
        after, last = every(own, cut, 24, middle)
        parts = joined([before, after])
        for f in fields(Ledger):
            np.testing.assert_allclose(getattr(parts, f.name), getattr(whole, f.name), atol=1e-9, err_msg=f.name)
        assert last.charge_kwh == pytest.approx(end.charge_kwh, abs=1e-9)
        assert last.air_c == pytest.approx(end.air_c, abs=1e-9)


def spans(parts: list[Wish]) -> list[tuple[int, float]]:
    return [(w.hour, w.hours) for w in parts]


def test_common_parts_fill_the_day_and_nothing_changes_within_one() -> None:
    """Minute by minute each step's own setpoint, read off its own hours; a day of 23 h and one of 25 h too."""
    for length in (23, 24, 25):
        own = boat()
        starts = 480 + 60 * np.arange(length)
        by_step = wishes_by_step(own, [comfort_pieces(step, starts, length) for step in LADDER])
        assert sum(w.hours for w in by_step) == pytest.approx(length)
        assert [h for h, _ in spans(by_step)] == sorted(h for h, _ in spans(by_step))
        clock, hour = 0.0, -1
        for wish in by_step:
            clock = 0.0 if wish.hour != hour else clock
            hour = wish.hour
            for minute in np.arange(60 * clock, 60 * (clock + wish.hours) - 1e-6):
                civil = int(starts[hour] + round(minute)) % 1440
                for number, step in enumerate(LADDER):
                    inside = [c for a, b, c in step.hours_c if a <= civil < b]
                    assert wish.setpoint_c[number] == (inside[0] if inside else step.otherwise_c)
                    assert wish.asked[number] == len(inside)
            clock += wish.hours


def test_parts_are_cut_where_any_step_changes() -> None:
    """06:30 and 06:45 rises, their half hours, 08:45 and so on: in the hour from 06:00 quarters of it."""
    by_step = wishes_by_step(boat(), pieces(boat()))
    six = [w for w in by_step if w.hour == 22]
    assert [w.hours for w in six] == pytest.approx([0.5, 0.25, 0.25])
    assert [w.setpoint_c.tolist() for w in six] == [[12.0, 8.0, 2.0], [20.0, 8.0, 2.0], [20.0, 15.0, 2.0]]
    assert [w.grace.tolist() for w in six] == [[False] * 3, [True, False, False], [True, True, False]]
    assert [w.grace_h.tolist() for w in six][1:] == [[0.0, 0.75, 0.0], [0.5, 0.25, 1.0]]


def test_radiant_heat_lowers_what_is_asked_of_the_air_and_nothing_else() -> None:
    """2 K lower while somebody asks; the frost guard between stays."""
    stove = boat(heaters=(heater(1500.0, radiant_k=2.0),))
    plain, lower = (wishes_by_step(own, pieces(own)) for own in (boat(), stove))
    for a, b in zip(plain, lower, strict=True):
        assert b.setpoint_c == pytest.approx(a.setpoint_c - 2.0 * a.asked)


def test_a_part_is_counted_where_anybody_asks() -> None:
    by_step = wishes_by_step(boat(), pieces(boat()))
    for step, wanted in ((np.asarray([2, 2]), 0.0), (np.asarray([2, 0]), 16.0), (np.asarray([1]), 6.5)):
        own = of_members(by_step, step)
        assert sum(w.hours for w in own if w.counted) == pytest.approx(wanted)
