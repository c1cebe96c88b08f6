"""One page fixes every word and unit: the dataclasses of boat and route are held to it."""

import dataclasses
import importlib
import inspect
import math
import pkgutil
import subprocess
import sys
import types
from collections.abc import Iterator
from typing import Any, get_args, get_type_hints

import numpy as np
import pytest

import voyager.boat
import voyager.route
from voyager.boat import battery, cabin, hull, inverter, vessel
from voyager.boat.arrays import PanelArray
from voyager.quantities import QUANTITIES, UNITS, suffix, unit_of
from voyager.route.leg import Leg
from voyager.route.place import Place
from voyager.route.voyage import Forecast, Voyage

FROM_FILES = (
    PanelArray,
    battery.Battery,
    cabin.Cabin,
    cabin.Heater,
    cabin.Comfort,
    hull.Hull,
    inverter.Inverter,
    inverter.ShoreCharger,
    vessel.Hotel,
    Leg,
    Place,
    Voyage,
    Forecast,
)
COMPOSITE = {"trial": ("speed_mps", "power_w")}
"""Fields that pair two quantities, each by its own name."""
NOT_PHYSICAL = {"standard_error", "closed_weekdays"}


def rooms() -> Iterator[types.ModuleType]:
    for room in (voyager.boat, voyager.route):
        for info in pkgutil.iter_modules(room.__path__):
            yield importlib.import_module(f"{room.__name__}.{info.name}")


def classes() -> list[type]:
    found = (
        c
        for module in rooms()
        for _, c in inspect.getmembers(module, inspect.isclass)
        if dataclasses.is_dataclass(c) and c.__module__ == module.__name__
    )
    return list(found)


def mentions(hint: Any, *wanted: type) -> bool:
    return hint in wanted or any(mentions(part, *wanted) for part in get_args(hint))


def numeric_fields(owner: type, *wanted: type) -> list[str]:
    hints = get_type_hints(owner)
    names = (f.name for f in dataclasses.fields(owner) if mentions(hints[f.name], *wanted))
    return [n for n in names if n not in NOT_PHYSICAL and n not in COMPOSITE]


@pytest.mark.parametrize("owner", classes(), ids=lambda c: c.__name__)
def test_every_physical_field_has_a_known_unit(owner: type) -> None:
    assert [n for n in numeric_fields(owner, float, np.float64) if unit_of(n) is None] == []


@pytest.mark.parametrize("owner", FROM_FILES, ids=lambda c: c.__name__)
def test_every_number_a_user_writes_stands_in_the_table(owner: type) -> None:
    assert [n for n in numeric_fields(owner, float, int) if n not in QUANTITIES] == []


def test_composite_fields_pair_quantities_of_the_table() -> None:
    assert all(part in QUANTITIES for parts in COMPOSITE.values() for part in parts)


@pytest.mark.parametrize("owner", FROM_FILES, ids=lambda c: c.__name__)
def test_defaults_lie_in_the_valid_range(owner: type) -> None:
    defaults = {f.name: f.default for f in dataclasses.fields(owner) if type(f.default) in (int, float)}
    assert [n for n, value in defaults.items() if not QUANTITIES[n].holds(value)] == []


@pytest.mark.parametrize("quantity", QUANTITIES.values(), ids=QUANTITIES)
def test_a_name_ends_in_the_unit_the_table_gives(quantity: Any) -> None:
    ending = suffix(quantity.name)
    if ending is not None and "_by_" not in quantity.name:
        assert quantity.unit == UNITS[ending]
    assert quantity.low < quantity.high
    assert quantity.meaning


@pytest.mark.parametrize(
    ("name", "unit"),
    [
        ("ua_w_per_k", "W/K"),
        ("structure_capacity_wh_per_k", "Wh/K"),
        ("coefficient_w_per_mps3", "W/(m/s)3"),
        ("km", "km"),
        ("charge_low_kwh", "kWh"),
        ("lat", "deg"),
        ("capacity_by_c", "share"),
        ("speed", None),
        ("frequency_hz", None),
    ],
)
def test_unit_of(name: str, unit: str | None) -> None:
    assert unit_of(name) == unit


def test_ranges_hold_their_ends_and_no_nan() -> None:
    lat = QUANTITIES["lat"]
    assert lat.holds(-90)
    assert lat.holds(90)
    assert not lat.holds(95)
    assert not lat.holds(math.nan)


def test_no_two_rows_share_a_name() -> None:
    source = inspect.getsource(importlib.import_module("voyager.quantities"))
    rows = [line.split('"')[1] for line in source.splitlines() if line.startswith('    ("')]
    assert len(rows) == len(set(rows)) == len(QUANTITIES)


def test_the_table_costs_no_numpy() -> None:
    code = "import sys, voyager.quantities; sys.exit('numpy' in sys.modules)"
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0
