"""Sums over days, checked by hand on two written days and against the sample's own balance."""

import pytest

from tests.cli.support import sample
from voyager.report.totals import ENERGIES, shore_stops, totals


def test_sums_close_over_the_voyage() -> None:
    """FILES section 1: the day's balance, summed, leads from the first charge to the last."""
    plan = sample()
    sums = totals(plan)
    gained = sums["solar_kwh"] + sums["shore_kwh"] - sum(
        sums[key] for key in ENERGIES if key not in ("solar_kwh", "shore_kwh", "unserved_kwh")
    )  # fmt: skip
    assert plan["days"][0]["charge_start_kwh"] + gained == pytest.approx(sums["charge_end_kwh"], abs=1e-9)
    assert sum(sums["marks"].values()) == sums["days"] == 12


def test_the_sample_closes_day_by_day() -> None:
    """The sample keeps the rules it is a sample of: balance, ceiling, marks, unbroken chain of charge and way."""
    plan = sample()
    for day, after in zip(plan["days"], [*plan["days"][1:], None], strict=True):
        spent = sum(day[f"{key}_kwh"] for key in ("propulsion", "hotel", "heating", "loss", "spilled"))
        end = day["charge_start_kwh"] + day["solar_kwh"] + day["shore_kwh"] - spent
        assert end == pytest.approx(day["charge_end_kwh"], abs=1e-6)
        assert day["floor_kwh"] <= day["charge_low_kwh"] <= plan["boat"]["ceiling_kwh"]
        assert (day["mark"] == "underway") == (day["start_km"] != day["end_km"])
        assert after is None or (day["charge_end_kwh"], day["end_km"]) == (after["charge_start_kwh"], after["start_km"])


def test_neighbouring_days_at_one_plug_are_one_stop() -> None:
    plan = sample()
    assert shore_stops(plan) == ["Athlone", "Limerick"]
    plan["days"][10]["shore_kwh"] = 1.0
    assert shore_stops(plan) == ["Athlone", "Limerick"]
    plan["days"][6]["shore_kwh"] = 1.0
    assert shore_stops(plan) == ["Athlone", "Portumna", "Limerick"]


def test_the_lowest_charge_has_its_day() -> None:
    low = totals(sample())["charge_low"]
    assert (low["day"], low["mooring"]) == (4, "Athlone")


def test_a_plan_without_days() -> None:
    sums = totals({"days": []})
    assert (sums["charge_low"], sums["charge_end_kwh"], sums["cabin_low_c"], sums["solar_kwh"]) == (None, None, None, 0)
