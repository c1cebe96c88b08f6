"""What happened hour by hour, and its sums by day."""

from collections.abc import Sequence
from dataclasses import dataclass, fields

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Ledger:
    """Energies of each hour (member, hour), kWh; ``charge_kwh`` at its end; air at its end; asked and kept hours.

    ``low_c`` lowest air in asked hours from half an hour after a rise of the setpoint, +inf where none is.
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
    air_c: Floats
    warm_h: Floats
    asked_h: Floats
    low_c: Floats
    floor_kwh: Floats

    def total(self, name: str) -> Floats:
        """Sum of one column over the hours, (member,)."""
        return np.asarray(getattr(self, name).sum(axis=1))


def joined(parts: Sequence[Ledger]) -> Ledger:
    """Parts of a day one after the other."""
    return Ledger(*(np.concatenate([getattr(part, f.name) for part in parts], axis=1) for f in fields(Ledger)))


def unlived(members: int, hours: int, charge_kwh: Floats, air_c: Floats, floor_kwh: float) -> Ledger:
    """Hours of a day before the plan begins: nothing flows, charge and air (member,) stand as they will be then."""
    nothing = np.zeros((members, hours))
    values = {f.name: nothing for f in fields(Ledger)}
    values |= {"charge_kwh": nothing + charge_kwh[:, None], "air_c": nothing + air_c[:, None]}
    return Ledger(**values | {"low_c": nothing + np.inf, "floor_kwh": nothing + floor_kwh})


def balance_kwh(before_kwh: Floats, ledger: Ledger) -> Floats:
    """What is left over of the day's energy balance, (member,): zero to rounding."""
    gained = ledger.total("solar_kwh") + ledger.total("shore_kwh")
    spent = sum((ledger.total(f"{name}_kwh") for name in ("propulsion", "hotel", "heating", "loss", "spilled")), 0.0)
    return np.asarray(before_kwh + gained - spent - ledger.charge_kwh[:, -1])
