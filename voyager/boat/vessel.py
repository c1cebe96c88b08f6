"""The whole boat as the energy room sees it."""

from dataclasses import dataclass, field

from voyager.boat.arrays import PanelArray
from voyager.boat.battery import Battery
from voyager.boat.cabin import Cabin, Comfort, Heater
from voyager.boat.hull import Hull
from voyager.boat.inverter import Inverter, ShoreCharger


@dataclass(frozen=True)
class Hotel:
    """Loads by civil hour of the day, 24 numbers each, W."""

    direct_w: tuple[float, ...] = (50.0,) * 24
    alternating_w: tuple[float, ...] = (0.0,) * 24


@dataclass(frozen=True)
class Vessel:
    """A boat; ``comfort`` is the ladder, warmest first, its last step always ``off``."""

    name: str
    hull: Hull
    arrays: tuple[PanelArray, ...]
    battery: Battery
    inverter: Inverter = field(default_factory=Inverter)
    shore: ShoreCharger = field(default_factory=ShoreCharger)
    hotel: Hotel = field(default_factory=Hotel)
    cabin: Cabin = field(default_factory=Cabin)
    heaters: tuple[Heater, ...] = ()
    comfort: tuple[Comfort, ...] = (Comfort("off", (), 2.0),)
    standard_error: tuple[tuple[str, float], ...] = ()
