"""The morning card against the policy itself, and its own shape."""

from functools import lru_cache
from itertools import pairwise
from pathlib import Path
from tempfile import mkdtemp
from typing import Any

import numpy as np
import pytest

from tests.session.voyages import write
from voyager.files.voyage_file import load_voyage
from voyager.planner.decide import decide, evening_decide
from voyager.planner.many import Followed
from voyager.planner.outlook import Prospect, look_many
from voyager.session.card import card_told, up
from voyager.session.odds import followed
from voyager.sky.days import CLASSES

Json = dict[str, Any]
MEMBERS = 60


@lru_cache
def voyage(**keys: Any) -> tuple[Prospect, Followed, list[Json]]:
    loaded = load_voyage(write(Path(mkdtemp()), **keys))
    found = look_many(loaded.vessel, loaded.voyage)
    through = followed(found.many, MEMBERS, 1)
    return found, through, card_told(found.many, through)


def dark() -> tuple[Prospect, Followed, list[Json]]:
    """A winter voyage on few panels, so that every kind of band is met."""
    return voyage(departs="2027-01-05", panels=5, capacity_kwh=12, comfort="ample")


def test_one_row_a_class_for_every_likely_morning() -> None:
    found, through, card = dark()
    keys = [(row["day"], row["km"]) for row in card]
    assert [row["sky_class"] for row in card] == list(CLASSES) * (len(card) // 5)
    assert keys == [key for key in dict.fromkeys(keys) for _ in CLASSES]
    mooring = found.many.built.stops.mooring
    for row in card:
        at = [m.km for m in found.many.frame.route.moorings]
        here = np.abs(np.asarray(at)[mooring] - row["km"]) < 1e-2
        woke = through.wakes[row["day"] - 1, here].sum() / MEMBERS
        assert row["chance"] == pytest.approx(woke, abs=0.005)
        assert woke >= 0.01
    assert card[0]["day"] == 1
    assert card[0]["chance"] == 1.0


def test_bands_cover_empty_to_full_and_say_something_new() -> None:
    _, _, card = dark()
    for row in card:
        for bands in (row["bands"], row["evening"]):
            edges = [band["from_kwh"] for band in bands]
            assert edges[0] == 0.0
            assert all(a < b for a, b in pairwise(edges))
            told = [{k: v for k, v in band.items() if k != "from_kwh"} for band in bands]
            assert all(a != b for a, b in pairwise(told))


def test_each_band_is_what_the_policy_does_inside_it() -> None:
    """Read the card at the middle of every band and ask the policy itself at that charge."""
    found, _, card = dark()
    many = found.many
    problem, stops = many.policy.problem, many.built.stops
    seen = set()
    for row in card[:: max(1, len(card) // 40)]:
        day, cls = row["day"] - 1, CLASSES.index(row["sky_class"])
        here = [s for s in range(stops.count) if abs(many.frame.route.moorings[stops.mooring[s]].km - row["km"]) < 1e-2]
        stop = here[-1]
        edges = [band["from_kwh"] for band in row["bands"]] + [many.frame.ceiling_kwh]
        for band, low, high in zip(row["bands"], edges, edges[1:], strict=False):
            if high - low < 0.05:
                continue
            charge = np.asarray([(low + high) / 2])
            action = int(decide(many.policy, day, np.zeros(1), np.asarray([cls]), np.asarray([stop]), charge)[0])
            acts = problem.mornings[day]
            goes = action >= 0 and acts.pace[action] >= 0
            assert band["held"] == (action >= 0) or band.get("why") == "to-shore"
            if band.get("why") != "to-shore":
                assert (band["do"] == "go") == goes
            if goes:
                end = many.frame.route.moorings[stops.mooring[acts.end[action]]]
                assert band["to_km"] == pytest.approx(end.km, abs=1e-3)
            seen.add(band["do"])
        step, plugged = evening_decide(many.policy, day, np.asarray([stop]), np.asarray([many.frame.ceiling_kwh]))
        assert row["evening"][-1]["comfort"] == many.frame.vessel.comfort[int(step[0])].name
        assert row["evening"][-1]["plug_in"] == bool(plugged[0])
    assert seen == {"go", "stay"}


def test_thresholds_are_edges_of_the_bands() -> None:
    _, _, card = dark()
    for row in card:
        goes = [band["do"] == "go" for band in row["bands"]]
        if row["go_from_kwh"] is None:
            assert not goes[-1]
        else:
            at = [band["from_kwh"] for band in row["bands"]].index(row["go_from_kwh"])
            assert all(goes[at:])
            assert at == 0 or not goes[at - 1]
        plugs = [band["plug_in"] for band in row["evening"]]
        assert (row["shore_below_kwh"] is None) == (not any(plugs))
        if any(plugs):
            below = [band for band in row["evening"] if band["from_kwh"] >= row["shore_below_kwh"]]
            assert not any(band["plug_in"] for band in below)
    assert any(row["shore_below_kwh"] is not None for row in card)


def test_darker_mornings_go_from_more_charge() -> None:
    """On the first morning, where the classes differ in nothing but the day ahead."""
    _, _, card = voyage(departs="2027-02-20", panels=8)
    first = [row["go_from_kwh"] for row in card[:5]]
    assert all(isinstance(value, float) for value in first)
    assert first[0] > first[-1]


def test_charges_are_rounded_up() -> None:
    """What is said from a charge on must hold there."""
    assert up(12.001) == 12.01
    assert up(12.0) == 12.0
    assert up(0.0) == 0.0
