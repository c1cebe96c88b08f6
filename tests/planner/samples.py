"""An invented boat on short invented waters, illustrative, not for navigation; small enough to plan in a moment."""

from dataclasses import replace
from datetime import date
from typing import Any

from voyager.boat.arrays import PanelArray
from voyager.boat.battery import Battery
from voyager.boat.cabin import Cabin, Comfort, Heater
from voyager.boat.hull import Hull
from voyager.boat.inverter import Inverter, ShoreCharger
from voyager.boat.vessel import Hotel, Vessel
from voyager.route.leg import Leg
from voyager.route.place import Place
from voyager.route.voyage import Voyage

MORNING, EVENING = (390, 510), (1080, 1320)
AMPLE = Comfort("ample", ((390, 1350, 20.0),), 12.0)
PLAIN = Comfort("plain", ((*MORNING, 15.0), (*EVENING, 15.0)), 5.0)
OFF = Comfort("off", (), 2.0)


def battery(capacity_kwh: float = 20.0, **keys: Any) -> Battery:
    """A battery that takes half and gives all of its capacity in an hour."""
    limits = {"charge_max_w": capacity_kwh * 500, "discharge_max_w": capacity_kwh * 1000}
    return Battery(capacity_kwh, **(limits | keys))


def vessel(**keys: Any) -> Vessel:
    """A 3.2 kWp launch with one heater and three steps of comfort."""
    base = Vessel(
        "Wherry",
        Hull(95.0, waterline_m=12.0, motor_max_w=4000.0, underway_extra_w=30.0),
        (PanelArray("roof", 400.0, 8),),
        battery(),
        Inverter(2500.0),
        ShoreCharger(1500.0, 0.90),
        Hotel(),
        Cabin(),
        (Heater("panel", 700.0),),
        (AMPLE, PLAIN, OFF),
    )
    return replace(base, **keys)


PLACES = (
    Place("Ashby", 53.0, -8.0),
    Place("Beck", 53.1, -8.0, shore_w=3000.0),
    Place("Croft", 53.25, -8.0),
)
LEGS = (
    Leg("Ashby", "Beck", "canal", distance_km=12.0, locks=2),
    Leg("Beck", "Croft", "canal", distance_km=18.0),
)


def voyage(**keys: Any) -> Voyage:
    """Two legs of canal in March."""
    base = Voyage(
        "sample", date(2027, 3, 1), "Europe/Dublin", PLACES, LEGS, comfort="plain", mooring_every_km=3.0,
    )  # fmt: skip
    return replace(base, **keys)
