"""The one place where energy is added up: one hour of the battery, its loads and its sources.

Net at the battery's terminals first: sun that goes straight to a load never pays the battery. Charging is positive.
``energy.maps`` composes the same ``unclamped_kwh`` into chains; ``tests/energy/test_maps.py`` holds them together.
"""

from dataclasses import dataclass, fields

import numpy as np
from numpy.typing import NDArray

from voyager.boat.battery import Battery, change_kwh
from voyager.boat.inverter import ShoreCharger, socket_w

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Flows:
    """Power through one hour, W, shapes broadcast together (member,). Loads are as delivered.

    ``charger_w`` is the most that the shore charger may give at the battery's terminals, 0 when not plugged in.
    """

    solar_w: Floats
    propulsion_w: Floats
    hotel_w: Floats
    heating_w: Floats
    inverter_loss_w: Floats
    charger_w: Floats
    blocked: NDArray[np.bool_]


@dataclass(frozen=True)
class Hour:
    """Energies of one step (member,), kWh, and the charge after it.

    charge_kwh = charge before + solar + shore - propulsion - hotel - heating - loss - spilled, to 1e-9 kWh.
    """

    charge_kwh: Floats
    solar_kwh: Floats
    shore_kwh: Floats
    propulsion_kwh: Floats
    hotel_kwh: Floats
    heating_kwh: Floats
    loss_kwh: Floats
    spilled_kwh: Floats
    unserved_kwh: Floats


ENERGIES = tuple(f.name for f in fields(Hour) if f.name != "charge_kwh")


def unclamped_kwh(
    battery: Battery, net_w: Floats, blocked: NDArray[np.bool_], hours: Floats | float = 1.0
) -> Floats:
    """Change of charge by a net power that neither room nor emptiness limits, kWh, shape of ``net_w``."""
    return np.asarray(change_kwh(battery, net_w, hours, blocked))


def hour(
    battery: Battery, shore: ShoreCharger, charge_kwh: Floats, flows: Flows, hours: Floats | float = 1.0
) -> Hour:
    """One step of all members. ``charge_kwh`` (member,) may start above the ceiling: it is kept, not spilled.

    ``hours`` > 0, shapes broadcast: how much of the step is lived; powers are means over that part.
    """
    load_w = flows.propulsion_w + flows.hotel_w + flows.heating_w + flows.inverter_loss_w
    room_kwh = np.maximum(0.0, battery.ceiling_kwh - charge_kwh)
    accept_w = np.where(
        flows.blocked, 0.0, np.minimum(battery.charge_max_w, room_kwh / battery.charge_efficiency / hours * 1e3)
    )
    charger_w = np.minimum(np.maximum(load_w + accept_w - flows.solar_w, 0.0), flows.charger_w)
    net_w = flows.solar_w + charger_w - load_w
    taken_w = np.minimum(np.maximum(net_w, 0.0), accept_w)
    spilled_w = np.maximum(net_w, 0.0) - taken_w
    asked_w = np.maximum(-net_w, 0.0)
    drawn_w = np.minimum(asked_w, np.minimum(battery.discharge_max_w, _available_w(battery, charge_kwh, hours)))
    unserved_w = asked_w - drawn_w
    served = _served(flows, unserved_w)
    in_w = taken_w * battery.charge_efficiency
    out_w = drawn_w / battery.discharge_efficiency
    shore_w = socket_w(shore, charger_w)
    loss_w = served["loss"] + (taken_w - in_w) + (out_w - drawn_w) + (shore_w - charger_w)
    kwh = hours / 1e3
    return Hour(
        charge_kwh + (in_w - out_w) * kwh,
        flows.solar_w * kwh,
        shore_w * kwh,
        served["propulsion"] * kwh,
        served["hotel"] * kwh,
        served["heating"] * kwh,
        loss_w * kwh,
        spilled_w * kwh,
        unserved_w * kwh,
    )


def charges_before(battery: Battery, charge_kwh: Floats, flows: Flows, hours: Floats | float = 1.0) -> Floats:
    """Charge before each of consecutive hours (member, hour), of ``hours`` each, from that before the first (member,).

    What ``hour`` makes of one hour is a shift by the unclamped change with the charger at its most, held at the ceiling
    (or where it stood, if above) and at empty.
    """
    load_w = flows.propulsion_w + flows.hotel_w + flows.heating_w + flows.inverter_loss_w
    change = unclamped_kwh(battery, flows.solar_w + flows.charger_w - load_w, flows.blocked, hours)
    out = np.empty_like(change)
    out[:, 0] = charge_kwh
    for h in range(change.shape[1] - 1):
        now = out[:, h]
        top = np.maximum(now, battery.ceiling_kwh)
        np.maximum(np.minimum(now + change[:, h], top), 0.0, out=out[:, h + 1])
    return out


def _available_w(battery: Battery, charge_kwh: Floats, hours: Floats | float) -> Floats:
    return np.asarray(np.maximum(charge_kwh, 0.0) * battery.discharge_efficiency / hours * 1e3)


def _served(flows: Flows, unserved_w: Floats) -> dict[str, Floats]:
    """What is delivered when the battery can't give all: heating goes first, then hotel, motor, inverter."""
    if not np.any(unserved_w):
        names = {"heating": "heating_w", "hotel": "hotel_w", "propulsion": "propulsion_w", "loss": "inverter_loss_w"}
        return {name: getattr(flows, field) for name, field in names.items()}
    served, missing = {}, unserved_w
    for name, asked in (
        ("heating", flows.heating_w),
        ("hotel", flows.hotel_w),
        ("propulsion", flows.propulsion_w),
        ("loss", flows.inverter_loss_w),
    ):
        cut = np.minimum(asked, missing)
        served[name] = asked - cut
        missing = missing - cut
    return served
