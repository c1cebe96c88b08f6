"""Invented boats and waters for the tests of this room, simple enough to reckon by hand."""

from dataclasses import replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from voyager.boat.arrays import PanelArray
from voyager.boat.battery import Battery
from voyager.boat.cabin import Cabin, Comfort, Heater
from voyager.boat.hull import Hull
from voyager.boat.inverter import Inverter, ShoreCharger
from voyager.boat.vessel import Hotel, Vessel

PACK = Battery(20.0, charge_efficiency=0.95, discharge_efficiency=0.9, charge_max_w=4000.0, discharge_max_w=5000.0)
SOCKET = ShoreCharger(max_w=1800.0, efficiency=0.9)
CUBE = Hull(coefficient_w_per_mps3=80.0, motor_max_w=4000.0, steerable_min_mps=0.7)
OFF = Comfort("off", (), 2.0)
CABIN = Cabin(ua_w_per_k=60.0, thermal_capacity_wh_per_k=12.0, people=1.0, person_w=80.0)


def vessel(**parts: Any) -> Vessel:
    """A bare boat with parts replaced."""
    plain = Vessel(
        "Teasel",
        CUBE,
        (PanelArray("roof", 4000.0),),
        PACK,
        shore=SOCKET,
        hotel=Hotel((50.0,) * 24, (0.0,) * 24),
        cabin=CABIN,
        comfort=(OFF,),
    )
    return replace(plain, **parts)


def heater(max_w: float, **keys: Any) -> Heater:
    return Heater(keys.pop("name", "heater"), max_w, **keys)


def inverter(**keys: Any) -> Inverter:
    return Inverter(**{"max_w": 2000.0, "efficiency": 0.8, "standby_w": 20.0, **keys})


def members(*values: float) -> NDArray[np.float64]:
    return np.asarray(values, dtype=float)
