"""A policy through skies in blocks, and no more skies than memory holds."""

from dataclasses import fields
from functools import cache

import numpy as np
import pytest

from tests.planner.samples import battery, vessel, voyage
from voyager.errors import InputError
from voyager.planner.many import Followed
from voyager.planner.outlook import Outlook, look_many
from voyager.planner.skies import BYTES_A_MEMBER_DAY, BYTES_MEASURED
from voyager.planner.tally import Voyages, tally
from voyager.session import odds
from voyager.session.odds import followed, refuse_too_many

MEMBERS = 23


@cache
def planned() -> Outlook:
    """Two days of canal on a small battery, with a plug on the way."""
    here = voyage(travel_min=(600, 720), charge_at_start_percent=50.0, comfort="ample")
    return look_many(vessel(battery=battery(12.0)), here).many


def same(one: Followed, other: Followed) -> None:
    for f in fields(Voyages):
        a, b = getattr(one.voyages, f.name), getattr(other.voyages, f.name)
        if isinstance(a, np.ndarray):
            np.testing.assert_allclose(a.astype(float), b.astype(float), rtol=0, atol=1e-9, err_msg=f.name)
        else:
            assert a == b, f.name
    assert np.array_equal(one.wakes, other.wakes)
    assert (one.held_days, one.held_below) == (other.held_days, other.held_below)


@pytest.mark.parametrize("block", [1, 5, 22, 23, 24])
def test_blocks_of_members_are_the_whole(block: int, monkeypatch: pytest.MonkeyPatch) -> None:
    whole = followed(planned(), MEMBERS, 3)
    monkeypatch.setattr(odds, "BLOCK", block)
    parts = followed(planned(), MEMBERS, 3)
    same(whole, parts)
    assert tally(parts.voyages, 3) == tally(whole.voyages, 3)
    assert parts.voyages.members == MEMBERS


def test_the_seed_makes_the_skies_and_more_members_add_to_them() -> None:
    first, again, other = (followed(planned(), MEMBERS, seed) for seed in (3, 3, 4))
    same(first, again)
    assert not np.array_equal(first.voyages.solar_kwh, other.voyages.solar_kwh)
    more = followed(planned(), MEMBERS + 10, 3)
    np.testing.assert_allclose(more.voyages.solar_kwh[:MEMBERS], first.voyages.solar_kwh, atol=1e-9)


def test_it_tells_how_far_it_is(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(odds, "BLOCK", 10)
    heard: list[tuple[float, str]] = []
    followed(planned(), MEMBERS, 3, tick=lambda share, text: heard.append((share, text)))
    assert list(dict.fromkeys(text for _, text in heard)) == ["skies 1 to 10", "skies 11 to 20", "skies 21 to 23"]
    shares = [share for share, _ in heard]
    assert shares == sorted(shares)
    assert 0.6 <= shares[0] < shares[-1] < 0.9


def free(monkeypatch: pytest.MonkeyPatch, room: int | None) -> None:
    monkeypatch.setattr(odds, "_free_bytes", lambda: room)


def said(members: int, days: int, measured: bool = False) -> str:
    with pytest.raises(InputError) as caught:
        refuse_too_many(members, days, measured)
    return str(caught.value)


def test_too_many_members_are_refused_with_a_number_that_does_fit(monkeypatch: pytest.MonkeyPatch) -> None:
    """400 bytes a member and day: 1,000,000 x 100 are 40 GB; four fifths of 1 GB hold 20,000."""
    free(monkeypatch, 1_000_000_000)
    assert BYTES_A_MEMBER_DAY == 400
    told = said(1_000_000, 100)
    assert told == (
        "1000000 members over 100 days need some 40.0 GB of memory and 1.0 GB are free; ask for at most 20000"
    )
    refuse_too_many(20_000, 100)
    refuse_too_many(1, 100)


@pytest.mark.parametrize("measured", [False, True])
@pytest.mark.parametrize("room", [3_456_789, 700_000_000, 23_000_000_000])
def test_what_is_offered_fits_and_is_not_far_below_the_most(
    room: int, measured: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Rounded down to two digits: at most a tenth below what fits."""
    free(monkeypatch, room)
    most = int(said(10**9, 60, measured).rsplit(" ", 1)[1])
    refuse_too_many(most, 60, measured)
    assert len(str(most).rstrip("0")) <= 2
    said(round(most * 1.11) + 1, 60, measured)


def test_a_weather_files_hours_take_more_room(monkeypatch: pytest.MonkeyPatch) -> None:
    free(monkeypatch, 1_000_000_000)
    assert BYTES_MEASURED > 2 * BYTES_A_MEMBER_DAY
    refuse_too_many(19_000, 100)
    said(19_000, 100, measured=True)


def test_nobody_is_refused_where_the_system_does_not_tell(monkeypatch: pytest.MonkeyPatch) -> None:
    free(monkeypatch, None)
    refuse_too_many(10**9, 120)


def test_this_machine_has_room_for_a_few() -> None:
    room = odds._free_bytes()
    assert room is None or room > 0
    refuse_too_many(1, 120)


@pytest.mark.parametrize("measured", [False, True])
def test_skies_take_no_more_than_is_reckoned(measured: bool) -> None:
    """Peak of drawing and following 400 members over a long voyage, by the interpreter's own count."""
    import tracemalloc

    from tests.energy.records import measured as year

    record = year() if measured else None
    found = look_many(vessel(), voyage(travel_min=(600, 660)), record=record).many
    followed(found, 4, 1, record)
    tracemalloc.start()
    try:
        followed(found, 400, 1, record)
        peak = tracemalloc.get_traced_memory()[1]
    finally:
        tracemalloc.stop()
    days = found.policy.problem.days
    each = BYTES_MEASURED if measured else BYTES_A_MEMBER_DAY
    assert peak < each * 400 * days + 8e6
    assert days > 20
