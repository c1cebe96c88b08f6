"""The morning card's bands: merged as FILES section 5 says, none too narrow, each held where it is printed."""

from itertools import pairwise
from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from tests.report.samples import sure_plan
from voyager.report.card import PLUG_SHARE, THIN, merged, mornings, printed, said, thick, up

Band = dict[str, Any]
CAPACITY_KWH, CEILING_KWH = 40.0, 38.0


def go(from_kwh: float, to_km: float, pace_w: float = 400) -> dict[str, Any]:
    return {"from_kwh": from_kwh, "do": "go", "to": f"km {to_km:g}", "to_km": to_km, "pace_w": pace_w, "speed_kmh": 6.0}


STAY = {"from_kwh": 0.0, "do": "stay"}


def test_five_bands_are_left_alone() -> None:
    bands = [STAY, go(5, 20), go(10, 25), go(15, 30), go(20, 35)]
    assert merged(bands, 0) == bands


def test_the_nearest_neighbours_become_one_with_the_nearer_stop() -> None:
    """25 and 26 km lie closest: the merged band begins where the lower did and goes to the lower's stop."""
    bands = [STAY, go(5, 20), go(10, 25), go(15, 26), go(20, 35), go(25, 45)]
    assert merged(bands, 0) == [STAY, go(5, 20), go(10, 25), go(20, 35), go(25, 45)]


def test_a_band_that_stays_is_never_merged() -> None:
    bands = [go(0, 20), {**STAY, "from_kwh": 5.0}, go(10, 25), {**STAY, "from_kwh": 15.0}, go(20, 35), go(25, 45)]
    assert merged(bands, 0) == bands[:5]


def test_going_back_to_a_plug_is_not_merged_with_going_on() -> None:
    """At km 30: from empty back to km 28, which is nearer than any stop ahead, and yet no stop to go on to."""
    bands = [go(0, 28), go(8, 33), go(10, 40), go(15, 46), go(20, 52), go(25, 57)]
    kept = merged(bands, 30)
    assert kept[0] == bands[0]
    assert [band["to_km"] for band in kept] == [28, 33, 40, 46, 52]


bands = st.lists(st.tuples(st.sampled_from(["go", "stay"]), st.integers(0, 60)), min_size=1, max_size=12).map(
    lambda rows: [go(2.0 * n, km) if do == "go" else {**STAY, "from_kwh": 2.0 * n} for n, (do, km) in enumerate(rows)]
)


@given(bands, st.integers(0, 60))
def test_every_charge_of_a_merged_band_holds_what_it_does(rows: list[dict[str, Any]], km: int) -> None:
    """What is printed for any charge is what the policy does there or at a lower charge that also goes: held there."""
    printed = merged(rows, km)
    assert printed[0] == rows[0]
    for band in rows:
        shown = max((one for one in printed if one["from_kwh"] <= band["from_kwh"]), key=lambda one: one["from_kwh"])
        assert shown["do"] == band["do"]
        assert shown in rows
    going = [low["do"] == high["do"] == "go" for low, high in pairwise(printed)]
    assert len(printed) <= 5 or not any(going)


@given(st.lists(st.integers(1, 60), min_size=6, max_size=12, unique=True))
def test_where_more_charge_goes_further_the_nearest_stop_is_kept(kms: list[int]) -> None:
    rows = [go(2.0 * n, km) for n, km in enumerate(sorted(kms))]
    printed = merged(rows, 0)
    assert len(printed) == 5
    for band in rows:
        shown = max((one for one in printed if one["from_kwh"] <= band["from_kwh"]), key=lambda one: one["from_kwh"])
        assert shown["to_km"] <= band["to_km"]


def test_what_is_not_held_takes_nothing_in() -> None:
    """Fleeing to a plug below what may go there in good order: the upper band keeps its own line."""
    flight = go(0, 20) | {"held": False, "why": "to-shore"}
    rows = [flight, go(5, 20), go(10, 25), go(15, 30), go(20, 35), go(25, 45)]
    assert merged(rows, 0)[:2] == rows[:2]
    assert printed([flight, go(0.1, 20)], 0, CAPACITY_KWH, CEILING_KWH) == [flight, go(0.1, 20)]


def test_a_narrow_band_becomes_part_of_the_one_below() -> None:
    """2 % of 40 kWh is 0.8: to stay, go, stay and go within 0.2 kWh is noise."""
    below = {**STAY, "held": False}
    rows = [below, {**STAY, "from_kwh": 8.0}, go(12.0, 35), {**STAY, "from_kwh": 12.1}, go(12.2, 35)]
    assert thick(rows, CAPACITY_KWH, CEILING_KWH) == [below, {**STAY, "from_kwh": 8.0}, go(12.2, 35)]


def test_narrow_neighbours_first_make_one_that_is_wide_enough() -> None:
    """Four bands of 0.5 kWh are not to be swallowed by staying: two by two they are wide enough."""
    rows = [STAY, go(12.0, 20), go(12.5, 25), go(13.0, 30), go(13.5, 35), go(14.0, 40)]
    assert [band["from_kwh"] for band in thick(rows, CAPACITY_KWH, CEILING_KWH)] == [0, 12.0, 13.0, 14.0]


def test_a_narrow_band_above_what_is_not_held_stays() -> None:
    rows = [{**STAY, "held": False}, {**STAY, "from_kwh": 12.0}, go(12.1, 20)]
    assert thick(rows, CAPACITY_KWH, CEILING_KWH) == rows


def test_a_narrow_band_is_taken_in_once_what_parted_it_from_the_one_below_is() -> None:
    """At a plug and nearly full: going takes in the staying above it, and then the narrow band above that too."""
    rows = [go(0, 20), {**STAY, "from_kwh": 37.0}, go(37.5, 25)]
    assert thick(rows, CAPACITY_KWH, CEILING_KWH) == rows[:1]


def test_staying_takes_nothing_in_where_a_plug_no_longer_stands_in_for_the_reserve() -> None:
    """Staying at a plug may be held on the floor alone below 0.93 of the ceiling: what is above keeps its own line."""
    rows = [STAY, go(PLUG_SHARE * CEILING_KWH - 0.3, 20), {**STAY, "from_kwh": PLUG_SHARE * CEILING_KWH + 0.3}]
    assert thick(rows, CAPACITY_KWH, CEILING_KWH) == rows


def test_one_stop_is_one_band_at_the_pace_of_the_lowest() -> None:
    rows = [STAY, go(5, 20, 300), go(6, 20, 500), go(10, 20, 400), go(15, 30)]
    assert printed(rows, 0, CAPACITY_KWH, CEILING_KWH) == [STAY, go(5, 20, 300), go(15, 30)]


@st.composite
def worlds(draw: st.DrawFn) -> list[tuple[float, float, str, int | None]]:
    """What could be done at a mooring: (held from, held below, do, km)."""
    kms = draw(st.lists(st.integers(1, 60), max_size=6, unique=True))
    edge = st.floats(0, CEILING_KWH)
    going = [(draw(edge), float("inf"), "go", km) for km in kms]
    least = draw(edge)
    below = draw(st.sampled_from([float("inf"), PLUG_SHARE * CEILING_KWH]))
    return [*going, (least, below, "stay", None)]


def band(from_kwh: float, world: tuple[float, float, str, int | None] | None) -> Band:
    """The band of one thing to do; without one, staying that is not held."""
    if world is None or world[3] is None:
        return {"from_kwh": from_kwh, "do": "stay", "held": world is not None}
    return go(from_kwh, world[3]) | {"held": True}


@given(worlds(), st.data())
def test_every_charge_of_a_printed_band_holds_what_it_says(
    world: list[tuple[float, float, str, int | None]], data: st.DataObject
) -> None:
    """The policy picks at will among what is held; of every charge of a printed band the same must be held."""
    edges = sorted({0.0, *(one[0] for one in world), *(one[1] for one in world if one[1] < CEILING_KWH)})
    extra = data.draw(st.lists(st.floats(0, CEILING_KWH), max_size=12))
    bands: list[Band] = []
    for low in sorted({*edges, *extra}):
        offered = [one for one in world if one[0] <= low < one[1]]
        bands.append(band(low, data.draw(st.sampled_from(offered)) if offered else None))
    shown = printed(bands, 0, CAPACITY_KWH, CEILING_KWH)
    assert shown[0] == bands[0]
    for charge in [one["from_kwh"] for one in bands]:
        told = max((one for one in shown if one["from_kwh"] <= charge), key=lambda one: one["from_kwh"])
        held = [one for one in world if one[0] <= charge < one[1]]
        assert told["held"] == bool(held)
        assert not held or (told["do"], told.get("to_km")) in {(one[2], one[3]) for one in held}


@given(worlds(), st.data())
def test_narrow_bands_are_left_only_where_nothing_below_may_take_them_in(
    world: list[tuple[float, float, str, int | None]], data: st.DataObject
) -> None:
    lows = sorted({0.0, *data.draw(st.lists(st.floats(0, CEILING_KWH), max_size=12))})
    bands = [band(low, data.draw(st.sampled_from([*world, None]))) for low in lows]
    kept = thick(bands, CAPACITY_KWH, CEILING_KWH)
    ends = [*(one["from_kwh"] for one in kept[1:]), CEILING_KWH]
    for (low, high), end in zip(pairwise(kept), ends[1:], strict=True):
        wide = end - high["from_kwh"] >= THIN * CAPACITY_KWH - 1e-6
        assert wide or not (low["held"] and high["held"]) or (low["do"] == "stay" and end > PLUG_SHARE * CEILING_KWH)


def test_what_is_said_leaves_the_pace_out() -> None:
    assert said(go(1, 20, 300)) == said(go(9, 20, 500))
    assert said(go(1, 20)) != said(go(1, 20) | {"why": "to-shore"})


def test_unlikely_mornings_are_left_out() -> None:
    assert [(m.first["day"], m.first["mooring"]) for m in mornings(sure_plan()["card"])] == [
        (1, "Carrick-on-Shannon"), (3, "Lanesborough"), (4, "Athlone")
    ]  # fmt: skip


def test_the_likeliest_moorings_of_a_day_come_first() -> None:
    row = sure_plan()["card"][0]
    card = [row | {"day": day, "km": km, "chance": chance} for day, km, chance in
            ((2, 0.0, 0.1), (2, 9.0, 0.5), (3, 0.0, 0.3), (3, 9.0, 0.3), (3, 18.0, 0.04), (1, 0.0, 1.0))]  # fmt: skip
    found = [(one.first["day"], one.first["km"]) for one in mornings(card, 2)]
    assert found == [(2, 9.0), (2, 0.0), (3, 0.0), (3, 9.0)]


@given(st.floats(0, 100))
def test_charges_are_rounded_up(kwh: float) -> None:
    assert kwh - 1e-6 <= up(kwh) < kwh + 0.1
