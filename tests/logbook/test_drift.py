"""Ratios of measured to modelled energy over a log: the known deviation lies in the interval, nothing else is told."""

from collections.abc import Sequence

import numpy as np
import pytest

from tests.logbook.boat import VESSEL, Ways, lived, planned_row, voyage
from voyager.logbook.actual import DayActual, actual_days
from voyager.logbook.drift import Drift, drift

DAYS = 12
ROWS = [planned_row(day) for day in range(DAYS)]
CEILING = VESSEL.battery.ceiling_kwh


def log_of(
    ways: Ways, seed: int = 0, noise: float = 0.08, suns: Sequence[float] | None = None
) -> tuple[DayActual, ...]:
    dice = np.random.default_rng(seed)
    rows = ROWS if suns is None else [planned_row(day, charge=-100.0) for day in range(DAYS)]
    entries = lived(rows, ways, rng=dice, noise=noise, suns=None if suns is None else np.asarray(suns))
    return actual_days(entries, voyage(DAYS), VESSEL, ROWS)


def found(rows: tuple[DayActual, ...], climate: Sequence[float] | None = None) -> dict[str, Drift]:
    return {one.kind.name: one for one in drift(rows, CEILING, climate)}


def test_a_fouled_hull_is_pointed_out_with_the_test_that_tells() -> None:
    told = found(log_of(Ways(hull=1.2)))
    assert told["hull"].low < 1.2 < told["hull"].high
    assert told["hull"].pointed
    assert "voyager fit trial" in told["hull"].text
    assert not told["hotel load"].pointed


def test_few_days_point_at_nothing() -> None:
    told = found(log_of(Ways(hull=1.5))[:4])
    assert told["hull"].days == 4
    assert not told["hull"].pointed
    assert "too few days" in told["hull"].text


def test_a_passage_without_times_says_nothing_of_the_hull() -> None:
    entries = [one for one in lived(ROWS, Ways(hull=1.2)) if one.charge_kwh is not None]
    assert "hull" not in found(actual_days(entries, voyage(DAYS), VESSEL, ROWS))


def test_growing_fouling_has_a_trend() -> None:
    """From 1.0 on by 1 % a day: 0.3 in 30 days."""
    rows = [
        {**row, "hours": [{**h, "propulsion_kwh": h["propulsion_kwh"] * (1 + day / 100)} for h in row["hours"]]}
        for day, row in enumerate(ROWS)
    ]
    days = actual_days(lived(rows, Ways()), voyage(DAYS), VESSEL, ROWS)
    told = found(days)["hull"]
    assert told.trend == pytest.approx(0.3, abs=0.01)
    assert told.pointed
    assert "grows by 0.30 in 30 days" in told.text


def test_sun_counts_where_a_bright_day_would_have_had_room() -> None:
    rows = [planned_row(day, charge=25.0) for day in range(DAYS)]
    entries = lived(rows, Ways(hotel_w=20))
    days = actual_days(entries, voyage(DAYS), VESSEL, rows)
    room = [CEILING - day.start.charge_kwh >= 18.0 for day in days if day.start]
    assert 2 <= sum(room) < len(room)
    assert found(days, [10.0] * DAYS)["panels"].days == sum(room)


def cover(name: str, ways: Ways, truth: float, sets: int, *, sky: bool = False) -> float:
    """Share of synthetic logs in whose interval the truth lies."""
    hits = 0
    for seed in range(sets):
        suns = skies(seed) if sky else None
        told = found(log_of(ways, seed, suns=suns), [10.0] * DAYS)[name]
        hits += told.low <= truth <= told.high
    return hits / sets


def skies(seed: int) -> list[float]:
    """Daily sun over its climate's mean: AR(1) of normal scores, spread 0.45 of the mean, a climate known to 6 %.

    The charge of such a log is put so low that the battery is never full."""
    dice = np.random.default_rng([seed, 1])
    score, out, factor = dice.standard_normal(), [], 1 + 0.06 * dice.standard_normal()
    for _ in range(DAYS):
        score = 0.29 * score + np.sqrt(1 - 0.29**2) * dice.standard_normal()
        out.append(max(0.05, factor * (1 + 0.45 * score)))
    return out


@pytest.mark.parametrize("kind", ["hull", "hotel load"])
def test_the_truth_lies_in_the_interval_of_some_logs(kind: str) -> None:
    """Few of the 200 of the long form."""
    ways, truth = {"hull": (Ways(hull=1.2), 1.2), "hotel load": (Ways(hotel_w=30), 1.3)}[kind]
    assert cover(kind, ways, truth, 12) >= 0.75


@pytest.mark.long
@pytest.mark.parametrize(
    ("kind", "ways", "truth", "sky"),
    [
        ("hull", Ways(hull=1.2), 1.2, False), ("panels", Ways(sun=0.85), 0.85, True),
        ("cabin", Ways(heat=1.15), 1.15, False), ("hotel load", Ways(hotel_w=30), 1.3, False),
    ],
)  # fmt: skip
def test_the_truth_lies_in_the_interval_of_most_logs(kind: str, ways: Ways, truth: float, sky: bool) -> None:
    share = cover(kind, ways, truth, 200, sky=sky)
    print(f"{kind}: {share:.1%} of 200 intervals hold the truth")
    assert 0.88 <= share <= 0.99
