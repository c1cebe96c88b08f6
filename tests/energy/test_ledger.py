"""Sums of a day, parts joined, and a balance that shows what does not belong."""

from dataclasses import fields, replace

import numpy as np
import pytest

from voyager.energy.ledger import Ledger, balance_kwh, joined

NONE = np.zeros((2, 3))


def ledger(start: np.ndarray, **columns: list[list[float]]) -> Ledger:
    """Hours of two members with the charge that their energies give."""
    values = {f.name: np.asarray(columns.get(f.name, NONE), dtype=float) for f in fields(Ledger)}
    gained = values["solar_kwh"] + values["shore_kwh"]
    spent = sum(values[f"{n}_kwh"] for n in ("propulsion", "hotel", "heating", "loss", "spilled"))
    return Ledger(**{**values, "charge_kwh": start[:, None] + np.cumsum(gained - spent, axis=1)})


START = np.asarray([10.0, 4.0])
DAY = ledger(
    START,
    solar_kwh=[[1, 2, 3], [0, 0, 1]],
    shore_kwh=[[0, 0, 0], [2, 2, 2]],
    propulsion_kwh=[[1, 1, 0], [0, 0, 0]],
    hotel_kwh=[[0.25, 0.5, 0.25], [0.5, 0.5, 0.5]],
    heating_kwh=[[0.5, 0, 0], [1, 0, 1]],
    loss_kwh=[[0.125, 0, 0.125], [0.25, 0.25, 0]],
    spilled_kwh=[[0, 0, 1], [0, 0, 0.5]],
    unserved_kwh=[[7, 7, 7], [0, 0, 0]],
)


def test_totals_are_sums_over_the_hours() -> None:
    assert DAY.total("solar_kwh").tolist() == [6.0, 1.0]
    assert DAY.total("unserved_kwh").tolist() == [21.0, 0.0]


def test_a_day_closes_and_unserved_stands_beside_it() -> None:
    assert np.abs(balance_kwh(START, DAY)).max() < 1e-12


@pytest.mark.parametrize(
    ("name", "sign"),
    [("solar", 1), ("shore", 1), ("propulsion", -1), ("hotel", -1), ("heating", -1), ("loss", -1), ("spilled", -1)],
)
def test_what_is_put_in_wrong_shows(name: str, sign: int) -> None:
    more = getattr(DAY, f"{name}_kwh") + np.asarray([[0.0, 0.001, 0.0], [0.0, 0.0, 0.0]])
    wrong = replace(DAY, **{f"{name}_kwh": more})
    assert balance_kwh(START, wrong) == pytest.approx([sign * 0.001, 0.0], abs=1e-12)


def test_parts_of_a_day_one_after_the_other() -> None:
    first = replace(DAY, **{f.name: getattr(DAY, f.name)[:, :1] for f in fields(Ledger)})
    rest = replace(DAY, **{f.name: getattr(DAY, f.name)[:, 1:] for f in fields(Ledger)})
    whole = joined([first, rest])
    for field in fields(Ledger):
        assert np.array_equal(getattr(whole, field.name), getattr(DAY, field.name)), field.name
